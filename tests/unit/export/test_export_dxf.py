"""DXF: what no reader tells, since it concerns the writing itself."""

import pytest
from support.sheets import sheet_set, sheet_with

from jiggen.errors import LimitError
from jiggen.export.dxf import encode_dxf
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point
from jiggen.parts.model import Feature, Role

SHEET = sheet_set().sheets[0]


def test_a_name_too_long_for_the_format() -> None:
    with pytest.raises(LimitError) as caught:
        encode_dxf(sheet_set(design_name="W" * 300).sheets[0])
    assert str(caught.value) == (
        "sheet 1, part comb, tag, design_name: got 316 bytes, expected at most 255, the longest text that DXF can"
        " carry. Shorten the name"
    )


def test_a_flat_arc_is_a_line_and_keeps_its_place_in_a_contour() -> None:
    flat = Arc(Point(5.0, 5.0), Point(45.0, 5.0), 1e-7)
    sheet = sheet_with(
        flat=Feature(id="flat", role=Role.LINE, paths=(Path((flat,)),)),
        run=Feature(id="run", role=Role.LINE, paths=(Path((flat, Line(flat.end, Point(45.0, 9.0)))),)),
    )
    text = encode_dxf(sheet).decode("cp1252")
    entities = text[text.index("ENTITIES") :]
    assert entities.count("\nLINE\n") == 1 + 4  # the tag has four strokes of one line
    assert "\nARC\n" in entities  # of the tag


def test_no_number_is_minus_nought() -> None:
    assert b"\n-0.0\n" not in encode_dxf(SHEET)

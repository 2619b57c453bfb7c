"""DXF: what no reader tells, since it concerns the writing itself."""

import ezdxf
import pytest
from support.sheets import sheet_set, sheet_with

from jiggen.errors import LimitError
from jiggen.export.dxf import DxfWriter
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point
from jiggen.parts.model import Feature, Role

SHEET = sheet_set().sheets[0]


@pytest.mark.parametrize("before", [True, False])
def test_the_librarys_switch_is_put_back(before: bool) -> None:  # noqa: FBT001
    options = ezdxf.options  # type: ignore[attr-defined]
    was = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = before
    try:
        DxfWriter().encode(SHEET)
        assert options.write_fixed_meta_data_for_testing is before
        with pytest.raises(LimitError):
            DxfWriter().encode(sheet_set(design_name="W" * 300).sheets[0])
        assert options.write_fixed_meta_data_for_testing is before
    finally:
        options.write_fixed_meta_data_for_testing = was


def test_a_name_too_long_for_the_format() -> None:
    with pytest.raises(LimitError) as caught:
        DxfWriter().encode(sheet_set(design_name="W" * 200).sheets[0])
    assert str(caught.value) == (
        "sheet 1, part comb, tag: got 283 bytes, expected at most 254, the longest text that DXF can carry."
        " Shorten the name"
    )


def test_a_flat_arc_is_a_line_and_keeps_its_place_in_a_contour() -> None:
    flat = Arc(Point(5.0, 5.0), Point(45.0, 5.0), 1e-7)
    sheet = sheet_with(
        flat=Feature(id="flat", role=Role.LINE, paths=(Path((flat,)),)),
        run=Feature(id="run", role=Role.LINE, paths=(Path((flat, Line(flat.end, Point(45.0, 9.0)))),)),
    )
    text = DxfWriter().encode(sheet).decode("cp1252")
    entities = text[text.index("ENTITIES") :]
    assert entities.count("\nLINE\n") == 1 + 4  # the tag has four strokes of one line
    assert "\nARC\n" in entities  # of the tag


def test_no_number_is_minus_nought() -> None:
    assert b"\n-0.0\n" not in DxfWriter().encode(SHEET)

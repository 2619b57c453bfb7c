"""SVG as svgelements reads it: every feature at its size and place, in mm. svgelements is an independent reader."""

import io
import math
from typing import Any

import pytest
import svgelements
from support.sheets import sheet_set
from svgelements import SVG, Shape

from jiggen.export.path_data import path_data
from jiggen.export.svg import encode_svg
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, length
from jiggen.geometry.path import Path, arc_around
from jiggen.geometry.point import Point
from jiggen.sheets.model import Mark, Sheet

MICRON = 0.001  # mm
#: One inch in mm: at this resolution svgelements' pixels are millimetres.
PPI = 25.4
SHEETS = sheet_set().sheets


def parse(sheet: Sheet) -> Any:
    return SVG.parse(io.BytesIO(encode_svg(sheet)), ppi=PPI, reify=True)


def marks_of(sheet: Sheet) -> list[Mark]:
    return [mark for operation in sheet.machine.operations for mark in sheet.marks(operation.name)]


def shapes_of(sheet: Sheet) -> dict[str, Any]:
    return {each.id: each for each in parse(sheet).elements() if isinstance(each, Shape)}


def box_of(shape: Any, height: float) -> Box:
    """The bounds with y turned up again."""
    x0, y0, x1, y1 = shape.bbox()
    return Box(Point(x0, height - y1), Point(x1, height - y0))


def same_box(one: Box, other: Box) -> bool:
    return one.low.distance(other.low) <= MICRON and one.high.distance(other.high) <= MICRON


def test_the_page_has_the_size_of_the_sheet() -> None:
    page = parse(SHEETS[0])
    assert page.width == pytest.approx(600.0, abs=MICRON)
    assert page.height == pytest.approx(300.0, abs=MICRON)


@pytest.mark.parametrize("index", [0, 1])
def test_every_mark_is_one_shape_of_the_same_bounds(index: int) -> None:
    sheet = SHEETS[index]
    shapes = shapes_of(sheet)
    assert list(shapes) == [mark.id for mark in marks_of(sheet)]
    for mark in marks_of(sheet):
        expected = around(bounds(path) for path in mark.paths)
        assert same_box(box_of(shapes[mark.id], sheet.height_mm), expected), mark.id


def test_every_mark_has_the_same_length() -> None:
    sheet = SHEETS[0]
    shapes = shapes_of(sheet)
    for mark in marks_of(sheet):
        measured = sum(piece.length(error=1e-6) for piece in shapes[mark.id].segments())
        assert measured == pytest.approx(sum(map(length, mark.paths)), abs=MICRON), mark.id


def test_a_shift_of_ten_micron_is_seen() -> None:
    sheet = SHEETS[1]
    (edge,) = sheet.marks("cut-edge")
    expected = bounds(edge.paths[0])
    shift = Point(10 * MICRON, 0.0)
    moved = Box(expected.low + shift, expected.high + shift)
    assert not same_box(box_of(shapes_of(sheet)[edge.id], sheet.height_mm), moved)


@pytest.mark.parametrize("degrees", [30.0, 119.0, 179.9, 180.0, 180.1, 270.0, 345.0])
def test_arcs_of_every_sweep_keep_their_bellies(degrees: float) -> None:
    """Rounded to four decimals, an arc near a half turn must not wander: 16 turns and sizes of each."""
    for index in range(16):
        radius, start = 0.37 * 1.55**index, 0.1 + index
        for sweep in (math.radians(degrees), -math.radians(degrees)):
            path = Path((arc_around(Point(100.03333, 50.06667), radius, start, sweep),))
            found = svgelements.Path(path_data([path], flip_at=300.0)).bbox()
            box = bounds(path)
            wanted = (box.low.x, 300.0 - box.high.y, box.high.x, 300.0 - box.low.y)
            assert found == pytest.approx(wanted, abs=MICRON), (radius, sweep)


def test_shapes_tell_part_feature_and_operation() -> None:
    sheet = SHEETS[0]
    shapes = shapes_of(sheet)
    for mark in marks_of(sheet):
        values = shapes[mark.id].values
        assert (values["data-part"], values["data-feature"]) == (mark.part, mark.feature.id)
        operation = next(each for each in sheet.machine.operations if each.name == mark.operation)
        assert values["stroke"] == operation.colour
        assert values["fill"] == "none"

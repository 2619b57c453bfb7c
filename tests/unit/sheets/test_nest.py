import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.sheets import MACHINE, tag_for

from jiggen.errors import LimitError, SeveralErrors
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.nest import nest
from jiggen.shop.model import CutFeature, CutPart

ROOM = Box.of_size(MACHINE.bed_width_mm, MACHINE.bed_height_mm).grown(-MACHINE.margin_mm)
NANOMETRE = 1e-6  # mm


def plain_part(name: str, width: float, height: float) -> CutPart:
    """A rectangle to be cut, somewhere off the origin."""
    outline = rectangle(Point(-7.0, 3.0), Point(width - 7.0, height + 3.0))
    edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
    part = Part(name=name, title=name, features=(edge,), tag_box=Box(ORIGIN, ORIGIN))
    return CutPart(
        part=part,
        tag=tag_for(name),
        features=(CutFeature(feature=edge, operation="cut-edge", paths=(outline,)),),
    )


def boxes(sheet):
    return {
        placement.cut_part.part.name: around(
            bounds(placement.place.path(path)) for cut in placement.cut_part.features for path in cut.paths
        )
        for placement in sheet.placements
    }


def test_parts_lie_in_rows_from_the_top_left():
    (sheet,) = nest([plain_part("low", 100.0, 20.0), plain_part("tall", 200.0, 60.0)], MACHINE)
    assert boxes(sheet)["tall"].low.x == pytest.approx(5.0, abs=NANOMETRE)
    assert boxes(sheet)["tall"].high.y == pytest.approx(295.0, abs=NANOMETRE)
    assert boxes(sheet)["low"].low.x == pytest.approx(208.0, abs=NANOMETRE)  # gap of 3
    assert [placement.cut_part.part.name for placement in sheet.placements] == ["low", "tall"]


def test_a_full_sheet_is_followed_by_another():
    sheets = nest([plain_part(f"bar-{number}", 580.0, 90.0) for number in range(4)], MACHINE)
    assert [sheet.number for sheet in sheets] == [1, 2]
    assert [len(sheet.placements) for sheet in sheets] == [3, 1]


def test_a_part_too_tall_is_turned_a_quarter():
    (sheet,) = nest([plain_part("tall", 50.0, 400.0)], MACHINE)
    assert boxes(sheet)["tall"].width == pytest.approx(400.0, abs=NANOMETRE)


def test_a_part_that_fits_no_way_is_named():
    with pytest.raises(LimitError) as caught:
        nest([plain_part("fine", 50.0, 50.0), plain_part("giant", 700.0, 40.0)], MACHINE)
    assert str(caught.value) == (
        "part giant: got 700.0 × 40.0 mm as cut, expected at most 590.0 × 290.0 mm, the bed less its margins, "
        "on a slant neither. "
        "Choose a larger machine with --machine or make fewer parts with --only"
    )


def test_all_parts_that_fit_no_way_are_named_at_once():
    with pytest.raises(SeveralErrors) as caught:
        nest([plain_part("giant", 700.0, 40.0), plain_part("titan", 900.0, 40.0)], MACHINE)
    assert [error.where for error in caught.value.errors] == ["part giant", "part titan"]


@settings(deadline=None)
@given(st.lists(st.tuples(st.floats(5.0, 590.0), st.floats(5.0, 290.0)), min_size=1, max_size=25))
def test_every_part_is_placed_once_inside_the_margins_and_clear_of_the_others(sizes):
    parts = [plain_part(f"part-{index}", *size) for index, size in enumerate(sizes)]
    sheets = nest(parts, MACHINE)
    placed = [name for sheet in sheets for name in boxes(sheet)]
    assert sorted(placed) == sorted(part.part.name for part in parts)
    for sheet in sheets:
        here = list(boxes(sheet).values())
        assert all(ROOM.contains(box, slack=NANOMETRE) for box in here)
        half_gap = MACHINE.gap_mm / 2.0 - NANOMETRE
        for index, box in enumerate(here):
            assert not any(box.grown(half_gap).overlaps(other.grown(half_gap)) for other in here[:index])


def test_the_same_parts_lie_the_same_way_every_time():
    parts = [plain_part(f"part-{index}", 40.0 + index % 3, 30.0) for index in range(12)]
    assert nest(parts, MACHINE) == nest(parts, MACHINE)

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.sheets import MACHINE, tag_for

from jiggen.design.making import Stock
from jiggen.errors import InputError, LimitError, SeveralErrors
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.nest import nest
from jiggen.shop.model import CutFeature, CutPart

ROOM = Box.of_size(MACHINE.bed_width_mm, MACHINE.bed_height_mm).grown(-MACHINE.margin_mm)
NANOMETRE = 1e-6  # mm


def plain_part(name: str, width: float, height: float, *, may_turn: bool = True) -> CutPart:
    """A rectangle to be cut, somewhere off the origin."""
    return part_of(name, rectangle(Point(-7.0, 3.0), Point(width - 7.0, height + 3.0)), may_turn=may_turn)


def taper(name: str, *, may_turn: bool = True) -> CutPart:
    """A board of 500 mm, 90 mm wide at one end and 40 mm at the other."""
    corners = [(0.0, -45.0), (500.0, -20.0), (500.0, 20.0), (0.0, 45.0)]
    return part_of(name, polyline([Point(x, y) for x, y in corners], closed=True), may_turn=may_turn)


def part_of(name: str, outline: Path, *, may_turn: bool = True) -> CutPart:
    edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
    part = Part(name=name, title=name, features=(edge,), tag_box=Box(ORIGIN, ORIGIN))
    return CutPart(
        part=part,
        tag=tag_for(name),
        features=(CutFeature(feature=edge, operation="cut-edge", paths=(outline,)),),
        may_turn=may_turn,
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


@pytest.mark.parametrize("may_turn", [True, False])
def test_tapers_lie_head_to_tail_where_one_sheet_would_not_hold_them_otherwise(may_turn):
    """Four of them, 65 mm wide on average, need 4 × 65 + 3 gaps and some slope; on shelves 4 × 90."""
    (sheet,) = nest([taper(f"taper-{number}", may_turn=may_turn) for number in range(4)], MACHINE)
    turns = {round(placement.place.cosine) for placement in sheet.placements}
    assert turns == {1, -1}
    assert all(placement.place.sine == 0.0 for placement in sheet.placements)


def test_a_small_part_finds_room_under_a_bow():
    """A bracket 200 mm deep leaves 280 × 140 mm under it, where shelves see none."""
    corners = [(0, 0), (60, 0), (60, 140), (520, 140), (520, 0), (590, 0), (590, 200), (0, 200)]
    bracket = part_of("bracket", polyline([Point(float(x), float(y)) for x, y in corners], closed=True))
    parts = [bracket, plain_part("slab", 590.0, 80.0), plain_part("small", 440.0, 130.0)]
    (sheet,) = nest(parts, MACHINE)
    assert around([boxes(sheet)["bracket"]]).contains(boxes(sheet)["small"])


def test_one_sheet_keeps_its_shelves():
    """What one sheet holds in rows is not jumbled for nothing."""
    (sheet,) = nest([taper("one"), taper("other")], MACHINE)
    assert [placement.place.cosine for placement in sheet.placements] == [1.0, 1.0]


SMALL = Stock(length=300.0, width=150.0)
LARGE = Stock(length=600.0, width=300.0, count=2)


def test_offcuts_are_used_first_and_each_sheet_has_its_own_size():
    sheets = nest([plain_part("bar", 580.0, 90.0), plain_part("small", 200.0, 90.0)], MACHINE, (LARGE, SMALL))
    assert [(sheet.number, sheet.width_mm, sheet.height_mm) for sheet in sheets] == [
        (1, 300.0, 150.0),
        (2, 600.0, 300.0),
    ]
    assert [list(boxes(sheet)) for sheet in sheets] == [["small"], ["bar"]]


def test_a_stock_too_large_for_the_bed_is_refused():
    with pytest.raises(InputError) as caught:
        nest([plain_part("bar", 580.0, 90.0)], MACHINE, (Stock(length=300.0, width=600.0),))
    assert str(caught.value) == (
        "stock: got a sheet of 300.0 × 600.0 mm, expected at most 600.0 × 300.0 mm, the bed of shed-laser. "
        "Its length lies along the bed: change the two, cut it down, or choose another --machine."
    )


def test_a_stock_that_runs_out_says_what_is_still_to_be_placed():
    parts = [plain_part(f"slab-{number}", 580.0, 200.0) for number in range(4)]
    with pytest.raises(LimitError) as caught:
        nest(parts, MACHINE, (LARGE, SMALL))
    assert str(caught.value) == (
        "stock: got 600.0 × 300.0 mm × 2, 300.0 × 150.0 mm, expected room for slab-2, slab-3 too. "
        "Add sheets to the stock, or make fewer parts with --only"
    )


def test_a_part_that_fits_no_sheet_of_the_stock_is_named():
    with pytest.raises(LimitError) as caught:
        nest([plain_part("bar", 580.0, 90.0, may_turn=False)], MACHINE, (SMALL,))
    assert str(caught.value) == (
        "part bar: got 580.0 × 90.0 mm as cut, expected at most 290.0 × 140.0 mm, the largest sheet of the stock less "
        "its margins, and not turned, since the sheet has a grain. "
        "Name a larger sheet in the stock or make fewer parts with --only"
    )


@pytest.mark.parametrize("rows", [2, 9])
def test_parts_never_lie_edge_to_edge(rows):
    """So that no edge is cut twice, and none is shared."""
    for sheet in nest([plain_part(f"part-{n}", 290.0, 290.0 / rows - 4.0) for n in range(3 * rows)], MACHINE):
        here = list(boxes(sheet).values())
        for index, box in enumerate(here):
            reach = box.grown(MACHINE.gap_mm - NANOMETRE)
            assert not any(reach.overlaps(other) for other in here[:index])

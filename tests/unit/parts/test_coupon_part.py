"""The coupon as a part: sound, labelled, and what its gauges say of it is true of its contour."""

import itertools

import pytest
import shapely
from support.specs import wren

from jiggen.geometry.measure import bounds, flatten
from jiggen.layout.neck import lay_out
from jiggen.parts.coupon import BLOCK_WIDTH, BLOCKS, GAUGES, LADDER, SIDE, WIDTHS, Side, coupon
from jiggen.parts.model import Bench, Role

PART = coupon(lay_out(wren()), Bench(smallest_lettering_mm=2.5, thickness_mm=3.0))
BY_ID = {feature.id: feature for feature in PART.features}
PLATE = shapely.Polygon([(point.x, point.y) for point in flatten(PART.outline, 0.01)])


def test_the_plate_is_a_square_with_sharp_corners():
    box = bounds(PART.outline)
    assert (box.low.x, box.low.y, box.high.x, box.high.y) == (0.0, 0.0, SIDE, SIDE)
    corners = {(piece.start.x, piece.start.y) for piece in PART.outline}
    assert corners >= {(0.0, 0.0), (SIDE, 0.0), (SIDE, SIDE), (0.0, SIDE)}


def walls(axis: str) -> list[float]:
    """Where a line across the comb meets the contour."""
    line = shapely.LineString(
        [(-1, SIDE - 5), (SIDE + 1, SIDE - 5)] if axis == "x" else [(SIDE - 5, -1), (SIDE - 5, SIDE + 1)]
    )
    return sorted(
        (point.x if axis == "x" else point.y)
        for point in shapely.get_parts(PLATE.boundary.intersection(line))
    )


@pytest.mark.parametrize("axis", ["x", "y"])
def test_slots_and_tongues_are_as_wide_as_their_gauges_say(axis):
    found = walls(axis)
    widths = [high - low for low, high in itertools.pairwise(found)]
    inner = widths[1:-1]  # the plate's shoulders are no gauges
    assert inner == pytest.approx([5.0, 5.0, 8.0, 8.0, 12.0, 12.0, 5.0])
    assert {
        gauge.nominal_mm for gauge in GAUGES if gauge.axis == axis and gauge.id.startswith(("slot", "tongue"))
    } == set(WIDTHS)


def test_every_slot_can_be_found_in_the_manifest():
    for axis in ("x", "y"):
        for width in (*WIDTHS, "end"):
            name = width if width == "end" else f"{width:g}"
            slot = BY_ID[f"slot.{axis}.{name}"]
            assert slot.cut_in == "outline"
            assert slot.width_mm == (5.0 if width == "end" else width)


def test_ten_equal_blocks():
    blocks = [feature for feature in PART.features if feature.id.startswith("block.")]
    assert len(blocks) == BLOCKS
    assert {round(bounds(block.paths[0]).width, 9) for block in blocks} == {BLOCK_WIDTH}


def test_everything_has_a_name_beside_it():
    words = {feature.id: feature.text for feature in PART.features if feature.role is Role.LETTERING}
    for axis in ("x", "y"):
        for width in WIDTHS:
            assert (
                words[f"name.slot.{axis}.{width:g}"] == words[f"name.tongue.{axis}.{width:g}"] == f"{width:g}"
            )
    for number in range(1, 6):
        for row in ("saw", "stop-pin", "index-pin"):
            assert words[f"name.{row}.{number}"] == f"{BY_ID[f'{row}.{number}'].width_mm:.2f}"
    heights = [BY_ID[f"ladder.{number}"].letter_mm for number in range(1, len(LADDER) + 1)]
    assert heights == pytest.approx([1.5, 2.0, 2.5, 3.0, 4.0])


def test_fits_are_tried_for_the_tools_of_the_design():
    assert [BY_ID[f"stop-pin.{number}"].width_mm for number in range(1, 6)] == pytest.approx(
        [2.95, 3.0, 3.05, 3.1, 3.15]
    )
    assert [BY_ID[f"saw.{number}"].width_mm for number in range(1, 6)] == pytest.approx(
        [0.6, 0.64, 0.68, 0.72, 0.76]
    )


def test_nothing_touches_anything():
    drawn = [
        (
            feature.id,
            shapely.MultiLineString([[(p.x, p.y) for p in flatten(path, 0.02)] for path in feature.paths]),
        )
        for feature in PART.features
        if not feature.cut_in
    ]
    near = [
        (one, other)
        for index, (one, lines) in enumerate(drawn)
        for other, others in drawn[:index]
        if lines.distance(others) < 0.3
    ]
    assert near == []
    assert all(PLATE.covers(lines) for id, lines in drawn if id != "outline")
    room = shapely.box(PART.tag_box.low.x, PART.tag_box.low.y, PART.tag_box.high.x, PART.tag_box.high.y)
    assert all(lines.distance(room) > 0.3 for id, lines in drawn if id != "outline")


def test_gauges_have_names_of_their_own_and_24_readings():
    assert len({gauge.id for gauge in GAUGES}) == len(GAUGES)
    assert sum(gauge.readings for gauge in GAUGES) == 24
    assert {gauge.side for gauge in GAUGES} == set(Side)

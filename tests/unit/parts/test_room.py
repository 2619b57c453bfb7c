"""Room for lettering is free room, and the largest there is."""

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.geometry.measure import to_polygon
from jiggen.geometry.path import circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.room import Room

PLATE = rectangle(ORIGIN, Point(100.0, 40.0), radius=5.0)
GAP = 1.5


def area_of(square_mm):
    """The height of something of an area, at a width."""
    return lambda width: square_mm / width


@settings(max_examples=25)
@given(st.lists(st.tuples(st.floats(8.0, 92.0), st.floats(8.0, 32.0), st.floats(0.5, 6.0)), max_size=4))
def test_what_is_taken_lies_clear_of_everything(holes):
    drawn = [circle(Point(x, y), radius) for x, y, radius in holes]
    room = Room(PLATE, drawn, gap_mm=GAP)
    taken = [box for box in (room.take(area_of(size)) for size in (300.0, 200.0, 100.0)) if box]
    plate = to_polygon(PLATE, 0.01)
    boxes = [shapely.box(box.low.x, box.low.y, box.high.x, box.high.y) for box in taken]
    for number, box in enumerate(boxes):
        assert plate.exterior.distance(box) >= GAP - 1e-6
        assert plate.covers(box)
        assert all(to_polygon(hole, 0.01).distance(box) >= GAP - 0.05 for hole in drawn)
        assert all(box.distance(other) >= GAP - 1e-6 for other in boxes[:number])


def test_nothing_is_lettered_in_an_opening():
    slot = rectangle(Point(10.0, 6.0), Point(90.0, 28.0), radius=4.0)
    room = Room(PLATE, [slot], gap_mm=GAP, cut=[slot])
    (taken,) = [box for box in (room.take(area_of(size)) for size in (1200.0, 300.0)) if box]
    box = shapely.box(taken.low.x, taken.low.y, taken.high.x, taken.high.y)
    assert to_polygon(slot, 0.01).distance(box) >= GAP - 0.05


def test_the_larger_side_of_a_line_is_chosen_and_only_as_much_as_is_needed():
    room = Room(PLATE, [segment(Point(60.0, 0.0), Point(60.0, 40.0))], gap_mm=GAP)
    box = room.take(lambda width: 10.0)
    assert box.high.x < 60.0
    assert box.height == pytest.approx(10.0)
    assert box.width > 50.0


def test_nothing_is_found_where_nothing_fits():
    room = Room(PLATE, [], gap_mm=GAP)
    assert room.take(area_of(100.0 * 40.0)) is None
    assert room.take(area_of(80.0 * 20.0), least_area=5000.0) is None


def test_a_slanted_plate_has_room_only_inside():
    triangle = polyline([ORIGIN, Point(80.0, 0.0), Point(0.0, 60.0)], closed=True)
    box = Room(triangle, [], gap_mm=GAP).take(area_of(500.0))
    assert to_polygon(triangle, 0.01).covers(shapely.box(box.low.x, box.low.y, box.high.x, box.high.y))

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.geometry.box import Box, around
from jiggen.geometry.point import ORIGIN, Point, between, polar

NANOMETRE = 1e-6  # mm
numbers = st.floats(-1000.0, 1000.0)
points = st.builds(Point, numbers, numbers)


def test_left_is_a_quarter_turn_counter_clockwise() -> None:
    assert Point(3.0, 1.0).left() == Point(-1.0, 3.0)
    assert Point(3.0, 1.0).cross(Point(3.0, 1.0).left()) == 10.0


def test_polar_and_angle_agree() -> None:
    assert polar(2.0, math.pi / 2.0).distance(Point(0.0, 2.0)) < NANOMETRE
    assert Point(-1.0, 0.0).angle() == math.pi
    assert math.isclose(polar(5.0, -2.0).angle(), -2.0)


def test_zero_has_no_direction() -> None:
    with pytest.raises(ZeroDivisionError):
        ORIGIN.unit()


@given(points, points)
def test_between_hits_both_ends_exactly(start: Point, end: Point) -> None:
    assert between(start, end, 0.0) == start
    assert between(start, end, 1.0) == end


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_a_point_with_nonsense_in_it_says_so(bad: float) -> None:
    assert not Point(bad, 0.0).is_finite()
    assert not Point(0.0, bad).is_finite()
    assert Point(0.0, 0.0).is_finite()


def test_a_box_refuses_to_be_inside_out_or_nonsense() -> None:
    for high in (Point(-1.0, 1.0), Point(1.0, -1.0), Point(math.nan, 1.0)):
        with pytest.raises(ValueError, match="no box from"):
            Box(ORIGIN, high)


def test_a_box_knows_size_and_middle() -> None:
    box = Box(Point(1.0, 2.0), Point(4.0, 4.0))
    assert (box.width, box.height, box.centre) == (3.0, 2.0, Point(2.5, 3.0))
    assert box.grown(0.5) == Box(Point(0.5, 1.5), Point(4.5, 4.5))


def test_boxes_that_share_an_edge_do_not_overlap() -> None:
    box = Box(ORIGIN, Point(2.0, 2.0))
    assert not box.overlaps(Box(Point(2.0, 0.0), Point(3.0, 2.0)))
    assert not box.overlaps(Box(Point(0.0, -1.0), Point(2.0, 0.0)))
    assert box.overlaps(Box(Point(1.9, 1.9), Point(3.0, 3.0)))


def test_a_box_holds_another_give_or_take() -> None:
    box, other = Box(ORIGIN, Point(2.0, 2.0)), Box(Point(0.0, -0.01), Point(2.0, 1.0))
    assert not box.contains(other)
    assert box.contains(other, slack=0.01)
    assert not other.contains(box, slack=0.01)


def test_the_box_around_boxes() -> None:
    assert around([Box(ORIGIN, Point(1.0, 1.0)), Box(Point(-1.0, 0.5), Point(0.0, 3.0))]) == Box(
        Point(-1.0, 0.0), Point(1.0, 3.0)
    )
    with pytest.raises(ValueError, match="no box round nothing"):
        around([])

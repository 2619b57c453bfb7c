"""The comparer that the offset tests lean on must itself be able to fail."""

import pytest
from shapely import Polygon, box
from support.shapes import MICRON, assert_same_shape, region

from jiggen.geometry.path import circle, rectangle, reverse
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import shifted

PLATE = rectangle(ORIGIN, Point(40.0, 20.0), radius=3.0)


def test_a_shape_is_like_itself() -> None:
    assert_same_shape(PLATE, reverse(PLATE), MICRON)
    assert_same_shape(
        (PLATE, circle(Point(20.0, 10.0), 2.0)), [circle(Point(20.0, 10.0), 2.0), PLATE], MICRON
    )


@pytest.mark.parametrize(("x", "y"), [(0.01, 0.0), (0.0, -0.01), (0.008, 0.006)])
def test_a_shift_by_a_hundredth_is_caught(x: float, y: float) -> None:
    with pytest.raises(AssertionError, match=r"lie more than 0.009 mm outside"):
        assert_same_shape(PLATE, shifted(x, y).path(PLATE), 0.009)
    assert_same_shape(PLATE, shifted(x, y).path(PLATE), 0.011)


def test_a_hundredth_more_or_less_is_caught_both_ways() -> None:
    larger = rectangle(Point(-0.01, -0.01), Point(40.01, 20.01), radius=3.01)
    with pytest.raises(AssertionError, match="of the second shape"):
        assert_same_shape(PLATE, larger, 0.009)
    with pytest.raises(AssertionError, match="of the first shape"):
        assert_same_shape(larger, PLATE, 0.009)


def test_a_missing_hole_and_a_missing_island_are_caught() -> None:
    hole = circle(Point(20.0, 10.0), 0.5)
    with pytest.raises(AssertionError, match="of the first shape"):
        assert_same_shape(PLATE, (PLATE, hole), 0.01)
    with pytest.raises(AssertionError, match="of the second shape"):
        assert_same_shape(PLATE, (PLATE, circle(Point(50.0, 10.0), 0.5)), 0.01)


def test_nothing_is_like_nothing() -> None:
    with pytest.raises(AssertionError, match="first shape is empty"):
        assert_same_shape(Polygon(), Polygon(), 1.0)
    with pytest.raises(AssertionError, match="second shape is empty"):
        assert_same_shape(box(0, 0, 1, 1), Polygon(), 5.0)


def test_a_region_has_its_inner_contours_as_holes() -> None:
    assert (
        abs(region((PLATE, rectangle(Point(5.0, 5.0), Point(6.0, 6.0)))).area - region(PLATE).area + 1.0)
        < 1e-9
    )

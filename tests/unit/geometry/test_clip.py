"""What of a path lies inside a contour, with shapely as the judge."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from support.shapes import region

from jiggen.geometry.clip import clipped
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Arc, Path, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point

PLATE = rectangle(ORIGIN, Point(100.0, 40.0), radius=8.0)


def lines(paths):
    return shapely.MultiLineString([[(each.x, each.y) for each in flatten(path, 1e-4)] for path in paths])


def test_a_line_across_is_cut_at_both_sides():
    (inner,) = clipped(segment(Point(50.0, -10.0), Point(50.0, 60.0)), PLATE)
    assert (inner.start, inner.end) == (Point(50.0, 0.0), Point(50.0, 40.0))


def test_what_lies_inside_stays_as_it_is():
    path = polyline([Point(10.0, 10.0), Point(30.0, 20.0), Point(40.0, 10.0)], closed=True)
    assert clipped(path, PLATE) == (path,)


def test_what_lies_outside_goes():
    assert clipped(segment(Point(-10.0, -5.0), Point(110.0, -5.0)), PLATE) == ()


def test_an_arc_stays_an_arc():
    pieces = clipped(Path((Arc(Point(20.0, 20.0), Point(80.0, 20.0), -1.0),)), PLATE)
    assert [type(each) for path in pieces for each in path] == [Arc, Arc]
    assert all(piece.radius == pytest.approx(30.0) for path in pieces for piece in path)


coordinates = st.integers(-30, 130).map(lambda value: value + 0.37)  # never along a side


@given(st.lists(st.tuples(coordinates, coordinates), min_size=2, max_size=6, unique=True))
def test_as_much_is_left_as_shapely_leaves(places):
    points = [Point(x, y) for x, y in places]
    path = polyline(points)
    plate = region(PLATE)
    wanted = math.fsum(lines([Path((each,))]).intersection(plate).length for each in path)
    got = math.fsum(lines([each]).length for each in clipped(path, PLATE))
    assert got == pytest.approx(wanted, abs=0.05)

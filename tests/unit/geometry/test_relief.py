"""Corners relieved for a round tool, and the tightest place that a tool must follow."""

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from support.shapes import region

from jiggen.errors import LimitError
from jiggen.geometry.measure import area, distance_to
from jiggen.geometry.offset import shrink
from jiggen.geometry.path import Arc, circle, polyline, rectangle, reverse, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.relief import relieved, tightest_hollow

NANOMETRE = 1e-6  # mm
SQUARE = rectangle(ORIGIN, Point(10.0, 6.0))
CORNERS = (ORIGIN, Point(10.0, 0.0), Point(10.0, 6.0), Point(0.0, 6.0))


def test_the_circle_goes_through_the_corner_with_its_centre_on_the_bisector():
    """Relief circle of radius r through the corner point, centre shifted by r/√2 in x and y."""
    opened = relieved(SQUARE, 0.5)
    arcs = [piece for piece in opened if isinstance(piece, Arc)]
    assert len(arcs) == 8  # two halves a corner
    assert all(arc.radius == pytest.approx(0.5, abs=NANOMETRE) for arc in arcs)
    shift = 0.5 / math.sqrt(2.0)
    centres = {(round(arc.centre.x, 6), round(arc.centre.y, 6)) for arc in arcs}
    assert centres == {
        (round(x, 6), round(y, 6)) for x in (shift, 10.0 - shift) for y in (shift, 6.0 - shift)
    }


@pytest.mark.parametrize(
    ("diameter", "left", "shift"),
    [(3.0, 0.6213, 1.0607), (6.0, 1.2426, 2.1213), (6.35, 1.3151, 2.2451)],
)
def test_what_a_round_tool_leaves_in_a_square_corner(diameter, left, shift):
    """Along the bisector r(√2 - 1) stays without relief; the table is worked from that formula (common practice)."""
    radius = diameter / 2.0
    plain = region(shrink(rectangle(ORIGIN, Point(30.0, 30.0)), radius))
    assert plain.buffer(radius, quad_segs=64).distance(shapely.Point(0, 0)) == pytest.approx(left, abs=5e-5)
    opened = relieved(rectangle(ORIGIN, Point(30.0, 30.0)), 1.02 * radius)
    swept = region(shrink(opened, radius)).buffer(radius, quad_segs=64)
    assert all(swept.distance(shapely.Point(x, y)) < 1e-4 for x in (0, 30) for y in (0, 30))
    assert radius / math.sqrt(2.0) == pytest.approx(shift, abs=5e-5)


def test_direction_and_inside_are_kept():
    clockwise = reverse(SQUARE)
    assert area(relieved(SQUARE, 0.3)) > area(SQUARE)
    assert area(relieved(clockwise, 0.3)) < area(clockwise)


@settings(deadline=None, max_examples=60)
@given(st.lists(st.floats(0.0, 1.0), min_size=3, max_size=9), st.floats(0.02, 0.4))
def test_every_corner_of_a_convex_opening_is_on_the_relieved_contour(shares, radius):
    angles = sorted({round(2.0 * math.pi * share, 2) for share in shares})
    corners = [Point(30.0 * math.cos(angle), 20.0 * math.sin(angle)) for angle in angles]
    if len(corners) < 3 or abs(area(polyline(corners, closed=True))) < 1.0:
        return
    path = polyline(corners, closed=True)
    try:
        opened = relieved(path, radius)
    except LimitError:
        return
    assert max(distance_to(opened, corner) for corner in corners) < NANOMETRE
    assert area(opened) >= area(path) - NANOMETRE


def test_sides_too_short_are_named():
    with pytest.raises(LimitError) as caught:
        relieved(rectangle(ORIGIN, Point(10.0, 1.0)), 0.5)
    assert str(caught.value) == (
        "corner relief: got a side of 1.000 mm, expected more than 1.414 mm, what the arcs of 0.500 mm radius take."
        " Make the opening larger, or its corners round"
    )


def test_open_paths_have_no_corners_to_relieve():
    with pytest.raises(ValueError, match="no relief"):
        relieved(segment(ORIGIN, Point(1.0, 0.0)), 0.1)


@pytest.mark.parametrize(
    ("path", "inside", "radius"),
    [
        (SQUARE, True, 0.0),
        (SQUARE, False, None),
        (reverse(SQUARE), True, 0.0),
        (rectangle(ORIGIN, Point(10.0, 6.0), radius=2.0), True, 2.0),
        (rectangle(ORIGIN, Point(10.0, 6.0), radius=2.0), False, None),
        (circle(ORIGIN, 3.0), True, 3.0),
        (circle(ORIGIN, 3.0), False, None),
        (
            polyline(
                [ORIGIN, Point(9.0, 0.0), Point(9.0, 9.0), Point(4.5, 5.0), Point(0.0, 9.0)], closed=True
            ),
            False,
            0.0,
        ),
    ],
)
def test_tightest_hollow(path, inside, radius):
    found = tightest_hollow(path, inside=inside)
    assert found == (None if radius is None else pytest.approx(radius, abs=NANOMETRE))

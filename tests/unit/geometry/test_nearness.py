"""What lies near what."""

import math

import pytest

from jiggen.geometry.nearness import (
    CHORDS,
    holders,
    near_pairs,
    outside,
    runs_alongside,
    thin_places,
    touching,
)
from jiggen.geometry.path import Path, arc_around, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point

PLATE = rectangle(ORIGIN, Point(100.0, 50.0), radius=3.0)
HOLE, TWIN = circle(Point(20.0, 20.0), 5.0), circle(Point(31.0, 20.0), 5.0)  # 1 mm apart
FAR = circle(Point(70.0, 20.0), 5.0)


def comb(gap: float) -> Path:
    """A plate with two slots in its upper edge and a strip of `gap` between them."""
    left, right = 20.0, 20.0 + gap
    xs = [(left, 50.0), (left, 30.0), (15.0, 30.0), (15.0, 50.0)]
    return polyline(
        [
            *(ORIGIN, Point(100.0, 0.0), Point(100.0, 50.0)),
            *(Point(right + 5.0, 50.0), Point(right + 5.0, 30.0), Point(right, 30.0), Point(right, 50.0)),
            *(Point(x, y) for x, y in xs),
            Point(0.0, 50.0),
        ],
        closed=True,
    )


def test_near_pairs_have_their_distance_and_place():
    (near,) = near_pairs([(HOLE,), (TWIN,), (FAR,), (PLATE,)], 2.0)
    assert (near.first, near.second) == (0, 1)
    assert near.distance == pytest.approx(1.0, abs=2.0 * CHORDS)
    assert near.at.distance(Point(25.5, 20.0)) < 0.1


def test_nothing_is_near_nothing():
    assert near_pairs([], 1.0) == ()
    assert near_pairs([(HOLE,)], 1.0) == ()
    assert near_pairs([(HOLE,), (FAR,)], 1.0) == ()


def test_a_web_between_two_holes_is_thin():
    (thin,) = thin_places(PLATE, [HOLE, TWIN], 1.5)
    assert thin.width == pytest.approx(1.0, abs=4.0 * CHORDS)
    assert thin.at.distance(Point(25.5, 20.0)) < 0.1
    assert thin_places(PLATE, [HOLE, TWIN], 0.9) == ()


@pytest.mark.parametrize("gap", [0.2, 0.6, 1.2])
def test_a_strip_between_two_slots_of_one_contour_is_thin(gap):
    (thin,) = thin_places(comb(gap), [], 1.5)
    assert thin.width == pytest.approx(gap, abs=4.0 * CHORDS)
    assert (thin.box.low.x, thin.box.high.x) == pytest.approx((20.0, 20.0 + gap), abs=0.1)


def test_corners_are_not_thin_but_needles_are():
    assert thin_places(PLATE, [rectangle(Point(30.0, 10.0), Point(60.0, 40.0))], 3.0) == ()
    assert thin_places(comb(8.0), [], 3.0) == ()
    needle = polyline([ORIGIN, Point(60.0, 0.0), Point(0.0, 10.0)], closed=True)  # a tip of 9.5 degrees
    (thin,) = thin_places(needle, [], 1.5)
    assert thin.at.x > 45.0


def test_what_lies_in_what():
    assert holders([PLATE, HOLE, circle(Point(20.0, 20.0), 2.0), FAR]) == (None, 0, 1, 0)
    assert holders([]) == ()


def test_what_runs_off():
    inside, off = segment(Point(5.0, 5.0), Point(20.0, 5.0)), segment(Point(90.0, 5.0), Point(101.0, 5.0))
    to_the_edge = segment(Point(50.0, 40.0), Point(50.0, 50.0))
    assert outside([(inside,), (off,), (to_the_edge,)], PLATE) == (1,)


def test_marks_that_reach_into_an_opening():
    into, past = segment(Point(5.0, 20.0), Point(18.0, 20.0)), segment(Point(5.0, 5.0), Point(18.0, 5.0))
    to_the_rim = segment(Point(5.0, 20.0), Point(15.0, 20.0))
    assert touching([(into,), (past,), (to_the_rim,)], [HOLE]) == ((0, 0),)


def line(x0: float, y0: float, x1: float, y1: float) -> tuple[Path, ...]:
    return (segment(Point(x0, y0), Point(x1, y1)),)


def test_lines_side_by_side():
    (run,) = runs_alongside([line(0, 0, 30, 0), line(10, 0.2, 50, 0.2)], 0.3, least_mm=1.0)
    assert (run.distance, run.length, run.at) == pytest.approx((0.2, 20.0, Point(20.0, 0.0)))


@pytest.mark.parametrize(
    "other",
    [
        line(10, -5, 10, 5),  # crosses
        line(30, 0, 60, 0),  # goes on
        line(0, 0.4, 30, 0.4),  # keeps its distance
        line(0, 0, 30, 3),  # parts from it
        line(29.5, 0.1, 60, 0.1),  # hardly together
    ],
)
def test_lines_that_only_meet_do_not_run_together(other):
    assert runs_alongside([line(0, 0, 30, 0), other], 0.3, least_mm=1.0) == ()


def test_arcs_about_one_centre_run_together():
    one = Path((arc_around(Point(5.0, 5.0), 40.0, 0.0, 1.0),))
    near = Path((arc_around(Point(5.0, 5.0), 40.2, 0.5, 1.0),))
    far = Path((arc_around(Point(5.0, 5.0), 41.0, 0.5, 1.0),))
    (run,) = runs_alongside([(one,), (near,), (far,)], 0.3, least_mm=1.0)
    assert (run.first, run.second) == (0, 1)
    assert (run.distance, run.length) == pytest.approx((0.2, 20.0), abs=1e-9)


def test_a_line_run_twice_within_one_feature():
    twice = (segment(ORIGIN, Point(20.0, 0.0)), segment(Point(30.0, 0.0), Point(5.0, 0.0)))
    (run,) = runs_alongside([twice], 0.3, least_mm=1.0)
    assert (run.first, run.second, run.distance, run.length) == (0, 0, 0.0, 15.0)


@pytest.mark.parametrize("degrees", [45, 60, 90, 120, 150, 175])
def test_plain_corners_are_never_thin(degrees):
    half = math.radians(degrees / 2.0)
    far = Point(40.0 * math.cos(half), 40.0 * math.sin(half))
    kite = polyline([ORIGIN, Point(far.x, -far.y), Point(90.0, 0.0), far], closed=True)
    assert [thin for thin in thin_places(kite, [], 1.5) if thin.at.x < 10.0] == []


@pytest.mark.parametrize(("width", "length"), [(0.2, 1.0), (0.2, 10.0), (0.5, 3.0), (1.0, 6.0)])
def test_strips_with_a_free_end_are_thin(width, length):
    stub = polyline(
        [
            *(ORIGIN, Point(60.0, 0.0), Point(60.0, 30.0)),
            *(Point(30.0 + width, 30.0), Point(30.0 + width, 30.0 + length)),
            *(Point(30.0, 30.0 + length), Point(30.0, 30.0), Point(0.0, 30.0)),
        ],
        closed=True,
    )
    (thin,) = thin_places(stub, [], 1.5)
    assert thin.width == pytest.approx(width, abs=0.02)

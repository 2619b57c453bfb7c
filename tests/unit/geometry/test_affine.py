"""A mapped curve runs through the mapped places, whatever it is made of."""

import math
from itertools import pairwise

import pytest

from jiggen.geometry.affine import Affine, as_arcs, backward, with_ends
from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.path import Arc, Line
from jiggen.geometry.point import Point
from jiggen.geometry.segment import point_on

CURVES = [
    Line(Point(1, 2), Point(5, -3)),
    Arc(Point(1, 2), Point(5, -3), 0.4),
    Arc(Point(1, 2), Point(5, -3), -6.0),
    QuadraticBezier(Point(0, 0), Point(3, 8), Point(9, 1)),
    CubicBezier(Point(0, 0), Point(3, 8), Point(5, -8), Point(9, 1)),
    EllipseArc(centre=Point(4, 4), major=Point(3, 1), minor=Point(-1, 2), start_rad=0.4, sweep_rad=-2.5),
    BSpline(
        degree=2,
        knots=(0, 0, 0, 1, 2, 2, 2),
        controls=(Point(0, 0), Point(3, 8), Point(5, -8), Point(9, 1)),
        weights=(1.0, 2.0, 0.5, 1.0),
    ),
]
MAPS = [
    Affine(e=3.0, f=-4.0),
    Affine(0.0, 2.0, -2.0, 0.0, 1.0, 1.0),
    Affine(-1.0, 0.0, 0.0, 1.0),
    Affine(2.0, 0.3, -0.7, 0.5, 9.0, 9.0),
]
SHARES = [0.0, 0.2, 0.5, 0.8, 1.0]


def place(curve, share: float) -> Point:
    return point_on(curve, share) if isinstance(curve, Line | Arc) else curve.point(share)


def off(curves, point: Point) -> float:
    """How far a point lies from curves, by dense sampling."""
    return min(place(curve, step / 4000).distance(point) for curve in curves for step in range(4001))


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: type(curve).__name__)
@pytest.mark.parametrize("affine", MAPS)
def test_places_go_where_the_curve_goes(curve, affine):
    moved = affine.curve(curve)
    assert moved[0].start.distance(affine.point(curve.start)) < 1e-9
    assert moved[-1].end.distance(affine.point(curve.end)) < 1e-9
    assert all(before.end == after.start for before, after in pairwise(moved))
    for share in SHARES:
        assert off(moved, affine.point(place(curve, share))) < 0.02


def test_a_mapped_circle_stays_an_arc_only_where_it_stays_round():
    arc = Arc(Point(0, 0), Point(2, 0), 1.0)
    assert MAPS[1].curve(arc) == (Arc(Point(1, 1), Point(1, 5), 1.0),)
    assert MAPS[2].curve(arc) == (Arc(Point(0, 0), Point(-2, 0), -1.0),)
    assert isinstance(MAPS[3].curve(arc)[0], EllipseArc)


def test_a_whole_circle_is_two_half_turns_and_most_of_one_two_arcs():
    whole = EllipseArc(centre=Point(0, 0), major=Point(5, 0), minor=Point(0, 5))
    assert [arc.bulge for arc in as_arcs(whole)] == [1.0, 1.0]
    most = EllipseArc(centre=Point(0, 0), major=Point(5, 0), minor=Point(0, 5), sweep_rad=math.radians(355.0))
    assert len(as_arcs(most)) == 2
    assert all(arc.radius == pytest.approx(5.0) for arc in as_arcs(most))


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: type(curve).__name__)
def test_a_curve_can_be_led_to_other_ends(curve):
    start, end = Point(0.01, 0.02), curve.end + Point(-0.01, 0.03)
    moved = with_ends(curve, curve.start + start, end)
    assert moved.start.distance(curve.start + start) < 1e-9
    assert moved.end.distance(end) < 1e-9
    for share in SHARES:
        assert place(moved, share).distance(place(curve, share)) < 0.1
    with pytest.raises(ValueError, match="no map"):
        with_ends(curve, end, end)


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: type(curve).__name__)
def test_a_curve_walked_the_other_way_runs_through_the_same_places(curve):
    for share in SHARES:
        assert place(backward(curve), share).distance(place(curve, 1.0 - share)) < 1e-9
    assert place(backward(backward(curve)), 0.3).distance(place(curve, 0.3)) < 1e-9


def test_maps_one_after_the_other():
    both = MAPS[3].after(MAPS[1])
    point = Point(3.0, 4.0)
    assert both.point(point).distance(MAPS[3].point(MAPS[1].point(point))) < 1e-12
    assert both.determinant == pytest.approx(MAPS[3].determinant * MAPS[1].determinant)
    assert both.is_sound()
    assert not Affine(1.0, 1.0, 2.0, 2.0).is_sound()
    assert not Affine(math.nan).is_sound()

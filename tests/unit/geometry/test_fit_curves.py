import math

import numpy as np
import pytest

from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.fit import Fitted, fit_curves
from jiggen.geometry.measure import distance_to
from jiggen.geometry.path import Line, circle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.segment import heading_on

MICRON = 0.001  # mm


def off(fitted: Fitted, curve: CubicBezier | QuadraticBezier | EllipseArc | BSpline) -> float:
    return max(distance_to(fitted.path, curve.point(step / 200)) for step in range(201))


def kinks(fitted: Fitted) -> float:
    """The largest turn between two segments that share no corner, in radians."""
    path = fitted.path
    pairs = list(zip(path.segments, path.segments[1:], strict=False))
    if path.closed:
        pairs.append((path.segments[-1], path.segments[0]))
    turns = [
        (heading_on(one, 1.0), heading_on(other, 0.0))
        for one, other in pairs
        if other.start not in fitted.corners
    ]
    return max((abs(math.atan2(a.cross(b), a.dot(b))) for a, b in turns), default=0.0)


def test_random_cubics_keep_to_the_tolerance_with_common_tangents() -> None:
    draw = np.random.default_rng(3)
    for _ in range(60):
        curve = CubicBezier(*(Point(x, y) for x, y in draw.uniform(0.0, 100.0, (4, 2)).tolist()))
        fitted = fit_curves([curve], 10 * MICRON, closed=False)
        assert off(fitted, curve) <= fitted.error_mm <= 10 * MICRON
        assert kinks(fitted) < 1e-7
        assert (fitted.path.start, fitted.path.end) == (curve.start, curve.end)
        assert abs(heading_on(fitted.path.segments[0], 0.0).cross(curve.direction(0.0))) < 1e-9
        assert abs(heading_on(fitted.path.segments[-1], 1.0).cross(curve.direction(1.0))) < 1e-9


def test_a_whole_ellipse_is_smooth_all_the_way_round() -> None:
    curve = EllipseArc(centre=Point(5.0, 6.0), major=Point(50.0, 0.0), minor=Point(0.0, 30.0))
    fitted = fit_curves([curve], MICRON, closed=True)
    assert fitted.corners == ()
    assert off(fitted, curve) <= fitted.error_mm <= MICRON
    assert kinks(fitted) < 1e-7


def test_corners_are_where_the_chain_turns_at_once() -> None:
    down = CubicBezier(Point(0.0, 0.0), Point(10.0, 10.0), Point(20.0, 10.0), Point(30.0, 0.0))
    up = QuadraticBezier(Point(30.0, 0.0), Point(15.0, -8.0), Point(0.0, 0.0))
    fitted = fit_curves([down, up], MICRON, closed=True)
    assert set(fitted.corners) == {Point(0.0, 0.0), Point(30.0, 0.0)}
    assert kinks(fitted) < 1e-7


def test_lines_and_arcs_come_through_as_they_are() -> None:
    assert fit_curves(circle(ORIGIN, 5.0).segments, MICRON, closed=True).error_mm <= MICRON
    line = Line(ORIGIN, Point(10.0, 1.0))
    assert fit_curves([line], MICRON, closed=False).path.segments == (line,)


def test_a_chain_may_not_jump() -> None:
    one, other = Line(ORIGIN, Point(1.0, 0.0)), Line(Point(2.0, 0.0), Point(3.0, 0.0))
    with pytest.raises(ValueError, match=r"jumps by 1 mm after curve 0, at \(1, 0\)"):
        fit_curves([one, other], MICRON, closed=False)


def test_curves_without_length_are_refused() -> None:
    with pytest.raises(ValueError, match="no curve with a length"):
        fit_curves([Line(ORIGIN, ORIGIN)], MICRON, closed=False)

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import pytest
from support.curves import clothoid, random_cubic, wavy_outline
from support.off_curve import off_path, off_places
from support.slow_arcs import fewest_arcs

from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.fit import Fitted, fit_curves
from jiggen.geometry.measure import distance_to
from jiggen.geometry.path import Arc, Line, Path, circle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.segment import heading_on, point_on

MICRON = 0.001  # mm
BULGE = math.tan(math.pi / 8.0)  # of a quarter turn


def rows(spots: Sequence[Point]) -> np.ndarray:
    return np.array([(spot.x, spot.y) for spot in spots])


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


def test_lines_and_arcs_of_a_chain_stay_as_they_are_beside_curves() -> None:
    wave = CubicBezier(Point(0.0, 0.0), Point(10.0, 2.0), Point(20.0, 0.0), Point(30.0, 0.0))
    line, turn = Line(Point(30.0, 0.0), Point(80.0, 0.0)), Arc(Point(80.0, 0.0), Point(90.0, 10.0), BULGE)
    tighter = Arc(Point(90.0, 10.0), Point(86.0, 14.0), BULGE)
    segments = fit_curves([wave, line, turn, tighter], 10 * MICRON, closed=False).path.segments
    assert segments[-3] == line
    for found, drawn in zip(segments[-2:], (turn, tighter), strict=True):
        assert (found.start, found.end) == (drawn.start, drawn.end)
        assert isinstance(found, Arc)
        assert found.bulge == pytest.approx(drawn.bulge, abs=1e-9)


def test_a_slot_comes_through_wherever_its_outline_begins() -> None:
    corners = Point(0.0, 0.0), Point(40.0, 0.0), Point(40.0, 10.0), Point(0.0, 10.0)
    a, b, c, d = corners
    slot = [Line(a, b), Arc(b, c, 1.0), Line(c, d), Arc(d, a, 1.0)]
    for first in range(4):
        fitted = fit_curves([*slot[first:], *slot[:first]], MICRON, closed=True)
        assert len(fitted.path.segments) == 4
        assert {piece.start for piece in fitted.path} == set(corners)
        assert not fitted.corners


def test_what_is_to_be_kept_stays_to_the_digit() -> None:
    far = Arc(
        Point(30.0, 1.0), Point(40.0, 1.5), -1.7
    )  # more than half a turn, in no direction of its neighbours
    row = [Line(Point(x, 0.1 * x**2), Point(x + 1.0, 0.1 * (x + 1.0) ** 2)) for x in (-4.0, -3.0, -2.0, -1.0)]
    wave = CubicBezier(Point(0.0, 0.0), Point(10.0, 3.0), Point(20.0, -1.0), far.start)
    fitted = fit_curves([*row, wave, far], 10 * MICRON, closed=False, keep=True)
    segments = fitted.path.segments
    assert (*segments[:4], segments[-1]) == (*row, far)
    assert (
        off_path(rows([wave.point(step / 300) for step in range(301)]), Path(segments[4:-1]))
        <= fitted.error_mm
    )
    assert (
        fit_curves([*row, Arc(row[-1].end, row[0].start, 0.4)], MICRON, closed=True, keep=True).error_mm
        == 0.0
    )


def test_a_slight_kink_is_rounded_off_and_one_that_cannot_be_is_a_corner() -> None:
    for rise, kinks_left in (
        (0.002, 0),
        (1.0, 1),
    ):  # of lines 10 mm long: one turns by 0.0004, the other by 0.2
        chain = [Line(Point(0.0, 0.0), Point(10.0, rise)), Line(Point(10.0, rise), Point(20.0, 0.0))]
        fitted = fit_curves(chain, 10 * MICRON, closed=False)
        assert len(fitted.corners) == kinks_left
        assert fitted.error_mm <= 10 * MICRON


def test_a_fine_polyline_becomes_arcs() -> None:
    spots = [Point(50.0 * math.cos(step / 200), 50.0 * math.sin(step / 200)) for step in range(601)]
    chain = [Line(one, other) for one, other in pairwise(spots)]
    fitted = fit_curves(chain, 10 * MICRON, closed=False)
    assert len(fitted.path.segments) <= 3
    assert not fitted.corners


@pytest.mark.parametrize("size", [1.0, 1e-3, 1e-5, 1e-9])
def test_a_loop_of_any_size_comes_back_to_where_it_starts(size: float) -> None:
    start = Point(3.0, 4.0)
    loop = CubicBezier(start, Point(3.0 + size, 4.0), Point(3.0, 4.0 + size), start)
    fitted = fit_curves([loop], 10 * MICRON, closed=True)
    assert off(fitted, loop) <= fitted.error_mm + 1e-12
    assert fitted.error_mm <= 10 * MICRON


def test_a_curve_that_turns_back_on_itself_has_a_corner_there() -> None:
    hairpin = CubicBezier(ORIGIN, Point(10.0, 5.0), Point(10.0, 5.0), ORIGIN)
    fitted = fit_curves([hairpin], MICRON, closed=False)
    assert fitted.corners == (Point(7.5, 3.75),)
    assert off(fitted, hairpin) <= MICRON


def test_the_same_curves_give_the_same_path() -> None:
    curves = wavy_outline(40)
    assert fit_curves(curves, MICRON, closed=True) == fit_curves(curves, MICRON, closed=True)


def test_a_long_outline_is_cut_where_nobody_sees_it() -> None:
    curves = wavy_outline(5000)
    fitted = fit_curves(curves, 10 * MICRON, closed=True)
    assert fitted.error_mm <= 10 * MICRON
    assert not fitted.corners
    assert len(fitted.path.segments) <= 66


@pytest.mark.parametrize("turn_rad", [0.5, 1.0, 3.0])
def test_arcs_along_a_clothoid_are_nearly_as_few_as_reckoned(turn_rad: float) -> None:
    """Source: bends that step evenly about that of the clothoid lie c l³ / 124.7 off it, c being its bend's growth."""
    length, tolerance = 400.0, 10 * MICRON
    growth = 2.0 * turn_rad / length**2
    evenly = length * (growth / (72.0 * math.sqrt(3.0) * tolerance)) ** (1.0 / 3.0)
    fitted = fit_curves(clothoid(length, turn_rad), tolerance, closed=False)
    assert evenly <= len(fitted.path.segments) <= 1.15 * evenly + 2.0


def test_arcs_are_at_most_1_3_times_as_many_as_a_slow_search_finds() -> None:
    ours = slow = 0
    for seed in range(4):
        curve = random_cubic(seed, "plain")
        spots = [curve.point(step / 1000) for step in range(1001)]
        headings = [curve.direction(step / 1000) for step in range(1001)]
        ours += len(fit_curves([curve], 10 * MICRON, closed=False).path.segments)
        slow += fewest_arcs(rows(spots), rows(headings), 10 * MICRON)
    assert ours <= 1.3 * slow


def test_what_measures_off_sees_a_shift_of_a_hundredth() -> None:
    arc = Arc(ORIGIN, Point(10.0, 0.0), -0.3)
    for piece in (arc, Line(arc.start, arc.end)):
        path = Path((piece,))
        places = rows([point_on(piece, step / 500) + Point(0.0, 0.01) for step in range(501)])
        assert off_path(places, path) == pytest.approx(0.01, rel=1e-3)
        assert off_places(path, places) == pytest.approx(0.01, rel=1e-3)
    beyond = rows([Point(13.0, 0.0)])
    assert off_path(beyond, Path((arc,))) == pytest.approx(3.0)


def test_a_chain_may_not_jump() -> None:
    one, other = Line(ORIGIN, Point(1.0, 0.0)), Line(Point(2.0, 0.0), Point(3.0, 0.0))
    with pytest.raises(ValueError, match=r"jumps by 1 mm after curve 0, at \(1, 0\)"):
        fit_curves([one, other], MICRON, closed=False)


def test_curves_without_length_are_refused() -> None:
    with pytest.raises(ValueError, match="no curve with a length"):
        fit_curves([Line(ORIGIN, ORIGIN)], MICRON, closed=False)

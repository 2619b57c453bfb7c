import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.contours import contour
from support.shapes import assert_same_shape

from jiggen.geometry.fit_points import fit
from jiggen.geometry.measure import area, distance_to, flatten
from jiggen.geometry.path import Arc, Line, Path, circle, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point

MICRON = 0.001  # mm
CHORD = 1e-5  # mm


def kinds(path: Path) -> list[type]:
    return [type(piece) for piece in path]


def test_corners_are_kept_and_sides_made_one() -> None:
    sides = [Point(x / 10.0, 0.0) for x in range(41)] + [Point(4.0, y / 10.0) for y in range(1, 21)]
    path = fit([*sides, Point(0.0, 2.0)], 0.001, closed=True)
    assert {piece.start for piece in path} == {ORIGIN, Point(4.0, 0.0), Point(4.0, 2.0), Point(0.0, 2.0)}
    assert kinds(path) == [Line] * 4


def test_a_flattened_slot_becomes_a_slot_again() -> None:
    slot = rectangle(ORIGIN, Point(20.0, 2.0), radius=1.0)
    path = fit(flatten(slot, CHORD), 0.1 * MICRON, closed=True)
    assert len(path) <= 8
    assert_same_shape(path, slot, MICRON)
    assert all(abs(piece.radius - 1.0) < MICRON for piece in path if isinstance(piece, Arc))


def test_a_flattened_circle_becomes_few_arcs() -> None:
    path = fit(flatten(circle(Point(3.0, 4.0), 40.0), CHORD), 0.1 * MICRON, closed=True)
    assert set(kinds(path)) == {Arc}
    assert len(path) <= 4
    assert abs(area(path) - 1600.0 * math.pi) < 0.1


def test_an_open_run_stays_open() -> None:
    run = [Point(0.0, 0.0), Point(1.0, 0.0), Point(2.0, 0.0), Point(2.0, 3.0)]
    assert fit(run, 0.001, closed=False) == polyline([Point(0.0, 0.0), Point(2.0, 0.0), Point(2.0, 3.0)])


def test_coarse_chords_are_not_taken_for_an_arc() -> None:
    octagon = [
        Point(10.0 * math.cos(turn), 10.0 * math.sin(turn))
        for turn in (index * math.pi / 4 for index in range(8))
    ]
    assert kinds(fit(octagon, 0.001, closed=True)) == [Line] * 8
    many = [
        Point(10.0 * math.cos(turn), 10.0 * math.sin(turn))
        for turn in (index * math.pi / 20 for index in range(40))
    ]
    assert kinds(fit(many, 0.001, closed=True)) == [Line] * 40  # 9 degrees a corner, but 0.03 mm of sagitta
    assert set(kinds(fit(many, 0.05, closed=True))) == {Arc}


@given(st.integers(0, 10_000))
@settings(max_examples=12, deadline=None, derandomize=True)
def test_the_fit_keeps_to_its_tolerance(seed: int) -> None:
    path = contour(seed)
    points = flatten(path, CHORD)
    fitted = fit(points, 0.5 * MICRON, closed=True)
    assert len(fitted) <= 4 * len(path) + 4
    assert max(distance_to(fitted, point) for point in points[:: max(len(points) // 50, 1)]) <= 0.5 * MICRON


@pytest.mark.parametrize("points", [[], [ORIGIN], [ORIGIN, ORIGIN], [ORIGIN, Point(1.0, 0.0), ORIGIN]])
def test_too_few_points_are_refused(points: list[Point]) -> None:
    with pytest.raises(ValueError, match="too few different points"):
        fit(points, 0.001, closed=True)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, math.nan])
def test_a_tolerance_is_positive(tolerance: float) -> None:
    with pytest.raises(ValueError, match="a tolerance must be positive"):
        fit([ORIGIN, Point(1.0, 0.0)], tolerance, closed=False)

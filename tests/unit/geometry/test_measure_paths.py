import math
import subprocess
import sys
from itertools import islice, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.contours import contour

from jiggen.geometry.measure import (
    area,
    bounds,
    distance_to,
    faults,
    flatten,
    from_bulges,
    is_counter_clockwise,
    length,
    locate,
    midpoint,
    point_at,
    to_bulges,
    to_polygon,
)
from jiggen.geometry.path import Arc, Line, Path, circle, polyline, rectangle, reverse, segment
from jiggen.geometry.point import ORIGIN, Point

MICRON = 0.001  # mm
NANOMETRE = 1e-6  # mm
SLOT = rectangle(ORIGIN, Point(20.0, 2.0), radius=1.0)
contours = st.integers(0, 10_000).map(contour)


def test_a_slot_measured_by_hand() -> None:
    assert math.isclose(length(SLOT), 2.0 * 18.0 + 2.0 * math.pi)
    assert math.isclose(area(SLOT), 18.0 * 2.0 + math.pi)
    assert math.isclose(area(reverse(SLOT)), -18.0 * 2.0 - math.pi)
    assert is_counter_clockwise(SLOT)
    assert not is_counter_clockwise(reverse(SLOT))


def test_the_area_of_flat_arcs_keeps_its_digits() -> None:
    # a 254 mm radius bowed over 0.5 mm: chord 0.5, area r²(θ - sin θ)/2 to 12 digits, by 30-digit arithmetic
    half = math.asin(0.25 / 254.0)
    bow = Path(
        (Arc(ORIGIN, Point(0.5, 0.0), math.tan(half / 2.0)), Line(Point(0.5, 0.0), ORIGIN)), closed=True
    )
    # chord³ / (12 r) · (1 + 3 chord² / (40 r²) + …)
    assert math.isclose(
        area(bow), 0.5**3 / (12.0 * 254.0) * (1.0 + 3.0 * 0.25 / (40.0 * 254.0**2)), rel_tol=1e-11
    )


def test_both_sides_of_the_series_agree() -> None:
    just_below, just_above = (
        Path(
            (Arc(ORIGIN, Point(1.0, 0.0), math.tan(sweep / 4.0)), Line(Point(1.0, 0.0), ORIGIN)), closed=True
        )
        for sweep in (0.01 - 1e-12, 0.01 + 1e-12)
    )
    assert math.isclose(area(just_below), area(just_above), rel_tol=1e-9)


def test_an_open_path_has_no_area() -> None:
    for measure in (area, is_counter_clockwise):
        with pytest.raises(ValueError, match="an open path has no area"):
            measure(segment(ORIGIN, Point(1.0, 0.0)))


def test_bounds_hold_the_bellies_of_arcs() -> None:
    box = bounds(circle(Point(3.0, 4.0), 2.0))
    assert (box.low, box.high) == (Point(1.0, 2.0), Point(5.0, 6.0))
    assert bounds(segment(Point(2.0, 1.0), Point(0.0, 5.0))).high == Point(2.0, 5.0)


def test_places_along_a_slot() -> None:
    assert point_at(SLOT, 0.0) == SLOT.start
    assert point_at(SLOT, math.pi / 2.0 + 9.0).distance(Point(10.0, 0.0)) < NANOMETRE
    assert point_at(SLOT, length(SLOT)).distance(SLOT.start) < NANOMETRE
    assert math.isclose(locate(SLOT, Point(10.0, -3.0)), math.pi / 2.0 + 9.0)
    assert math.isclose(distance_to(SLOT, Point(10.0, -3.0)), 3.0)
    assert math.isclose(distance_to(SLOT, Point(10.0, 1.0)), 1.0)
    assert midpoint(SLOT.segments[0]).distance(Point(1.0 - math.sqrt(0.5), 1.0 - math.sqrt(0.5))) < NANOMETRE


@pytest.mark.parametrize("distance", [-0.1, 1000.0, math.nan])
def test_there_is_no_place_off_the_ends(distance: float) -> None:
    with pytest.raises(ValueError, match="no point at"):
        point_at(SLOT, distance)


@given(contours, st.floats(0.0, 1.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_a_place_is_found_again(path: Path, share: float) -> None:
    place = point_at(path, share * length(path))
    assert point_at(path, locate(path, place)).distance(place) < NANOMETRE
    assert distance_to(path, place) < NANOMETRE


@given(contours, st.floats(1e-4, 1.0))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_chords_keep_within_their_tolerance(path: Path, tolerance: float) -> None:
    points = flatten(path, tolerance)
    assert points[0] == points[-1] == path.start
    assert {piece.end for piece in path} <= set(points)
    assert all(distance_to(path, point) < NANOMETRE for point in points[:40])
    for start, end in islice(pairwise(points), 40):
        assert (
            distance_to(path, Point((start.x + end.x) / 2.0, (start.y + end.y) / 2.0))
            <= tolerance + NANOMETRE
        )


def test_chords_are_as_few_as_may_be() -> None:
    # 1 - cos(π/n) <= 0.01 / 10 for the first time at n = 71, so 36 for each half turn
    assert len(flatten(circle(ORIGIN, 10.0), 0.01)) == 72 + 1
    assert len(flatten(circle(ORIGIN, 10.0), 1000.0)) == 4 + 1
    assert len(flatten(segment(ORIGIN, Point(1.0, 0.0)), 0.01)) == 2


@pytest.mark.parametrize("tolerance", [0.0, -0.1, math.nan])
def test_a_tolerance_is_positive(tolerance: float) -> None:
    with pytest.raises(ValueError, match="a tolerance must be positive"):
        flatten(SLOT, tolerance)


@given(contours)
@settings(max_examples=60, deadline=None, derandomize=True)
def test_bulges_there_and_back(path: Path) -> None:
    assert from_bulges(to_bulges(path), closed=True) == path
    opened = Path(path.segments)
    assert from_bulges(to_bulges(opened), closed=False) == opened
    assert len(to_bulges(path)) == len(path)
    assert len(to_bulges(opened)) == len(path) + 1


@pytest.mark.parametrize(
    ("vertices", "closed", "words"),
    [
        ([], True, "two or more vertices"),
        ([(0.0, 0.0, 0.0)], False, "two or more vertices"),
        ([(0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)], False, "none twice in a row"),
        ([(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 0.0, 0.0)], True, "none twice in a row"),
        ([(0.0, 0.0, 0.0), (1.0, 0.0, 0.5)], False, "nothing to bend"),
    ],
)
def test_vertices_that_are_no_path_are_refused(
    *, vertices: list[tuple[float, float, float]], closed: bool, words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        from_bulges(vertices, closed=closed)


def test_a_sound_contour_has_no_faults() -> None:
    assert faults(SLOT) == ()
    assert faults(segment(ORIGIN, Point(1.0, 0.0))) == ()


@pytest.mark.parametrize(
    ("path", "fault"),
    [
        (Path((Line(Point(1.0, 2.0), Point(1.0, 2.0)),)), "no length at (1.0000, 2.0000)"),
        (
            polyline([Point(0, 0), Point(1, 1), Point(1, 0), Point(0, 1)], closed=True),
            "meets itself at (0.5000, 0.5000)",
        ),
        (
            polyline([Point(0, 0), Point(3, 0), Point(3, 2), Point(1, 0), Point(0, 2)]),
            "meets itself at (1.0000, 0.0000)",
        ),
        (
            polyline([Point(0, 0), Point(3, 0), Point(3, 2e-7), Point(0, 2e-7)], closed=True),
            "no length at (3.0000, 0.0000)",
        ),
        (polyline([Point(0, 0), Point(3, 1e-7), Point(6, 0)], closed=True), "meets itself at"),
        (polyline([Point(0, 0), Point(3, 1.5e-6), Point(6, 0)], closed=True), "bounds no area"),
    ],
)
def test_faults_are_told_in_words(path: Path, fault: str) -> None:
    assert faults(path)[0].startswith(fault)


def test_a_plate_with_holes_becomes_a_polygon() -> None:
    plate, hole = rectangle(ORIGIN, Point(10.0, 10.0)), circle(Point(5.0, 5.0), 2.0)
    for paths in ((plate, hole), (reverse(hole), plate)):
        assert abs(to_polygon(paths, 1e-6).area - (100.0 - 4.0 * math.pi)) < 1e-4
    assert abs(to_polygon(SLOT, 1e-6).area - area(SLOT)) < 1e-5


def test_what_is_not_one_area_is_refused() -> None:
    plate, beside = rectangle(ORIGIN, Point(10.0, 10.0)), rectangle(Point(20.0, 0.0), Point(21.0, 1.0))
    bow_tie = polyline([Point(0, 0), Point(1, 1), Point(1, 0), Point(0, 1)], closed=True)
    for paths in ((plate, beside), (plate, rectangle(Point(5.0, 5.0), Point(12.0, 6.0))), bow_tie):
        with pytest.raises(ValueError, match="do not bound one area"):
            to_polygon(paths, 0.01)
    for paths in ((), segment(ORIGIN, Point(1.0, 0.0))):
        with pytest.raises(ValueError, match="only closed paths"):
            to_polygon(paths, 0.01)


def test_shapely_is_loaded_only_for_a_polygon() -> None:
    check = "import sys, jiggen.geometry.measure, jiggen.geometry.offset; sys.exit('shapely' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", check], check=False).returncode == 0

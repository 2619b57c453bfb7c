import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.geometry.path import Arc, Line, Segment, arc_around
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.segment import (
    fraction_round,
    heading_on,
    length_of,
    nearest_on,
    part_of,
    point_on,
)

NANOMETRE = 1e-6  # mm
numbers = st.floats(-100.0, 100.0)
points = st.builds(Point, numbers, numbers)
arcs = st.builds(
    arc_around,
    points,
    st.floats(0.1, 200.0),
    st.floats(-math.pi, math.pi),
    st.floats(-6.0, 6.0).filter(lambda sweep: abs(sweep) > 0.01),
)
lines = st.builds(Line, points, points).filter(lambda line: length_of(line) > 0.1)
segments = lines | arcs
fractions = st.floats(0.0, 1.0)


def test_a_quarter_turn_measured_by_hand() -> None:
    quarter = Arc(Point(2.0, 0.0), Point(0.0, 2.0), math.tan(math.pi / 8.0))
    assert math.isclose(length_of(quarter), math.pi)
    assert point_on(quarter, 0.5).distance(Point(math.sqrt(2.0), math.sqrt(2.0))) < NANOMETRE
    assert heading_on(quarter, 0.0).distance(Point(0.0, 1.0)) < NANOMETRE
    assert heading_on(quarter, 1.0).distance(Point(-1.0, 0.0)) < NANOMETRE


def test_bounds_hold_an_arcs_belly() -> None:
    three_quarters = arc_around(Point(1.0, 1.0), 2.0, math.pi / 4.0, 1.5 * math.pi)
    box, root = three_quarters.box, math.sqrt(2.0)
    assert box.low.distance(Point(-1.0, -1.0)) < NANOMETRE
    assert box.high.distance(Point(1.0 + root, 3.0)) < NANOMETRE


@given(segments, fractions)
def test_bounds_hold_every_point_and_touch_the_outermost(piece: Segment, fraction: float) -> None:
    box, point = piece.box, point_on(piece, fraction)
    assert box.low.x - NANOMETRE <= point.x <= box.high.x + NANOMETRE
    assert box.low.y - NANOMETRE <= point.y <= box.high.y + NANOMETRE
    many = [point_on(piece, step / 400.0) for step in range(401)]
    sagitta = length_of(piece) ** 2 / 400.0**2 / 8.0 / (piece.radius if isinstance(piece, Arc) else 1.0)
    assert min(point.x for point in many) <= box.low.x + sagitta + NANOMETRE
    assert max(point.y for point in many) >= box.high.y - sagitta - NANOMETRE


@given(arcs, fractions)
def test_points_of_an_arc_lie_on_its_circle(arc: Arc, fraction: float) -> None:
    assert abs(point_on(arc, fraction).distance(arc.centre) - arc.radius) < NANOMETRE
    assert abs(fraction_round(arc, point_on(arc, 0.25)) - 0.25) < 1e-6


@given(segments)
def test_the_ends_are_exact(piece: Segment) -> None:
    assert point_on(piece, 0.0) == piece.start
    assert point_on(piece, 1.0) == piece.end


@given(segments, fractions)
def test_headings_point_along(piece: Segment, fraction: float) -> None:
    step = 1e-5
    before, after = max(fraction - step, 0.0), min(fraction + step, 1.0)
    chord = (point_on(piece, after) - point_on(piece, before)).unit()
    assert chord.distance(heading_on(piece, (before + after) / 2.0)) < 1e-3


@given(segments, points)
def test_nothing_is_nearer_than_the_nearest(piece: Segment, point: Point) -> None:
    nearest = point_on(piece, nearest_on(piece, point)).distance(point)
    assert all(nearest <= point_on(piece, step / 50.0).distance(point) + NANOMETRE for step in range(51))


def test_a_line_without_length_is_near_at_its_start() -> None:
    assert nearest_on(Line(ORIGIN, ORIGIN), Point(1.0, 1.0)) == 0.0
    with pytest.raises(ZeroDivisionError):
        heading_on(Line(ORIGIN, ORIGIN), 0.0)


@given(segments, st.floats(0.0, 0.45), st.floats(0.55, 1.0))
def test_a_part_lies_on_the_whole(piece: Segment, begin: float, end: float) -> None:
    part = part_of(piece, point_on(piece, begin), point_on(piece, end), end - begin)
    assert math.isclose(length_of(part), (end - begin) * length_of(piece), rel_tol=1e-6)
    assert point_on(part, 0.5).distance(point_on(piece, (begin + end) / 2.0)) < NANOMETRE


def test_a_whole_share_keeps_the_bulge_bit_by_bit() -> None:
    arc = Arc(ORIGIN, Point(1.0, 0.0), 0.1)
    assert part_of(arc, arc.start, arc.end, 1.0) == arc

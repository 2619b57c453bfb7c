"""The arrays' arithmetic against slow and plain sums."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from jiggen.proof.curves import CHORD_ERROR_MM, Nearest, cross, gather, geometry, nearest_start
from jiggen.proof.trace import Stroke, arc, circle

NANOMETRE = 1e-6  # mm
MANY = np.linspace(0.0, 1.0, 20001)

coordinates = st.floats(-400.0, 400.0).map(lambda value: round(value, 3))
places = st.tuples(coordinates, coordinates)
bulges = st.floats(-2.5, 2.5).map(lambda value: round(value, 4))


@st.composite
def runs(draw: st.DrawFn) -> Stroke:
    points = draw(st.lists(places, min_size=3, max_size=7, unique=True))
    closed = draw(st.booleans())
    count = len(points) if closed else len(points) - 1
    return Stroke(tuple(points), tuple(draw(st.lists(bulges, min_size=count, max_size=count))), closed=closed)


@given(stroke=runs())
@settings(max_examples=60, derandomize=True)
def test_length_and_bounds_are_those_of_many_small_steps(stroke: Stroke) -> None:
    curves = gather([[stroke]])
    steps = curves.at(MANY)
    length = float(np.hypot(*(np.diff(steps, axis=1).T)).sum())
    assert float(curves.lengths().sum()) == pytest.approx(length, rel=1e-7)
    low, high = steps.reshape(-1, 2).min(axis=0), steps.reshape(-1, 2).max(axis=0)
    step = length / len(MANY)
    assert curves.bounds(curves.owner, 1)[0] == pytest.approx([*low, *high], abs=step**2 + 1e-4)
    assert (curves.bounds(curves.owner, 1)[0] * [1, 1, -1, -1] <= np.array([*low, *-high]) + NANOMETRE).all()


@given(stroke=runs())
@settings(max_examples=60, derandomize=True)
def test_pieces_meet_and_normals_stand_square_to_the_left(stroke: Stroke) -> None:
    curves = gather([[stroke]])
    assert curves.at(np.array([0.0]))[:, 0] == pytest.approx(curves.start, abs=1e-9)
    assert curves.at(np.array([1.0]))[:, 0] == pytest.approx(curves.end, abs=1e-7)
    ahead = curves.at(np.array([0.5 - 1e-5, 0.5 + 1e-5]))
    tangent = ahead[:, 1] - ahead[:, 0]
    tangent /= np.hypot(*tangent.T)[:, None]
    normal = curves.normals(np.array([0.5]))[:, 0]
    assert np.sum(tangent * normal, axis=1) == pytest.approx(0.0, abs=1e-4)
    assert (tangent[:, 0] * normal[:, 1] - tangent[:, 1] * normal[:, 0]) == pytest.approx(1.0, abs=1e-4)


@given(stroke=runs())
@settings(max_examples=60, derandomize=True)
def test_chords_keep_within_the_stated_error(stroke: Stroke) -> None:
    curves = gather([[stroke]])
    chords = curves.straightened()
    middles = chords.at(np.array([0.5]))[:, 0]
    centre, radius = curves.centre(), curves.radius()
    # each chord's middle stands off its own arc by its rise
    _, piece = curves.flattened()
    off = np.abs(np.hypot(*(middles - centre[piece]).T) - radius[piece])
    assert (off[curves.curved[piece]] <= CHORD_ERROR_MM * 1.001 + 1e-7).all()


def test_area_of_a_circle_a_square_and_both_ways_round() -> None:
    square = Stroke(((0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)), (0.0,) * 4, closed=True)
    back = Stroke(tuple(reversed(square.points)), (0.0,) * 4, closed=True)
    curves = gather([[square, back, circle(50.0, 70.0, 2.0)]])
    assert curves.stroke_areas() == pytest.approx([6.0, -6.0, 4.0 * math.pi])


def test_geometry_is_a_ring_when_closed_and_a_line_when_not() -> None:
    ring = geometry(circle(1.0, 2.0, 3.0))
    assert isinstance(ring, shapely.LinearRing)
    assert ring.length == pytest.approx(6.0 * math.pi, abs=1e-3)
    line = geometry(arc(0.0, 0.0, 10.0, 0.0, 1.0))
    assert isinstance(line, shapely.LineString)
    assert not isinstance(line, shapely.LinearRing)
    assert line.coords[0] == pytest.approx((10.0, 0.0))
    assert line.coords[-1] == pytest.approx((10.0 * math.cos(1.0), 10.0 * math.sin(1.0)))


@given(first=runs(), second=runs(), place=places)
@settings(max_examples=60, derandomize=True)
def test_the_nearest_piece_is_the_owner_s_own(
    first: Stroke, second: Stroke, place: tuple[float, float]
) -> None:
    curves = gather([[first], [second]])
    both = np.array([place, place])
    found = Nearest(curves).distance(both, np.array([0, 1]))
    for stroke, distance in zip((first, second), found, strict=True):
        assert distance == pytest.approx(geometry(stroke).distance(shapely.Point(place)), abs=1e-6)
    corner, piece = nearest_start(curves, both, np.array([0, 1]))
    assert (curves.owner[piece] == [0, 1]).all()
    assert corner[0] == pytest.approx(
        min(math.dist(place, each) for each in curves.of(0).start.tolist()), abs=1e-6
    )


@given(stroke=runs(), place=places, expected=st.floats(0.0, 1000.0))
@settings(max_examples=60, derandomize=True)
def test_what_is_expected_changes_how_a_distance_is_found_and_not_what_it_is(
    stroke: Stroke, place: tuple[float, float], expected: float
) -> None:
    nearest, owner = Nearest(gather([[stroke]])), np.array([0, 0])
    both = np.array([place, stroke.points[0]])
    found = nearest.distance(both, owner, np.array([expected, 0.0]))
    assert found == pytest.approx(nearest.distance(both, owner), abs=1e-9)


@given(stroke=runs(), place=places, angle=st.floats(0.0, 6.28))
@settings(max_examples=100, derandomize=True)
def test_crossings_are_those_of_shapely(stroke: Stroke, place: tuple[float, float], angle: float) -> None:
    curves = gather([[], [stroke]])
    direction = np.array([[math.cos(angle), math.sin(angle)]])
    away = np.concatenate([curves.start, curves.end]) - np.array(place)
    across = away @ np.array([-direction[0, 1], direction[0, 0]])
    assume(np.abs(across).min() > 0.001)  # where only an end is touched, the contour need not be crossed
    met = cross(curves, np.array([place]), direction, np.array([1]), np.zeros(1))
    ends = [(np.array(place) + way * direction[0]).tolist() for way in (-3000.0, 3000.0)]
    probe = shapely.LineString(ends)
    points = shapely.get_coordinates(shapely.intersection(probe, geometry(stroke)))
    others = np.sort((points - place) @ direction[0])
    if len(others) == len(met.at):  # a graze may be seen by one and not by the other
        rise = np.sqrt(2.0 * 1000.0 * CHORD_ERROR_MM)  # along the probe, at a graze of the largest circle
        assert met.at == pytest.approx(others, abs=float(rise))
    for at in met.at:
        meeting = np.array(place) + at * direction[0]
        assert Nearest(curves).distance(meeting[None, :], np.array([1]))[0] <= 2.0 * CHORD_ERROR_MM
    for at in others:
        assert np.abs(met.at - at).min(initial=np.inf) <= 1.0, "shapely meets what the probe does not"


def test_walls_move_by_half_a_beam_square_to_themselves() -> None:
    """A probe along x: an upright wall moves by h, one leaning by 45 degrees by √2 h, a circle's by a larger radius."""
    h = 0.1
    upright = Stroke(((3.0, -1.0), (3.0, 1.0)), (0.0,), closed=False)
    leaning = Stroke(((5.0, -1.0), (7.0, 1.0)), (0.0,), closed=False)
    met = cross(
        gather([[upright], [leaning], [circle(20.0, 1.0, 2.0)]]),
        np.zeros((3, 2)),
        np.tile([1.0, 0.0], (3, 1)),
        np.arange(3),
        np.full(3, h),
    )
    assert met.probe.tolist() == [0, 1, 2, 2]
    larger, smaller = math.sqrt(2.1**2 - 1.0), math.sqrt(1.9**2 - 1.0)
    assert met.lowered == pytest.approx([3.0 - h, 6.0 - h * math.sqrt(2.0), 20.0 - larger, 20.0 + smaller])
    assert met.raised == pytest.approx([3.0 + h, 6.0 + h * math.sqrt(2.0), 20.0 - smaller, 20.0 + larger])


def test_a_shared_end_is_met_once() -> None:
    ring = circle(0.0, 0.0, 2.0)  # its two halves meet on the x axis
    met = cross(gather([[ring]]), np.zeros((1, 2)), np.array([[1.0, 0.0]]), np.array([0]), np.zeros(1))
    assert met.at == pytest.approx([-2.0, 2.0])


def test_loose_ends_are_found_and_closed_contours_are_not() -> None:
    corner = Stroke(((0.0, 0.0), (5.0, 0.0), (5.0, 5.0)), (0.0, 0.0), closed=False)
    rest = Stroke(((5.0, 5.0), (0.0, 0.0)), (0.4,), closed=False)
    gap = Stroke(((5.0, 5.01), (0.0, 0.0)), (0.4,), closed=False)
    curves = gather([[corner, rest], [corner, gap], [circle(0.0, 0.0, 1.0)], [corner]])
    assert curves.ends_without_partner(0.002).tolist() == [1, 3]
    assert curves.ends_without_partner(0.02).tolist() == [3]


def test_points_drawn_twice_are_no_piece() -> None:
    stroke = Stroke(((0.0, 0.0), (0.0, 0.0), (1.0, 0.0)), (0.0, 0.0), closed=False)
    assert len(gather([[stroke]]).bulge) == 1

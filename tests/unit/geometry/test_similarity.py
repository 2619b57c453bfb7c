import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.contours import contour

from jiggen.geometry.measure import area, length
from jiggen.geometry.path import Arc
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import IDENTITY, MIRROR, QUARTER_TURN, Similarity, scaled, shifted, turned

NANOMETRE = 1e-6  # mm
numbers = st.floats(-500.0, 500.0)
points = st.builds(Point, numbers, numbers)
similarities = st.builds(
    lambda angle, factor, shift, mirrored: Similarity(
        cosine=factor * math.cos(angle), sine=factor * math.sin(angle), shift=shift, mirrored=mirrored
    ),
    st.floats(-math.pi, math.pi),
    st.floats(0.2, 5.0),
    points,
    st.booleans(),
)
contours = st.integers(0, 10_000).map(contour)


def test_the_named_maps() -> None:
    point = Point(2.0, 1.0)
    assert IDENTITY.point(point) == point
    assert MIRROR.point(point) == Point(2.0, -1.0)
    assert QUARTER_TURN.point(point) == Point(-1.0, 2.0)
    assert shifted(1.0, -1.0).point(point) == Point(3.0, 0.0)
    assert scaled(3.0).point(point) == Point(6.0, 3.0)
    assert turned(math.pi / 2.0).point(point).distance(Point(-1.0, 2.0)) < NANOMETRE


@pytest.mark.parametrize(
    "wrong",
    [
        {"cosine": 0.0, "sine": 0.0},
        {"cosine": math.nan},
        {"sine": math.inf},
        {"shift": Point(0.0, math.nan)},
    ],
)
def test_what_is_no_similarity_is_refused(wrong: dict[str, float]) -> None:
    with pytest.raises(ValueError, match="not a similarity"):
        Similarity(**wrong)


@given(similarities, points)
def test_the_inverse_undoes(move: Similarity, point: Point) -> None:
    assert move.inverse().point(move.point(point)).distance(point) < NANOMETRE
    assert move.point(move.inverse().point(point)).distance(point) < NANOMETRE


@given(similarities, similarities, points)
def test_then_is_one_after_the_other(first: Similarity, second: Similarity, point: Point) -> None:
    assert first.then(second).point(point).distance(second.point(first.point(point))) < NANOMETRE


@given(similarities, similarities, similarities, points)
def test_then_may_be_bracketed_at_will(a: Similarity, b: Similarity, c: Similarity, point: Point) -> None:
    left, right = a.then(b).then(c), a.then(b.then(c))
    assert left.point(point).distance(right.point(point)) < 100.0 * NANOMETRE  # up to 62 500 mm away
    assert left.mirrored == right.mirrored


@given(similarities, contours)
def test_lengths_grow_by_the_scale_and_areas_by_its_square(move: Similarity, path: object) -> None:
    moved = move.path(path)
    sign = -1.0 if move.mirrored else 1.0
    assert math.isclose(length(moved), move.scale * length(path), rel_tol=1e-9)
    assert math.isclose(area(moved), sign * move.scale**2 * area(path), rel_tol=1e-9)


@given(similarities)
def test_an_arc_moves_with_its_centre_and_radius(move: Similarity) -> None:
    arc = Arc(Point(1.0, 0.0), Point(0.0, 1.0), math.tan(math.pi / 8.0))  # a quarter round the origin
    moved = move.segment(arc)
    assert isinstance(moved, Arc)
    assert moved.centre.distance(move.point(ORIGIN)) < NANOMETRE
    assert math.isclose(moved.radius, move.scale, rel_tol=1e-9)

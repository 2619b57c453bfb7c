"""Unequal factors for x and y: lines exact, arcs refitted by arcs."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.contours import contour

from jiggen.geometry.measure import bounds, distance_to, flatten
from jiggen.geometry.offset import shrink
from jiggen.geometry.path import Arc, Line, Path, arc_around, as_circle, circle, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.segment import heading_on, length_of
from jiggen.geometry.stretch import REFIT_TOLERANCE, stretched

MICRON = 0.001  # mm
NANOMETRE = 1e-6


def test_a_line_is_stretched_exactly():
    assert stretched(segment(Point(2.0, -3.0), Point(10.0, 5.0)), 1.5, 0.5) == segment(
        Point(3.0, -1.5), Point(15.0, 2.5)
    )


def test_equal_factors_keep_arcs_and_circles():
    big = stretched(circle(Point(1.0, 2.0), 3.0), 2.0, 2.0)
    assert as_circle(big) == (Point(2.0, 4.0), 6.0)


def test_no_stretch_is_the_path_itself():
    path = rectangle(ORIGIN, Point(3.0, 4.0), radius=1.0)
    assert stretched(path, 1.0, 1.0) is path


def test_a_circle_becomes_an_ellipse_within_the_tolerance():
    ellipse = stretched(circle(ORIGIN, 100.0), 1.002, 0.998)
    assert len(ellipse) > 2
    for step in range(3600):
        angle = math.radians(step / 10.0)
        true = Point(100.2 * math.cos(angle), 99.8 * math.sin(angle))
        assert distance_to(ellipse, true) <= 1.05 * REFIT_TOLERANCE


def test_small_arcs_stay_one_arc():
    path = Path((arc_around(ORIGIN, 0.4, 0.3, 2.0),))
    assert len(stretched(path, 1.001, 0.999)) == 1


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 5000), st.floats(0.98, 1.02), st.floats(0.98, 1.02))
def test_contours_keep_to_their_true_image_and_stay_closed(seed, x, y):
    path = contour(seed)
    image = stretched(path, x, y)
    assert image.closed
    for point in flatten(path, 0.01):  # these lie on the path
        assert distance_to(image, Point(point.x * x, point.y * y)) <= 1.1 * REFIT_TOLERANCE
    box, wanted = bounds(image), bounds(path)
    assert box.width == pytest.approx(wanted.width * x, abs=2.0 * REFIT_TOLERANCE)
    assert box.height == pytest.approx(wanted.height * y, abs=2.0 * REFIT_TOLERANCE)


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 5000), st.floats(0.99, 1.01), st.floats(0.99, 1.01))
def test_out_and_back_is_where_it_began(seed, x, y):
    path = contour(seed)
    back = stretched(stretched(path, x, y), 1.0 / x, 1.0 / y)
    for point in flatten(path, 0.01):
        assert distance_to(back, point) <= 2.2 * REFIT_TOLERANCE


@pytest.mark.parametrize("factors", [(0.0, 1.0), (1.0, -1.0), (math.nan, 1.0), (1.0, math.inf)])
def test_factors_are_positive_numbers(factors):
    with pytest.raises(ValueError, match="no stretch by"):
        stretched(segment(ORIGIN, Point(1.0, 0.0)), *factors)


def test_every_segment_keeps_its_kind_where_nothing_bends():
    path = rectangle(ORIGIN, Point(30.0, 40.0), radius=5.0)
    kinds = [type(piece) for piece in stretched(path, 1.0001, 0.9999)]
    assert kinds == [Arc, Line] * 4


@settings(deadline=None, max_examples=60)
@given(st.integers(0, 5000), st.floats(0.98, 1.02), st.floats(0.98, 1.02))
def test_smooth_keeps_common_tangents_and_the_tolerance(seed, x, y):
    path = contour(seed)
    image = stretched(path, x, y, smooth=True)
    for point in flatten(path, 0.01):
        assert distance_to(image, Point(point.x * x, point.y * y)) <= 1.1 * REFIT_TOLERANCE
    kinks = sum(kink(*pair) > 1e-6 for pair in joints(path))
    assert sum(kink(*pair) > 1e-6 for pair in joints(image)) <= kinks


def joints(path: Path):
    return zip((path.segments[-1], *path.segments), path.segments, strict=False)


def kink(before, after) -> float:
    arriving, leaving = heading_on(before, 1.0), heading_on(after, 0.0)
    return abs(math.atan2(arriving.cross(leaving), arriving.dot(leaving)))


def test_a_smooth_circle_can_be_offset_into_as_many_segments():
    ellipse = stretched(circle(ORIGIN, 8.0), 1.0004, 1.0091, smooth=True)
    (inner,) = shrink(ellipse, 0.1)
    assert len(inner) == len(ellipse)
    assert min(length_of(piece) for piece in inner) > 0.5


def test_a_circle_by_two_arcs_stays_a_circle():
    again = stretched(circle(Point(1.0, 2.0), 3.0), 1.0 + 1e-12, 1.0, smooth=True)
    assert all(isinstance(piece, Arc) and abs(piece.radius - 3.0) < NANOMETRE for piece in again)

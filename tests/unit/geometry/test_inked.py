"""What a pen covers: areas one can work out by hand, and the judgement of polygons."""

import math
from functools import reduce

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.geometry.inked import inked
from jiggen.geometry.measure import area, is_counter_clockwise, to_polygon
from jiggen.geometry.path import circle, segment
from jiggen.geometry.point import Point

TOLERANCE = 0.002  # mm


def test_a_straight_stroke_is_a_rectangle_with_round_ends() -> None:
    (contour,) = inked([segment(Point(0.0, 0.0), Point(10.0, 0.0))], 2.0, tolerance_mm=TOLERANCE)
    assert contour.closed
    assert abs(area(contour)) == pytest.approx(10.0 * 2.0 + math.pi, abs=0.03)


def test_a_ring_has_a_hole() -> None:
    outer, hole = inked([circle(Point(0.0, 0.0), 5.0)], 1.0, tolerance_mm=TOLERANCE)
    assert abs(area(outer)) == pytest.approx(math.pi * 5.5**2, abs=0.1)
    assert abs(area(hole)) == pytest.approx(math.pi * 4.5**2, abs=0.1)


def test_strokes_that_cross_become_one_area() -> None:
    cross = [segment(Point(-5.0, 0.0), Point(5.0, 0.0)), segment(Point(0.0, -5.0), Point(0.0, 5.0))]
    (contour,) = inked(cross, 1.0, tolerance_mm=TOLERANCE)
    assert abs(area(contour)) == pytest.approx(2 * (10.0 + math.pi / 4.0) - 1.0, abs=0.03)


def test_strokes_apart_stay_apart() -> None:
    dots = [segment(Point(0.0, y), Point(0.1, y)) for y in (0.0, 5.0)]
    assert len(inked(dots, 1.0, tolerance_mm=TOLERANCE)) == 2


def test_a_pen_needs_a_width() -> None:
    with pytest.raises(ValueError, match="a pen needs a width, got 0"):
        inked([segment(Point(0.0, 0.0), Point(1.0, 0.0))], 0.0, tolerance_mm=TOLERANCE)


@pytest.mark.parametrize("sign", "aBe8@&½Åg%")
def test_letters_keep_their_shape(sign: str) -> None:
    """The difference from the area that shapely makes, over its length, is how far contours are off on the average."""
    from shapely import LineString, Polygon, union_all

    from jiggen.geometry.measure import flatten
    from jiggen.lettering.setting import set_line

    ((drawn, _),) = set_line(sign, where="test", fractions=True).glyphs
    contours = inked(drawn.strokes, 10.0, tolerance_mm=0.2)
    ours = reduce(
        lambda so_far, contour: so_far.symmetric_difference(to_polygon(contour, 0.01)), contours, Polygon()
    )
    lines = [LineString([(p.x, p.y) for p in flatten(stroke, 0.01)]) for stroke in drawn.strokes]
    theirs = union_all([line.buffer(5.0, quad_segs=64) for line in lines])
    assert ours.symmetric_difference(theirs).area / theirs.length <= 0.15


@settings(max_examples=20, deadline=None)
@given(st.floats(0.2, 3.0), st.floats(1.0, 20.0))
def test_a_contour_runs_round_and_keeps_half_a_pen_away(width: float, reach: float) -> None:
    (contour,) = inked([segment(Point(0.0, 0.0), Point(reach, 0.0))], width, tolerance_mm=TOLERANCE)
    assert contour.start == contour.end
    assert isinstance(is_counter_clockwise(contour), bool)
    for piece in contour:
        away = math.hypot(max(-piece.start.x, piece.start.x - reach, 0.0), piece.start.y)
        assert away == pytest.approx(width / 2.0, abs=2 * TOLERANCE)

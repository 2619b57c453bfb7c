"""Curves of two arcs keep to the ends they are given and turn without a corner."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import LimitError
from jiggen.geometry.path import Arc
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.segment import heading_on
from jiggen.geometry.two_arcs import quarter_oval, s_curve

NANOMETRE = 1e-6  # mm
SIZES = st.floats(5.0, 400.0)


def corner(path):
    """The largest turn at a joint, in radians."""
    turns = [heading_on(one, 1.0).cross(heading_on(other, 0.0)) for one, other in pairwise(path)]
    return max((abs(turn) for turn in turns), default=0.0)


@given(SIZES, SIZES, st.floats(0.3, 0.97))
def test_a_quarter_oval_runs_square_out_and_square_in(along, across, fullness):
    path = quarter_oval(along, across, fullness)
    assert path.start == ORIGIN
    assert path.end == Point(along, across)
    assert heading_on(path.segments[0], 0.0).x == pytest.approx(0.0, abs=1e-6)
    assert heading_on(path.segments[-1], 1.0).y == pytest.approx(0.0, abs=1e-6)
    assert corner(path) < 1e-6
    assert math.fsum(piece.sweep for piece in path) == pytest.approx(-math.pi / 2.0, abs=1e-6)


def test_the_sharper_radius_is_the_fullness_times_the_shorter_half_axis():
    flat, sharp = quarter_oval(98.0, 125.0, 0.8)
    assert sharp.radius == pytest.approx(78.4, abs=NANOMETRE)
    # R = (a² + b² − 2ar) / 2(b − r), worked by hand: (15625 + 9604 − 19600) / 39.2
    assert flat.radius == pytest.approx(143.596938775, abs=NANOMETRE)
    sharp, flat = quarter_oval(125.0, 98.0, 0.8)
    assert (sharp.radius, flat.radius) == (
        pytest.approx(78.4, abs=NANOMETRE),
        pytest.approx(143.596938775, abs=NANOMETRE),
    )


def test_equal_half_axes_make_a_circle():
    (arc,) = quarter_oval(50.0, 50.0, 0.8)
    assert arc.radius == pytest.approx(50.0)
    assert arc.centre.distance(Point(50.0, 0.0)) < NANOMETRE


@pytest.mark.parametrize("axes", [(0.0, 5.0), (5.0, -1.0)])
def test_an_oval_needs_some_size(axes):
    with pytest.raises(LimitError, match="oval: got half axes of"):
        quarter_oval(*axes, 0.8)


@given(st.floats(10.0, 300.0), st.floats(0.02, 0.95), st.booleans(), st.floats(1.0, 500.0))
def test_an_s_curve_runs_along_x_at_both_ends(run, share, up, first):
    rise = run * share * (1.0 if up else -1.0)
    path = s_curve(Point(7.0, 3.0), Point(7.0 + run, 3.0 + rise), first)
    one, other = path.segments
    assert isinstance(one, Arc)
    assert isinstance(other, Arc)
    assert heading_on(one, 0.0).y == pytest.approx(0.0, abs=1e-6)
    assert heading_on(other, 1.0).y == pytest.approx(0.0, abs=1e-6)
    assert corner(path) < 1e-6
    assert one.sweep == pytest.approx(-other.sweep, abs=1e-6)
    # both radii together, from the chord's length: exact for any two tangent arcs between parallel ends
    assert one.radius + other.radius == pytest.approx((run**2 + rise**2) / (2.0 * abs(rise)), rel=1e-6)


def test_the_first_radius_is_kept_where_there_is_room_for_it():
    one, other = s_curve(Point(98.0, 125.0), Point(195.0, 105.0), 78.0)
    assert (one.radius, other.radius) == (pytest.approx(78.0), pytest.approx(167.225))
    one, other = s_curve(Point(98.0, 125.0), Point(195.0, 105.0), 240.0)
    assert one.radius == pytest.approx(other.radius)


def test_an_s_curve_cannot_run_backward():
    with pytest.raises(LimitError, match=r"got 30.00 mm sideways within 20.00 mm, expected a longer way"):
        s_curve(ORIGIN, Point(20.0, -30.0), 5.0)

"""Stretches keep to their path, and slots are as wide as asked all along."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from jiggen.geometry.measure import area, faults, flatten, is_counter_clockwise, length, to_polygon
from jiggen.geometry.path import Path, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.stroke import slot_along, stretch

NANOMETRE = 1e-6  # mm
RING = circle(ORIGIN, 50.0)
PLATE = rectangle(ORIGIN, Point(80.0, 50.0), radius=12.0)


@given(st.sampled_from([RING, PLATE]), st.floats(0.0, 0.99), st.floats(0.01, 0.99))
def test_a_stretch_is_as_long_as_asked_and_lies_on_its_path(path, begin, run):
    whole = length(path)
    part = stretch(path, begin * whole, (begin + run) * whole)
    assert not part.closed
    assert length(part) == pytest.approx(run * whole, abs=NANOMETRE)
    ring = shapely.LineString([(point.x, point.y) for point in flatten(path, 1e-4)])
    assert ring.buffer(0.001).covers(shapely.LineString([(p.x, p.y) for p in flatten(part, 1e-4)]))


@pytest.mark.parametrize(("begin", "end"), [(10.0, 10.0), (20.0, 10.0), (-1.0, 5.0), (5.0, 400.0)])
def test_a_stretch_off_the_path_is_refused(begin, end):
    with pytest.raises(ValueError, match="no stretch from"):
        stretch(RING, begin, end)


@given(st.floats(0.0, 0.9), st.floats(0.1, 0.8), st.floats(0.5, 12.0))
def test_a_slot_is_what_a_disc_sweeps(begin, run, width):
    whole = length(PLATE)
    middle = stretch(PLATE, begin * whole, (begin + run) * whole)
    slot = slot_along(middle, width)
    assert faults(slot) == ()
    assert is_counter_clockwise(slot)
    # Pappus: the area swept is width times length, and two half discs at the ends
    assert area(slot) == pytest.approx(width * length(middle) + 3.141592653589793 * width**2 / 4.0, rel=1e-9)
    swept = shapely.LineString([(p.x, p.y) for p in flatten(middle, 1e-4)]).buffer(width / 2.0, quad_segs=64)
    assert to_polygon(slot, 1e-4).symmetric_difference(swept).area < 0.02 * whole


def test_a_straight_slot():
    slot = slot_along(segment(ORIGIN, Point(30.0, 0.0)), 6.0)
    assert area(slot) == pytest.approx(30.0 * 6.0 + 3.141592653589793 * 9.0)


@pytest.mark.parametrize("path", [RING, Path(circle(ORIGIN, 3.0).segments[:1])])
def test_what_can_have_no_slot(path):
    with pytest.raises(ValueError, match=r"no slot of 6.0 mm"):
        slot_along(path, 6.0)


def test_a_stretch_of_an_open_path():
    bend = polyline([ORIGIN, Point(10.0, 0.0), Point(10.0, 10.0)])
    part = stretch(bend, 5.0, 15.0)
    assert (part.start, part.end) == (Point(5.0, 0.0), Point(10.0, 5.0))
    with pytest.raises(ValueError, match="no stretch"):
        stretch(bend, 5.0, 21.0)

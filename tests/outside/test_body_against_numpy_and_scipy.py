"""The body's numbers against quadrature, and the gradual bend against finite differences.

Sources: scipy.integrate and shapely (GEOS), which know of our arcs only points on them; numpy's differences; scipy's
Bernstein polynomials for the smallest bend.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from scipy.integrate import quad
from scipy.interpolate import BPoly
from support.specs import wren

from jiggen.design.instrument import Body, CutawayShape, Smoothness
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Arc
from jiggen.geometry.point import Point
from jiggen.layout.body import lay_out_body
from jiggen.layout.body_curve import smooth_figure
from jiggen.layout.body_half import TOLERANCE
from jiggen.layout.body_numbers import body_numbers
from jiggen.layout.neck import lay_out

WREN = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}
DEEP = {"side_depth_neck": 88.0, "side_depth_tail": 104.0, "side_thickness": 2.2}
STATIONS = (Point(96.0, 125.0), Point(192.0, 105.0), Point(352.8, 170.0))
CUT = {"cutaway": CutawayShape.SOFT, "cutaway_depth": 75.0, "horn_at": 18.0}
FORMS = [
    WREN,
    {**WREN, "smooth": Smoothness.CURVATURE},
    {**WREN, **CUT},
    {"length": 340.0, "lower_bout": 255.0},
]


def layout_with(**numbers):
    body = Body(joint_fret=Given(12), **{name: Given(value) for name, value in numbers.items()})
    return lay_out(solve(replace(wren().design, body=body)))


@pytest.mark.parametrize("numbers", FORMS)
def test_area_perimeter_and_air(numbers):
    layout = layout_with(**numbers, **DEEP)
    shape, found = lay_out_body(layout), body_numbers(layout)
    polygon = shapely.Polygon([(point.x, point.y) for point in flatten(shape.outline, 1e-5)])
    assert polygon.is_valid
    assert found.area == pytest.approx(polygon.area, rel=1e-6)
    assert found.perimeter == pytest.approx(polygon.length, rel=1e-6)
    inside = polygon.buffer(-2.2, quad_segs=256, join_style="mitre")
    assert found.inside_area == pytest.approx(inside.area, rel=1e-5)

    def slice_mm2(x):
        across = inside.intersection(shapely.LineString([(x, -1e4), (x, 1e4)])).length
        return across * (88.0 + (104.0 - 88.0) * (x - shape.neck_end) / numbers["length"])

    low, high = inside.bounds[0], inside.bounds[2]
    cuts = np.linspace(low, high, 41)
    air = sum(quad(slice_mm2, one, other, limit=40, epsrel=1e-5)[0] for one, other in pairwise(cuts))
    assert found.air == pytest.approx(air, rel=1e-4)


def test_the_gradual_bend_is_continuous_and_has_no_extremes_but_the_stations():
    curves = smooth_figure(480.0, STATIONS, neck_radius=None, tail_radius=None)
    step = 1e-4

    def bend(curve, t):
        at = np.array([[p.x, p.y] for p in (curve.point(t - step), curve.point(t), curve.point(t + step))])
        speed, rate = (at[2] - at[0]) / (2 * step), (at[2] - 2 * at[1] + at[0]) / step**2
        return (speed[0] * rate[1] - speed[1] * rate[0]) / np.hypot(*speed) ** 3

    for one, other in pairwise(curves):
        before = 2 * bend(one, 1.0 - 2 * step) - bend(one, 1.0 - 4 * step)  # carried on to the station
        after = 2 * bend(other, 2 * step) - bend(other, 4 * step)
        assert before == pytest.approx(after, rel=1e-3)
    t = np.linspace(0.0, 1.0, 2001)
    for curve in curves:
        x, y = (np.array([getattr(curve.point(each), axis) for each in t]) for axis in "xy")
        assert (np.diff(x) >= 0.0).all()
        assert (np.diff(y) >= -1e-12).all() or (np.diff(y) <= 1e-12).all()


def test_the_arcs_keep_to_the_gradual_curve():
    shape = lay_out_body(layout_with(**WREN, smooth=Smoothness.CURVATURE))
    arcs = shapely.LineString([(p.x - shape.neck_end, p.y) for p in flatten(shape.half, 1e-5)])
    curves = smooth_figure(480.0, STATIONS, neck_radius=None, tail_radius=None)
    places = [curve.point(t) for curve in curves for t in np.linspace(0.0, 1.0, 500)]
    assert max(arcs.distance(shapely.Point(p.x, p.y)) for p in places) <= TOLERANCE


@pytest.mark.parametrize("more", [{}, {"neck_end_radius": 120.0}, {"waist_shift": 24.0}, CUT])
def test_the_smallest_bend_is_that_of_the_curves(more):
    layout = layout_with(**WREN, smooth=Smoothness.CURVATURE, **more)
    shape, found = lay_out_body(layout), body_numbers(layout)
    least, waist = np.inf, np.inf
    for piece in (*shape.pieces[0], *shape.pieces[1]):
        if isinstance(piece, Arc):
            least = min(least, piece.radius)
        if isinstance(piece, CubicBezier):
            curve = BPoly(np.array([[(p.x, p.y)] for p in piece.controls]), [0.0, 1.0])
            t = np.linspace(0.0, 1.0, 20001)
            (x, y), (u, v) = (curve.derivative(order)(t).T for order in (1, 2))
            bend = (x * v - y * u) / np.hypot(x, y) ** 3
            least = min(least, 1.0 / np.abs(bend).max())
            if min(piece.start.x, piece.end.x) >= 96.0:  # past the upper bout
                waist = min(waist, 1.0 / max(bend.max(), 1e-9))
    assert found.smallest_bend.radius == pytest.approx(least, rel=1e-6)
    assert found.waist.radius == pytest.approx(waist, rel=1e-6)
    assert shape.neck_end <= found.smallest_bend.x <= shape.tail

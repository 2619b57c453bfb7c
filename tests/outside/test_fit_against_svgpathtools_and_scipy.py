"""Arcs fitted to curves against other people's sampling, lengths and areas of the same curves.

Sources: svgpathtools (its Bézier polynomials, tangents, lengths and areas), scipy (Bernstein polynomials, elliptic
integrals, search for the nearest point), shapely (distances, areas), ezdxf (flattened B-splines), and the
Gauss-Kummer series for the perimeter of an ellipse. How far path and curve lie apart is reckoned in
`support.off_curve`, which knows of our arcs their ends and bulges only.
"""

import math

import numpy as np
import pytest
import shapely
import svgpathtools
from ezdxf.math import BSpline as TheirSpline
from scipy.interpolate import BPoly
from scipy.optimize import minimize_scalar
from scipy.special import binom, ellipe
from support.curves import KINDS, random_cubic, wavy_outline
from support.off_curve import off_path, off_places, places_on

from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc
from jiggen.geometry.fit import fit_curves
from jiggen.geometry.measure import area, length
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on

MICRON = 0.001  # mm
TOLERANCE = 10 * MICRON


def theirs(curve: CubicBezier) -> svgpathtools.CubicBezier:
    return svgpathtools.CubicBezier(*(complex(spot.x, spot.y) for spot in curve.controls))


def sampled(curve: CubicBezier, count: int) -> np.ndarray:
    at = theirs(curve).poly()(np.linspace(0.0, 1.0, count))
    return np.stack([at.real, at.imag], axis=1)


@pytest.mark.parametrize("kind", KINDS)
def test_both_ways_within_the_tolerance_by_svgpathtools(kind):
    for seed in range(8):
        curve = random_cubic(seed, kind)
        fitted = fit_curves([curve], TOLERANCE, closed=False)
        places = sampled(curve, 20001 if kind == "huge" else 2001)
        assert off_path(places, fitted.path) <= fitted.error_mm + 1e-9
        assert off_places(fitted.path, places) <= fitted.error_mm + MICRON / 2  # the sampling's own chords
        assert fitted.error_mm <= TOLERANCE
        assert (fitted.path.start, fitted.path.end) == (curve.start, curve.end)


def test_every_point_of_the_arcs_is_near_the_curve_by_a_search_of_scipys():
    for seed in range(4):
        curve = random_cubic(seed, "plain")
        fitted = fit_curves([curve], TOLERANCE, closed=False)
        bernstein = BPoly(np.array([[(p.x, p.y)] for p in curve.controls]), [0.0, 1.0])
        t = np.linspace(0.0, 1.0, 400)
        places = bernstein(t)
        assert off_path(places, fitted.path) <= TOLERANCE
        for spot in places_on(fitted.path, 7):
            at = int(np.hypot(*(places - spot).T).argmin())
            found = minimize_scalar(
                lambda t, bernstein=bernstein, spot=spot: np.hypot(*(bernstein(t) - spot)),
                bounds=(t[max(at - 1, 0)], t[min(at + 1, 399)]),
                method="bounded",
                options={"xatol": 1e-9},
            )
            assert found.fun <= TOLERANCE


@pytest.mark.parametrize("seed", range(6))
def test_directions_at_ends_are_svgpathtools_own(seed):
    curve = random_cubic(seed, "plain")
    path = fit_curves([curve], TOLERANCE, closed=False).path
    for piece, fraction in ((path.segments[0], 0.0), (path.segments[-1], 1.0)):
        tangent = theirs(curve).unit_tangent(fraction)
        heading = heading_on(piece, fraction)
        assert heading.x == pytest.approx(tangent.real, abs=1e-9)
        assert heading.y == pytest.approx(tangent.imag, abs=1e-9)


def test_area_and_length_of_a_closed_outline():
    curves = wavy_outline(60)
    path = fit_curves(curves, TOLERANCE, closed=True).path
    outline = svgpathtools.Path(*map(theirs, curves))
    assert length(path) == pytest.approx(outline.length(error=1e-9), rel=1e-5)
    assert area(path) == pytest.approx(outline.area(), rel=1e-5)
    polygon = shapely.Polygon(np.concatenate([sampled(curve, 401)[:-1] for curve in curves]))
    assert area(path) == pytest.approx(polygon.area, rel=1e-5)
    assert shapely.Polygon(places_on(path, 200)).symmetric_difference(polygon).area < TOLERANCE * length(path)


@pytest.mark.parametrize("ratio", [1.0, 0.8, 0.5, 0.2, 0.05])
def test_perimeter_of_an_ellipse_against_its_series(ratio):
    whole = EllipseArc(centre=Point(30.0, -20.0), major=Point(60.0, 80.0), minor=Point(-80.0, 60.0) * ratio)
    fitted = fit_curves([whole], MICRON, closed=True)
    longer, shorter = 100.0, 100.0 * ratio
    h = ((longer - shorter) / (longer + shorter)) ** 2
    series = math.pi * (longer + shorter) * sum(binom(0.5, n) ** 2 * h**n for n in range(60))
    assert series == pytest.approx(4.0 * longer * ellipe(1.0 - ratio**2), rel=1e-9)
    assert length(fitted.path) == pytest.approx(series, rel=1e-5)
    assert area(fitted.path) == pytest.approx(math.pi * longer * shorter, abs=MICRON * series / 5.0)
    assert not fitted.corners


@pytest.mark.parametrize("seed", range(8))
def test_splines_against_ezdxf(seed):
    draw = np.random.default_rng(seed)
    count, degree = int(draw.integers(5, 12)), int(draw.integers(2, 5))
    spots = draw.uniform(0.0, 200.0, (count, 2))
    weights = draw.uniform(0.5, 2.0, count).tolist() if seed % 2 else None
    spline = TheirSpline(spots.tolist(), order=degree + 1, weights=weights)
    ours = BSpline(
        degree=degree,
        knots=tuple(spline.knots()),
        controls=tuple(Point(x, y) for x, y in spots.tolist()),
        weights=tuple(weights) if weights else None,
    )
    fitted = fit_curves([ours], TOLERANCE, closed=False)
    places = np.array([(spot.x, spot.y) for spot in spline.flattening(1e-4, segments=50)])
    assert off_path(places, fitted.path) <= TOLERANCE
    assert off_places(fitted.path, places) <= TOLERANCE + MICRON / 2  # chords of their flattening
    first, last = spline.derivative(0.0, 1)[1], spline.derivative(spline.max_t, 1)[1]
    for piece, fraction, rate in (
        (fitted.path.segments[0], 0.0, first),
        (fitted.path.segments[-1], 1.0, last),
    ):
        heading, norm = heading_on(piece, fraction), math.hypot(rate.x, rate.y)
        assert (heading.x, heading.y) == pytest.approx((rate.x / norm, rate.y / norm), abs=1e-9)

"""The coupon's fit against scipy's least squares and against a Monte Carlo of the same coupon."""

import math

import numpy as np
import pytest
from scipy import optimize, stats
from support.shop import cut_coupon, true_reading

from jiggen.parts.coupon import SIDE, Side
from jiggen.shop.coupon_fit import fit_coupon
from jiggen.shop.coupon_readings import CouponReadings

TRUE = {"kerf": 0.183, "cut_kerf": 0.2, "stretch": (0.9993, 1.0005)}


def without_slips(seed: int) -> CouponReadings:
    readings = cut_coupon(seed)
    return readings if not fit_coupon(readings).slips else without_slips(seed + 1000)


@pytest.mark.parametrize("seed", range(8))
def test_the_same_figures_as_a_nonlinear_least_squares(seed):
    """scipy minimises over the machine itself: the forward model is that of the simulated walls, not ours."""
    given = without_slips(seed)
    sides = [each for each in given.readings if each.gauge.side is not Side.DIAGONAL]

    def residuals(unknown):
        x, y, kerf = unknown
        return [
            true_reading(each.gauge, kerf=kerf, cut_kerf=given.cut_kerf_mm, stretch=(x, y)) - each.mm
            for each in sides
        ]

    solved = optimize.least_squares(residuals, [1.0, 1.0, 0.2], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    ours = fit_coupon(given)
    assert (ours.stretch_x.value, ours.stretch_y.value, ours.kerf.value) == pytest.approx(solved.x, abs=1e-8)
    freedom = len(sides) - 3
    scatter = math.sqrt(2.0 * solved.cost / freedom)
    covariance = np.linalg.inv(solved.jac.T @ solved.jac)
    assert ours.freedom == freedom
    assert ours.scatter_mm >= scatter - 1e-12
    errors = ours.scatter_mm * np.sqrt(np.diag(covariance))
    assert (
        ours.stretch_x.uncertainty,
        ours.stretch_y.uncertainty,
        ours.kerf.uncertainty,
    ) == pytest.approx(errors, rel=1e-5)
    assert ours.coverage == pytest.approx(stats.t.ppf(0.975, freedom), abs=1e-6)


def test_the_spread_of_many_coupons_is_the_uncertainty_told():
    """250 coupons with the same machine and another hand each: standard deviations against the mean uncertainty."""
    fits = [fit_coupon(cut_coupon(seed)) for seed in range(250)]
    for name in ("kerf", "stretch_x", "stretch_y", "squareness"):
        values = np.array([getattr(fit, name).value for fit in fits if fit.squareness])
        told = np.array([getattr(fit, name).uncertainty for fit in fits if fit.squareness])
        assert told.mean() == pytest.approx(values.std(ddof=1), rel=0.15), name
    kerfs = np.array([fit.kerf.value for fit in fits])
    assert kerfs.mean() == pytest.approx(0.183, abs=4.0 * kerfs.std() / math.sqrt(len(kerfs)))


def test_the_naive_mean_is_biased_and_ours_is_not():
    """Leaving the scale out of it, width less reading, mixes the machine's error in; so does numpy without that column."""
    readings = cut_coupon(0, noise=0.0, steps=1e-9)
    tongues = [
        each for each in readings.readings if each.gauge.side is Side.OUTSIDE and each.gauge.axis == "x"
    ]
    naive = np.mean([each.gauge.nominal_mm + 0.2 - each.mm for each in tongues])
    assert abs(naive - 0.183) > 0.02
    assert fit_coupon(readings).kerf.value == pytest.approx(0.183, abs=1e-6)


def test_squareness_by_placing_the_corners():
    """The skew from the diagonals of a plate whose corners are placed with numpy."""
    for skew in (-0.003, 0.0, 0.0006, 0.004):
        across, up = ((SIDE + 0.2) * each - 0.183 for each in TRUE["stretch"])
        x, y = np.array([across, 0.0]), up * np.array([-math.sin(skew), math.cos(skew)])
        rising, falling = np.linalg.norm(x + y), np.linalg.norm(x - y)
        readings = cut_coupon(0, noise=0.0, steps=1e-9, skew=skew)
        diagonals = [each.mm for each in readings.readings if each.gauge.side is Side.DIAGONAL]
        assert diagonals == pytest.approx([rising, falling], abs=1e-8)
        found = fit_coupon(readings).squareness
        assert found is not None
        assert found.value == pytest.approx(skew, abs=1e-7)
        cosine = float(x @ y / np.linalg.norm(x) / np.linalg.norm(y))
        assert found.value == pytest.approx(math.acos(cosine) - math.pi / 2.0, abs=1e-7)


def test_the_worked_example_of_slot_and_tongue_pairs():
    """Pairs 10.19/9.80, 20.20/19.82, 40.23/39.83 cut on the line: kerfs 0.195, 0.190, 0.200 (worked by hand)."""
    slots, tongues = np.array([10.19, 20.20, 40.23]), np.array([9.80, 19.82, 39.83])
    assert (slots - tongues) / 2.0 == pytest.approx([0.195, 0.190, 0.200])
    design = np.array([[w, sign] for w in (10.0, 20.0, 40.0) for sign in (1.0, -1.0)])
    seen = np.array([value for pair in zip(slots, tongues, strict=True) for value in pair])
    (scale, kerf), *_ = np.linalg.lstsq(design, seen, rcond=None)
    assert kerf == pytest.approx(0.195, abs=1e-9)
    assert scale == pytest.approx(1.00055, abs=1e-4)

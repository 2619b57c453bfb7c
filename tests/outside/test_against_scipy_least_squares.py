"""Lines, uncertainties, robust starts and significance against scipy and numpy, which share no code with us."""

import numpy as np
import pytest
from scipy import optimize, stats
from support.necks import SCALE, TWELVE, neck, seeded

from jiggen.design.fret_places import remaining
from jiggen.layout.line_fit import NORMAL_MAD, _repeated_median, fit_line
from jiggen.layout.measured import Reading, Zero, fit_neck
from jiggen.layout.measured_rule import RULE_OF_18, compare_rules
from jiggen.layout.measured_width import WidthAt, fit_taper
from jiggen.layout.student import coverage_factor, within

NANOMETRE = 1e-6  # mm
SEEDS = range(8)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_line_with_intercept_is_that_of_linregress(seed):
    points = np.random.default_rng(seed).normal(size=(15, 2)) * (100.0, 3.0) + (200.0, 46.0)
    ours, theirs = (
        fit_line([(x, y) for x, y in points.tolist()]),
        stats.linregress(*zip(*points, strict=True)),
    )
    assert ours.slope == pytest.approx(theirs.slope, rel=1e-10)
    assert ours.intercept == pytest.approx(theirs.intercept, rel=1e-10)
    assert ours.slope_uncertainty == pytest.approx(theirs.stderr, rel=1e-10)
    assert ours.intercept_uncertainty == pytest.approx(theirs.intercept_stderr, rel=1e-10)


def stopped(n, scale):
    return scale * (1 - 2 ** (-n / 12))


def moved(n, scale, zero):
    return zero + stopped(n, scale)


def slopes(n, *unknowns):
    """The derivatives of both models: differences taken by the optimiser would limit it to some 1e-6 mm."""
    return np.array([stopped(n, 1.0), np.ones_like(n)][: len(unknowns)]).T


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize(("zero", "model"), [(Zero.NUT, stopped), (Zero.FREE, moved)])
def test_the_scale_and_its_uncertainty_are_those_of_curve_fit(seed, zero, model):
    readings, _ = neck(seeded(seed), missing=3)
    ours = fit_neck(readings, zero=zero)
    kept = [reading for reading in readings if reading not in {slip.reading for slip in ours.slips}]
    numbers, distances = np.array([[reading.fret, reading.distance] for reading in kept], dtype=float).T
    start = [600.0, 0.1] if zero is Zero.FREE else [600.0]
    theirs, covariance = optimize.curve_fit(model, numbers, distances, p0=start, jac=slopes)
    assert ours.scale == pytest.approx(theirs[0], abs=NANOMETRE)
    assert ours.uncertainty == pytest.approx(np.sqrt(covariance[0, 0]), rel=1e-6)
    if zero is Zero.FREE:
        assert ours.zero is not None
        assert ours.zero.value == pytest.approx(theirs[1], abs=NANOMETRE)
        assert ours.zero.uncertainty == pytest.approx(np.sqrt(covariance[1, 1]), rel=1e-6)
        t = stats.t(len(kept) - 2)
        assert ours.zero.chance == pytest.approx(
            2 * t.sf(abs(theirs[1]) / np.sqrt(covariance[1, 1])), abs=1e-6
        )
    assert ours.expanded == pytest.approx(
        stats.t(ours.freedom).ppf(0.975) * np.sqrt(covariance[0, 0]), rel=1e-6
    )
    for fret, residual in zip(ours.frets, distances - model(numbers, *theirs), strict=True):
        assert fret.residual == pytest.approx(residual, abs=NANOMETRE)


@pytest.mark.parametrize("seed", SEEDS)
def test_with_slips_the_scale_agrees_with_a_robust_loss(seed):
    readings, _ = neck(seeded(seed), slips=2, missing=3)
    ours = fit_neck(readings, zero=Zero.NUT)
    numbers, distances = np.array([[reading.fret, reading.distance] for reading in readings], dtype=float).T
    robust = optimize.least_squares(
        lambda p: stopped(numbers, p[0]) - distances, [600.0], loss="cauchy", f_scale=0.1
    )
    plain = optimize.least_squares(lambda p: stopped(numbers, p[0]) - distances, [600.0])
    assert ours.scale == pytest.approx(robust.x[0], abs=3 * ours.uncertainty)
    assert abs(plain.x[0] - SCALE) > 3 * ours.uncertainty  # the slips would have pulled it


@pytest.mark.parametrize("seed", SEEDS)
def test_the_robust_start_is_siegels(seed):
    readings, _ = neck(seeded(seed), slips=4)
    points = [(1 - remaining(TWELVE, each.fret), each.distance) for each in readings]
    intercept, slope = _repeated_median(points)
    theirs = stats.siegelslopes([y for _, y in points], [x for x, _ in points])
    assert slope == pytest.approx(theirs.slope, rel=1e-12)
    assert intercept == pytest.approx(theirs.intercept, abs=1e-9)


def test_the_factor_of_the_median_deviation():
    assert pytest.approx(1 / stats.norm.ppf(0.75), abs=0.00005) == NORMAL_MAD


def test_students_distribution():
    for freedom in [*range(1, 40), 100, 1000]:
        for t in (0.0, 0.01, 0.5, 1.0, 2.5, 10.0, 1000.0):
            assert within(t, freedom) == pytest.approx(1 - 2 * stats.t(freedom).sf(t), abs=1e-13)
        for share in (0.5, 0.95, 0.99):
            assert coverage_factor(freedom, share) == pytest.approx(
                stats.t(freedom).ppf((1 + share) / 2), rel=1e-12
            )


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("zero", [Zero.NUT, Zero.FREE])
@pytest.mark.parametrize("rule", [TWELVE, RULE_OF_18])
def test_rules_are_ruled_out_by_the_f_test_of_nested_models(seed, zero, rule):
    readings, _ = neck(seeded(seed), rule=rule, noise=0.3)
    found = compare_rules(readings, zero=zero)
    slipped = {slip.reading for slip in found.candidates[0].fit.slips}
    kept = [reading for reading in readings if reading not in slipped]
    distances = np.array([reading.distance for reading in kept])

    def columns(*rules):
        parts = [[1 - remaining(each, reading.fret) for reading in kept] for each in rules]
        return np.array([*parts, *([[1.0] * len(kept)] if zero is Zero.FREE else [])]).T

    def squares(design):
        return float(np.sum((distances - design @ np.linalg.lstsq(design, distances, rcond=None)[0]) ** 2))

    both = squares(columns(TWELVE, RULE_OF_18))
    freedom = len(kept) - 2 - (zero is Zero.FREE)
    for each in found.candidates:
        f = (squares(columns(each.fit.rule)) - both) / (both / freedom)
        assert each.chance == pytest.approx(stats.f(1, freedom).sf(f), abs=1e-7)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_taper_is_that_of_linregress(seed):
    chance = seeded(seed)
    widths = [(30.0 * place, 46.0 + 0.019 * 30.0 * place + chance.gauss(0.0, 0.05)) for place in range(12)]
    ours = fit_taper([WidthAt(distance=along, width=width) for along, width in widths])
    slipped = {slip.reading.distance for slip in ours.slips}
    theirs = stats.linregress(*zip(*(each for each in widths if each[0] not in slipped), strict=True))
    assert ours.width_at_nut == pytest.approx(theirs.intercept, rel=1e-10)
    assert ours.taper == pytest.approx(theirs.slope, rel=1e-10)
    assert ours.line.slope_uncertainty == pytest.approx(theirs.stderr, rel=1e-9)
    assert ours.line.intercept_uncertainty == pytest.approx(theirs.intercept_stderr, rel=1e-9)


def test_readings_far_apart_in_size_stay_accurate():
    readings = [
        Reading(fret=fret, distance=1e6 * (1 - remaining(TWELVE, fret)) + (-1) ** fret)
        for fret in range(1, 25)
    ]
    points = [(1 - remaining(TWELVE, each.fret), each.distance) for each in readings]
    theirs = stats.linregress(*zip(*points, strict=True))
    assert fit_neck(readings, zero=Zero.FREE).scale == pytest.approx(theirs.slope, rel=1e-11)

"""J. E. Anderson & J. R. Beausoleil, "Classical guitar intonation and compensation: the well-tempered guitar",
J. Acoust. Soc. Am. 156(1), 683 (2024): its printed tables, its measurement, and its formulas in fifty digits.

All numbers of the tables were read in the authors' public manuscript.
"""

import math
from random import Random

import numpy as np
import pytest
from mpmath import mp, mpf
from scipy.optimize import minimize

from jiggen.layout.compensation import closed_form_setbacks, compensate, mean_setbacks
from jiggen.layout.intonation import (
    Fretting,
    Setbacks,
    Stretch,
    fret_errors,
    stretch_of_response,
    stretch_of_wire,
)
from jiggen.layout.pitch import read_pitch
from jiggen.layout.straight_saddle import BreakPoint, best_straight_saddle
from jiggen.layout.tension import tension_n

MICRON = 1e-3  # mm
SAME_CENTS = 1e-9

#: scale 650 mm, nut 1 mm above the frets, saddle 4 mm above the nut, fingers at the frets
SETUP = Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0)

#: note, radius mm, unit mass g/m, tension N, R, kappa, B0, E GPa, saddle mm, nut mm, RMS cents
NORMAL = (
    ("E4", 0.356, 0.374, 68.6, 23.6, 48.2, 0.00190, 8.33, 1.48, -0.36, 0.15),
    ("B3", 0.409, 0.505, 52.0, 23.8, 48.7, 0.00220, 4.82, 1.69, -0.36, 0.15),
    ("G3", 0.512, 0.836, 54.2, 28.8, 58.6, 0.00301, 3.87, 2.33, -0.43, 0.19),
    ("D3", 0.368, 1.920, 70.0, 22.5, 46.0, 0.00192, 7.56, 1.48, -0.34, 0.14),
    ("A2", 0.445, 3.289, 67.3, 23.9, 48.7, 0.00239, 5.28, 1.82, -0.36, 0.15),
    ("E2", 0.546, 5.470, 62.8, 28.6, 58.2, 0.00321, 3.90, 2.46, -0.43, 0.19),
)
HARD = (
    ("E4", 0.362, 0.386, 70.9, 23.5, 47.9, 0.00193, 8.25, 1.50, -0.36, 0.15),
    ("G3", 0.521, 0.856, 55.6, 28.3, 57.5, 0.00304, 3.75, 2.34, -0.42, 0.18),
    ("E2", 0.559, 5.666, 65.0, 25.5, 51.9, 0.00310, 3.44, 2.35, -0.38, 0.17),
)
EVERY_STRING = pytest.mark.parametrize(
    "row",
    [*NORMAL, *HARD],
    ids=[f"{name} {row[0]}" for name, rows in (("normal", NORMAL), ("hard", HARD)) for row in rows],
)


def stretch_of_row(row):
    return stretch_of_response(response=row[4], diameter_mm=2.0 * row[1])


@EVERY_STRING
def test_printed_setbacks_and_what_they_leave(row):
    found = compensate(stretch_of_row(row), SETUP)
    assert found.setbacks.saddle_mm == pytest.approx(row[8], abs=0.03)
    assert found.setbacks.nut_mm == pytest.approx(row[9], abs=0.01)
    assert found.rms_cents == pytest.approx(row[10], abs=0.01)


@EVERY_STRING
def test_closed_form_comes_near_the_printed_setbacks(row):
    found = closed_form_setbacks(stretch_of_row(row), SETUP)
    assert found.saddle_mm == pytest.approx(row[8], abs=0.07)
    assert found.nut_mm == pytest.approx(row[9], abs=0.01)


@EVERY_STRING
def test_printed_string_numbers_hang_together(row):
    note, radius, unit_mass, tension, response, kappa, bending, modulus, *_ = row
    stretch = stretch_of_wire(diameter_mm=2.0 * radius, modulus_gpa=modulus, tension_n=tension)
    assert stretch.kappa == pytest.approx(kappa, rel=0.005)  # three printed digits
    assert stretch.response == pytest.approx(response, rel=0.005)
    assert stretch_of_row(row).kappa == pytest.approx(kappa, abs=0.11)
    assert math.sqrt(kappa) * radius / 1300.0 == pytest.approx(bending, abs=0.00001)
    frequency = read_pitch(note).frequency_hz
    assert tension_n(
        unit_mass_kg_m=unit_mass * 1e-3, speaking_length_mm=650.0, frequency_hz=frequency
    ) == pytest.approx(tension, rel=0.003)


def test_one_pair_of_setbacks_for_nylon():
    # printed for five sets: 1.9 +- 0.4 and -0.37 +- 0.03; this is the first of them
    mean = mean_setbacks([compensate(stretch_of_row(row), SETUP).setbacks for row in NORMAL])
    assert mean.saddle_mm == pytest.approx(1.9, abs=0.4)
    assert mean.nut_mm == pytest.approx(-0.37, abs=0.03)


def test_the_plain_mean_is_the_pair_that_serves_all_best():
    stretches = [stretch_of_row(row) for row in NORMAL]

    def total(pair):
        return sum(
            each.cents**2 for stretch in stretches for each in fret_errors(stretch, SETUP, Setbacks(*pair))
        )

    best = minimize(total, (1.0, 0.0), method="Nelder-Mead", options={"xatol": 1e-7, "fatol": 1e-10}).x
    mean = mean_setbacks([compensate(each, SETUP).setbacks for each in stretches])
    assert (mean.saddle_mm, mean.nut_mm) == pytest.approx(tuple(best), abs=5 * MICRON)


@pytest.mark.parametrize("row", NORMAL, ids=[row[0] for row in NORMAL])
def test_the_measured_guitar(row):
    # scale 652, nut 1.4, saddle rise 5.5, fingers 10 mm behind the fret, saddle 3.5 mm too near: measured at fret 1
    # 4.5 to 5.75 cents sharp, at fret 12 18.5 to 19.5 (G3, E2) and 15.75 to 17.5 (the others)
    setup = Fretting(scale_mm=652.0, nut_height_mm=1.4, saddle_rise_mm=5.5, finger_mm=10.0)
    errors = [each.cents for each in fret_errors(stretch_of_row(row), setup, Setbacks(-3.5, 0.0), [1, 12])]
    reading = 0.1  # cents: the spreads are printed to a quarter of a cent
    low, high = (18.5, 19.5) if row[0] in {"G3", "E2"} else (15.75, 17.5)
    assert 4.5 - reading <= errors[0] <= 5.75 + reading
    assert low - reading <= errors[1] <= high + reading


def test_growth_of_setbacks_with_the_finger_as_printed():
    # 10 mm behind the fret: dN grows by 13 d/X0 + 280 (d/X0)^2 = 26.6 %
    for row in NORMAL:
        stretch = stretch_of_row(row)
        at_the_fret, behind = (
            compensate(
                stretch, Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0, finger_mm=finger)
            )
            for finger in (0.0, 10.0)
        )
        grown = behind.setbacks.nut_mm / at_the_fret.setbacks.nut_mm - 1.0
        assert grown == pytest.approx(13.0 * 10.0 / 650.0 + 280.0 * (10.0 / 650.0) ** 2, abs=0.03)
        closed = closed_form_setbacks(stretch, behind.fretting)
        assert closed.saddle_mm == pytest.approx(behind.setbacks.saddle_mm, abs=0.08)
        assert closed.nut_mm == pytest.approx(behind.setbacks.nut_mm, abs=0.02)


def test_small_angles():
    # printed: 1731.234 [(g - 1)(B0 - dS/X0) + dN/X0 + kappa Q/2] with Q = [g b + (g - 1) c]^2 / (2 (g - 1) X0^2)
    stretch, setbacks = stretch_of_response(response=25.0, diameter_mm=0.86), Setbacks(1.9, -0.37)
    b0 = math.sqrt(51.0) * 0.43 / 1300.0
    for fret, error in enumerate(fret_errors(stretch, SETUP, setbacks), start=1):
        g = 2.0 ** (fret / 12.0)
        q = (g * 1.0 + (g - 1.0) * 4.0) ** 2 / (2.0 * (g - 1.0) * 650.0**2)
        small = 1731.234 * ((g - 1.0) * (b0 - 1.9 / 650.0) - 0.37 / 650.0 + 51.0 * q / 2.0)
        assert error.cents == pytest.approx(small, abs=0.25)


def test_closed_form_is_the_regression_of_small_angles():
    # ln F = B + (1/2 + pi^2/2) B^2 and B_n = g B0, so that stiffness adds (1/2 + pi^2/2)(g^2 - 1) B0^2 to the line above
    g = 2.0 ** (np.arange(1, 13) / 12.0)
    for kappa, radius, b, c in ((50.0, 0.4, 1.0, 4.0), (140.0, 0.13, 0.4, 3.0), (60.0, 0.55, 0.0, 6.0)):
        b0 = math.sqrt(kappa) * radius / 1300.0
        q = (g * b + (g - 1.0) * c) ** 2 / (2.0 * (g - 1.0) * 650.0**2)
        error = (g - 1.0) * b0 + (0.5 + np.pi**2 / 2.0) * (g**2 - 1.0) * b0**2 + kappa * q / 2.0
        (saddle, nut), *_ = np.linalg.lstsq(np.stack([g - 1.0, -np.ones(12)], axis=1), error, rcond=None)
        closed = closed_form_setbacks(
            Stretch(kappa=kappa, bending_radius_mm=radius, basis="a string"),
            Fretting(scale_mm=650.0, nut_height_mm=b, saddle_rise_mm=c),
        )
        assert closed.saddle_mm == pytest.approx(650.0 * saddle, abs=2 * MICRON)
        assert closed.nut_mm == pytest.approx(650.0 * nut, abs=2 * MICRON)


def published_error_cents(kappa, rho, x0, b, c, relief, d, ds, dn, fret):
    """The error of one fret as the paper has it, in as many digits as mpmath is set to."""
    g = mpf(2) ** (mpf(fret) / 12)
    xn = x0 / g
    l0, ln = mp.sqrt((x0 + ds + dn) ** 2 + c**2), mp.sqrt((xn + ds) ** 2 + (b + c) ** 2)
    raised = c + 2 * relief
    open_q = mp.sqrt((x0 + ds + dn) ** 2 + raised**2)
    front_q = mp.sqrt((xn + ds) ** 2 + (b + raised) ** 2)
    behind_q = d * front_q / (xn + ds) + mp.sqrt(
        (x0 - xn + dn - d) ** 2 + (b + d * (b + raised) / (xn + ds)) ** 2
    )
    q = (front_q + behind_q - open_q) / open_q

    def stiff(bending):
        return 1 + bending + (1 + mp.pi**2 / 2) * bending**2

    b0 = mp.sqrt(kappa) * rho / (2 * l0)
    bn = b0 * (l0 / ln) / mp.sqrt(1 + kappa * q)
    return (
        1200 * mp.log(l0 / (g * ln), 2)
        + 600 * mp.log(1 + q, 2)
        + 600 * mp.log(1 + kappa * q, 2)
        + 1200 * mp.log(stiff(bn) / stiff(b0), 2)
    )


def test_every_term_in_fifty_digits():
    chance = Random(2024)  # noqa: S311 - the same numbers every time, no secret
    with mp.workdps(50):
        for _ in range(200):
            kappa, rho, x0 = chance.uniform(20, 500), chance.uniform(0.1, 0.6), chance.uniform(330, 900)
            b, c, relief = chance.uniform(0.1, 1.5), chance.uniform(0, 8), chance.uniform(0, 0.4)
            d, ds, dn = chance.uniform(0, 0.014) * x0, chance.uniform(-4, 6), chance.uniform(-1.5, 0.5)
            fret = chance.randint(1, 12)
            ours = fret_errors(
                Stretch(kappa=kappa, bending_radius_mm=rho, basis="a string"),
                Fretting(scale_mm=x0, nut_height_mm=b, saddle_rise_mm=c, relief_mm=relief, finger_mm=d),
                Setbacks(ds, dn),
                [fret],
            )[0].cents
            theirs = published_error_cents(
                *(mpf(each) for each in (kappa, rho, x0, b, c, relief, d, ds, dn)), fret
            )
            assert ours == pytest.approx(float(theirs), abs=SAME_CENTS)


@pytest.mark.parametrize("at_nut", [True, False])
@pytest.mark.parametrize(("relief", "finger"), [(0.0, 0.0), (0.2, 8.0)])
def test_least_squares_by_another_solver(at_nut, relief, finger):
    row = NORMAL[2]
    setup = Fretting(
        scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0, relief_mm=relief, finger_mm=finger
    )

    def total(pair):
        ds, dn = (*pair, 0.0)[:2]
        return sum(
            float(
                published_error_cents(2 * row[4] + 1, row[1], 650.0, 1.0, 4.0, relief, finger, ds, dn, fret)
            )
            ** 2
            for fret in range(1, 13)
        )

    found = minimize(
        total, (1.0, 0.0)[: 1 + at_nut], method="Nelder-Mead", options={"xatol": 1e-6, "fatol": 1e-9}
    )
    ours = compensate(stretch_of_row(row), setup, at_nut=at_nut)
    assert (ours.setbacks.saddle_mm, ours.setbacks.nut_mm)[: 1 + at_nut] == pytest.approx(
        tuple(found.x), abs=0.1 * MICRON
    )
    assert ours.rms_cents == pytest.approx(math.sqrt(found.fun / 12), abs=1e-6)


def test_best_straight_saddle_by_another_solver():
    across = (27.0, 16.5, 5.5, -5.5, -16.0, -26.0)
    found = [compensate(stretch_of_row(row), SETUP) for row in NORMAL]
    weights = (1.0, 2.0, 0.5, 1.0, 3.0, 1.0)
    ours = best_straight_saddle(
        [
            BreakPoint(across_mm=y, setback_mm=each.setbacks.saddle_mm, weight=weight)
            for y, each, weight in zip(across, found, weights, strict=True)
        ]
    )
    wished = [each.setbacks.saddle_mm for each in found]
    slope, middle = np.polyfit(across, wished, 1, w=np.sqrt(weights))
    assert ours.slope == pytest.approx(slope, abs=1e-12)
    assert ours.setback_at_centre_mm == pytest.approx(middle, abs=1e-12)


def test_best_straight_saddle_is_nearly_the_one_with_the_least_cents():
    across = (27.0, 16.5, 5.5, -5.5, -16.0, -26.0)
    found = [compensate(stretch_of_row(row), SETUP, at_nut=False) for row in NORMAL]

    def total(line):
        return sum(
            error.cents**2
            for y, each in zip(across, found, strict=True)
            for error in fret_errors(each.stretch, SETUP, Setbacks(line[0] + line[1] * y))
        )

    best = minimize(total, (2.0, 0.0), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-10}).x
    ours = best_straight_saddle(
        [
            BreakPoint(across_mm=y, setback_mm=each.setbacks.saddle_mm)
            for y, each in zip(across, found, strict=True)
        ]
    )
    for y in across:
        assert ours.setback_at(y) == pytest.approx(best[0] + best[1] * y, abs=5 * MICRON)

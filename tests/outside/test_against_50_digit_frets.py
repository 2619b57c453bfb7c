"""Fret places against mpmath: the formulas worked in 50 digits, with none of our code."""

from fractions import Fraction

import pytest
from mpmath import log, mp, mpf, workdps

from jiggen.design.fret_places import cents, distance, equal_step_distance, remaining
from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, RatioSteps

PICOMETRE = 1e-9  # mm
NANOCENT = 1e-9

SCALES = [350.0, 352.425, 375.0, 628.0, 640.0, 647.7, 650.0, 863.6, 890.0]  # mm

#: Rule less equal temperament at 650 mm, to 0.1 µm: 50-digit arithmetic, rounded.
DIVISOR_ERRORS = {
    18.0: {1: -0.3706, 5: -1.4724, 7: -1.8376, 12: -2.3636, 19: -2.5030, 24: -2.3722},
    17.8: {1: 0.0352, 5: 0.1395, 7: 0.1740, 12: 0.2234, 19: 0.2360, 24: 0.2233},
    17.817: {1: 0.0003, 5: 0.0012, 7: 0.0016, 12: 0.0020, 19: 0.0021, 24: 0.0020},
}


@pytest.fixture(autouse=True)
def _fifty_digits():
    with workdps(50):
        yield


@pytest.mark.parametrize("scale", SCALES)
def test_twelve_equal_steps(scale):
    for fret in range(37):
        exact = mpf(scale) * (1 - mpf(2) ** (-mpf(fret) / 12))
        assert abs(mpf(equal_step_distance(scale, fret)) - exact) < PICOMETRE
        assert abs(mpf(remaining(EqualSteps(steps=12), fret)) * 2 ** (mpf(fret) / 12) - 1) < 1e-15


@pytest.mark.parametrize(
    ("steps", "period"), [(5, 2), (17, 2), (19, 2), (31, 2), (53, 2), (13, 3), (7, Fraction(3, 2))]
)
def test_any_equal_steps_and_the_places_between(steps, period):
    rule = EqualSteps(steps=steps, period=Fraction(period))
    exact_period = mpf(Fraction(period).numerator) / Fraction(period).denominator
    for quarter in range(4 * 60):
        fret = quarter / 4
        exact = 628 * (1 - exact_period ** (-mpf(fret) / steps))
        assert abs(mpf(distance(rule, 628.0, fret)) - exact) < PICOMETRE
        assert abs(mpf(cents(rule, fret)) - 1200 * log(exact_period, 2) * mpf(fret) / steps) < NANOCENT


def test_cents_and_ratios():
    listed = (111.731, 203.91, 386.314, 701.955, 1201.5)
    ratios = (Fraction(16, 15), Fraction(9, 8), Fraction(5, 4), Fraction(3, 2), Fraction(2))
    for fret in range(1, 31):
        periods, place = divmod(fret - 1, 5)
        exact_cents = periods * mpf(listed[-1]) + mpf(listed[place])
        assert (
            abs(mpf(distance(CentsSteps(cents=listed), 650.0, fret)) - 650 * (1 - 2 ** (-exact_cents / 1200)))
            < PICOMETRE
        )
        assert abs(mpf(cents(CentsSteps(cents=listed), fret)) - exact_cents) < NANOCENT
        ratio = mpf(ratios[place].numerator) / ratios[place].denominator * 2**periods
        assert abs(mpf(distance(RatioSteps(ratios=ratios), 650.0, fret)) - 650 * (1 - 1 / ratio)) < PICOMETRE
        assert abs(mpf(cents(RatioSteps(ratios=ratios), fret)) - 1200 * log(ratio, 2)) < NANOCENT


@pytest.mark.parametrize("divisor", DIVISOR_ERRORS)
def test_divisors_and_their_error_against_equal_steps(divisor):
    rule = DivisorSteps(divisor=divisor)
    for fret in range(25):
        exact = 650 * (1 - (1 - 1 / mpf(divisor)) ** fret)
        assert abs(mpf(distance(rule, 650.0, fret)) - exact) < PICOMETRE
        exact_cents = -1200 * fret * log(1 - 1 / mpf(divisor), 2)
        assert abs(mpf(cents(rule, fret)) - exact_cents) < NANOCENT
    for fret, error in DIVISOR_ERRORS[divisor].items():
        found = distance(rule, 650.0, fret) - equal_step_distance(650.0, fret)
        assert abs(found - error) <= 0.5e-4  # mm: half a unit of the last digit printed


def test_the_divisor_of_equal_steps_is_17_817153745105767553():
    # k = 1/(1 − 2^(−1/12)), worked in 50 digits.
    exact = 1 / (1 - mpf(2) ** (mpf(-1) / 12))
    assert mp.nstr(exact, 20) == "17.817153745105767553"
    rule = DivisorSteps(divisor=float(exact))
    for fret in range(25):
        assert abs(distance(rule, 650.0, fret) - equal_step_distance(650.0, fret)) < PICOMETRE


def test_seven_steps_make_the_fifth_of_the_scale_in_ten_digits():
    assert f"{distance(EqualSteps(steps=12), 1.0, 7):.10f}" == "0.3325800729"

"""A scale length from the bench: simulated necks of known scale, slips, offsets, and what is refused."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.necks import SCALE, TWELVE, neck, seeded

from jiggen.design.fret_places import distance
from jiggen.design.fret_rule import DivisorSteps, EqualSteps
from jiggen.errors import InputError
from jiggen.layout.measured import Reading, Zero, fit_neck

PICOMETRE = 1e-9  # mm


def shares(zero: Zero, *, runs: int = 400, **given: float) -> tuple[float, float]:
    """Returns in which share of simulated necks the scale lies within its standard and its expanded uncertainty."""
    chance = seeded(628)
    standard = expanded = 0
    for _ in range(runs):
        readings, _ = neck(chance, slips=2, missing=3, **given)
        fit = fit_neck(readings, zero=zero)
        standard += abs(fit.scale - SCALE) <= fit.uncertainty
        expanded += abs(fit.scale - SCALE) <= fit.expanded
    return standard / runs, expanded / runs


@pytest.mark.parametrize(
    ("zero", "offset"), [(Zero.NUT, 0.0), (Zero.FREE, 0.0), (Zero.FREE, 10.0), (Zero.AUTO, 3.0)]
)
def test_the_scale_lies_within_its_uncertainty_in_the_right_share_of_runs(zero, offset):
    # Student's t with 13 or 14 degrees of freedom holds 66.6 % within one standard uncertainty. The allowances are
    # three standard deviations of a share of 400 runs, and a little for good readings that are cut as slips.
    standard, expanded = shares(zero, offset=offset)
    assert 0.58 < standard < 0.74
    assert 0.91 < expanded < 0.985


def test_not_knowing_the_zero_widens_the_uncertainty():
    standard, expanded = shares(Zero.AUTO)
    assert standard > 0.72
    assert expanded > 0.92


def test_slips_are_found_and_leave_the_scale_alone():
    chance = seeded(1)
    for _ in range(100):
        readings, slipped = neck(chance, slips=2, missing=3)
        fit = fit_neck(readings, zero=Zero.NUT)
        assert slipped <= {slip.reading.fret for slip in fit.slips}
        assert len(fit.slips) <= 4
        assert abs(fit.scale - SCALE) < 0.25


def test_a_swapped_digit_is_told_in_mm_and_cents():
    readings = [Reading(fret=fret, distance=round(distance(TWELVE, SCALE, fret), 2)) for fret in range(1, 20)]
    assert readings[6].distance == 208.86
    readings[6] = Reading(fret=7, distance=280.86, where="bench.csv, line 8")
    fit = fit_neck(readings)
    (slip,) = fit.slips
    assert slip.reading.where == "bench.csv, line 8"
    assert slip.residual == pytest.approx(72.0, abs=0.02)
    # 1200 · log2(left / left stopped too far): 419.14 mm against 347.14 mm.
    assert slip.cents == pytest.approx(1200 * math.log2(419.14 / 347.14), abs=0.2)
    assert fit.scale == pytest.approx(SCALE, abs=0.01)


def test_a_reading_beyond_the_saddle_has_no_pitch():
    readings, _ = neck(seeded(2))
    readings[4] = Reading(fret=5, distance=15_758.0)
    (slip,) = fit_neck(readings).slips
    assert slip.cents is None


def test_residuals_are_distances_less_places_and_sharp_when_toward_the_saddle():
    fit = fit_neck([Reading(fret=12, distance=314.0), Reading(fret=5, distance=158.0)], zero=Zero.NUT)
    for fret in fit.frets:
        assert fret.distance - fret.expected == pytest.approx(fret.residual, abs=PICOMETRE)
        assert fret.cents is not None
        assert (fret.cents > 0) == (fret.residual > 0)
        assert fret.expected == pytest.approx(distance(TWELVE, fit.scale, fret.fret), abs=PICOMETRE)
        left = fit.scale - fret.expected
        assert fret.cents == pytest.approx(1200 * math.log2(left / (left - fret.residual)), abs=1e-9)
    assert [fret.fret for fret in fit.frets] == [5, 12]
    assert fit.zero is None
    assert fit.freedom == 1


def test_an_offset_of_the_zero_is_found_reported_and_taken_off():
    readings, _ = neck(seeded(3), offset=10.0, slips=2)
    fit = fit_neck(readings)
    assert fit.zero is not None
    assert fit.zero.applied
    assert fit.zero.value == pytest.approx(10.0, abs=3 * fit.zero.uncertainty)
    assert fit.zero.chance < 1e-6
    assert fit.zero.scale == fit.scale
    assert abs(fit.scale - SCALE) < 3 * fit.uncertainty
    assert len(fit.slips) == 2
    for fret in fit.frets:
        assert fret.distance == pytest.approx(distance(TWELVE, SCALE, fret.fret), abs=0.5)


def test_an_offset_that_does_not_stand_out_is_reported_only():
    readings, _ = neck(seeded(5))
    auto, held, free = (fit_neck(readings, zero=zero) for zero in (Zero.AUTO, Zero.NUT, Zero.FREE))
    assert auto.zero is not None
    assert held.zero is not None
    assert free.zero is not None
    assert not auto.zero.applied
    assert not held.zero.applied
    assert free.zero.applied
    assert auto.scale == held.scale != free.scale
    assert auto.zero.scale == free.scale
    assert auto.uncertainty == pytest.approx(
        math.hypot(held.uncertainty, free.scale - held.scale), abs=PICOMETRE
    )


def test_the_zero_may_be_held_to_the_nut_against_the_readings():
    readings, _ = neck(seeded(3), offset=10.0)
    fit = fit_neck(readings, zero=Zero.NUT)
    assert fit.zero is not None
    assert not fit.zero.applied
    assert fit.zero.chance < 1e-6
    assert fit.scale > SCALE + 10.0


def test_a_fret_counts_once_however_often_it_is_read():
    readings, _ = neck(seeded(7))
    thrice = [reading for reading in readings for _ in range(3)]
    once, often = fit_neck(readings, zero=Zero.NUT), fit_neck(thrice, zero=Zero.NUT)
    assert often.scale == pytest.approx(once.scale, abs=PICOMETRE)
    assert often.uncertainty == pytest.approx(once.uncertainty, abs=PICOMETRE)
    assert often.freedom == once.freedom == 19
    assert [fret.readings for fret in often.frets] == [3] * 20


def test_a_slip_among_repeats_does_not_spoil_its_fret():
    readings, _ = neck(seeded(8))
    fit = fit_neck([*readings, Reading(fret=12, distance=341.0)], zero=Zero.NUT)
    assert [slip.reading.distance for slip in fit.slips] == [341.0]
    assert fit.scale == fit_neck(readings, zero=Zero.NUT).scale


def test_two_frets_that_agree_hold_the_scale_but_not_the_zero():
    sound = [Reading(fret=fret, distance=distance(TWELVE, SCALE, fret)) for fret in (5, 12) for _ in range(6)]
    fit = fit_neck([*sound, Reading(fret=20, distance=340.0)])
    assert [slip.reading.fret for slip in fit.slips] == [20]
    assert fit.scale == pytest.approx(SCALE, abs=PICOMETRE)
    assert fit.zero is None


def test_any_rule_may_be_fitted():
    rule = DivisorSteps(divisor=18)
    readings, _ = neck(seeded(9), rule=rule)
    assert fit_neck(readings, rule=rule).scale == pytest.approx(SCALE, abs=0.3)
    dulcimer = EqualSteps(steps=12, keep=(0, 2, 4, 5, 7, 9, 10, 12))
    readings, _ = neck(seeded(9), rule=dulcimer, frets=range(1, 15))
    assert fit_neck(readings, rule=dulcimer).scale == pytest.approx(SCALE, abs=0.3)


def test_the_resolution_of_the_bench_rule_bounds_the_uncertainty():
    readings = [Reading(fret=fret, distance=round(distance(TWELVE, SCALE, fret))) for fret in (5, 7, 12)]
    exact = [Reading(fret=fret, distance=distance(TWELVE, SCALE, fret)) for fret in (5, 7, 12)]
    for each in (readings, exact):
        assert fit_neck(each, zero=Zero.NUT, resolution=1.0).scatter >= 1 / math.sqrt(12)
    assert fit_neck(exact, zero=Zero.NUT).scatter == 0.01
    assert fit_neck(exact, zero=Zero.NUT, resolution=0.0001).scatter == 0.01
    assert fit_neck(readings, zero=Zero.NUT, resolution=0.1).scatter > 0.1


def test_exact_readings_give_the_exact_scale():
    exact = [Reading(fret=fret, distance=distance(TWELVE, SCALE, fret)) for fret in range(25)]
    for zero in Zero:
        fit = fit_neck(exact, zero=zero)
        assert fit.scale == pytest.approx(SCALE, abs=PICOMETRE)
        assert fit.rms < PICOMETRE
        assert fit.slips == ()


@given(
    noise=st.lists(st.integers(-100, 100).map(lambda each: each / 256), min_size=12, max_size=12),
    zero=st.sampled_from(list(Zero)),
    chance=st.randoms(use_true_random=False),
)
@settings(derandomize=True, max_examples=60)
def test_any_order_of_the_readings_gives_the_same_fit(noise, zero, chance):
    readings = [
        Reading(
            fret=1 + index % 10, distance=distance(TWELVE, SCALE, 1 + index % 10) + off + 9 * (index == 3)
        )
        for index, off in enumerate(noise)
    ]
    shuffled = readings.copy()
    chance.shuffle(shuffled)
    assert fit_neck(shuffled, zero=zero) == fit_neck(readings, zero=zero)


TOO_FEW = "Measure more frets: the last one tells the most."


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (
            lambda: fit_neck([]),
            f"the readings: got 0 frets, expected at least 2 different frets. {TOO_FEW}",
        ),
        (
            lambda: fit_neck([Reading(fret=12, distance=314.0)] * 5),
            f"the readings: got 1 fret, expected at least 2 different frets. {TOO_FEW}",
        ),
        (
            lambda: fit_neck(
                [Reading(fret=12, distance=314.0), Reading(fret=5, distance=157.0)], zero=Zero.FREE
            ),
            f"the readings: got 2 frets, expected at least 3 different frets, to find the zero as well. {TOO_FEW}",
        ),
        (
            lambda: fit_neck(
                [Reading(fret=fret, distance=314.0 - fret) for fret in range(1, 5)], zero=Zero.FREE
            ),
            (
                "the readings: got distances that would fit a scale of -20.0 mm, "
                "expected distances from the nut that grow with the fret"
            ),
        ),
        (
            lambda: fit_neck(
                [Reading(fret=5, distance=157.0)] * 6 + [Reading(fret=12, distance=30.0)], zero=Zero.NUT
            ),
            "the readings: got 1 fret that agrees, expected at least 2 different frets. Measure again.",
        ),
        (
            lambda: Reading(fret=-1, distance=3.0, where="bench.csv, line 4"),
            "bench.csv, line 4, fret: got -1, expected a number from 0, the nut, to 1000",
        ),
        (
            lambda: Reading(fret=1001, distance=3.0),
            "a reading, fret: got 1001, expected a number from 0, the nut, to 1000",
        ),
        (
            lambda: Reading(fret=3, distance=float("nan")),
            "a reading, fret 3: got nan mm, expected a finite number",
        ),
        (
            lambda: fit_neck(neck(seeded(1))[0], resolution=0.0),
            "resolution of the bench rule: got 0 mm, expected a number above zero",
        ),
    ],
)
def test_readings_that_tell_no_scale_are_refused_in_these_words(make, words):
    with pytest.raises(InputError) as caught:
        make()
    assert str(caught.value) == words

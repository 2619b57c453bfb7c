"""Which rule a neck was laid out by: told when the readings tell it, and only then."""

from collections import Counter

import pytest
from support.necks import SCALE, TWELVE, neck, seeded

from jiggen.design.fret_places import distance
from jiggen.design.fret_rule import DivisorSteps, EqualSteps, FretRule
from jiggen.errors import InputError
from jiggen.layout.measured import Reading, Zero, fit_neck
from jiggen.layout.measured_rule import RULE_OF_17_817, RULE_OF_18, Verdict, compare_rules


def verdicts(
    rule: FretRule, *, runs: int = 100, zero: Zero = Zero.AUTO, **given: float
) -> Counter[Verdict | FretRule]:
    """Counts the verdicts on simulated necks of one rule, the rule itself standing for `ONE_FITS`."""
    chance = seeded(18)
    found = (
        compare_rules(neck(chance, rule=rule, slips=2, missing=2, **given)[0], zero=zero) for _ in range(runs)
    )
    return Counter(each.rule or each.verdict for each in found)


@pytest.mark.parametrize("rule", [TWELVE, RULE_OF_18])
@pytest.mark.parametrize(
    ("zero", "offset"), [(Zero.NUT, 0.0), (Zero.FREE, 0.5), (Zero.AUTO, 0.0), (Zero.AUTO, 0.5)]
)
def test_a_well_measured_neck_tells_its_rule(rule, zero, offset):
    # A true rule is ruled out by chance in one run of a hundred.
    assert verdicts(rule, zero=zero, offset=offset)[rule] >= 95


@pytest.mark.parametrize("rule", [TWELVE, RULE_OF_18])
def test_a_neck_measured_roughly_cannot_tell(rule):
    found = verdicts(rule, noise=1.0)
    assert found[Verdict.CANNOT_TELL] >= 90


@pytest.mark.parametrize("rule", [TWELVE, RULE_OF_18])
def test_the_wrong_rule_is_almost_never_named(rule):
    wrong = RULE_OF_18 if rule is TWELVE else TWELVE
    for noise in (0.1, 0.3, 0.6):
        assert verdicts(rule, noise=noise, offset=0.3)[wrong] <= 2


def test_rules_that_differ_by_microns_are_not_told_apart():
    readings, _ = neck(seeded(1))
    found = compare_rules(readings, rules=(TWELVE, RULE_OF_18, RULE_OF_17_817))
    assert found.verdict is Verdict.CANNOT_TELL
    assert found.rule is None
    assert [each.chance >= 0.01 for each in found.candidates] == [True, True, False]
    assert found.candidates[2].fit.rule == RULE_OF_18
    assert found.reason.startswith("The readings do not tell ")
    assert "rule of 18 leaves" in found.reason


def test_two_names_of_one_rule_are_not_told_apart():
    readings, _ = neck(seeded(1))
    every_other = EqualSteps(steps=24, keep=tuple(range(0, 25, 2)))
    found = compare_rules(readings, rules=(TWELVE, every_other))
    assert found.verdict is Verdict.CANNOT_TELL
    assert [each.chance for each in found.candidates] == [1.0, 1.0]


def test_a_neck_of_some_third_rule_is_told_as_such():
    readings, _ = neck(seeded(1), rule=DivisorSteps(divisor=17.4), noise=0.05)
    found = compare_rules(readings)
    assert found.verdict is Verdict.NONE_FITS
    assert found.rule is None
    assert found.reason.startswith("No rule fits: 12 equal steps to the octave leaves ")
    assert found.reason.count("and is ruled out") == 2


def test_the_verdict_gives_residuals_and_scale_of_each_rule():
    exact = [Reading(fret=fret, distance=distance(RULE_OF_18, SCALE, fret)) for fret in range(21)]
    found = compare_rules(exact)
    best, other = found.candidates
    assert (found.verdict, found.rule, best.fit.rule) == (Verdict.ONE_FITS, RULE_OF_18, RULE_OF_18)
    assert best.fit.scale == pytest.approx(SCALE, abs=1e-9)
    assert best.fit.rms < 1e-9
    # Equal steps through the same frets make a scale some 4 mm shorter and miss them by a quarter of a millimetre.
    assert other.fit.scale == pytest.approx(fit_neck(exact, rule=TWELVE, zero=Zero.NUT).scale, abs=1e-9)
    assert other.fit.scale == pytest.approx(623.8, abs=0.1)
    assert other.fit.rms == pytest.approx(0.28, abs=0.01)
    assert found.reason == (
        "rule of 18 fits: rule of 18 leaves 0.000 mm RMS on a scale of 628.00 mm; "
        f"12 equal steps to the octave leaves {other.fit.rms:.3f} mm RMS on a scale of {other.fit.scale:.2f} mm "
        "and is ruled out."
    )


def test_a_verdict_that_hangs_on_the_zero_is_not_given():
    readings, _ = neck(seeded(4), noise=0.3)
    held, free, auto = (compare_rules(readings, zero=zero) for zero in (Zero.NUT, Zero.FREE, Zero.AUTO))
    assert held.rule == TWELVE
    assert free.verdict is Verdict.CANNOT_TELL
    assert auto.verdict is Verdict.CANNOT_TELL
    assert auto.rule is None
    assert auto.reason.startswith("With the zero at the nut, 12 equal steps to the octave fits: ")
    assert auto.reason.endswith("rule of 18 would fit as well: make sure where the zero was and say so.")


def test_slips_are_slips_whichever_rule_is_taken():
    readings, slipped = neck(seeded(3), rule=RULE_OF_18, slips=2)
    found = compare_rules(readings)
    assert found.rule == RULE_OF_18
    for each in found.candidates:
        assert {slip.reading.fret for slip in each.fit.slips} == slipped


def test_a_reading_that_one_rule_explains_is_kept_for_all():
    readings, _ = neck(seeded(5), noise=0.02)
    readings[9] = Reading(fret=10, distance=readings[9].distance + 0.4)
    assert [slip.reading.fret for slip in fit_neck(readings, rule=TWELVE, zero=Zero.NUT).slips] == [10]
    assert fit_neck(readings, rule=RULE_OF_18, zero=Zero.NUT).slips == ()
    for each in compare_rules(readings, zero=Zero.NUT).candidates:
        assert each.fit.slips == ()


def test_the_order_of_readings_and_rules_plays_no_part():
    readings, _ = neck(seeded(4), slips=1)
    one = compare_rules(readings)
    other = compare_rules(readings[::-1], rules=(RULE_OF_18, TWELVE))
    assert one == other


def test_three_frets_are_compared_with_the_zero_at_the_nut():
    exact = [Reading(fret=fret, distance=distance(RULE_OF_18, SCALE, fret)) for fret in (1, 12, 20)]
    assert compare_rules(exact) == compare_rules(exact, zero=Zero.NUT)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (
            lambda: compare_rules([], rules=(TWELVE,)),
            "rules to compare: got 1, expected two or more",
        ),
        (
            lambda: compare_rules([Reading(fret=12, distance=314.0)] * 4),
            (
                "the readings: got 1 fret, expected at least 3 different frets to compare rules. "
                "Measure more frets, near the nut and far from it."
            ),
        ),
        (
            lambda: compare_rules(neck(seeded(1), frets=range(1, 4))[0], zero=Zero.FREE),
            (
                "the readings: got 3 frets, expected at least 4 different frets to compare rules. "
                "Measure more frets, near the nut and far from it."
            ),
        ),
    ],
)
def test_what_cannot_be_compared_is_refused_in_these_words(make, words):
    with pytest.raises(InputError) as caught:
        make()
    assert str(caught.value) == words

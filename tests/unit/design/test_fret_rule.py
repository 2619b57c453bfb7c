"""Fret rules: what makes one, what a fret is called, and the exact words for what makes none."""

from fractions import Fraction

import pytest

from jiggen.design.fret_rule import (
    CentsSteps,
    DivisorSteps,
    EqualSteps,
    RatioSteps,
    divisor_step_cents,
    fret_label,
    fret_step,
    ratio_cents,
    rule_words,
)
from jiggen.errors import JiggenError

#: The frets of a diatonic dulcimer, with the extra one between the sixth and the octave: common practice.
DULCIMER = EqualSteps(
    steps=12,
    keep=(0, 2, 4, 5, 7, 9, 10, 11, 12),
    labels=("1", "2", "3", "4", "5", "6", "6+", "7"),
)


def fault(make) -> str:
    with pytest.raises(JiggenError) as caught:
        make()
    return str(caught.value)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: EqualSteps(steps=0), "equal: got 0, expected 1 step or more"),
        (
            lambda: EqualSteps(steps=1300),
            "equal: got 1300 steps, 0.923 cents each, expected steps of at least 1 cent",
        ),
        (
            lambda: EqualSteps(steps=12, period=Fraction(1)),
            "period: got 1/1, expected a ratio above 1 and up to 1000",
        ),
        (
            lambda: EqualSteps(steps=12, period=Fraction(1001)),
            "period: got 1001/1, expected a ratio above 1 and up to 1000",
        ),
        (
            lambda: EqualSteps(steps=12, keep=(2, 4)),
            (
                "keep[0]: got 2, expected steps from 0, the nut, to the one at which the pattern repeats. "
                "Begin the list with 0."
            ),
        ),
        (
            lambda: EqualSteps(steps=12, keep=(0,)),
            "keep: got the nut alone, expected steps from 0, the nut, to the one at which the pattern repeats",
        ),
        (
            lambda: EqualSteps(steps=12, keep=(0, 5, 4, 12)),
            "keep[2]: got 4, expected more than 5, the step before it",
        ),
        (
            lambda: EqualSteps(steps=12, keep=(0, 2, 11)),
            (
                "keep[2]: got 11, expected a multiple of 12, the steps of a period. "
                "End the list with the step at which the pattern repeats."
            ),
        ),
        (lambda: EqualSteps(steps=12, keep=(0, 12_000)), "keep[1]: got 12000, expected at most 10000"),
        (
            lambda: EqualSteps(steps=12, labels=("do", " ")),
            "labels[1]: got an empty label, expected the name of a fret",
        ),
        (
            lambda: CentsSteps(cents=()),
            "cents: got an empty list, expected steps, the last of them the period",
        ),
        (
            lambda: CentsSteps(cents=(-5.0, 1200.0)),
            (
                "cents[0]: got -5, expected at least a cent above the nut. "
                "Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            lambda: CentsSteps(cents=(100.0, 100.5, 1200.0)),
            (
                "cents[1]: got 100.5, expected at least a cent above 100, the step before it. "
                "Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            lambda: CentsSteps(cents=(100.0, float("nan"), 1200.0)),
            (
                "cents[1]: got nan, expected at least a cent above 100, the step before it. "
                "Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            lambda: CentsSteps(cents=(100.0, 200_000.0)),
            (
                "cents[1]: got 200000, expected at least a cent above 100, the step before it and at most 100 octaves "
                "above it. Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            lambda: RatioSteps(ratios=(Fraction(3, 2), Fraction(0), Fraction(2))),
            (
                "ratios[1]: got 0/1, expected at least a cent above 3/2, the step before it. "
                "Put the steps in ascending order, or take an ascending choice of them with keep."
            ),
        ),
        (
            lambda: RatioSteps(ratios=(Fraction(2), Fraction(3, 2)), keep=(0, 1, 3)),
            (
                "keep[2]: got 3, expected a multiple of 2, the steps of a period. "
                "End the list with the step at which the pattern repeats."
            ),
        ),
        (
            lambda: DivisorSteps(divisor=1.0),
            "divisor: got 1, expected a number above 1 that makes steps of at least 1 cent, such as 18 or 17.817",
        ),
        (
            lambda: DivisorSteps(divisor=1732.0),
            (
                "divisor: got 1732, expected a number above 1 that makes steps of at least 1 cent, "
                "such as 18 or 17.817"
            ),
        ),
        (
            lambda: DivisorSteps(divisor=float("nan")),
            (
                "divisor: got nan, expected a number above 1 that makes steps of at least 1 cent, "
                "such as 18 or 17.817"
            ),
        ),
        (
            lambda: DivisorSteps(divisor=18, keep=(0, 0)),
            "keep[1]: got 0, expected more than 0, the step before it",
        ),
    ],
)
def test_a_rule_that_makes_no_frets_is_refused(make, words):
    assert fault(make) == words


def test_all_that_is_wrong_is_told_at_once():
    words = fault(lambda: CentsSteps(cents=(50.0, 40.0, 30.0), labels=("",)))
    assert [line.partition(":")[0] for line in words.splitlines()] == ["cents[1]", "cents[2]", "labels[0]"]


def test_steps_of_one_cent_are_the_finest():
    assert EqualSteps(steps=1200).steps == 1200
    assert CentsSteps(cents=(1.0, 2.0)).cents[0] == 1.0


def test_keep_may_choose_from_steps_in_any_order():
    ratios = (Fraction(5, 4), Fraction(9, 8), Fraction(2))
    assert RatioSteps(ratios=ratios, keep=(0, 1, 3)).ratios == ratios
    assert "ratios[1]: got 9/8" in fault(lambda: RatioSteps(ratios=ratios))
    assert "ratios[1]: got 9/8" in fault(lambda: RatioSteps(ratios=ratios, keep=(0, 1, 2, 3)))


def test_a_kept_fret_stands_on_its_step_and_the_pattern_repeats():
    assert [fret_step(DULCIMER, fret) for fret in range(12)] == [0, 2, 4, 5, 7, 9, 10, 11, 12, 14, 16, 17]
    assert [fret_step(EqualSteps(steps=19), fret) for fret in (0, 1, 20)] == [0, 1, 20]


def test_a_pattern_may_take_two_octaves_to_repeat():
    rule = EqualSteps(steps=12, keep=(0, 5, 12, 17, 22, 24))
    assert [fret_step(rule, fret) for fret in range(1, 8)] == [5, 12, 17, 22, 24, 29, 36]


def test_frets_go_by_label_or_by_number():
    assert [fret_label(DULCIMER, fret) for fret in range(1, 9)] == ["1", "2", "3", "4", "5", "6", "6+", "7"]
    assert fret_label(EqualSteps(steps=12), 17) == "17"
    assert fault(lambda: fret_label(DULCIMER, 9)) == (
        "label of fret 9: got 8 labels, expected one for every fret. "
        "Write a label for each fret of the board, or leave them all out."
    )


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (EqualSteps(steps=12), "12 equal steps to the octave"),
        (EqualSteps(steps=13, period=Fraction(3)), "13 equal steps to 3/1"),
        (EqualSteps(steps=12, keep=(0, 7, 12)), "12 equal steps to the octave, frets on steps 7 12"),
        (CentsSteps(cents=(701.955, 1200.0)), "2 steps to 1200 cents"),
        (RatioSteps(ratios=(Fraction(3, 2), Fraction(2))), "2 ratios to 2/1"),
        (DivisorSteps(divisor=18), "rule of 18"),
        (DivisorSteps(divisor=17.817), "rule of 17.817"),
    ],
)
def test_a_rule_has_words(rule, words):
    assert rule_words(rule) == words


def test_cents_of_the_octave_are_exact():
    assert ratio_cents(Fraction(2)) == 1200.0
    assert ratio_cents(Fraction(8)) == 3600.0
    assert divisor_step_cents(2) == 1200.0

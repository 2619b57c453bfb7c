"""Fret places: identities, every kind of rule, and what is refused."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.design.fret_places import cents, distance, equal_step_distance, remaining
from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, FretRule, RatioSteps
from jiggen.errors import InputError

PICOMETRE = 1e-9  # mm
MICROCENT = 1e-6

TWELVE = EqualSteps(steps=12)
OCTAVE_RULES = [
    TWELVE,
    EqualSteps(steps=19),
    EqualSteps(steps=12, keep=(0, 2, 4, 5, 7, 9, 11, 12)),
    CentsSteps(cents=(203.91, 386.31, 701.955, 1200.0)),
    RatioSteps(ratios=(Fraction(9, 8), Fraction(5, 4), Fraction(3, 2), Fraction(2))),
]


def frets_to_the_octave(rule: FretRule) -> int:
    match rule:
        case EqualSteps():
            return len(rule.keep) - 1 if rule.keep else rule.steps
        case CentsSteps():
            return len(rule.cents)
        case RatioSteps():
            return len(rule.ratios)
        case DivisorSteps():
            raise AssertionError("no octave")


@pytest.mark.parametrize("rule", OCTAVE_RULES)
def test_the_octave_halves_the_string_exactly_at_every_fret(rule):
    octave = frets_to_the_octave(rule)
    assert remaining(rule, 0) == 1.0
    assert distance(rule, 628.0, 0) == 0.0
    assert cents(rule, 0) == 0.0
    for fret in range(4 * octave):
        assert remaining(rule, fret + octave) == remaining(rule, fret) / 2
        assert abs(distance(rule, 628.0, fret + octave) - 314.0 - distance(rule, 628.0, fret) / 2) < PICOMETRE
        assert abs(cents(rule, fret + octave) - cents(rule, fret) - 1200) < MICROCENT
    assert distance(rule, 628.0, octave) == 314.0
    assert distance(rule, 628.0, 2 * octave) == 471.0


def test_cents_of_equal_steps_are_whole_numbers():
    assert [cents(TWELVE, fret) for fret in range(25)] == [100.0 * fret for fret in range(25)]


def test_a_just_fifth_stops_a_third_of_the_string():
    rule = RatioSteps(ratios=(Fraction(3, 2), Fraction(2)))
    assert distance(rule, 600.0, 1) == pytest.approx(200.0, abs=PICOMETRE)
    assert distance(rule, 600.0, 3) == pytest.approx(400.0, abs=PICOMETRE)


def test_a_rule_need_not_repeat_at_the_octave():
    rule = EqualSteps(steps=13, period=Fraction(3))
    assert remaining(rule, 13) == pytest.approx(1 / 3, abs=1e-15)
    assert remaining(rule, 26) == pytest.approx(1 / 9, abs=1e-15)
    assert cents(rule, 13) == pytest.approx(1901.955, abs=0.001)


def test_kept_frets_stand_where_their_steps_do():
    rule = EqualSteps(steps=12, keep=(0, 2, 4, 5, 7, 9, 10, 12))
    steps = [0, 2, 4, 5, 7, 9, 10, 12, 14, 16, 17]
    assert [distance(rule, 700.0, fret) for fret in range(11)] == [
        distance(TWELVE, 700.0, step) for step in steps
    ]


def test_a_divisor_takes_the_same_part_of_what_is_left():
    rule = DivisorSteps(divisor=18)
    left = 628.0
    for fret in range(1, 25):
        left -= left / 18
        assert 628.0 - distance(rule, 628.0, fret) == pytest.approx(left, abs=PICOMETRE)


def test_between_two_frets_the_interval_is_divided_in_cents():
    rule = RatioSteps(ratios=(Fraction(9, 8), Fraction(3, 2), Fraction(2)))
    for fret in range(6):
        low, high = cents(rule, fret), cents(rule, fret + 1)
        for part in (0.25, 0.5, 0.75):
            assert cents(rule, fret + part) == pytest.approx(low + part * (high - low), abs=MICROCENT)
            expected = remaining(rule, fret) ** (1 - part) * remaining(rule, fret + 1) ** part
            assert remaining(rule, fret + part) == pytest.approx(expected, rel=1e-14)


def test_equal_steps_by_their_short_name():
    assert equal_step_distance(628.0, 7) == distance(TWELVE, 628.0, 7)
    assert equal_step_distance(628.0, 7.5) == distance(TWELVE, 628.0, 7.5)
    assert equal_step_distance(628.0, 19, steps_per_octave=19) == 314.0


@pytest.mark.parametrize(
    ("fret", "got"),
    [(-1, "-1"), (-0.001, "-0.001"), (1001, "1001"), (float("nan"), "nan"), (float("inf"), "inf")],
)
def test_no_fret_is_off_the_board(fret, got):
    for reckon in (remaining, cents):
        with pytest.raises(InputError) as caught:
            reckon(TWELVE, fret)
        assert str(caught.value) == f"fret: got {got}, expected a number from 0, the nut, to 1000"


def test_the_last_fret_of_the_widest_steps_still_has_a_place():
    rule = CentsSteps(cents=(120_000.0,))
    assert distance(rule, 628.0, 999.5) == 628.0


LABELLED = st.integers(2, 40).flatmap(
    lambda steps: st.lists(st.integers(1, steps - 1), unique=True).map(
        lambda inner: EqualSteps(steps=steps, keep=(0, *sorted(inner), steps))
    )
)
RULES = (
    st.builds(
        EqualSteps,
        steps=st.integers(1, 60),
        period=st.sampled_from([Fraction(2), Fraction(3), Fraction(3, 2)]),
    )
    | LABELLED
    | st.lists(st.integers(1, 2400), min_size=1, max_size=30, unique=True).map(
        lambda each: CentsSteps(cents=tuple(float(value) for value in sorted(each)))
    )
    | st.lists(st.integers(101, 400), min_size=1, max_size=30, unique=True).map(
        lambda each: RatioSteps(ratios=tuple(Fraction(value, 100) for value in sorted(each)))
    )
    | st.builds(DivisorSteps, divisor=st.floats(2, 1000))
)


@given(rule=RULES, places=st.lists(st.floats(0, 40), min_size=2, max_size=8, unique=True))
@settings(derandomize=True)
def test_a_higher_fret_is_never_nearer_to_the_nut(rule, places):
    places.sort()
    found = [distance(rule, 628.0, place) for place in places]
    assert all(0.0 <= a <= 628.0 for a in found)
    assert all(b >= a - PICOMETRE for a, b in pairwise(found))
    whole = [remaining(rule, fret) for fret in range(30)]
    assert all(after < before for before, after in pairwise(whole))


@given(rule=RULES, fret=st.floats(0, 40))
@settings(derandomize=True)
def test_cents_and_remaining_say_the_same(rule, fret):
    assert remaining(rule, fret) == pytest.approx(2 ** (-cents(rule, fret) / 1200), rel=1e-12)

"""Into which steps a string is divided, and which of the steps get a fret."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import assert_never

from jiggen.errors import InputError, raise_all

#: Steps nearer than this are refused: even on a long string their slots would run into each other.
SMALLEST_STEP_CENTS = 1.0
#: A hundred octaves: anything beyond is a slip.
LARGEST_CENTS = 120_000.0
#: The last step that `keep` may name.
LARGEST_STEP = 10_000

_OCTAVE = Fraction(2)
_REPEATS = "steps from 0, the nut, to the one at which the pattern repeats"


@dataclass(frozen=True, slots=True, kw_only=True)
class EqualSteps:
    """A period divided into equal steps, each shortening the string by the same ratio.

    Attributes:
        steps: Equal steps to the period.
        period: Frequency ratio of the period, 2 for the octave.
        keep: Steps that get a fret, from 0, the nut, in ascending order. The pattern repeats at its last entry,
            which is a whole number of periods. Empty: every step.
        labels: Names of the frets, the first fret's first. Empty: frets go by their numbers.

    Raises:
        JiggenError: If a step would be less than a cent, or `keep` or `labels` make no sense; the place is the
            attribute's name and index.
    """

    steps: int
    period: Fraction = _OCTAVE
    keep: tuple[int, ...] = ()
    labels: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        faults: list[InputError] = []
        if self.steps < 1:
            faults.append(InputError(where="equal", got=str(self.steps), expected="1 step or more"))
        elif not 1 < self.period <= 1000:
            faults.append(
                InputError(
                    where="period", got=ratio_words(self.period), expected="a ratio above 1 and up to 1000"
                )
            )
        elif (step := ratio_cents(self.period) / self.steps) < SMALLEST_STEP_CENTS:
            got = f"{self.steps} steps, {step:.3f} cents each"
            faults.append(InputError(where="equal", got=got, expected="steps of at least 1 cent"))
        raise_all([*faults, *_keep_faults(self.keep, max(self.steps, 1)), *_label_faults(self.labels)])


@dataclass(frozen=True, slots=True, kw_only=True)
class CentsSteps:
    """Steps listed in cents above the open string, the last being the period, from which the list goes on again.

    Attributes:
        cents: In ascending order; in any order if `keep` makes an ascending choice of them.
        keep: As in `EqualSteps`; step 1 is the first of the list.
        labels: As in `EqualSteps`.

    Raises:
        JiggenError: If a step with a fret is less than a cent above the one before it, or `keep` or `labels` make
            no sense.
    """

    cents: tuple[float, ...]
    keep: tuple[int, ...] = ()
    labels: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        words = [f"{value:.10g}" for value in self.cents]
        raise_all([*_list_faults("cents", self.cents, words, self.keep), *_label_faults(self.labels)])


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioSteps:
    """Steps listed as frequency ratios to the open string, the last being the period, as in `CentsSteps`.

    Attributes:
        ratios: In ascending order; in any order if `keep` makes an ascending choice of them.
        keep: As in `EqualSteps`; step 1 is the first of the list.
        labels: As in `EqualSteps`.

    Raises:
        JiggenError: If a step with a fret is less than a cent above the one before it, or `keep` or `labels` make
            no sense.
    """

    ratios: tuple[Fraction, ...]
    keep: tuple[int, ...] = ()
    labels: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        words = [ratio_words(ratio) for ratio in self.ratios]
        cents = [ratio_cents(ratio) if ratio > 0 else -math.inf for ratio in self.ratios]
        raise_all([*_list_faults("ratios", cents, words, self.keep), *_label_faults(self.labels)])


@dataclass(frozen=True, slots=True, kw_only=True)
class DivisorSteps:
    """Each fret at the same part of what is left of the string: with a divisor of 18, at one eighteenth of it.

    Attributes:
        divisor: 18 in the old rule of the trade, 17.817 in its later form.
        keep: As in `EqualSteps`, but the pattern may repeat at any step: such a rule has no period.
        labels: As in `EqualSteps`.

    Raises:
        JiggenError: If a step would be less than a cent or longer than the string, or `keep` or `labels` make no
            sense.

    Source: common practice.
    """

    divisor: float
    keep: tuple[int, ...] = ()
    labels: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        faults: list[InputError] = []
        if not (self.divisor > 1 and divisor_step_cents(self.divisor) >= SMALLEST_STEP_CENTS):
            expected = "a number above 1 that makes steps of at least 1 cent, such as 18 or 17.817"
            faults.append(InputError(where="divisor", got=f"{self.divisor:.10g}", expected=expected))
        raise_all([*faults, *_keep_faults(self.keep, 1), *_label_faults(self.labels)])


FretRule = EqualSteps | CentsSteps | RatioSteps | DivisorSteps


def ratio_cents(ratio: Fraction) -> float:
    """Returns a frequency ratio above 0 in cents, 1200 · log₂ ratio; exactly 1200 for the octave."""
    return 1200 * math.log2(ratio)


def ratio_words(ratio: Fraction) -> str:
    """Returns a ratio as the maker writes it, such as `3/2` or `2/1`."""
    return f"{ratio.numerator}/{ratio.denominator}"


def divisor_step_cents(divisor: float) -> float:
    """Returns the step in cents that shortens a string by one part in `divisor`: −1200 · log₂(1 − 1/divisor)."""
    return -1200 * math.log1p(-1 / divisor) / math.log(2)


def fret_step(rule: FretRule, fret: int) -> int:
    """Returns the step of the rule on which a fret stands; the two are the same where every step has a fret.

    Args:
        rule: The rule that the frets follow.
        fret: 0, the nut, or more.
    """
    if not rule.keep:
        return fret
    patterns, place = divmod(fret, len(rule.keep) - 1)
    return patterns * rule.keep[-1] + rule.keep[place]


def fret_label(rule: FretRule, fret: int) -> str:
    """Returns what a fret is called: its label, or its number where the rule has no labels.

    Args:
        rule: The rule that the frets follow.
        fret: 1 or more.

    Raises:
        InputError: If the rule has labels, but none for this fret. Labels are not repeated past the period, where
            some makers go on counting and others start again.
    """
    if not rule.labels:
        return str(fret)
    if not 1 <= fret <= len(rule.labels):
        raise InputError(
            where=f"label of fret {fret}",
            got=f"{len(rule.labels)} labels",
            expected="one for every fret",
            mend="Write a label for each fret of the board, or leave them all out.",
        )
    return rule.labels[fret - 1]


def rule_words(rule: FretRule) -> str:
    """Returns a rule as a plan or a message names it, such as `12 equal steps to the octave` or `rule of 18`."""
    match rule:
        case EqualSteps():
            period = "the octave" if rule.period == _OCTAVE else ratio_words(rule.period)
            words = f"{rule.steps} equal steps to {period}"
        case CentsSteps():
            words = f"{len(rule.cents)} steps to {rule.cents[-1]:.10g} cents"
        case RatioSteps():
            words = f"{len(rule.ratios)} ratios to {ratio_words(rule.ratios[-1])}"
        case DivisorSteps():
            words = f"rule of {rule.divisor:.10g}"
        case _:
            assert_never(rule)
    return f"{words}, frets on steps {' '.join(map(str, rule.keep[1:]))}" if rule.keep else words


def _keep_faults(keep: tuple[int, ...], period_steps: int) -> list[InputError]:
    if not keep:
        return []
    if keep[0] != 0:
        return [
            InputError(where="keep[0]", got=str(keep[0]), expected=_REPEATS, mend="Begin the list with 0.")
        ]
    if len(keep) == 1:
        return [InputError(where="keep", got="the nut alone", expected=_REPEATS)]
    faults = [
        InputError(where=f"keep[{index}]", got=str(step), expected=f"more than {before}, the step before it")
        for index, (before, step) in enumerate(pairwise(keep), start=1)
        if step <= before
    ]
    where = f"keep[{len(keep) - 1}]"
    if keep[-1] > LARGEST_STEP:
        faults.append(InputError(where=where, got=str(keep[-1]), expected=f"at most {LARGEST_STEP}"))
    elif keep[-1] % period_steps:
        expected = f"a multiple of {period_steps}, the steps of a period"
        mend = "End the list with the step at which the pattern repeats."
        faults.append(InputError(where=where, got=str(keep[-1]), expected=expected, mend=mend))
    return faults


def _label_faults(labels: tuple[str, ...]) -> list[InputError]:
    return [
        InputError(where=f"labels[{index}]", got="an empty label", expected="the name of a fret")
        for index, label in enumerate(labels)
        if not label.strip()
    ]


def _list_faults(
    name: str, cents: Sequence[float], words: Sequence[str], keep: tuple[int, ...]
) -> list[InputError]:
    """Returns what is wrong with a list of steps: `words` are its entries as the maker would write them."""
    if not cents:
        return [InputError(where=name, got="an empty list", expected="steps, the last of them the period")]
    if faults := _keep_faults(keep, len(cents)):
        return faults
    reached, reached_words = 0.0, "the nut"
    for step in keep[1:] or range(1, len(cents) + 1):
        periods, place = divmod(step - 1, len(cents))
        height = periods * cents[-1] + cents[place]
        if not reached + SMALLEST_STEP_CENTS - 1e-9 <= height <= LARGEST_CENTS:
            faults.append(
                InputError(
                    where=f"{name}[{place}]",
                    got=words[place],
                    expected=f"at least a cent above {reached_words}"
                    + (" and at most 100 octaves above it" if height > LARGEST_CENTS else ""),
                    mend="Put the steps in ascending order, or take an ascending choice of them with keep.",
                )
            )
        else:
            reached, reached_words = height, f"{words[place]}, the step before it"
    return faults

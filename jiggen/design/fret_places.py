"""Where the frets of a rule stand along a string. Millimetres from the nut."""

import math
from typing import assert_never

from jiggen.design.fret_rule import (
    CentsSteps,
    DivisorSteps,
    EqualSteps,
    FretRule,
    RatioSteps,
    divisor_step_cents,
    fret_step,
    ratio_cents,
)
from jiggen.errors import InputError

#: Frets beyond this are a slip.
LARGEST_FRET = 1000


def remaining(rule: FretRule, fret: float) -> float:
    """Returns the part of the open string that is left between a fret and the saddle.

    A fret that sounds the ratio r to the open string leaves 1/r of it; for 12 equal steps to the octave that is
    2^(−n/12) at fret n, for a divisor d it is (1 − 1/d)^n. Whole periods are taken out first, so that the octave
    leaves exactly half of what is left an octave lower.

    Args:
        rule: The steps and which of them get a fret.
        fret: 0 is the nut; frets past the period follow the same steps again. A fraction gives the place between two
            frets that divides their interval, in cents, in that proportion.

    Returns:
        A number from 0 to 1, with a relative error of a few parts in 10¹⁶ (below fret 30).

    Raises:
        InputError: If `fret` is negative, above `LARGEST_FRET` or not a number.

    Source: frequency inverse to length; 12 equal steps: l_n = L · 2^(−n/12), J. E. Anderson and J. R. Beausoleil,
        J. Acoust. Soc. Am. 156(1), 683 (2024).
    """
    below, beyond = _split(fret)
    low = _remaining(rule, fret_step(rule, below))
    return low * float(2.0 ** (-beyond * _interval_above(rule, below) / 1200)) if beyond else low


def distance(rule: FretRule, scale: float, fret: float) -> float:
    """Returns the distance of a fret from the front of the nut, L · (1 − remaining), in mm.

    It is always reckoned from the nut: adding fret to fret would add up their rounding.

    Args:
        rule: The steps and which of them get a fret.
        scale: Speaking length L of the open string, mm, before compensation.
        fret: As in `remaining`.

    Raises:
        InputError: As `remaining`.
    """
    return scale - scale * remaining(rule, fret)


def cents(rule: FretRule, fret: float) -> float:
    """Returns how far a fret lies above the open string, in cents: −1200 · log₂(remaining), exact for equal steps.

    Args:
        rule: The steps and which of them get a fret.
        fret: As in `remaining`.

    Raises:
        InputError: As `remaining`.
    """
    below, beyond = _split(fret)
    low = _cents(rule, fret_step(rule, below))
    return low + beyond * _interval_above(rule, below) if beyond else low


def equal_step_distance(scale: float, fret: float, *, steps_per_octave: int = 12) -> float:
    """Returns `distance` for an octave divided into equal steps.

    Args:
        scale: Speaking length of the open string, mm, before compensation.
        fret: As in `remaining`.
        steps_per_octave: Equal steps in which the string halves.

    Raises:
        InputError: As `remaining`; or if there is no step, or one of less than a cent.
    """
    return distance(EqualSteps(steps=steps_per_octave), scale, fret)


def require_fret(where: str, fret: float) -> None:
    """Refuses what is no place on a board.

    Args:
        where: What the number is, for the error.
        fret: May be a fraction.

    Raises:
        InputError: If `fret` is negative, above `LARGEST_FRET` or not a number.
    """
    if not 0 <= fret <= LARGEST_FRET:
        expected = f"a number from 0, the nut, to {LARGEST_FRET}"
        raise InputError(where=where, got=f"{fret:.10g}", expected=expected)


def _split(fret: float) -> tuple[int, float]:
    require_fret("fret", fret)
    below = math.floor(fret)
    return below, fret - below


def _interval_above(rule: FretRule, fret: int) -> float:
    return _cents(rule, fret_step(rule, fret + 1)) - _cents(rule, fret_step(rule, fret))


def _remaining(rule: FretRule, step: int) -> float:
    match rule:
        case EqualSteps():
            periods, place = divmod(step, rule.steps)
            period = float(rule.period)
            return float(period ** (-place / rule.steps) * period**-periods)
        case CentsSteps():
            periods, place = divmod(step, len(rule.cents))
            above = rule.cents[place - 1] if place else 0.0
            return float(2.0 ** (-above / 1200) * 2.0 ** (-periods * rule.cents[-1] / 1200))
        case RatioSteps():
            periods, place = divmod(step, len(rule.ratios))
            left = float(1 / rule.ratios[place - 1]) if place else 1.0
            return float(left * float(rule.ratios[-1]) ** -periods)
        case DivisorSteps():
            return float((1 - 1 / rule.divisor) ** step)
        case _:
            assert_never(rule)


def _cents(rule: FretRule, step: int) -> float:
    match rule:
        case EqualSteps():
            return ratio_cents(rule.period) * step / rule.steps
        case CentsSteps():
            periods, place = divmod(step, len(rule.cents))
            above = rule.cents[place - 1] if place else 0.0
            return above + periods * rule.cents[-1]
        case RatioSteps():
            periods, place = divmod(step, len(rule.ratios))
            above = ratio_cents(rule.ratios[place - 1]) if place else 0.0
            return above + periods * ratio_cents(rule.ratios[-1])
        case DivisorSteps():
            return step * divisor_step_cents(rule.divisor)
        case _:
            assert_never(rule)

"""Which rule a measured neck was laid out by, if the readings can tell. Millimetres."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import DivisorSteps, FretRule, rule_words
from jiggen.errors import InputError
from jiggen.layout.line_fit import fit_line
from jiggen.layout.measured import (
    SIGNIFICANT,
    TWELVE_EQUAL,
    NeckFit,
    Reading,
    Zero,
    fit_sound,
    in_order,
    least_scatter,
    sound,
)
from jiggen.layout.student import chance

#: The old rule of the trade: common practice.
RULE_OF_18 = DivisorSteps(divisor=18)
#: The same with the divisor that brings fret 12 to the middle within 0.01 mm: common practice.
RULE_OF_17_817 = DivisorSteps(divisor=17.817)
#: A rule is ruled out when chance alone would speak against it as strongly in less than one case in a hundred.
RULED_OUT = 0.01

#: mm. Rules whose frets differ by less than this, once scaled to fit, are the same on wood.
SAME_PLACE = 1e-6


class Verdict(StrEnum):
    """What the readings say of the rules."""

    ONE_FITS = "one fits"  #: one rule explains the readings, and each of the others is ruled out
    CANNOT_TELL = "cannot tell"  #: the readings do not separate the rules
    NONE_FITS = "none fits"  #: every rule is ruled out


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFit:
    """How one rule fits.

    Attributes:
        fit: Its scale length, residuals and their RMS. All rules are fitted to the same readings.
        chance: How often chance alone would let some other of the rules explain as much of this one's residuals.
    """

    fit: NeckFit
    chance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleComparison:
    """Rules compared on one neck.

    Attributes:
        verdict: What the readings say.
        rule: The rule that fits; None unless the verdict is that one does.
        reason: The verdict in a sentence, with the numbers it rests on.
        candidates: The rules, smallest residuals first.
    """

    verdict: Verdict
    rule: FretRule | None
    reason: str
    candidates: tuple[RuleFit, ...]


def compare_rules(
    readings: Sequence[Reading],
    *,
    rules: Sequence[FretRule] = (TWELVE_EQUAL, RULE_OF_18),
    zero: Zero = Zero.AUTO,
    resolution: float | None = None,
) -> RuleComparison:
    """Returns which of some rules a measured neck follows, or that the readings cannot tell.

    Each rule is fitted by itself, with a scale length of its own. Then it is asked whether the stopped lengths of
    another rule, added to its own as one more unknown, would explain more of its residuals than chance would; if so,
    it is ruled out. A rule fits when it alone is left. An offset of the zero looks much like a change of rule, so
    with `Zero.AUTO` a verdict is given only if it stands with the zero at the nut and with the zero free.

    Args:
        readings: In any order. Left out are those that are slips whichever rule is taken.
        rules: Two or more.
        zero: How to treat the zero; the nut itself, read as fret 0, helps to hold it.
        resolution: Smallest step of the bench rule, mm.

    Raises:
        InputError: If there are fewer than two rules; or too few frets: one more than unknowns, which are the scale,
            the other rule's part and, where it is free, the zero.

    Source: comparison of models that do not contain each other by the F test of each against both together,
        G. E. Mizon and J.-F. Richard, Econometrica 54(3), 657 (1986) (from memory); F with one degree of freedom is
        the square of Student's t.
    """
    if len(rules) < 2:
        raise InputError(where="rules to compare", got=str(len(rules)), expected="two or more")
    readings = in_order(readings)
    least = least_scatter(resolution)
    count = len({reading.fret for reading in readings})
    needed = 4 if zero is Zero.FREE else 3
    if count < needed:
        raise InputError(
            where="the readings",
            got=f"{count} {'fret' if count == 1 else 'frets'}",
            expected=f"at least {needed} different frets to compare rules",
            mend="Measure more frets, near the nut and far from it.",
        )
    if zero is not Zero.AUTO:
        return _compared(_contest(readings, rules, free=zero is Zero.FREE, least=least))
    held = _contest(readings, rules, free=False, least=least)
    if count < 4:
        return _compared(held)
    free = _contest(readings, rules, free=True, least=least)
    offset = free[0].fit.zero
    if offset is not None and offset.chance < SIGNIFICANT:
        return _compared(free)
    return _agreed(_compared(held), _compared(free))


def _contest(
    readings: Sequence[Reading], rules: Sequence[FretRule], *, free: bool, least: float
) -> tuple[RuleFit, ...]:
    """Returns each rule's fit to the readings that at least one of them takes for sound, best first."""
    kept = [
        any(each)
        for each in zip(*(sound(readings, rule, free=free, least=least) for rule in rules), strict=True)
    ]
    fits = [fit_sound(readings, kept, rule, free=free, least=least) for rule in rules]
    fits.sort(key=lambda fit: fit.rms)
    return tuple(
        RuleFit(
            fit=fit,
            chance=min(
                _chance(fit, other.rule, free=free, least=least) for other in fits if other is not fit
            ),
        )
        for fit in fits
    )


def _chance(fit: NeckFit, other: FretRule, *, free: bool, least: float) -> float:
    """Returns how often chance alone would let another rule explain as much of a fit's residuals."""
    own = [1.0 - remaining(fit.rule, measured.fret) for measured in fit.frets]
    others = [1.0 - remaining(other, measured.fret) for measured in fit.frets]
    new = fit_line(list(zip(own, others, strict=True)), through_origin=not free).residuals
    if max(map(abs, new)) * fit.scale < SAME_PLACE:
        return 1.0
    residuals = [measured.residual for measured in fit.frets]
    new_squares = math.fsum(each * each for each in new)
    part = math.fsum(each * residual for each, residual in zip(new, residuals, strict=True)) / new_squares
    unexplained = math.fsum(
        (residual - part * each) ** 2 for each, residual in zip(new, residuals, strict=True)
    )
    freedom = fit.freedom - 1
    scatter = max(math.sqrt(unexplained / freedom), least)
    return chance(part * math.sqrt(new_squares) / scatter, freedom)


def _compared(candidates: tuple[RuleFit, ...]) -> RuleComparison:
    left = [each.fit.rule for each in candidates if each.chance >= RULED_OUT]
    told = "; ".join(
        f"{rule_words(each.fit.rule)} leaves {each.fit.rms:.3f} mm RMS on a scale of {each.fit.scale:.2f} mm"
        + (" and is ruled out" if each.chance < RULED_OUT else "")
        for each in candidates
    )
    match len(left):
        case 0:
            return RuleComparison(
                verdict=Verdict.NONE_FITS, rule=None, reason=f"No rule fits: {told}.", candidates=candidates
            )
        case 1:
            return RuleComparison(
                verdict=Verdict.ONE_FITS,
                rule=left[0],
                reason=f"{rule_words(left[0])} fits: {told}.",
                candidates=candidates,
            )
        case _:
            names = " from ".join(map(rule_words, left))
            return RuleComparison(
                verdict=Verdict.CANNOT_TELL,
                rule=None,
                reason=f"The readings do not tell {names}: {told}.",
                candidates=candidates,
            )


def _agreed(held: RuleComparison, free: RuleComparison) -> RuleComparison:
    """Returns the verdict with the zero at the nut, unless a zero somewhere else would overturn it."""
    if held.rule is None or held.rule == free.rule:
        return held
    rival = next(each.fit for each in free.candidates if each.fit.rule != held.rule)
    offset = f"{rival.zero.value:.2f} mm" if rival.zero else "somewhere"
    return replace(
        held,
        verdict=Verdict.CANNOT_TELL,
        rule=None,
        reason=f"With the zero at the nut, {held.reason} But with the zero {offset} off, "
        f"{rule_words(rival.rule)} would fit as well: make sure where the zero was and say so.",
    )

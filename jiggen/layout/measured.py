"""A neck measured on the bench: the scale length that its frets tell, and how well they tell it. Millimetres."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from jiggen.design.fret_places import remaining, require_fret
from jiggen.design.fret_rule import EqualSteps, FretRule
from jiggen.errors import InputError
from jiggen.layout.line_fit import Place, fit_places, places, sound_readings
from jiggen.layout.quantity import require_finite, require_positive
from jiggen.layout.student import chance, coverage_factor

#: The rule that most necks follow.
TWELVE_EQUAL = EqualSteps(steps=12)
#: mm. Nobody reads a fret's crown or a board's edge better than this; readings that agree better do so by chance:
#: common practice.
LEAST_SCATTER = 0.01
#: A zero that chance alone would move as far more often than this counts as being at the nut.
SIGNIFICANT = 0.05


class Zero(StrEnum):
    """Where the zero of the bench rule is taken to have been."""

    NUT = "nut"  #: at the front of the nut
    FREE = "free"  #: anywhere: it is fitted
    AUTO = "auto"  #: at the nut, unless the readings say otherwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A distance read off a neck.

    Attributes:
        fret: Its number; 0 for the nut.
        distance: From the zero of the bench rule to the middle of the fret's crown, mm.
        where: The reading's place in the maker's notes, for messages.

    Raises:
        InputError: If the fret or the distance is impossible.
    """

    fret: int
    distance: float
    where: str = ""

    def __post_init__(self) -> None:
        where = self.where or "a reading"
        require_fret(f"{where}, fret", self.fret)
        require_finite(f"{where}, fret {self.fret}", self.distance, "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredFret:
    """A fret as it was measured, against the fitted scale.

    Attributes:
        fret: Its number.
        distance: Mean of its readings from the nut, mm, an offset of the zero taken off.
        expected: Where the rule puts it on the fitted scale, mm.
        residual: `distance` less `expected`, mm.
        cents: What the residual does to the pitch; above 0: sharp. None beyond the saddle.
        readings: How many there are.
    """

    fret: int
    distance: float
    expected: float
    residual: float
    cents: float | None
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A reading that does not follow the others and was left out of the fit.

    Attributes:
        reading: As given.
        residual: Reading less fitted place, mm.
        cents: The residual as pitch; above 0: sharp. None beyond the saddle.
    """

    reading: Reading
    residual: float
    cents: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ZeroOffset:
    """By how much the zero of the bench rule was off, as the readings tell it.

    Attributes:
        value: What the bench rule shows at the nut, mm.
        uncertainty: Standard uncertainty, mm.
        chance: How often readings of a rule that starts at the nut would show as much (Student's t, two-sided).
        applied: Whether it was taken off the readings. If not, the scale rests on the zero being at the nut.
        scale: The scale length when it is taken off, mm.
    """

    value: float
    uncertainty: float
    chance: float
    applied: bool
    scale: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckFit:
    """A scale length fitted to readings.

    Attributes:
        rule: The rule that the frets were taken to follow.
        scale: Speaking length before compensation, mm.
        uncertainty: Its standard uncertainty, mm: type A, from the scatter. What the bench rule itself is wrong by
            comes on top.
        freedom: Degrees of freedom of the uncertainty.
        scatter: Standard deviation of the frets about the rule, mm.
        rms: Root mean square of the residuals, mm.
        zero: What the readings tell of the zero; None when there are too few frets to tell.
        frets: The measured frets in ascending order.
        slips: Readings left out, in ascending order of fret and distance.
    """

    rule: FretRule
    scale: float
    uncertainty: float
    freedom: int
    scatter: float
    rms: float
    zero: ZeroOffset | None
    frets: tuple[MeasuredFret, ...]
    slips: tuple[Slip, ...]

    @property
    def expanded(self) -> float:
        """Half the width of the interval that holds the scale with a probability of 95 %, mm (JCGM 100:2008, G.3)."""
        return coverage_factor(self.freedom) * self.uncertainty


def fit_neck(
    readings: Sequence[Reading],
    *,
    rule: FretRule = TWELVE_EQUAL,
    zero: Zero = Zero.AUTO,
    resolution: float | None = None,
) -> NeckFit:
    """Returns the scale length that measured fret distances tell.

    The distance to fret n is d = z + L · (1 − remaining(n)), a straight line in the part of the string that is
    stopped, with the scale length L as its slope and the offset z of the zero as its intercept. Slips are found and
    left out first (`line_fit.sound_readings`); then each fret counts once, with the mean of its readings.

    Args:
        readings: In any order; repeats and missing frets are welcome.
        rule: What the frets are taken to follow.
        zero: How to treat the zero. With `AUTO` the offset is fitted when chance alone would show as much in less
            than one case in twenty. An offset too small to stand out could still shift the scale: the shift that the
            readings hint at is then counted as a further standard uncertainty.
        resolution: Smallest step of the bench rule, mm. The scatter is taken as no smaller than resolution/√12, the
            standard uncertainty of a value known to lie within one step.

    Raises:
        InputError: If there are too few frets (one more than unknowns), or too few that agree, or no scale length
            fits them.

    Source: JCGM 100:2008: 4.2 and H.3 (type A, least squares), F.2.2.1 (resolution).
    """
    readings = in_order(readings)
    least = least_scatter(resolution)
    if zero is Zero.AUTO and (fit := _fit_with_offset(readings, rule, least)):
        return fit
    free = zero is Zero.FREE
    kept = sound(readings, rule, free=free, least=least)
    fit = fit_sound(readings, kept, rule, free=free, least=least)
    if zero is Zero.AUTO and fit.zero:
        return replace(fit, uncertainty=math.hypot(fit.uncertainty, fit.zero.scale - fit.scale))
    return fit


def in_order(readings: Sequence[Reading]) -> list[Reading]:
    """Returns readings by fret, then distance: the order in which they came plays no part in any fit."""
    return sorted(readings, key=lambda reading: (reading.fret, reading.distance, reading.where))


def least_scatter(resolution: float | None) -> float:
    """Returns the scatter that a bench rule of some resolution has at least, mm.

    Raises:
        InputError: If the resolution is not above zero.
    """
    if resolution is None:
        return LEAST_SCATTER
    require_positive("resolution of the bench rule", resolution, "mm")
    return max(resolution / math.sqrt(12), LEAST_SCATTER)


def sound(readings: Sequence[Reading], rule: FretRule, *, free: bool, least: float) -> tuple[bool, ...]:
    """Tells which readings follow the rule and are no slips; with the zero free or at the nut.

    Raises:
        InputError: If there are too few frets to tell.
    """
    _require_frets({reading.fret for reading in readings}, free=free, agree=False)
    return sound_readings(_points(readings, rule), through_origin=not free, least_scatter=least)


def fit_sound(
    readings: Sequence[Reading], kept: Sequence[bool], rule: FretRule, *, free: bool, least: float
) -> NeckFit:
    """Returns the fit to the readings that are kept; the others are its slips.

    Args:
        readings: In order.
        kept: For each reading whether it is part of the fit.
        rule: What the frets are taken to follow.
        free: Whether the zero is fitted.
        least: The scatter is taken as no smaller than this, mm.

    Raises:
        InputError: If there are too few frets, or no scale length fits them.
    """
    good = [reading for reading, keep in zip(readings, kept, strict=True) if keep]
    frets = sorted({reading.fret for reading in good})
    _require_frets(frets, free=free, agree=True)
    found = places(_points(good, rule))
    line = fit_places(found, through_origin=not free, least_scatter=least)
    if line.slope <= 0.0:
        raise InputError(
            where="the readings",
            got=f"distances that would fit a scale of {line.slope:.1f} mm",
            expected="distances from the nut that grow with the fret",
        )
    slips = []
    for reading in (reading for reading, keep in zip(readings, kept, strict=True) if not keep):
        off = reading.distance - line.at(1.0 - remaining(rule, reading.fret))[0]
        slips.append(Slip(reading=reading, residual=off, cents=_cents(rule, line.slope, reading.fret, off)))
    return NeckFit(
        rule=rule,
        scale=line.slope,
        uncertainty=line.slope_uncertainty,
        freedom=line.freedom,
        scatter=line.scatter,
        rms=line.rms,
        zero=_zero(found, applied=free, least=least),
        frets=tuple(
            MeasuredFret(
                fret=fret,
                distance=place.y - line.intercept,
                expected=line.slope * place.x,
                residual=residual,
                cents=_cents(rule, line.slope, fret, residual),
                readings=place.count,
            )
            for fret, place, residual in zip(frets, found, line.residuals, strict=True)
        ),
        slips=tuple(slips),
    )


def _fit_with_offset(readings: Sequence[Reading], rule: FretRule, least: float) -> NeckFit | None:
    """Returns the fit with the zero free, if there are frets enough and the offset stands out."""
    if len({reading.fret for reading in readings}) < 3:
        return None
    kept = sound(readings, rule, free=True, least=least)
    if len({reading.fret for reading, keep in zip(readings, kept, strict=True) if keep}) < 3:
        return None
    fit = fit_sound(readings, kept, rule, free=True, least=least)
    return fit if fit.zero and fit.zero.chance < SIGNIFICANT else None


def _points(readings: Sequence[Reading], rule: FretRule) -> list[tuple[float, float]]:
    """Returns the stopped part of the string and the distance read, for each reading."""
    return [(1.0 - remaining(rule, reading.fret), reading.distance) for reading in readings]


def _zero(found: Sequence[Place], *, applied: bool, least: float) -> ZeroOffset | None:
    if len(found) < 3:
        return None
    line = fit_places(found, through_origin=False, least_scatter=least)
    return ZeroOffset(
        value=line.intercept,
        uncertainty=line.intercept_uncertainty,
        chance=chance(line.intercept / line.intercept_uncertainty, line.freedom),
        applied=applied,
        scale=line.slope,
    )


def _cents(rule: FretRule, scale: float, fret: int, off: float) -> float | None:
    """Returns how much sharper a fret sounds that stands `off` mm too near the saddle."""
    left = scale * remaining(rule, fret)
    return 1200 * math.log2(left / (left - off)) if left > off else None


def _require_frets(frets: Collection[int], *, free: bool, agree: bool) -> None:
    needed = 3 if free else 2
    if len(frets) < needed:
        raise InputError(
            where="the readings",
            got="1 fret" + " that agrees" * agree
            if len(frets) == 1
            else f"{len(frets)} frets" + " that agree" * agree,
            expected=f"at least {needed} different frets" + (", to find the zero as well" if free else ""),
            mend="Measure more frets: the last one tells the most." if not agree else "Measure again.",
        )

"""A neck from the bench as a whole: the scale, the rule of its frets, the taper of its board. Millimetres."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev
from typing import Any, TypeVar, assert_never

from jiggen.design.fret_places import distance
from jiggen.design.fret_rule import FretRule, rule_words
from jiggen.design.model import MEASURED, Given
from jiggen.design.model import WidthAt as DesignWidth
from jiggen.layout.measured import TWELVE_EQUAL, NeckFit, fit_neck
from jiggen.layout.measured_rule import RuleComparison, compare_rules
from jiggen.layout.measured_width import TaperFit, WidthAt, WidthAtFret, WidthReading, fit_taper
from jiggen.layout.readings import BenchReadings, SpreadAt

T = TypeVar("T")

_FEWEST_TO_COMPARE = 3  #: frets that tell one rule from another
_FEWEST_FOR_TAPER = 3  #: places that tell a straight taper and its scatter


@dataclass(frozen=True, slots=True, kw_only=True)
class Mean:
    """Readings of one thing.

    Attributes:
        value: Their mean, mm.
        uncertainty: Its standard uncertainty, mm, from their scatter; None for a single one.
        count: How many there are.

    Source: JCGM 100:2008, 4.2.3.
    """

    value: float
    uncertainty: float | None
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthMean:
    """Width readings of one place.

    Attributes:
        fret: Where; None when a distance was given.
        distance: From the front of the nut, mm.
        width: What was read.
    """

    fret: int | None
    distance: float
    width: Mean


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchFit:
    """What the readings tell.

    Attributes:
        neck: The scale, by the rule that fits, or by 12 equal steps when the readings do not tell.
        comparison: Of the rules; None when fewer than three frets were read.
        widths: What was read of the board's width, place by place.
        taper: A straight line through them; None when there are fewer than three places.
        spread_at_nut: Of the outer strings, None when it was not read.
        spread_at_bridge: The same.
    """

    neck: NeckFit
    comparison: RuleComparison | None
    widths: tuple[WidthMean, ...]
    taper: TaperFit | None
    spread_at_nut: Mean | None
    spread_at_bridge: Mean | None


def fit_bench(readings: BenchReadings) -> BenchFit:
    """Returns what readings tell of a neck.

    Raises:
        InputError: If there are too few frets, or too few that agree; or widths that make no straight taper.
    """
    frets = {reading.fret for reading in readings.frets}
    comparison = compare_rules(readings.frets) if len(frets) >= _FEWEST_TO_COMPARE else None
    rule = (comparison.rule if comparison else None) or TWELVE_EQUAL
    neck = fit_neck(readings.frets, rule=rule)
    widths = _width_means(readings.widths, neck.scale, rule)
    return BenchFit(
        neck=neck,
        comparison=comparison,
        widths=widths,
        taper=fit_taper(readings.widths, scale=neck.scale, rule=rule)
        if len(widths) >= _FEWEST_FOR_TAPER
        else None,
        spread_at_nut=_spread(readings, SpreadAt.NUT),
        spread_at_bridge=_spread(readings, SpreadAt.BRIDGE),
    )


def design_numbers(fit: BenchFit, *, file: str) -> dict[str, Given[Any]]:
    """Returns the numbers that a design takes from a fit, by field of `Design`, rounded to 0.01 mm.

    Args:
        fit: Of the readings.
        file: Where they were read from, to name as the place of the numbers.
    """
    neck = fit.neck
    last = neck.frets[-1].fret
    numbers: dict[str, Given[Any]] = {
        "scale": _length(
            neck.scale,
            f"standard uncertainty {neck.uncertainty:.2f} mm from {len(neck.frets)} frets, "
            f"95 %: ± {neck.expanded:.2f} mm",
            file,
        ),
        "frets": _measured(last, str(last), "the last fret that was read", file),
    }
    if fit.comparison and fit.comparison.rule:
        best, *rivals = sorted(
            (each.fit for each in fit.comparison.candidates), key=lambda each: each.rule != neck.rule
        )
        against = ", ".join(f"{rule_words(each.rule)} {each.rms:.2f} mm" for each in rivals)
        note = f"off by {best.rms:.2f} mm RMS against {against}"
        numbers["fret_rule"] = _measured(neck.rule, "", note, file)
    for field, mean in (("spread_at_nut", fit.spread_at_nut), ("spread_at_bridge", fit.spread_at_bridge)):
        if mean:
            numbers[field] = _length(mean.value, _mean_words(mean), file)
    return numbers | (
        _taper_numbers(fit.taper, fit.widths[-1], file) if fit.taper else _width_numbers(fit, file)
    )


def _width_numbers(fit: BenchFit, file: str) -> dict[str, Given[Any]]:
    """Returns widths as they were read."""
    numbers: dict[str, Given[Any]] = {}
    others = [each for each in fit.widths if each.distance != 0.0]
    if len(others) < len(fit.widths):
        nut = fit.widths[0].width
        numbers["nut_width"] = _length(nut.value, _mean_words(nut), file)
    if others:
        words = "; ".join(dict.fromkeys(_mean_words(each.width) for each in others))
        told = tuple(_design_width(each, each.width.value) for each in others)
        numbers["widths"] = _measured(told, "", words, file)
    return numbers


def _taper_numbers(taper: TaperFit, far: WidthMean, file: str) -> dict[str, Given[Any]]:
    """Returns the taper's width at the nut and at the furthest place that was read."""
    (nut, nut_uncertainty), (width, uncertainty) = taper.width_at(0.0), taper.width_at(far.distance)
    through = f"straight taper through {len(taper.widths)} places"
    return {
        "nut_width": _length(nut, f"standard uncertainty {nut_uncertainty:.2f} mm, {through}", file),
        "widths": _measured(
            (_design_width(far, width),), "", f"standard uncertainty {uncertainty:.2f} mm, {through}", file
        ),
    }


def _measured(value: T, text: str, note: str, file: str) -> Given[T]:
    name = file.replace("\\", "/").rpartition("/")[2][:60]
    return Given(value, MEASURED, text, f"{note}; {name}", file)


def _length(value: float, note: str, file: str) -> Given[float]:
    return _measured(round(value, 2), f"{value:.2f} mm", note, file)


def _design_width(place: WidthMean, width: float) -> DesignWidth:
    if place.fret is not None:
        return DesignWidth(width=round(width, 2), fret=place.fret)
    return DesignWidth(width=round(width, 2), distance=place.distance)


def _mean_words(mean: Mean) -> str:
    if mean.uncertainty is None:
        return "read once"
    return f"mean of {mean.count} readings, standard uncertainty {mean.uncertainty:.2f} mm"


def _width_means(readings: Sequence[WidthReading], scale: float, rule: FretRule) -> tuple[WidthMean, ...]:
    """Returns the readings place by place, from the nut on."""
    at: dict[float, list[WidthReading]] = {}
    for reading in readings:
        match reading:
            case WidthAt():
                along = reading.distance
            case WidthAtFret():
                along = distance(rule, scale, reading.fret)
            case _:
                assert_never(reading)
        at.setdefault(along, []).append(reading)
    return tuple(
        WidthMean(
            fret=next((each.fret for each in here if isinstance(each, WidthAtFret)), None),
            distance=along,
            width=_mean([each.width for each in here]),
        )
        for along, here in sorted(at.items())
    )


def _spread(readings: BenchReadings, at: SpreadAt) -> Mean | None:
    spreads = [each.spread for each in readings.spreads if each.at is at]
    return _mean(spreads) if spreads else None


def _mean(values: Sequence[float]) -> Mean:
    uncertainty = stdev(values) / math.sqrt(len(values)) if len(values) > 1 else None
    return Mean(value=fmean(values), uncertainty=uncertainty, count=len(values))

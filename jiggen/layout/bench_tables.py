"""A fit of readings as tables of plain numbers, for printing and for JSON. Millimetres."""

from typing import Any

from jiggen.design.fret_rule import rule_words
from jiggen.layout.bench import BenchFit, Mean
from jiggen.layout.measured import NeckFit


def fit_tables(fit: BenchFit) -> dict[str, Any]:
    """Returns a fit as plain dictionaries and lists, ready for JSON; lengths in mm, unrounded."""
    neck = fit.neck
    return {
        "schema": "jiggen-fit/1",
        "unit": "mm",
        "scale": {
            "value": neck.scale,
            "standard-uncertainty": neck.uncertainty,
            "expanded-uncertainty-95": neck.expanded,
            "degrees-of-freedom": neck.freedom,
            "scatter": neck.scatter,
            "rms": neck.rms,
        },
        "zero": {
            "offset": neck.zero.value,
            "standard-uncertainty": neck.zero.uncertainty,
            "taken-off": neck.zero.applied,
        }
        if neck.zero
        else None,
        "fret-rule": {
            "verdict": fit.comparison.verdict.value,
            "fits": rule_words(fit.comparison.rule) if fit.comparison.rule else None,
            "reason": fit.comparison.reason,
            "candidates": [
                {
                    "rule": rule_words(each.fit.rule),
                    "scale": each.fit.scale,
                    "rms": each.fit.rms,
                    "chance": each.chance,
                }
                for each in fit.comparison.candidates
            ],
        }
        if fit.comparison
        else None,
        "frets": _frets(neck),
        "slips": [
            {
                "where": slip.reading.where,
                "fret": slip.reading.fret,
                "read": slip.reading.distance,
                "off": slip.residual,
                "cents": slip.cents,
            }
            for slip in neck.slips
        ],
        "widths": _widths(fit),
        "width-slips": [
            {"where": slip.reading.where, "read": slip.reading.width, "off": slip.residual}
            for slip in (fit.taper.slips if fit.taper else ())
        ],
        "spread-at-nut": _mean(fit.spread_at_nut),
        "spread-at-bridge": _mean(fit.spread_at_bridge),
    }


def _frets(neck: NeckFit) -> list[dict[str, Any]]:
    return [
        {
            "fret": fret.fret,
            "readings": fret.readings,
            "from-nut": fret.distance,
            "by-the-rule": fret.expected,
            "off": fret.residual,
            "cents": fret.cents,
        }
        for fret in neck.frets
    ]


def _widths(fit: BenchFit) -> list[dict[str, Any]]:
    """Returns the places where widths were read; with what the taper has there, where there is one."""
    by_taper = {each.distance: each for each in (fit.taper.widths if fit.taper else ())}
    return [
        {
            "fret": place.fret,
            "from-nut": place.distance,
            "readings": place.width.count,
            "width": found.width if found else place.width.value,
            "by-the-taper": found.expected if found else None,
            "off": found.residual if found else None,
        }
        for place in fit.widths
        for found in [by_taper.get(place.distance)]
    ]


def _mean(mean: Mean | None) -> dict[str, Any] | None:
    if mean is None:
        return None
    return {"value": mean.value, "standard-uncertainty": mean.uncertainty, "readings": mean.count}

"""The layout as tables of plain numbers, for printing and for JSON. Millimetres, degrees, newtons and cents."""

import math
from typing import Any

from jiggen.design.fret_rule import rule_words
from jiggen.design.given import known
from jiggen.layout.body_numbers import body_numbers
from jiggen.layout.fan import x_at_centre
from jiggen.layout.model import FretLine, Layout
from jiggen.layout.outline_story import outline_tables
from jiggen.layout.radius import slot_depth
from jiggen.layout.setup import SaddlePlan, StringSetup


def layout_tables(layout: Layout, setup: StringSetup, design_id: str) -> dict[str, Any]:
    """Returns a layout as plain dictionaries and lists, ready for JSON; lengths in mm, unrounded.

    Args:
        layout: Of the neck.
        setup: Of the strings on it.
        design_id: Of its spec.
    """
    spec = layout.spec
    return {
        "schema": "jiggen-layout/1",
        "unit": "mm",
        "design": {"name": spec.design.name, "id": design_id, "date": spec.design.date},
        "numbers": _numbers(layout),
        "fret-rule": rule_words(spec.fret_rule.value),
        "board": {
            "length": x_at_centre(layout.board_end),
            "width-at-nut": layout.nut.start.distance(layout.nut.end),
            "width-at-end": layout.board_end.start.distance(layout.board_end.end),
            "radius-at-nut": layout.radius.at_nut if layout.radius else None,
            "radius-at-end": layout.radius.at_end if layout.radius else None,
        },
        "frets": [_fret(layout, fret) for fret in layout.frets],
        "strings": [
            {
                "string": string.number,
                "course": string.course,
                "scale": string.scale,
                "at-nut": string.line.start.y,
                "at-saddle": string.line.end.y,
                "gauge": string.gauge,
            }
            for string in layout.strings
        ],
        "inlays": [
            {"fret": inlay.fret, "centres": [[centre.x, centre.y] for centre in inlay.centres]}
            for inlay in layout.inlays
        ],
        "body": _body(layout),
        "outlines": outline_tables(spec),
        "tension": _tension(setup),
        "saddle": _saddle(layout, setup.saddle) if setup.saddle else None,
        "remarks": list(setup.remarks),
    }


def _numbers(layout: Layout) -> dict[str, dict[str, Any]]:
    spec = layout.spec
    fan = (
        (
            ("scale-bass", spec.scale_bass),
            ("scale-treble", spec.scale_treble),
            ("straight-fret", spec.straight_fret),
        )
        if spec.fanned
        else ()
    )
    told = (
        ("scale", spec.scale),
        *fan,
        ("nut-width", spec.nut_width),
        ("spread-at-nut", spec.spread_at_nut),
        ("spread-at-bridge", spec.spread_at_bridge),
        ("setback-bass", spec.setback_bass),
        ("setback-treble", spec.setback_treble),
        ("width-at-saddle", spec.width_at_saddle),
        ("frets", spec.frets),
        ("overhang", spec.overhang),
        ("strings", spec.string_count),
    )
    return {
        name: {"value": given.value, "source": given.source, "note": given.note, "text": given.text}
        for name, given in told
    }


def _fret(layout: Layout, fret: FretLine) -> dict[str, Any]:
    return {
        "fret": fret.number,
        "label": fret.label,
        "from-nut": fret.distance,
        "from-previous": fret.from_previous,
        "to-saddle": x_at_centre(layout.saddle) - fret.distance,
        "board-width": fret.width,
        "string-spread": fret.spread,
        "skew-degrees": math.degrees(fret.skew),
        "bend": fret.bend,
        "bass-end": [fret.line.start.x, fret.line.start.y],
        "treble-end": [fret.line.end.x, fret.line.end.y],
        "crossings": [place and [place.x, place.y] for place in fret.crossings],
        **fret_work(layout, fret),
    }


def fret_work(layout: Layout, fret: FretLine) -> dict[str, float]:
    """Returns what the bench must know of a fret: length of wire to cut, and the slot's depth where it is known, mm."""
    spec = layout.spec
    work = {"wire-length": fret.width + 2.0 * spec.wire_overhang.value}
    if spec.tang_depth:
        work["slot-depth"] = slot_depth(spec.tang_depth.value, layout.radius, fret.distance, fret.width)
    return work


def _body(layout: Layout) -> dict[str, Any] | None:
    """What follows from the body's outline; areas in mm², volume in mm³."""
    found = body_numbers(layout)
    if found is None:
        return None
    bend = found.smallest_bend
    high, low = ("bass", "treble") if layout.spec.left_handed.value else ("treble", "bass")
    return {
        "neck-end": found.neck_end,
        "joint-fret": known(layout.spec.body.joint_fret),
        "area": found.area,
        "perimeter": found.perimeter,
        "sides": dict(zip((high, low), found.sides, strict=True)),
        "side-wood": dict(zip((high, low), found.side_wood, strict=True)),
        "smallest-bend": {
            "radius": bend.radius,
            "from-nut": bend.x,
            "hollow": bend.hollow,
        }
        if bend
        else None,
        "waist-radius": found.waist.radius if found.waist else None,
        "inside-area": found.inside_area,
        "air": found.air,
        "saddle-from-neck-end": found.saddle_from_neck_end,
        "sound-hole-from-neck-end": found.sound_hole_from_neck_end,
        "overall": found.overall,
    }


def _tension(setup: StringSetup) -> dict[str, Any] | None:
    if setup.pull is None or setup.string_set is None:
        return None
    return {
        "set": setup.string_set.name,
        "strings": [
            {
                "string": each.number,
                "pitch": each.pitch.name,
                "hertz": each.pitch.frequency_hz,
                "kg-per-m": each.unit_mass_kg_m,
                "newtons": each.tension_n,
                "share-of-strength": each.strain.share if each.strain else None,
            }
            for each in setup.pulls
        ],
        "courses-newtons": list(setup.pull.courses_n),
        "total-newtons": setup.pull.total_n,
        "cautions": list(setup.cautions),
    }


def _saddle(layout: Layout, saddle: SaddlePlan) -> dict[str, Any]:
    straight = saddle.straight
    return {
        "by": saddle.by.value,
        "setback-at-centre": straight.setback_at_centre_mm,
        "slant-degrees": math.degrees(straight.slant_rad),
        "strings": [
            {
                "string": string.number,
                "setback": straight.setback_at(string.line.end.y),
                "own-setback": own.setbacks.saddle_mm if own else None,
                "nut-setback": own.setbacks.nut_mm if own else None,
                "residual-cents": list(cents) if cents else None,
            }
            for string, own, cents in zip(
                layout.strings,
                saddle.compensations or (None,) * len(layout.strings),
                saddle.residual_cents or (None,) * len(layout.strings),
                strict=True,
            )
        ],
        "caution": saddle.caution,
    }

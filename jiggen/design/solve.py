"""Solves a design: from what the maker said to a spec in which every number is present."""

from dataclasses import fields, replace
from typing import Any, TypeVar

from jiggen.design.by_outline import measured
from jiggen.design.fill import fill_design
from jiggen.design.fret_rule import FretRule
from jiggen.design.limits import check_spec
from jiggen.design.model import SOLVED, Design, EndShape, Given, SetbackTo, Spacing
from jiggen.design.quote import assumption, key_of, missing, where_of
from jiggen.design.scale import Scales, solve_scales
from jiggen.design.spec import Spec, ToolSpec
from jiggen.design.usual import USUAL, with_usual
from jiggen.design.widths import Widths, has_setback, lacking_widths, solve_widths
from jiggen.errors import ConflictError, JiggenError, raise_all

T = TypeVar("T")

#: mm; by which given numbers may disagree: what a rule with half millimetres can tell
DEFAULT_TOLERANCE = 0.05


def solve(design: Design, defaults: Design | None = None) -> Spec:
    """Solves a design.

    Any set of numbers that settles scale and taper is enough; numbers beyond that are checked against the others.
    What they leave open is taken from the instrument profile and marked as assumed.

    Args:
        design: What the maker wrote.
        defaults: The instrument profile that fills what was left out, see `fill_design`.

    Raises:
        InputError: If a number is missing and neither profile nor the other numbers give it.
        ConflictError: If two numbers cannot both be true.
        LimitError: If they describe no board that can be.
        SeveralErrors: If more than one thing is wrong.
    """
    full = with_usual(_count_strings(fill_design(design, defaults) if defaults else design))
    rule: FretRule = (full.fret_rule or USUAL["fret_rule"]).value
    tolerance = full.tolerance.value if full.tolerance else DEFAULT_TOLERANCE
    where = f'design "{full.name}"'
    full = measured(full, tolerance=tolerance)
    scales = solve_scales(full, rule, tolerance=tolerance, where=where)
    _check_complete(full, scales, rule)
    scales = _present(scales)
    widths = solve_widths(full, scales.middle.value, rule, tolerance=tolerance, where=where)
    spec = _spec(full, scales, widths)
    check_spec(full, spec)
    return replace(spec, design=design)


def _spec(full: Design, scales: Scales, widths: Widths) -> Spec:
    strings = _present(full.string_count)
    return Spec(
        design=full,
        scale=scales.middle,
        scale_bass=scales.bass,
        scale_treble=scales.treble,
        straight_fret=full.straight_fret or USUAL["straight_fret"],
        nut_width=widths.nut_width,
        frets=_present(full.frets),
        fret_rule=full.fret_rule or USUAL["fret_rule"],
        partial_frets=full.partial_frets,
        zero_fret=full.zero_fret or USUAL["zero_fret"],
        nut_behind=full.nut_behind or USUAL["nut_behind"],
        overhang=_present(full.overhang),
        end=full.end or USUAL["end"],
        end_angle=full.end_angle or USUAL["end_angle"],
        end_radius=full.end_radius,
        radius=full.radius,
        radius_at_end=full.radius_at_end,
        tang_depth=full.tang_depth,
        wire_overhang=full.wire_overhang or USUAL["wire_overhang"],
        string_count=strings,
        courses=full.courses or Given((1,) * strings.value, SOLVED),
        course_spacing_nut=full.course_spacing_nut or USUAL["course_spacing_nut"],
        course_spacing_bridge=full.course_spacing_bridge
        or full.course_spacing_nut
        or USUAL["course_spacing_bridge"],
        spread_at_bridge=widths.spread_at_bridge,
        spread_at_nut=widths.spread_at_nut,
        setback_bass=widths.setback_bass,
        setback_treble=widths.setback_treble,
        width_at_saddle=widths.width_at_saddle,
        spacing=full.spacing or USUAL["spacing"],
        positions_nut=full.positions_nut,
        positions_bridge=full.positions_bridge,
        nut_offset=full.nut_offset or USUAL["nut_offset"],
        left_handed=full.left_handed or USUAL["left_handed"],
        gauges=full.gauges,
        string_set=full.string_set,
        tuning=full.tuning,
        pitch_standard=full.pitch_standard or USUAL["pitch_standard"],
        setup=full.setup,
        inlays=full.inlays,
        tools=ToolSpec(
            **{name: _present(getattr(full.tools, name)) for name in _needed_tools(full)},
            bushing=full.tools.bushing,
        ),
        nut=full.nut,
        bridge=full.bridge,
        truss_rod=full.truss_rod,
        neck_back=full.neck_back,
        head=full.head,
        body=full.body,
        sound_hole=full.sound_hole,
        neck_pocket=full.neck_pocket,
        radius_gauges=full.radius_gauges,
        mould=full.mould,
        make=full.make,
        steps=(*scales.steps, *widths.steps),
    )


def _count_strings(full: Design) -> Design:
    """Returns the design with its strings counted by their courses or gauges, if nobody else did.

    Raises:
        ConflictError: If courses, gauges, notes or positions are of another number than the strings.
    """
    counts: dict[str, tuple[int, Given[Any]]] = {}
    if full.courses:
        counts["courses"] = (sum(full.courses.value), full.courses)
    for name in ("gauges", "tuning", "positions_nut", "positions_bridge"):
        said = getattr(full, name)
        if said is not None:
            counts[name] = (len(said.value), said)
    if full.string_count is None and counts:
        full = replace(full, string_count=Given(next(iter(counts.values()))[0], SOLVED))
    if full.string_count is None:
        return full
    found: list[JiggenError] = []
    for name, (counted, said) in counts.items():
        if counted != full.string_count.value:
            what = "strings in courses" if name == "courses" else _COUNTED[name]
            found.append(
                ConflictError(
                    where=where_of(full, name, said),
                    got=f"{counted} {what} for {full.string_count.value} strings{assumption(full.string_count)}",
                    expected=f"as many {what} as strings",
                    mend=f"Change {key_of(name)} or {key_of('string_count')}.",
                )
            )
    raise_all(found)
    return full


_COUNTED = {
    "gauges": "gauges",
    "tuning": "notes",
    "positions_nut": "positions",
    "positions_bridge": "positions",
}


def _check_complete(full: Design, scales: Scales | None, rule: FretRule) -> None:
    """Raises for every number that is needed and not there."""
    lacking = [] if scales else ["scale"]
    lacking += lacking_widths(full, scales.middle.value if scales else None, rule)
    if full.setback_to is None and (has_setback(full) or "setback" in lacking):
        lacking.append("setback_to")
    lacking += [name for name in ("frets", "overhang", "string_count") if getattr(full, name) is None]
    if full.gauges is None and (
        (full.setback_to and full.setback_to.value is SetbackTo.EDGE and has_setback(full))
        or (full.spacing and full.spacing.value is Spacing.GAPS)
    ):
        lacking.append("gauges")
    lacking += _lacking_in_courses(full)
    if full.end and full.end.value is EndShape.ROUNDED and full.end_radius is None:
        lacking.append("end_radius")
    if full.end and full.end.value is EndShape.ANGLED and full.end_angle is None:
        lacking.append("end_angle")
    if full.radius_at_end and full.radius is None:
        lacking.append("radius")
    lacking += [f"tools.{name}" for name in _needed_tools(full) if getattr(full.tools, name) is None]
    raise_all([missing(full, name) for name in lacking])


def _needed_tools(full: Design) -> list[str]:
    """Names the tools that no shop does without."""
    return [each.name for each in fields(full.tools) if each.name != "bushing"]


def _lacking_in_courses(full: Design) -> list[str]:
    """Names the distances within courses that nothing gives; what is given at the nut will do at the bridge."""
    courses = full.courses.value if full.courses else ()
    if len(courses) < 2 or max(courses) == 1 or full.course_spacing_nut:
        return []
    if full.positions_nut is None:
        return ["course_spacing_nut"]
    return [] if full.positions_bridge or full.course_spacing_bridge else ["course_spacing_bridge"]


def _present(value: T | None) -> T:
    """Returns what is known to be there."""
    if value is None:
        raise RuntimeError("a number that was checked to be there is missing")
    return value

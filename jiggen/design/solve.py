"""Solves a design: from what the maker said to a spec in which every number is present."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise
from typing import Any, TypeVar

from jiggen.design.fill import fill_design
from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import FretRule
from jiggen.design.keys import ROWS
from jiggen.design.model import (
    ASSUMED,
    SOLVED,
    Design,
    EndShape,
    Given,
    SetbackTo,
    Spacing,
    Spec,
    ToolSpec,
)
from jiggen.design.scale import solve_scale
from jiggen.design.step import Step
from jiggen.design.taper import Fact, Kind, Solution, solve_taper
from jiggen.design.usual import USUAL
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError, raise_all
from jiggen.units import format_mm

T = TypeVar("T")

MICRON = 0.001  #: mm; numbers of the maker that differ by less are the same
DEFAULT_TOLERANCE = (
    0.05  #: mm; by which given numbers may disagree: what a rule with half millimetres can tell
)

_ROW_OF = {row.field: row for row in ROWS if row.field}


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
    full = _count_strings(fill_design(design, defaults) if defaults else design)
    rule: FretRule = (full.fret_rule or USUAL["fret_rule"]).value
    tolerance = full.tolerance.value if full.tolerance else DEFAULT_TOLERANCE
    where = f'design "{full.name}"'
    scale_bass, scale_treble, scale, scale_steps = _solve_scales(full, rule, tolerance, where)
    _check_complete(full, scale, rule)
    scale_length = _present(scale)
    taper = _solve_taper(full, scale_length.value, rule, tolerance, where)
    spec = replace(_spec(full, (scale_bass, scale_treble, scale_length), taper, scale_steps), design=design)
    _check_spec(full, spec)
    return spec


def _spec(
    full: Design,
    scales: tuple[Given[float] | None, Given[float] | None, Given[float]],
    taper: "_Taper",
    scale_steps: Sequence[Step],
) -> Spec:
    bass, treble, scale = scales
    strings = _present(full.string_count)
    return Spec(
        design=full,
        scale=scale,
        scale_bass=bass or scale,
        scale_treble=treble or scale,
        straight_fret=full.straight_fret or USUAL["straight_fret"],
        nut_width=taper.nut_width,
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
        spread_at_bridge=taper.spread_at_bridge,
        spread_at_nut=taper.spread_at_nut,
        setback_bass=taper.setback_bass,
        setback_treble=taper.setback_treble,
        width_at_saddle=taper.width_at_saddle,
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
            **{each.name: _present(getattr(full.tools, each.name)) for each in fields(full.tools)}
        ),
        make=full.make,
        steps=(*scale_steps, *taper.steps),
    )


def _solve_scales(
    full: Design, rule: FretRule, tolerance: float, where: str
) -> tuple[Given[float] | None, Given[float] | None, Given[float] | None, list[Step]]:
    """Bass and treble scale, or None for one scale; the scale of the centre line; and how it follows.

    Raises:
        ConflictError: If a fan is given together with a single scale, or its scales are not both there.
    """
    bass, treble = full.scale_bass, full.scale_treble
    if bass is None and treble is None:
        scale, steps = solve_scale(full, rule, tolerance=tolerance, where=where)
        return None, None, scale, steps
    if bass is None or treble is None:
        lacking = "scale_bass" if bass is None else "scale_treble"
        raise _missing(full, lacking)
    own = [
        name
        for name in ("scale", "nut_to_twelfth", "nut_to_fret", "bridge_to_fret")
        if (said := getattr(full, name)) and said.source != ASSUMED
    ]
    if own:
        raise ConflictError(
            where=_where(full, own[0], getattr(full, own[0])),
            got=f"{_ROW_OF[own[0]].key} beside {_ROW_OF['scale_bass'].key} and {_ROW_OF['scale_treble'].key}",
            expected="either one scale or two",
            mend=f"Take {_ROW_OF[own[0]].key} out.",
        )
    middle = Given((bass.value + treble.value) / 2.0, SOLVED)
    step = Step(
        name="scale length",
        formula="(bass scale + treble scale) ÷ 2",
        figures=f"({bass.value:.3f} + {treble.value:.3f}) ÷ 2",
        result=format_mm(middle.value),
        source=SOLVED,
    )
    return bass, treble, middle, [step]


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
                    where=_where(full, name, said),
                    got=f"{counted} {what} for {full.string_count.value} strings{_assumption(full.string_count)}",
                    expected=f"as many {what} as strings",
                    mend=f"Change {_ROW_OF[name].key} or {_ROW_OF['string_count'].key}.",
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


def _check_complete(full: Design, scale: Given[float] | None, rule: FretRule) -> None:
    """Raises for every number that is needed and not there."""
    lacking = [] if scale else ["scale"]
    lacking += _lacking_for_taper(full, scale, rule)
    if full.setback_to is None and (_has_setback(full) or "setback" in lacking):
        lacking.append("setback_to")
    lacking += [name for name in ("frets", "overhang", "string_count") if getattr(full, name) is None]
    if full.gauges is None and (
        (full.setback_to and full.setback_to.value is SetbackTo.EDGE and _has_setback(full))
        or (full.spacing and full.spacing.value is Spacing.GAPS)
    ):
        lacking.append("gauges")
    if (
        full.courses
        and max(full.courses.value) > 1
        and full.course_spacing_nut is None
        and full.positions_nut is None
    ):
        lacking.append("course_spacing_nut")
    if full.end and full.end.value is EndShape.ROUNDED and full.end_radius is None:
        lacking.append("end_radius")
    lacking += [f"tools.{each.name}" for each in fields(full.tools) if getattr(full.tools, each.name) is None]
    raise_all([_missing(full, name) for name in lacking])


def _lacking_for_taper(full: Design, scale: Given[float] | None, rule: FretRule) -> list[str]:
    """Names the plainest numbers that would settle the taper, where too little is said of it."""
    one_string = full.string_count is not None and full.string_count.value == 1
    facts = list(_facts(full, scale.value if scale else 1.0, rule, _sides(full)))
    if len(facts) >= (1 if one_string else 3):
        return []
    plainest = ["nut_width"] if one_string else ["nut_width", "spread_at_bridge"]
    lacking = [name for name in plainest if getattr(full, name) is None]
    if not (one_string or _has_setback(full)):
        lacking.append("setback")
    return lacking[: (1 if one_string else 3) - len(facts)]


def _has_setback(full: Design) -> bool:
    return any(getattr(full, name) for name in ("setback", "setback_bass", "setback_treble"))


def _missing(full: Design, name: str) -> InputError:
    """Returns the error for a number that is not there."""
    row = _ROW_OF[name]
    mend = f"Add {row.key} = {row.example or row.kind.example}"
    if not full.profile:
        mend += ', or name an instrument profile that has it: profile = "six-string-guitar"'
    return InputError(where=_where(full, name, None), got="nothing", expected=row.about, mend=mend)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Taper:
    """How strings and board edges run, under the names they have in `Spec`."""

    nut_width: Given[float]
    spread_at_nut: Given[float]
    spread_at_bridge: Given[float]
    setback_bass: Given[float]
    setback_treble: Given[float]
    width_at_saddle: Given[float]
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class _Sides:
    """Setbacks to the outer strings' centres, as far as they are said."""

    bass: Given[float] | None
    treble: Given[float] | None

    @property
    def both_given(self) -> bool:
        return all(side is not None and side.source != ASSUMED for side in (self.bass, self.treble))


def _solve_taper(full: Design, scale: float, rule: FretRule, tolerance: float, where: str) -> _Taper:
    """Solves widths, spreads and setbacks.

    Raises:
        ConflictError: If given numbers disagree, or one string is given a spread.
        InputError: If they leave the taper open.
        LimitError: If the outer strings leave no room for one another.
    """
    if _present(full.string_count).value == 1:
        return _one_string(full, scale, rule, tolerance, where)
    sides = _sides(full)
    facts = list(_facts(full, scale, rule, sides))
    given = [fact for fact in facts if fact.source != ASSUMED]
    assumed = sorted(
        (fact for fact in facts if fact.source == ASSUMED), key=lambda fact: _LEAST_HARM.index(fact.name)
    )
    solution = solve_taper(scale, given, assumed, tolerance=tolerance, where=where)
    by_name = {fact.name: fact for fact in facts if fact.source != ASSUMED or fact.name in solution.assumed}
    bass, treble = _split(full, sides, solution, used=_SETBACKS in by_name)
    taper = _Taper(
        nut_width=_given_or_solved(full.nut_width, "nut width", by_name, solution.width_at_nut),
        spread_at_nut=_given_or_solved(full.spread_at_nut, "spread at nut", by_name, solution.spread_at_nut),
        spread_at_bridge=_given_or_solved(
            full.spread_at_bridge, "spread at bridge", by_name, solution.spread_at_saddle
        ),
        setback_bass=bass,
        setback_treble=treble,
        width_at_saddle=Given(solution.width_at_saddle, SOLVED),
        steps=(*_setback_steps(full, sides), *solution.steps),
    )
    _check_spreads(full, taper)
    return taper


_SETBACKS = "setbacks, both sides"
#: What is assumed first when numbers are missing: what changes the instrument least.
_LEAST_HARM = (_SETBACKS, "nut width", "spread at bridge", "spread at nut", "taper per mm")


def _facts(full: Design, scale: float, rule: FretRule, sides: _Sides) -> Iterator[Fact]:
    """What the design says of the taper, the most direct first."""

    def fact(name: str, kind: Kind, at: float | None, given: Given[Any], value: float) -> Fact:
        text = given.text or format_mm(value)
        return Fact(name=name, kind=kind, at=at, value=value, text=text, source=given.source)

    if full.nut_width:
        yield fact("nut width", Kind.WIDTH, 0.0, full.nut_width, full.nut_width.value)
    for name, kind_at, spread, positions in (
        ("spread at bridge", scale, full.spread_at_bridge, full.positions_bridge),
        ("spread at nut", 0.0, full.spread_at_nut, full.positions_nut),
    ):
        if positions:
            span = positions.value[-1] - positions.value[0]
            yield fact(name, Kind.SPREAD, kind_at, replace(positions, text=""), span)
        elif spread:
            yield fact(name, Kind.SPREAD, kind_at, spread, spread.value)
    if sides.bass and sides.treble:
        both = sides.bass.value + sides.treble.value
        source = SOLVED if sides.both_given else ASSUMED
        yield fact(_SETBACKS, Kind.SETBACKS, None, Given(both, source), both)
    yield from _width_facts(full, scale, rule)
    if full.taper_angle:
        taper = 2.0 * math.tan(full.taper_angle.value / 2.0)
        yield fact("taper per mm", Kind.TAPER, None, full.taper_angle, taper)


def _width_facts(full: Design, scale: float, rule: FretRule) -> Iterator[Fact]:
    if not full.widths or full.widths.source == ASSUMED:
        return
    for each in full.widths.value:
        if (each.fret is None) == (each.distance is None):
            raise InputError(
                where=_where(full, "widths", full.widths),
                got="a width at no place" if each.fret is None else "a width at a fret and a distance",
                expected='one place, such as { fret = 12, width = "54mm" }',
            )
        if each.fret is not None:
            at, place = scale * (1.0 - remaining(rule, each.fret)), f"fret {each.fret}"
        else:
            at = each.distance or 0.0
            place = format_mm(at)
        name = "nut width" if at == 0.0 else f"width at {place}"
        yield Fact(
            name=name,
            kind=Kind.WIDTH,
            at=at,
            value=each.width,
            text=format_mm(each.width),
            source=full.widths.source,
        )


def _sides(full: Design) -> _Sides:
    """The setbacks to string centres: a side's own, else the common one; what the maker said before what is assumed."""

    def side(own: Given[float] | None) -> Given[float] | None:
        said = [each for each in (own, full.setback) if each is not None]
        return next((each for each in said if each.source != ASSUMED), said[0] if said else None)

    bass, treble = side(full.setback_bass), side(full.setback_treble)
    if full.setback_to is None or full.setback_to.value is SetbackTo.CENTRE or full.gauges is None:
        return _Sides(bass, treble)
    gauges = full.gauges.value
    return _Sides(_plus_half(bass, gauges[-1]), _plus_half(treble, gauges[0]))


def _plus_half(setback: Given[float] | None, gauge: float) -> Given[float] | None:
    if setback is None:
        return None
    source = ASSUMED if setback.source == ASSUMED else SOLVED
    return Given(setback.value + gauge / 2.0, source, note="setback to the string's edge and half its gauge")


def _setback_steps(full: Design, sides: _Sides) -> Iterator[Step]:
    if sides.bass is None or sides.treble is None:
        return
    to_edge = (
        full.setback_to is not None and full.setback_to.value is SetbackTo.EDGE and full.gauges is not None
    )
    for name, side, gauge_at in (("bass", sides.bass, -1), ("treble", sides.treble, 0)):
        half = full.gauges.value[gauge_at] / 2.0 if to_edge and full.gauges else 0.0
        yield Step(
            name=f"setback, {name}, to centre",
            formula="setback to the edge + half the gauge" if to_edge else "",
            figures=f"{side.value - half:.3f} + {half:.3f}" if to_edge else "",
            result=format_mm(side.value),
            source=side.source,
        )


def _split(
    full: Design, sides: _Sides, solution: Solution, *, used: bool
) -> tuple[Given[float], Given[float]]:
    """Shares the setbacks out to bass and treble."""
    if used and sides.bass and sides.treble:
        return sides.bass, sides.treble
    both = solution.width_at_nut - solution.spread_at_nut
    for own, other in ((sides.bass, sides.treble), (sides.treble, sides.bass)):
        if own and own.source != ASSUMED and not (other and other.source != ASSUMED):
            rest = Given(both - own.value, SOLVED)
            return (own, rest) if own is sides.bass else (rest, own)
    half = both / 2.0
    lean = 0.0
    if full.gauges and full.setback_to and full.setback_to.value is SetbackTo.EDGE:
        lean = (full.gauges.value[-1] - full.gauges.value[0]) / 4.0
    note = "alike on both sides"
    return Given(half + lean, SOLVED, note=note), Given(half - lean, SOLVED, note=note)


def _given_or_solved(
    given: Given[float] | None, name: str, by_name: Mapping[str, Fact], value: float
) -> Given[float]:
    fact = by_name.get(name)
    if given is not None and fact is not None and fact.value == given.value:
        return given
    return Given(value, SOLVED if fact is None else fact.source)


def _check_spreads(full: Design, taper: _Taper) -> None:
    found: list[JiggenError] = []
    if taper.spread_at_bridge.value <= 0:
        found.append(
            LimitError(
                where=_where(full, "spread_at_bridge", full.spread_at_bridge),
                got=_said(taper.spread_at_bridge),
                expected="a spread above zero for more than one string",
            )
        )
    if taper.spread_at_nut.value <= 0:
        setback = full.setback or taper.setback_bass
        found.append(
            LimitError(
                where=_where(full, "setback", full.setback),
                got=f"{_said(setback)} on a nut {_said(taper.nut_width)} wide, "
                f"which leaves {format_mm(taper.spread_at_nut.value)} between the outer strings",
                expected="a setback of less than half the nut width",
            )
        )
    raise_all(found)


def _one_string(full: Design, scale: float, rule: FretRule, tolerance: float, where: str) -> _Taper:
    """Solves for a single string, which runs on the centre line; without a taper of its own the edges are parallel."""
    facts = [
        fact
        for fact in _facts(full, scale, rule, _Sides(None, None))
        if fact.kind in {Kind.WIDTH, Kind.TAPER}
    ]
    facts.append(
        Fact(name="one string", kind=Kind.SPREAD, at=0.0, value=0.0, text="no spread", source=SOLVED)
    )
    level = Fact(name="taper per mm", kind=Kind.TAPER, at=None, value=0.0, text="none", source=ASSUMED)
    given = [fact for fact in facts if fact.source != ASSUMED]
    assumed = [*(fact for fact in facts if fact.source == ASSUMED), level]
    solution = solve_taper(scale, given, assumed, tolerance=tolerance, where=where)
    nut = _given_or_solved(
        full.nut_width, "nut width", {fact.name: fact for fact in facts}, solution.width_at_nut
    )
    middle = Given(nut.value / 2, SOLVED)
    bridge, setback = full.spread_at_bridge, full.setback
    found: list[JiggenError] = []
    if bridge is not None and bridge.source != ASSUMED and bridge.value != 0:
        found.append(
            ConflictError(
                where=_where(full, "spread_at_bridge", bridge),
                got=f"{_said(bridge)} for one string",
                expected="no spread, since one string has none",
                mend=f"Take {_ROW_OF['spread_at_bridge'].key} out.",
            )
        )
    if setback is not None and setback.source != ASSUMED and abs(setback.value - middle.value) > MICRON:
        found.append(
            ConflictError(
                where=_where(full, "setback", setback),
                got=f"{_said(setback)} for one string on a nut {_said(nut)} wide",
                expected=f"half the nut width, {format_mm(middle.value)}",
                mend=f"Take {_ROW_OF['setback'].key} out.",
            )
        )
    raise_all(found)
    return _Taper(
        nut_width=nut,
        spread_at_nut=Given(0.0, SOLVED),
        spread_at_bridge=Given(0.0, SOLVED),
        setback_bass=middle,
        setback_treble=middle,
        width_at_saddle=Given(solution.width_at_saddle, SOLVED),
        steps=solution.steps,
    )


def _check_spec(full: Design, spec: Spec) -> None:
    """Refuses a board without length, one that runs past the saddle, and strings out of order."""
    found: list[JiggenError] = []
    last = spec.scale.value * (1.0 - remaining(spec.fret_rule.value, spec.frets.value))
    end = last + spec.overhang.value
    what = f"{spec.frets.value} frets and an overhang of {_said(spec.overhang)} on a scale of {_said(spec.scale)}"
    where = _where(full, "overhang", full.overhang)
    if end > spec.scale.value:
        found.append(
            LimitError(
                where=where,
                got=f"{what}, so that the board ends {format_mm(end)} from the nut",
                expected="a board that ends before the saddle",
                mend="Shorten the overhang or leave out frets.",
            )
        )
    if end < MICRON:
        found.append(LimitError(where=where, got=what, expected="a board with some length"))
    if min(spec.width_at_saddle.value, spec.nut_width.value) <= 0:
        found.append(
            LimitError(
                where=_where(full, "nut_width", full.nut_width),
                got=f"a board {format_mm(spec.nut_width.value)} wide at the nut and "
                f"{format_mm(spec.width_at_saddle.value)} at the saddle",
                expected="some width at both",
            )
        )
    for name in ("positions_nut", "positions_bridge"):
        positions = getattr(spec, name)
        if positions and any(after <= before for before, after in pairwise(positions.value)):
            found.append(
                InputError(
                    where=_where(full, name, positions),
                    got=", ".join(format_mm(each) for each in positions.value),
                    expected="distances from the first string that grow from string to string",
                )
            )
    found += _wrong_partial_frets(full, spec)
    raise_all(found)


def _wrong_partial_frets(full: Design, spec: Spec) -> Iterator[InputError]:
    for partial in spec.partial_frets.value if spec.partial_frets else ():
        strings = sorted(partial.strings)
        known = partial.fret <= spec.frets.value and strings[-1] <= spec.string_count.value
        if not known or strings != list(range(strings[0], strings[-1] + 1)):
            yield InputError(
                where=_where(full, "partial_frets", full.partial_frets),
                got=f"fret {partial.fret} under strings {', '.join(map(str, partial.strings))}",
                expected=f"one of {spec.frets.value} frets, under neighbours among {spec.string_count.value} strings",
            )


def _present(given: Given[T] | None) -> Given[T]:
    """Returns what is known to be there."""
    if given is None:
        raise RuntimeError("a number that was checked to be there is missing")
    return given


def _said(given: Given[float]) -> str:
    """Returns a length as it was typed, and that it is an assumption if it is one."""
    return f"{given.text or format_mm(given.value)}{_assumption(given)}"


def _assumption(given: Given[T]) -> str:
    """Returns a remark that a value is assumed and why."""
    return f" (assumed, {given.note})" if given.source == ASSUMED else ""


def _where(full: Design, name: str, given: Given[Any] | None) -> str:
    """Returns the place of a value of the maker's, else the design and the key."""
    if given is not None and given.where and given.source != ASSUMED:
        return given.where
    return f'design "{full.name}", {_ROW_OF[name].key}'

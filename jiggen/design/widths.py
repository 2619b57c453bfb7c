"""Widths, spreads and setbacks of a board, from those that the maker gave. Millimetres.

On a fanned neck widths, spreads and setbacks are measured square to the centre line, from end to end of the slanted nut,
fret or saddle line, and a fret's place is its share of the string, alike on every string and on the edges.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import FretRule
from jiggen.design.model import ASSUMED, SOLVED, Design, Given, SetbackTo
from jiggen.design.quote import is_own, key_of, said, where_of
from jiggen.design.step import Step
from jiggen.design.taper import SAME, Fact, Kind, Solution, solve_taper
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError, raise_all
from jiggen.units import format_mm

#: Fields of `Design` that say a setback.
SETBACKS = ("setback", "setback_bass", "setback_treble")
#: mm; by which a single string's setback may miss half the nut width.
_MIDDLE = 0.001

_SETBACKS = "setbacks, both sides"
_NUT, _AT_NUT, _AT_BRIDGE, _ANGLE = "nut width", "spread at nut", "spread at bridge", "taper angle"
#: What is assumed first when numbers are missing: what changes the instrument least.
_LEAST_HARM = (_SETBACKS, _NUT, _AT_BRIDGE, _AT_NUT, _ANGLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """How strings and board edges run, under the names they have in `Spec`. They agree to `SAME`."""

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

    bass: Given[float] | None = None
    treble: Given[float] | None = None


def solve_widths(full: Design, scale: float, rule: FretRule, *, tolerance: float, where: str) -> Widths:
    """Returns the widths, spreads and setbacks that all given numbers agree on.

    Where numbers agree within the tolerance and no better, those that came first are kept and the rest follows.

    Args:
        full: A design, filled up, with its number of strings.
        scale: mm; of a fan the mean of its two.
        rule: Tells where frets are whose widths are given.
        tolerance: By which given numbers may differ from those that follow from the others, mm.
        where: The design, to name in errors.

    Raises:
        ConflictError: If given numbers disagree, or one string is given a spread.
        InputError: If they leave the taper open, or a width has no place.
        LimitError: If the outer strings leave no room for one another.
    """
    one_string = full.string_count is not None and full.string_count.value == 1
    sides = _Sides() if one_string else _sides(full)
    facts = _facts(full, scale, rule, sides)
    if one_string:
        facts = [*(fact for fact in facts if fact.kind in {Kind.WIDTH, Kind.TAPER}), *_ONE_STRING]
    given = [fact for fact in facts if fact.source != ASSUMED]
    assumed = sorted((fact for fact in facts if fact.source == ASSUMED), key=_harm)
    solution = solve_taper(scale, given, assumed, tolerance=tolerance, where=where)
    by_name: dict[str, Fact] = {}
    for fact in facts:
        if fact.source != ASSUMED or fact.name in solution.assumed:
            by_name.setdefault(fact.name, fact)
    bass, treble = _split(full, sides, solution, used=_SETBACKS in by_name)
    widths = Widths(
        nut_width=_kept(full.nut_width, _NUT, by_name, solution.width_at_nut),
        spread_at_nut=_kept(full.spread_at_nut, _AT_NUT, by_name, solution.spread_at_nut),
        spread_at_bridge=_kept(full.spread_at_bridge, _AT_BRIDGE, by_name, solution.spread_at_saddle),
        setback_bass=bass,
        setback_treble=treble,
        width_at_saddle=Given(solution.width_at_saddle, SOLVED),
        steps=(*_setback_steps(full, sides, by_name), *solution.steps),
    )
    raise_all(list(_wrong_for_one(full, widths) if one_string else _too_narrow(full, widths)))
    return widths


def _harm(fact: Fact) -> int:
    """Where an assumed number stands in the order in which they are taken, widths along the board last."""
    return _LEAST_HARM.index(fact.name) if fact.name in _LEAST_HARM else len(_LEAST_HARM)


def lacking_widths(full: Design, scale: float | None, rule: FretRule) -> list[str]:
    """Returns the fields of the plainest numbers that would settle the taper, where too little is said of it.

    Args:
        full: A design, filled up.
        scale: As for `solve_widths`; None when it is not known.
        rule: As there.

    Raises:
        InputError: If a width has no place.
        ConflictError: If three setbacks are given for two sides.
    """
    one_string = full.string_count is not None and full.string_count.value == 1
    facts = _facts(full, scale or 1.0, rule, _sides(full))
    if len(facts) >= (1 if one_string else 3):
        return []
    plainest = ["nut_width"] if one_string else ["nut_width", "spread_at_bridge"]
    lacking = [name for name in plainest if getattr(full, name) is None]
    if not (one_string or has_setback(full)):
        lacking.append("setback")
    return lacking[: (1 if one_string else 3) - len(facts)]


def has_setback(full: Design) -> bool:
    """Tells whether a setback is said for either side."""
    return any(getattr(full, name) for name in SETBACKS)


#: A single string runs in the middle; without a taper of its own the edges are parallel.
_ONE_STRING = (
    Fact(name="one string", kind=Kind.SPREAD, at=0.0, value=0.0, text="no spread", source=SOLVED),
    Fact(name=_ANGLE, kind=Kind.TAPER, at=None, value=0.0, text="0 deg", source=ASSUMED),
)


def _facts(full: Design, scale: float, rule: FretRule, sides: _Sides) -> list[Fact]:
    """What the design says of the taper, the most direct first."""
    facts: list[Fact] = []

    def say(name: str, kind: Kind, at: float | None, given: Given[Any], value: float) -> None:
        text = given.text if given.value == value and given.text else format_mm(value)
        facts.append(Fact(name=name, kind=kind, at=at, value=value, text=text, source=given.source))

    if full.nut_width:
        say(_NUT, Kind.WIDTH, 0.0, full.nut_width, full.nut_width.value)
    for name, at, spread, positions in (
        (_AT_BRIDGE, scale, full.spread_at_bridge, full.positions_bridge),
        (_AT_NUT, 0.0, full.spread_at_nut, full.positions_nut),
    ):
        told: list[tuple[Given[Any], float]] = [(spread, spread.value)] if spread else []
        told += [(positions, positions.value[-1] - positions.value[0])] if positions else []
        own = [each for each in told if is_own(each[0])] or told[:1]
        for each, (of, span) in zip((name, f"{name} by its positions"), own, strict=False):
            say(each, Kind.SPREAD, at, of, span)
    if sides.bass and sides.treble:
        facts.append(_setbacks(sides.bass, sides.treble))
    facts += _width_facts(full, scale, rule)
    if full.taper_angle:
        angle = full.taper_angle
        text = angle.text or f"{math.degrees(angle.value):.4f} deg"
        taper = 2.0 * math.tan(angle.value / 2.0)
        facts.append(Fact(name=_ANGLE, kind=Kind.TAPER, at=None, value=taper, text=text, source=angle.source))
    return facts


def _setbacks(bass: Given[float], treble: Given[float]) -> Fact:
    both = bass.value + treble.value
    return Fact(
        name=_SETBACKS,
        kind=Kind.SETBACKS,
        at=None,
        value=both,
        text=format_mm(both),
        source=SOLVED if is_own(bass) and is_own(treble) else ASSUMED,
        formula="setback, bass + setback, treble",
        figures=f"{bass.value:.3f} + {treble.value:.3f}",
    )


def _width_facts(full: Design, scale: float, rule: FretRule) -> list[Fact]:
    """Widths at other places than the nut, the farthest first, since it tells the taper best."""
    if full.widths is None:
        return []
    facts: list[Fact] = []
    for each in full.widths.value:
        if each.fret is not None and each.distance is None:
            at, place = scale * (1.0 - remaining(rule, each.fret)), f"fret {each.fret}"
        elif each.fret is None and each.distance is not None:
            at, place = each.distance, format_mm(each.distance)
        else:
            raise InputError(
                where=where_of(full, "widths", full.widths),
                got="a width at no place" if each.fret is None else "a width at a fret and a distance",
                expected='one place, such as { fret = 12, width = "54mm" }',
            )
        facts.append(
            Fact(
                name=_NUT if at == 0.0 else f"width at {place}",
                kind=Kind.WIDTH,
                at=at,
                value=each.width,
                text=format_mm(each.width),
                source=full.widths.source,
            )
        )
    return sorted(facts, key=lambda fact: -(fact.at or 0.0))


def _sides(full: Design) -> _Sides:
    """The setbacks to string centres: a side's own, else the common one; what the maker said before what is assumed.

    Raises:
        ConflictError: If the common one is given beside both sides' own and says something else.
    """
    common, bass, treble = full.setback, full.setback_bass, full.setback_treble
    both = [each for each in (bass, treble) if each is not None and is_own(each)]
    if common and is_own(common) and len(both) == 2 and any(each.value != common.value for each in both):
        raise ConflictError(
            where=where_of(full, "setback", common),
            got=f"{said(common)} beside {said(both[0])} on the bass and {said(both[1])} on the treble side",
            expected="one setback for both sides, or one for each",
            mend=f"Take {key_of('setback')} out.",
        )

    def side(own: Given[float] | None) -> Given[float] | None:
        told = [each for each in (own, common) if each is not None]
        return next((each for each in told if each.source != ASSUMED), told[0] if told else None)

    bass, treble = side(bass), side(treble)
    gauges = _gauges_to_edge(full)
    if gauges is None:
        return _Sides(bass, treble)
    return _Sides(_plus_half(bass, gauges[-1]), _plus_half(treble, gauges[0]))


def _gauges_to_edge(full: Design) -> tuple[float, ...] | None:
    """The strings' gauges where setbacks run to string edges, else None."""
    if full.setback_to is None or full.setback_to.value is SetbackTo.CENTRE or full.gauges is None:
        return None
    return full.gauges.value


def _plus_half(setback: Given[float] | None, gauge: float) -> Given[float] | None:
    if setback is None:
        return None
    source = ASSUMED if setback.source == ASSUMED else SOLVED
    return Given(setback.value + gauge / 2.0, source, note="setback to the string's edge and half its gauge")


def _setback_steps(full: Design, sides: _Sides, by_name: Mapping[str, Fact]) -> Iterator[Step]:
    gauges = _gauges_to_edge(full)
    for name, side, string in (("bass", sides.bass, -1), ("treble", sides.treble, 0)):
        if side is None or (side.source == ASSUMED and _SETBACKS not in by_name):
            continue
        half = gauges[string] / 2.0 if gauges else 0.0
        yield Step(
            name=f"setback, {name}, to centre",
            formula="setback to the edge + half the gauge" if gauges else "",
            figures=f"{side.value - half:.3f} + {half:.3f}" if gauges else "",
            result=format_mm(side.value),
            source=side.source,
        )


def _split(
    full: Design, sides: _Sides, solution: Solution, *, used: bool
) -> tuple[Given[float], Given[float]]:
    """Shares the setbacks out to bass and treble."""
    both = solution.width_at_nut - solution.spread_at_nut
    bass, treble = (side if used or is_own(side) else None for side in (sides.bass, sides.treble))
    if bass and treble:
        spare = both - bass.value - treble.value
        if abs(spare) <= SAME:
            return bass, treble
        note = "evened out within the tolerance"
        return Given(bass.value + spare / 2.0, SOLVED, note=note), Given(
            treble.value + spare / 2.0, SOLVED, note=note
        )
    if bass:
        return bass, Given(both - bass.value, SOLVED)
    if treble:
        return Given(both - treble.value, SOLVED), treble
    gauges, note = _gauges_to_edge(full), "alike on both sides"
    lean = (gauges[-1] - gauges[0]) / 4.0 if gauges else 0.0
    return Given(both / 2.0 + lean, SOLVED, note=note), Given(both / 2.0 - lean, SOLVED, note=note)


def _kept(given: Given[float] | None, name: str, by_name: Mapping[str, Fact], value: float) -> Given[float]:
    """Returns what was given where it holds, else what was solved."""
    fact = by_name.get(name)
    if fact is None:
        return Given(value, SOLVED)
    if abs(fact.value - value) > SAME:
        return Given(value, SOLVED, note=f"within the tolerance of {fact.text}")
    return given if given is not None and given.value == fact.value else Given(value, fact.source)


def _too_narrow(full: Design, widths: Widths) -> Iterator[JiggenError]:
    """Refuses outer strings that leave no room for one another."""
    bridge, nut = widths.spread_at_bridge, widths.spread_at_nut
    if bridge.value <= 0.0:
        yield LimitError(
            where=where_of(full, "spread_at_bridge", full.spread_at_bridge),
            got=said(bridge),
            expected="a spread above zero for more than one string",
        )
    if nut.value > 0.0:
        return
    name = next((each for each in SETBACKS if getattr(full, each)), None)
    if name is None:
        yield LimitError(
            where=where_of(full, "spread_at_nut", full.spread_at_nut),
            got=said(nut),
            expected="a spread above zero for more than one string",
        )
    else:
        setback = getattr(full, name)
        yield LimitError(
            where=where_of(full, name, setback),
            got=f"{said(setback)} on a nut {said(widths.nut_width)} wide, "
            f"which leaves {format_mm(nut.value)} between the outer strings",
            expected="a setback of less than half the nut width",
        )


def _wrong_for_one(full: Design, widths: Widths) -> Iterator[JiggenError]:
    """Refuses a spread for one string, and a setback that would not leave it in the middle."""
    bridge, middle = full.spread_at_bridge, widths.setback_bass
    if bridge is not None and is_own(bridge) and bridge.value != 0.0:
        yield ConflictError(
            where=where_of(full, "spread_at_bridge", bridge),
            got=f"{said(bridge)} for one string",
            expected="no spread, since one string has none",
            mend=f"Take {key_of('spread_at_bridge')} out.",
        )
    half = (_gauges_to_edge(full) or (0.0,))[0] / 2.0
    for name in SETBACKS:
        setback = getattr(full, name)
        if is_own(setback) and abs(setback.value + half - middle.value) > _MIDDLE:
            yield ConflictError(
                where=where_of(full, name, setback),
                got=f"{said(setback)} for one string on a nut {said(widths.nut_width)} wide",
                expected=f"half the nut width{', less half the gauge' if half else ''}, "
                f"{format_mm(middle.value - half)}",
                mend=f"Take {key_of(name)} out.",
            )

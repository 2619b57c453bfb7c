"""Solves a design: from what the maker said to a spec in which every number is present.

The board tapers evenly: width(x) = nut width + (width at saddle - nut width) · x / scale, and each outer string
keeps its distance from the board's edge, so width at saddle = spread at bridge + setback bass + setback treble.
"""

from dataclasses import dataclass, fields, replace
from typing import TypeVar

from jiggen.design.fill import fill_design
from jiggen.design.keys import ROWS
from jiggen.design.model import ASSUMED, SOLVED, Design, Given, SetbackTo, Spec, ToolSpec
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError, raise_all
from jiggen.units import format_mm

T = TypeVar("T")

MICRON = 0.001  #: mm; numbers of the maker that differ by less are the same

_ROW_OF = {row.field: row for row in ROWS if row.field}


def solve(design: Design, defaults: Design | None = None) -> Spec:
    """Solves a design.

    Args:
        design: What the maker wrote.
        defaults: The instrument profile that fills what was left out, see `fill_design`.

    Raises:
        InputError: If a number is missing and neither profile nor the other numbers give it.
        ConflictError: If two numbers cannot both be true.
        LimitError: If they describe no board that can be.
        SeveralErrors: If more than one thing is wrong.
    """
    full = fill_design(design, defaults) if defaults else design
    full = _count_strings(full)
    _check_complete(full)
    taper = _solve_taper(full)
    _check_board(full)
    return Spec(
        design=design,
        scale=_present(full.scale),
        nut_width=_present(full.nut_width),
        frets=_present(full.frets),
        overhang=_present(full.overhang),
        string_count=_present(full.string_count),
        spread_at_bridge=taper.spread_at_bridge,
        spread_at_nut=taper.spread_at_nut,
        setback_bass=taper.setback_bass,
        setback_treble=taper.setback_treble,
        width_at_saddle=taper.width_at_saddle,
        gauges=full.gauges,
        tools=ToolSpec(
            saw_plate=_present(full.tools.saw_plate),
            saw_clearance=_present(full.tools.saw_clearance),
            index_pin=_present(full.tools.index_pin),
            pin_clearance=_present(full.tools.pin_clearance),
            stop_pin=_present(full.tools.stop_pin),
        ),
        make=full.make,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Taper:
    """How strings and board edges run, under the names they have in `Spec`."""

    spread_at_bridge: Given[float]
    spread_at_nut: Given[float]
    setback_bass: Given[float]
    setback_treble: Given[float]
    width_at_saddle: Given[float]


def _count_strings(full: Design) -> Design:
    """Returns the design with its strings counted by their gauges, if nobody else did.

    Raises:
        ConflictError: If there are more or fewer gauges than strings.
    """
    if full.gauges is None:
        return full
    counted = len(full.gauges.value)
    if full.string_count is None:
        return replace(full, string_count=Given(counted, SOLVED))
    if full.string_count.value != counted:
        raise ConflictError(
            where=_where(full, "gauges", full.gauges),
            got=f"{counted} gauges for {full.string_count.value} strings{_assumption(full.string_count)}",
            expected="as many gauges as strings",
            mend=f"Change {_ROW_OF['gauges'].key} or {_ROW_OF['string_count'].key}.",
        )
    return full


def _check_complete(full: Design) -> None:
    """Raises for every number that is needed and not there."""
    one_string = full.string_count is not None and full.string_count.value == 1
    needed = ["scale", "nut_width", "frets", "overhang", "string_count"]
    needed += [] if one_string else ["spread_at_bridge", "setback", "setback_to"]
    if not one_string and full.setback_to is not None and full.setback_to.value is SetbackTo.EDGE:
        needed.append("gauges")
    values = {name: getattr(full, name) for name in needed}
    values |= {f"tools.{each.name}": getattr(full.tools, each.name) for each in fields(full.tools)}
    raise_all([_missing(full, name) for name, value in values.items() if value is None])


def _missing(full: Design, name: str) -> InputError:
    """Returns the error for a number that is not there."""
    row = _ROW_OF[name]
    mend = f"Add {row.key} = {row.example or row.kind.example}"
    if not full.profile:
        mend += ', or name an instrument profile that has it: profile = "six-string-guitar"'
    return InputError(where=_where(full, name, None), got="nothing", expected=row.about, mend=mend)


def _solve_taper(full: Design) -> _Taper:
    """Solves spreads, setbacks to string centres and the width at the saddle.

    Raises:
        ConflictError: If one string is given a spread, or a setback that does not bring it to the centre line.
        LimitError: If the outer strings leave no room for one another.
    """
    nut = _present(full.nut_width)
    if _present(full.string_count).value == 1:
        return _one_string(full, nut)
    bridge, setback = _present(full.spread_at_bridge), _present(full.setback)
    bass, treble = _setbacks_to_centres(full)
    spread = nut.value - bass.value - treble.value
    found: list[JiggenError] = []
    if bridge.value <= 0:
        found.append(
            LimitError(
                where=_where(full, "spread_at_bridge", bridge),
                got=_said(bridge),
                expected="a spread above zero for more than one string",
            )
        )
    if spread <= 0:
        found.append(
            LimitError(
                where=_where(full, "setback", setback),
                got=f"{_said(setback)} on a nut {_said(nut)} wide, which leaves {format_mm(spread)} between the outer strings",
                expected="a setback of less than half the nut width",
            )
        )
    raise_all(found)
    return _Taper(
        spread_at_bridge=bridge,
        spread_at_nut=Given(spread, SOLVED),
        setback_bass=bass,
        setback_treble=treble,
        width_at_saddle=Given(bridge.value + bass.value + treble.value, SOLVED),
    )


def _one_string(full: Design, nut: Given[float]) -> _Taper:
    """Solves for a single string, which runs on the centre line of a board with parallel edges."""
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
        spread_at_bridge=Given(0.0, SOLVED),
        spread_at_nut=Given(0.0, SOLVED),
        setback_bass=middle,
        setback_treble=middle,
        width_at_saddle=Given(nut.value, SOLVED),
    )


def _setbacks_to_centres(full: Design) -> tuple[Given[float], Given[float]]:
    """Returns the setbacks, bass and treble, to the centres of the outer strings."""
    setback = _present(full.setback)
    if _present(full.setback_to).value is SetbackTo.CENTRE:
        return setback, setback
    gauges = _present(full.gauges).value
    return Given(setback.value + gauges[-1] / 2, SOLVED), Given(setback.value + gauges[0] / 2, SOLVED)


def _check_board(full: Design) -> None:
    """Refuses a board without length and one that runs past the saddle."""
    scale, frets, overhang = _present(full.scale), _present(full.frets), _present(full.overhang)
    end = scale.value * (1 - 2 ** (-frets.value / 12)) + overhang.value  # frets in equal temperament
    what = f"{frets.value} frets and an overhang of {_said(overhang)} on a scale of {_said(scale)}"
    where = _where(full, "overhang", overhang)
    if end > scale.value:
        raise LimitError(
            where=where,
            got=f"{what}, so that the board ends {format_mm(end)} from the nut",
            expected="a board that ends before the saddle",
            mend="Shorten the overhang or leave out frets.",
        )
    if end < MICRON:
        raise LimitError(where=where, got=what, expected="a board with some length")


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


def _where(full: Design, name: str, given: Given[T] | None) -> str:
    """Returns the place of a value of the maker's, else the design and the key."""
    if given is not None and given.where and given.source != ASSUMED:
        return given.where
    return f'design "{full.name}", {_ROW_OF[name].key}'

"""What an outline that was brought along settles: the numbers that are read off it, and those it leaves no room for."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from types import MappingProxyType
from typing import Any

from jiggen.design.given import Given
from jiggen.design.keys import value_of
from jiggen.design.model import Design
from jiggen.design.outline import Outline
from jiggen.design.quote import ROW_OF, is_own, key_of, said, where_of
from jiggen.design.taper import SAME
from jiggen.errors import ConflictError, JiggenError, raise_all
from jiggen.outlines.halves import Bout, Halves, body_bouts, halves, reach_at
from jiggen.units import format_mm

#: Numbers that are read off an outline, by group of a design; one that is given too is checked.
SETTLED: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "body": (
            "length",
            *(
                f"{bout}{what}"
                for bout in ("upper_bout", "waist", "lower_bout")
                for what in ("", "_at", "_shift")
            ),
        ),
        "head": ("length", "width"),
    }
)
#: Numbers from which an outline is made where none is brought along: they mean nothing beside one.
SHAPING: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "body": (
            "smooth",
            "neck_end_radius",
            "tail_radius",
            "cutaway",
            "cutaway_side",
            "cutaway_depth",
            "horn_at",
            "horn_radius",
        ),
        "head": ("width_at_tip", "shoulder"),
    }
)


def not_of_profile(name: str, own: Any) -> frozenset[str]:
    """Returns the fields of a group that an instrument profile shall not fill.

    Beside an outline of the maker's own these are the numbers for another one; beside such numbers of the maker's own
    it is the profile's outline.

    Args:
        name: Of the group, a field of `Design`.
        own: What the maker said in it.
    """
    form = (*SETTLED.get(name, ()), *SHAPING.get(name, ()))
    if not form:
        return frozenset()
    if own.outline is not None:
        return frozenset(form)
    return frozenset({"outline"} if any(getattr(own, each) is not None for each in form) else ())


def of_no_effect(name: str, group: Any) -> frozenset[str]:
    """Returns the fields of a group that say nothing beside its outline; none where there is no outline."""
    if getattr(group, "outline", None) is None:
        return frozenset()
    return frozenset((*SETTLED[name], *SHAPING[name]))


def outlines_of(design: Any) -> Iterator[tuple[str, Outline]]:
    """Yields the outlines that were brought along, by key.

    Args:
        design: A design, or the spec that comes of it.
    """
    for name in SETTLED:
        given: Given[Outline] | None = getattr(design, name).outline
        if given is not None:
            yield f"{name}.outline", given.value


def measured(full: Design, *, tolerance: float) -> Design:
    """Returns the design with what its outlines settle read off them.

    Args:
        full: A design, filled up.
        tolerance: By which a number that is given too may differ, mm.

    Raises:
        ConflictError: If a number that is given says otherwise, or is one that an outline leaves no room for.
        LimitError: If an outline does not lie on its centre line.
    """
    groups: dict[str, Any] = {}
    faults: list[JiggenError] = []
    for key, outline in outlines_of(full):
        name = key.partition(".")[0]
        numbers = _body_numbers(full, outline, tolerance) if name == "body" else _head_numbers(outline)
        groups[name], found = _with(full, name, numbers, tolerance)
        faults += found
    raise_all(faults)
    return replace(full, **groups)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """A number read off an outline.

    Attributes:
        value: mm; None: the outline has no such place.
        fits: Tells whether another value says the same of this outline.
    """

    value: float | None
    fits: Callable[[float], bool] = lambda _: False


def _body_numbers(full: Design, outline: Outline, tolerance: float) -> dict[str, _Read]:
    """What is read off a body's outline, by field."""
    found, places, _ = body_bouts(outline.brought, where=outline.name)
    by_name = {each.name.replace("-", "_"): each for each in places}
    numbers = {"length": _Read(value=found.length)}
    for name in ("upper_bout", "waist", "lower_bout"):
        bout = by_name.get(name)
        if bout is None:
            numbers |= {f"{name}{what}": _Read(value=None) for what in ("", "_at", "_shift")}
            continue
        said_at, said_shift = (getattr(full.body, f"{name}{what}") for what in ("_at", "_shift"))
        at = said_at.value if is_own(said_at) else bout.x
        shift = said_shift.value if is_own(said_shift) else bout.shift
        lies = partial(_lies, found, bout, tolerance)
        numbers |= {
            name: _Read(value=bout.width),
            f"{name}_at": _Read(value=bout.x, fits=partial(_place_fits, lies, shift)),
            f"{name}_shift": _Read(value=bout.shift, fits=partial(lies, at)),
        }
    return numbers


def _place_fits(lies: Callable[[float, float], bool], shift: float, at: float) -> bool:
    return lies(at, shift)


def _lies(found: Halves, bout: Bout, tolerance: float, at: float, shift: float) -> bool:
    """Tells whether an outline is as wide, or as narrow, where a bout or the waist is said to lie as it is there.

    Along a side that hardly bends a place is not settled any better than that.
    """
    for half, side, reach in ((found.high, 1.0, bout.reach[0]), (found.low, -1.0, bout.reach[1])):
        there = reach_at(half, found.neck_end + at + side * shift / 2.0)
        if abs(there - reach) > tolerance / 2.0:
            return False
    return True


def _head_numbers(outline: Outline) -> dict[str, _Read]:
    """What is read off a head's outline, by field."""
    found = halves(outline.brought.outline, where=outline.name)
    box = outline.brought.outline.box
    return {"length": _Read(value=box.high.x - found.neck_end), "width": _Read(value=box.height)}


def _with(
    full: Design, name: str, numbers: Mapping[str, _Read], tolerance: float
) -> tuple[Any, list[JiggenError]]:
    """A group with the numbers read off its outline, and what contradicts them."""
    group = getattr(full, name)
    outline: Outline = group.outline.value
    faults: list[JiggenError] = []
    for field in SHAPING[name]:
        given = getattr(group, field)
        if is_own(given):
            key = key_of(f"{name}.{field}")
            faults.append(
                ConflictError(
                    where=where_of(full, f"{name}.{field}", given),
                    got=f"{key} beside {name}.outline, {outline.name}",
                    expected="one or the other: the outline has a form of its own",
                    mend=f"Leave out {key}, or {name}.outline",
                )
            )
    for field, read in numbers.items():
        given = getattr(group, field)
        if is_own(given) and not _agree(given.value, read, tolerance):
            faults.append(_contradiction(full, f"{name}.{field}", read, outline, tolerance))
    taken = {
        field: None if read.value is None else Given(read.value, source=outline.source)
        for field, read in numbers.items()
    }
    return replace(group, **taken), faults


def _agree(said: float, read: _Read, tolerance: float) -> bool:
    return read.value is not None and (abs(said - read.value) <= tolerance + SAME or read.fits(said))


def _contradiction(
    full: Design, field: str, read: _Read, outline: Outline, tolerance: float
) -> ConflictError:
    given: Given[float] = value_of(ROW_OF[field], full)
    key, where = key_of(field), where_of(full, field, given)
    if read.value is None:
        return ConflictError(
            where=where,
            got=f"{key} {said(given)} and {outline.name}, which has no such place",
            expected="numbers of what the outline has",
            mend=f"Leave out {key}",
        )
    mend = f"Leave out {key}, or allow more with `tolerance`"
    if field in _SCALABLE:
        mend += f', or have the outline scaled: scale-to = "{_SCALABLE[field]} {given.text or format_mm(given.value)}"'
    return ConflictError(
        where=where,
        got=f"{key} {said(given)} and {format_mm(read.value)} in {outline.name},"
        f" which disagree by {abs(given.value - read.value):.3f} mm",
        expected=f"numbers that agree within {tolerance:.3f} mm",
        mend=mend,
    )


#: What an outline can be scaled to, by the number that says it.
_SCALABLE: Mapping[str, str] = MappingProxyType({"body.length": "body-length", "head.length": "head-length"})

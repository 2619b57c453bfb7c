"""Refuses a spec of which no board can be made."""

from collections.abc import Iterator
from itertools import pairwise

from jiggen.design.fret_places import remaining, require_fret
from jiggen.design.model import Design
from jiggen.design.quote import is_own, key_of, said, where_of
from jiggen.design.spec import Spec
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError, raise_all
from jiggen.units import format_mm

#: mm; a board shorter than this has no length.
_SHORTEST = 0.001


def check_spec(full: Design, spec: Spec) -> None:
    """Refuses a board without length or width, one that runs past the saddle, and strings or frets out of order.

    Args:
        full: The design that was solved, filled up.
        spec: What came of it.

    Raises:
        JiggenError: All that is wrong.
    """
    require_fret(where_of(full, "straight_fret", full.straight_fret), spec.straight_fret.value)
    raise_all(
        [
            *_wrong_length(full, spec),
            *_wrong_width(full, spec),
            *_wrong_positions(full, spec),
            *_wrong_courses(full, spec),
            *_wrong_partial_frets(full, spec),
        ]
    )


def _wrong_length(full: Design, spec: Spec) -> Iterator[JiggenError]:
    last = spec.scale.value * (1.0 - remaining(spec.fret_rule.value, spec.frets.value))
    end = last + spec.overhang.value
    what = (
        f"{spec.frets.value} frets and an overhang of {said(spec.overhang)} on a scale of {said(spec.scale)}"
    )
    where = where_of(full, "overhang", full.overhang)
    if end > spec.scale.value:
        yield LimitError(
            where=where,
            got=f"{what}, so that the board ends {format_mm(end)} from the nut",
            expected="a board that ends before the saddle",
            mend="Shorten the overhang or leave out frets.",
        )
    if end < _SHORTEST:
        yield LimitError(where=where, got=what, expected="a board with some length")


def _wrong_width(full: Design, spec: Spec) -> Iterator[JiggenError]:
    if min(spec.width_at_saddle.value, spec.nut_width.value) <= 0.0:
        yield LimitError(
            where=where_of(full, "nut_width", full.nut_width),
            got=f"a board {format_mm(spec.nut_width.value)} wide at the nut and "
            f"{format_mm(spec.width_at_saddle.value)} at the saddle",
            expected="some width at both",
        )


def _wrong_positions(full: Design, spec: Spec) -> Iterator[JiggenError]:
    for name in ("positions_nut", "positions_bridge"):
        positions = getattr(spec, name)
        if positions and any(after <= before for before, after in pairwise(positions.value)):
            yield InputError(
                where=where_of(full, name, positions),
                got=", ".join(format_mm(each) for each in positions.value),
                expected="distances from the first string that grow from string to string",
            )


def _wrong_courses(full: Design, spec: Spec) -> Iterator[JiggenError]:
    """The strings of a single course share the spread, which leaves no distance between them to be given."""
    if len(spec.courses.value) > 1:
        return
    for name in ("course_spacing_nut", "course_spacing_bridge"):
        spacing = getattr(full, name)
        if spacing is not None and is_own(spacing):
            yield ConflictError(
                where=where_of(full, name, spacing),
                got=f"{said(spacing)} within the only course, beside the spread of its outer strings",
                expected="the spread alone",
                mend=f"Take {key_of(name)} out.",
            )


def _wrong_partial_frets(full: Design, spec: Spec) -> Iterator[JiggenError]:
    seen: set[int] = set()
    for partial in spec.partial_frets.value if spec.partial_frets else ():
        where = where_of(full, "partial_frets", full.partial_frets)
        strings = sorted(partial.strings)
        known = partial.fret <= spec.frets.value and strings[-1] <= spec.string_count.value
        if not known or strings != list(range(strings[0], strings[-1] + 1)):
            yield InputError(
                where=where,
                got=f"fret {partial.fret} under strings {', '.join(map(str, partial.strings))}",
                expected=f"one of {spec.frets.value} frets, under neighbours among {spec.string_count.value} strings",
            )
        elif partial.fret in seen:
            yield InputError(where=where, got=f"fret {partial.fret} twice", expected="each fret once")
        seen.add(partial.fret)

"""A design's numbers in the maker's own words, for errors."""

from typing import Any

from jiggen.design.keys import ROWS
from jiggen.design.model import ASSUMED, Design, Given
from jiggen.errors import InputError
from jiggen.units import format_mm

#: The row of the table of keys by field of `Design`.
ROW_OF = {row.field: row for row in ROWS if row.field}

#: Groups that the profile to start from has.
_FILLED = frozenset({"tools"})


def key_of(name: str) -> str:
    """Returns the key in a design file of a field of `Design`."""
    return ROW_OF[name].key


def where_of(design: Design, name: str, given: Given[Any] | None = None) -> str:
    """Returns the place of a value of the maker's, else the design and the key.

    Args:
        design: The design.
        name: Field of `Design`.
        given: What it holds.
    """
    if given is not None and given.where and given.source != ASSUMED:
        return given.where
    return f'design "{design.name}", {key_of(name)}'


def said(given: Given[float]) -> str:
    """Returns a length as it was typed, and that it is an assumption if it is one."""
    return f"{given.text or format_mm(given.value)}{assumption(given)}"


def assumption(given: Given[Any]) -> str:
    """Returns a remark that a value is assumed and why; empty when it is not."""
    return f" (assumed, {given.note})" if given.source == ASSUMED else ""


def is_own(given: Given[Any] | None) -> bool:
    """Tells whether a value is there and not merely assumed."""
    return given is not None and given.source != ASSUMED


def missing(design: Design, name: str) -> InputError:
    """Returns the error for a number that is not there."""
    row = ROW_OF[name]
    mend = f"Add {row.key} = {_example(design, name)}"
    if not design.profile:
        mend += ", or name an instrument profile that has it: "
        filled = name.partition(".")[0] in _FILLED or "." not in name
        mend += 'profile = "six-string-guitar"' if filled else "jiggen profiles lists them"
    return InputError(where=where_of(design, name), got="nothing", expected=row.about, mend=mend)


def _example(design: Design, name: str) -> str:
    """Returns what a number may look like; a fretless board is all overhang."""
    if name == "overhang" and design.frets is not None and design.frets.value == 0:
        return '"470mm"'
    row = ROW_OF[name]
    return row.example or row.kind.example

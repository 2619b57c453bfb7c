"""Reads what a maker asks of an outline: a length to scale it to, and where its centre line lies."""

import re
from typing import Literal

from jiggen.errors import InputError, did_you_mean, quoted
from jiggen.outlines.model import Axis, Known, ScaleTo
from jiggen.units import parse_length

#: What a length may be called.
_KNOWN: dict[str, Known] = {
    "length": "length",
    "body-length": "length",
    "head-length": "length",
    "width": "width",
    "body-width": "width",
    "head-width": "width",
}
_SCALE = re.compile(r"\s*([A-Za-z-]+)[\s=:]+(\S.*?)\s*", re.DOTALL)
_AXIS = re.compile(r"\s*(auto|x|y)\s*(?:(?:=|\bat\b)\s*(\S.*?)\s*)?", re.DOTALL)


def read_scale_to(text: str, *, where: str) -> ScaleTo:
    """Reads a length to scale to, such as `body-length 480 mm` or `width 370 mm`.

    Args:
        text: What was typed.
        where: Its place, for errors.

    Raises:
        InputError: If it is no such thing.
    """
    found = _SCALE.fullmatch(text) if len(text) <= 100 else None
    if found is None or found[1].lower() not in _KNOWN:
        raise InputError(
            where=where,
            got=quoted(text),
            expected="length or width and how long it is, such as body-length 480 mm or width 370 mm",
            mend=did_you_mean(found[1].lower(), _KNOWN) if found else "",
        )
    length = parse_length(found[2], where=where)
    return ScaleTo(known=_KNOWN[found[1].lower()], mm=length.mm, text=f"{found[1].lower()} {length.text}")


def read_axis(text: str, *, where: str) -> Axis:
    """Reads where the centre line lies: `auto`, `x`, `y`, `y at 120 mm`, `x at -3 mm`.

    `x` is a centre line along the file's x, wherever one side mirrors the other best; `x at 120 mm` is the one along x
    on which the file's y is 120 mm.

    Args:
        text: What was typed.
        where: Its place, for errors.

    Raises:
        InputError: If it is no such thing.
    """
    found = _AXIS.fullmatch(text) if len(text) <= 100 else None
    if found is None or (found[1] == "auto" and found[2]):
        raise InputError(
            where=where, got=quoted(text), expected="auto, x, y, or the place too, such as y at 120 mm"
        )
    if found[1] == "auto":
        return Axis()
    along: Literal["x", "y"] = "x" if found[1] == "x" else "y"
    at = parse_length(found[2], where=where, allow="any").mm if found[2] else None
    return Axis(along=along, at_mm=at)

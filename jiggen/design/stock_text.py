"""Sheets at hand as the command line takes them: `420x260mm, 600x300mm*2`, length along the bed by width across."""

import re

from jiggen.design.keys import MOST_SHEETS
from jiggen.design.making import Stock
from jiggen.errors import InputError, JiggenError, quoted, raise_all
from jiggen.units import parse_length

_SHEET = re.compile(r"(?P<length>[^x×*]+)[x×](?P<width>[^x×*]+)(?:\*\s*(?P<count>[0-9]{1,6})\s*)?")
_UNIT = re.compile(r"[^\s0-9./¼½¾⅐-⅞-]+\s*$")


def read_stock(text: str, *, where: str) -> tuple[Stock, ...]:
    """Returns the sheets that a text names; a length without a unit takes that of its width.

    Args:
        text: Sizes with commas between; empty for none.
        where: For errors.

    Raises:
        JiggenError: If it cannot be read; all that is wrong with it.
    """
    found: list[Stock] = []
    faults: list[JiggenError] = []
    for word in filter(None, map(str.strip, text.split(","))):
        try:
            found.append(_sheet(word, where))
        except JiggenError as fault:
            faults.append(fault)
    raise_all(faults)
    return tuple(found)


def _sheet(word: str, where: str) -> Stock:
    match = _SHEET.fullmatch(word)
    if match is None:
        raise InputError(
            where=where,
            got=quoted(word),
            expected="length x width, and * how many if there are more than one",
            mend="Write it like 420x260mm, 600x300mm*2",
        )
    count = int(match["count"] or 1)
    if not 1 <= count <= MOST_SHEETS:
        raise InputError(where=where, got=quoted(word), expected=f"1 to {MOST_SHEETS} sheets of a size")
    length, width = match["length"].strip(), match["width"].strip()
    unit = _UNIT.search(width)
    if unit and not _UNIT.search(length):
        length += unit.group().strip()
    return Stock(
        length=parse_length(length, where=where).mm, width=parse_length(width, where=where).mm, count=count
    )

"""A family of one design: the values of one key from the first to the last, in equal steps."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from jiggen.design.change import Change, changed, row_of_key
from jiggen.design.model import Design
from jiggen.errors import InputError, quoted
from jiggen.tables.rows import Row
from jiggen.units import parse_length

#: The most values of one family: more than lie on a sheet that anyone would cut.
MOST_VALUES = 100
_WHERE = "--vary"
_EXAMPLE = "nut=42mm:46mm:0.5mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """What is varied and how.

    Attributes:
        row: Of the key.
        word: For it, as it was typed.
        values: As they would be typed, from first to last.
    """

    row: Row
    word: str
    values: tuple[str, ...]


def read_family(text: str) -> Family:
    """Reads `KEY=FROM:TO:STEP`, such as `nut=42mm:46mm:0.5mm` or `frets=19:24:1`.

    Raises:
        InputError: If it cannot be read, or makes less than two values or more than `MOST_VALUES`.
    """
    match = re.fullmatch(r"\s*([^=]+?)\s*=\s*([^:]+):([^:]+):([^:]+)", text)
    if match is None:
        raise InputError(where=_WHERE, got=quoted(text), expected=f"KEY=FROM:TO:STEP, such as {_EXAMPLE}")
    word, *ends = match.groups()
    row = row_of_key(word, where=_WHERE)
    are_numbers = all(re.fullmatch(r"\s*-?\d+(\.\d+)?\s*", each) for each in ends)
    first, last, step = (
        float(each) if are_numbers else parse_length(each, where=f"{_WHERE} {word}", allow="any").mm
        for each in ends
    )
    if not step > 0.0 or not last > first:
        raise InputError(
            where=f"{_WHERE} {word}",
            got=quoted(":".join(each.strip() for each in ends)),
            expected="a first value, a larger last one and a step above nought",
        )
    steps = round((last - first) / step)
    if not 1 <= steps < MOST_VALUES or abs(first + steps * step - last) > 1e-6:
        raise InputError(
            where=f"{_WHERE} {word}",
            got=f"{(last - first) / step:g} steps",
            expected=f"a whole number of them, at most {MOST_VALUES - 1}",
            mend="Choose a step that reaches the last value",
        )
    unit = "" if are_numbers else " mm"
    values = tuple(f"{round(first + number * step, 6):g}{unit}" for number in range(steps + 1))
    return Family(row=row, word=word, values=values)


def members(tables: Mapping[str, Any], family: Family) -> Iterator[Design]:
    """Yields the designs of a family, each called after its value.

    Args:
        tables: Of the design that is varied, as `tomllib` returns them.
        family: What is varied and how.

    Raises:
        JiggenError: If a value cannot be.
    """
    called = row_of_key("name", where=_WHERE)
    for value in family.values:
        where = f"{_WHERE} {family.word}={value.replace(' ', '')}"
        name = f"{tables.get('name', '')} {family.word} {value}".strip()
        changes = [
            Change(row=called, text=name, where=where),
            Change(row=family.row, text=value, where=where),
        ]
        yield changed(tables, changes, file=where)

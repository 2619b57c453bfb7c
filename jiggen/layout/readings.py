"""Readings from a finished neck, as a table of comma-separated values.

    fret, distance, unit
    1, 35.2, mm
    12, 314.1, mm
    12, 313.9, mm
    width@nut, 46.1, mm
    width@12, 54.9, mm
    spread@bridge, 57.0, mm

Each row is a place, a number and its unit. The place is a fret's number (`0` or `nut` for the front of the nut), whose
distance is read from the front of the nut; or `width@` with `nut`, a fret or a distance from the nut (`width@314mm`),
for the width of the board there; or `spread@nut` or `spread@bridge`, for the outer strings, centre to centre. The unit
may also stand behind the number itself. Rows come in any order and as often as the maker read them; the head, blank
lines and lines that start with # are passed over. Decimals stand after a point.
"""

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from jiggen.errors import InputError, JiggenError, did_you_mean, quoted, raise_all
from jiggen.layout.measured import Reading
from jiggen.layout.measured_width import WidthAt, WidthAtFret, WidthReading
from jiggen.layout.quantity import require_positive
from jiggen.units import Allow, parse_length, parse_unit

HEAD = ("fret", "distance", "unit")
MOST_READINGS = 2000  #: more than anyone reads off a neck
LAST_FRET = 60  #: as in a design file
LONGEST_LINE = 300  #: characters
MOST_FAULTS = 20  #: reported one by one

_PLACES = ("nut", "width@nut", "width@12", "spread@nut", "spread@bridge")
_EXAMPLE = "a fret's number, nut, width@nut, width@12, spread@nut or spread@bridge"


class SpreadAt(StrEnum):
    """Where the outer strings were measured."""

    NUT = "nut"
    BRIDGE = "bridge"


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadReading:
    """A distance between the centres of the outer strings.

    Attributes:
        at: Where.
        spread: mm.
        where: The reading's place in the maker's notes, for messages.

    Raises:
        InputError: If the spread is not above zero.
    """

    at: SpreadAt
    spread: float
    where: str = ""

    def __post_init__(self) -> None:
        require_positive(f"{self.where or 'a reading'}, spread at {self.at}", self.spread, "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchReadings:
    """All that was read off a neck, in the order of the table.

    Attributes:
        frets: Distances of frets.
        widths: Of the board.
        spreads: Of the outer strings.
    """

    frets: tuple[Reading, ...]
    widths: tuple[WidthReading, ...]
    spreads: tuple[SpreadReading, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """A line that says something."""

    where: str
    cells: Sequence[str]

    def cell_where(self, column: int) -> str:
        """The place of a cell, counted from 1."""
        return f"{self.where}, column {column} ({HEAD[column - 1]})"


def readings_from_text(text: str, *, file: str) -> BenchReadings:
    """Reads a table of readings.

    Args:
        text: As at the top of this module.
        file: What to call it in errors.

    Raises:
        JiggenError: If a row cannot be read, there is none, or there are too many; all that is wrong, in one go.
    """
    readings: list[Reading | WidthReading | SpreadReading] = []
    faults: list[JiggenError] = []
    for row in _rows(text, file, faults):
        try:
            readings.append(_reading(row))
        except JiggenError as fault:
            faults.append(fault)
    more = len(faults) - MOST_FAULTS
    if more > 0:
        faults[MOST_FAULTS:] = [
            InputError(where=file, got=f"{more} more rows that cannot be read", expected="known ones")
        ]
    raise_all(faults)
    if not readings:
        raise InputError(where=file, got="no readings", expected="rows such as 12, 314.1, mm")
    return BenchReadings(
        frets=tuple(each for each in readings if isinstance(each, Reading)),
        widths=tuple(each for each in readings if isinstance(each, WidthAt | WidthAtFret)),
        spreads=tuple(each for each in readings if isinstance(each, SpreadReading)),
    )


def _rows(text: str, file: str, faults: list[JiggenError]) -> Iterator[_Row]:
    """Yields the lines that hold readings; those that are no table rows go to the faults."""
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    count = 0
    for number, line in enumerate(lines, start=1):
        where = f"{file}, line {number}"
        if not re.search(r"[^\s,]", line) or line.lstrip().startswith("#"):
            continue
        count += 1
        if count > MOST_READINGS:
            faults.append(
                InputError(where=where, got="one more reading", expected=f"at most {MOST_READINGS}")
            )
            return
        try:
            row = _Row(where, _cells(line, where))
            if count == 1 and row.cells[0].lower() == HEAD[0]:
                _check_head(row)
            else:
                yield row
        except JiggenError as fault:
            faults.append(fault)


def _cells(line: str, where: str) -> list[str]:
    """Returns the cells of a line, without those that a spreadsheet leaves empty at its end."""
    if len(line) > LONGEST_LINE:
        raise InputError(
            where=where, got=f"a line of {len(line)} characters", expected=f"at most {LONGEST_LINE}"
        )
    try:
        (cells,) = csv.reader([line], strict=True, skipinitialspace=True)
    except csv.Error as error:
        raise InputError(
            where=where,
            got=quoted(line.strip()),
            expected="comma-separated values",
            mend="Leave the double quotes out, or close them." if '"' in line else "",
        ) from error
    cells = [cell.strip() for cell in cells]
    while cells and not cells[-1]:
        cells.pop()
    mend = "Put commas between the columns." if re.search("[;\t]", line) else ""
    if len(cells) < 2:
        expected = f"{', '.join(HEAD)}, such as 12, 314.1, mm"
        raise InputError(where=where, got=quoted(line.strip()), expected=expected, mend=mend)
    if len(cells) > len(HEAD):
        raise InputError(
            where=where,
            got=f"{len(cells)} columns",
            expected=f"{', '.join(HEAD)}",
            mend=mend or "Decimals stand after a point: 314.1, not 314,1.",
        )
    return cells


def _check_head(row: _Row) -> None:
    for column, (cell, name) in enumerate(zip(row.cells, HEAD, strict=False), start=1):
        if cell.lower() != name:
            raise InputError(
                where=row.cell_where(column), got=quoted(cell), expected=f"the head {', '.join(HEAD)}"
            )


def _reading(row: _Row) -> Reading | WidthReading | SpreadReading:
    what, at, place = (part.strip().lower() for part in row.cells[0].partition("@"))
    if not at:
        fret = _fret(what, row)
        if fret is None:
            raise _no_place(row)
        return Reading(fret=fret, distance=_length(row, "any"), where=row.where)
    if what == "spread" and place in {each.value for each in SpreadAt}:
        return SpreadReading(at=SpreadAt(place), spread=_length(row), where=row.where)
    if what != "width":
        raise _no_place(row)
    fret = _fret(place, row)
    if fret is not None:
        return WidthAtFret(fret=fret, width=_length(row), where=row.where)
    if not re.match("[0-9.½¼¾]", place):
        raise _no_place(row)
    distance = parse_length(place, where=row.cell_where(1), allow="non-negative").mm
    return WidthAt(distance=distance, width=_length(row), where=row.where)


def _fret(text: str, row: _Row) -> int | None:
    """Returns a fret's number, 0 for the nut; None when it is none."""
    if text == "nut":
        return 0
    if not re.fullmatch("[0-9]{1,9}", text):
        return None
    if int(text) > LAST_FRET:
        raise InputError(
            where=row.cell_where(1),
            got=quoted(row.cells[0]),
            expected=f"a fret from 0, the nut, to {LAST_FRET}",
            mend=f"Write {row.cells[0]}mm if it is a distance from the nut." if "@" in row.cells[0] else "",
        )
    return int(text)


def _no_place(row: _Row) -> InputError:
    mend = did_you_mean(row.cells[0].lower(), _PLACES)
    return InputError(where=row.cell_where(1), got=quoted(row.cells[0]), expected=_EXAMPLE, mend=mend)


def _length(row: _Row, allow: Allow = "positive") -> float:
    """Returns the number of a row, mm; its unit stands in the third column or behind the number."""
    text = row.cells[1]
    if len(row.cells) < len(HEAD):
        return parse_length(text, where=row.cell_where(2), allow=allow).mm
    if re.fullmatch("[0-9]+", row.cells[2]):
        raise InputError(
            where=row.cell_where(3),
            got=quoted(row.cells[2]),
            expected="a unit, such as mm",
            mend="Decimals stand after a point: 314.1, not 314,1.",
        )
    unit = parse_unit(row.cells[2], where=row.cell_where(3))
    if re.search(r"""[^\W\d_]|["'″′]""", text):
        raise InputError(
            where=row.cell_where(2),
            got=f"{quoted(text)} beside the unit {unit}",
            expected="a number alone",
            mend="Leave out one of the two units.",
        )
    return parse_length(text, where=row.cell_where(2), unit=unit, allow=allow).mm

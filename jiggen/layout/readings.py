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
lines and lines that start with # are passed over. Decimals stand after a point. How rows are read is told in
`tables/readings.py`.
"""

import re
from dataclasses import dataclass
from enum import StrEnum

from jiggen.errors import InputError, JiggenError, did_you_mean, quoted
from jiggen.layout.measured import Reading
from jiggen.layout.measured_width import WidthAt, WidthAtFret, WidthReading
from jiggen.layout.quantity import require_positive
from jiggen.tables.readings import ReadingRow, raise_faults, reading_rows
from jiggen.units import parse_length

HEAD = ("fret", "distance", "unit")
LAST_FRET = 60  #: as in a design file
_ROW = "12, 314.1, mm"

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
    for row in reading_rows(text, file=file, head=HEAD, example=_ROW, faults=faults):
        try:
            readings.append(_reading(row))
        except JiggenError as fault:
            faults.append(fault)
    raise_faults(faults, file=file)
    if not readings:
        raise InputError(where=file, got="no readings", expected=f"rows such as {_ROW}")
    return BenchReadings(
        frets=tuple(each for each in readings if isinstance(each, Reading)),
        widths=tuple(each for each in readings if isinstance(each, WidthAt | WidthAtFret)),
        spreads=tuple(each for each in readings if isinstance(each, SpreadReading)),
    )


def _reading(row: ReadingRow) -> Reading | WidthReading | SpreadReading:
    what, at, place = (part.strip().lower() for part in row.place.partition("@"))
    if not at:
        fret = _fret(what, row)
        if fret is None:
            raise _no_place(row)
        return Reading(fret=fret, distance=row.length("any"), where=row.where)
    if what == "spread" and place in {each.value for each in SpreadAt}:
        return SpreadReading(at=SpreadAt(place), spread=row.length(), where=row.where)
    if what != "width":
        raise _no_place(row)
    fret = _fret(place, row)
    if fret is not None:
        return WidthAtFret(fret=fret, width=row.length(), where=row.where)
    if not re.match("[0-9.½¼¾]", place):
        raise _no_place(row)
    distance = parse_length(place, where=row.cell_where(1), allow="non-negative").mm
    return WidthAt(distance=distance, width=row.length(), where=row.where)


def _fret(text: str, row: ReadingRow) -> int | None:
    """Returns a fret's number, 0 for the nut; None when it is none."""
    if text == "nut":
        return 0
    if not re.fullmatch("[0-9]{1,9}", text):
        return None
    if int(text) > LAST_FRET:
        raise InputError(
            where=row.cell_where(1),
            got=quoted(row.place),
            expected=f"a fret from 0, the nut, to {LAST_FRET}",
            mend=f"Write {row.place}mm if it is a distance from the nut." if "@" in row.place else "",
        )
    return int(text)


def _no_place(row: ReadingRow) -> InputError:
    mend = did_you_mean(row.place.lower(), _PLACES)
    return InputError(where=row.cell_where(1), got=quoted(row.place), expected=_EXAMPLE, mend=mend)

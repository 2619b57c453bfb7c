"""Tables of stations: how far along the centre line, and how wide one half is there.

    x (mm), half-width (mm), other-half-width (mm)
    0, 0
    25, 118.5

The third column is for bodies whose sides differ. A unit stands in the head or behind each number. The first line is the
neck end. Blank lines and lines that start with # are passed over.
"""

import itertools
import math
import re
from dataclasses import dataclass

from jiggen.errors import InputError, JiggenError, quoted, raise_all
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.outlines.drawn import Drawing, Piece, Reading, Stroke
from jiggen.outlines.model import Wish
from jiggen.outlines.smooth import smooth_through
from jiggen.tables.csv_line import cells_of
from jiggen.units import parse_length, parse_unit

FEWEST, MOST = 4, 400  #: stations
LONGEST_LINE = 300  #: characters
_MOST_FAULTS = 20
_HEAD = ("x", "half-width", "other-half-width")
_NAMED = re.compile(r"(x|half[- ]width|other[- ]half[- ]width)\s*(?:\(\s*(.+?)\s*\)|\s(\S+))?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class _Station:
    where: str
    x: float
    half: float
    other: float


def read_csv(text: str, *, file: str, wish: Wish) -> Drawing:
    """Reads a table of stations and draws a smooth outline through them.

    Args:
        text: Of the table.
        file: What to call it in errors.
        wish: What is asked.

    Raises:
        JiggenError: If anything in it is wrong; all that is, in one go.
    """
    stations = _stations(text, file, wish)
    _check(stations, file)
    uneven = any(each.half != each.other for each in stations)
    stroke, readings = _drawn(stations, wish.smooth_mm)
    root_mean_square = math.sqrt(sum(each.residual**2 for each in readings) / len(readings))
    worst = max(readings, key=lambda each: abs(each.residual))
    how = "each side by its own half widths" if uneven else "both sides by the same half widths"
    read = f"{len(stations)} stations from {stations[0].x:g} to {stations[-1].x:g} mm, {how}; the first is the neck end"
    passed = f"the curve passes the stations by {root_mean_square:.3f} mm root mean square"
    most = f"at most {abs(worst.residual):.3f} mm, at {worst.x:g} mm"
    took = (read, f"{passed}, {most}")
    return Drawing(strokes=(stroke,), took=took, ignored=(), laid=True, readings=readings)


def _stations(text: str, file: str, wish: Wish) -> list[_Station]:
    faults: list[JiggenError] = []
    stations: list[_Station] = []
    units: list[str | None] = [wish.units] * 3
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    first = True
    for number, line in enumerate(lines, start=1):
        where = f"{file}, line {number}"
        if not re.search(r"[^\s,]", line) or line.lstrip().startswith("#"):
            continue
        try:
            cells = cells_of(line, where=where, longest=LONGEST_LINE)
            while len(cells) > 2 and not cells[-1]:
                cells.pop()
            if not 2 <= len(cells) <= 3:
                raise InputError(
                    where=where,
                    got=f"{len(cells)} columns",
                    expected=f"two or three: {', '.join(_HEAD)}",
                    mend="Put commas between the columns; decimals stand after a point",
                )
            if first and _NAMED.fullmatch(cells[0]):
                units = _units(cells, where, wish)
            else:
                stations.append(_station(cells, where, units))
        except JiggenError as fault:
            faults.append(fault)
        first = False
        if len(stations) > MOST:
            faults.append(
                InputError(
                    where=where, got="one more station", expected=f"at most {MOST}", mend="Leave out some"
                )
            )
            break
        if len(faults) >= _MOST_FAULTS:
            break
    raise_all(faults)
    return stations


def _units(cells: list[str], where: str, wish: Wish) -> list[str | None]:
    """Returns the units of the columns that a head names."""
    units: list[str | None] = [wish.units] * 3
    for column, (cell, name) in enumerate(zip(cells, _HEAD, strict=False)):
        found = _NAMED.fullmatch(cell)
        if found is None or found[1].lower().replace(" ", "-") != name:
            raise InputError(
                where=f"{where}, column {column + 1}",
                got=quoted(cell),
                expected=f"the head {', '.join(_HEAD)}, units in brackets",
            )
        if unit := found[2] or found[3]:
            units[column] = parse_unit(unit, where=f"{where}, column {column + 1}")
    return units


def _station(cells: list[str], where: str, units: list[str | None]) -> _Station:
    numbers = []
    for column, (cell, name) in enumerate(zip(cells, _HEAD, strict=False)):
        try:
            length = parse_length(
                cell,
                where=f"{where}, column {column + 1} ({name})",
                unit=units[column],
                allow="any" if column == 0 else "non-negative",
            )
        except InputError as error:
            if error.expected != "a length with a unit":
                raise
            raise InputError(
                where=error.where,
                got=error.got,
                expected="a length with a unit: this file does not say its units",
                mend='Write them in its head, as in x (mm), half-width (mm), or add units = "mm", --units mm on the command line',
            ) from None
        numbers.append(length.mm)
    return _Station(where, numbers[0], numbers[1], numbers[-1])


def _check(stations: list[_Station], file: str) -> None:
    if len(stations) < FEWEST:
        raise InputError(
            where=file, got=f"{len(stations)} stations", expected=f"{FEWEST} or more, the more the better"
        )
    faults: list[JiggenError] = []
    for before, here in itertools.pairwise(stations):
        if not here.x - before.x >= 0.01:
            faults.append(
                InputError(
                    where=here.where,
                    got=f"a station at {here.x:g} mm after one at {before.x:g} mm",
                    expected="stations in order from the neck end to the tail",
                )
            )
    faults.extend(
        InputError(where=each.where, got="no half width", expected="one above zero between the ends")
        for each in stations[1:-1]
        if not min(each.half, each.other) > 0.0
    )
    both = "both or none: an end that meets the centre line does so on both sides"
    faults.extend(
        InputError(where=end.where, got="one half width of zero", expected=both)
        for end in (stations[0], stations[-1])
        if (end.half == 0.0) != (end.other == 0.0)
    )
    raise_all(faults[:_MOST_FAULTS])


def _drawn(stations: list[_Station], most_rms: float) -> tuple[Stroke, tuple[Reading, ...]]:
    """Returns the outline, counter-clockwise from the neck end along negative y, and how it keeps to the stations."""
    lower = [(each, -1) for each in stations]
    upper = [(each, 1) for each in reversed(stations)]
    if stations[-1].half == 0.0:
        upper = upper[1:]
    if stations[0].half == 0.0:
        upper = upper[:-1]
    all_round = [*lower, *upper]
    runs = [all_round]
    is_whole = stations[0].half == stations[-1].half == 0.0
    if stations[0].half > 0.0 and stations[-1].half > 0.0:
        runs = [lower, upper]
    elif (
        stations[0].half == 0.0 and stations[-1].half > 0.0
    ):  # begin at the straight tail and go round the neck end
        runs = [[*upper, *lower]]
    pieces: list[Piece] = []
    readings: list[Reading] = []
    for run in runs:
        points = [Point(each.x, side * (each.half if side > 0 else each.other)) for each, side in run]
        curves = smooth_through(points, most_rms, closed=is_whole)
        if pieces:
            pieces.append(Line(pieces[-1].end, curves[0].start))
        pieces += curves
        ends = [curve.start for curve in curves]
        if not is_whole:
            ends.append(curves[-1].end)
        for (each, side), read, place in zip(run, points, ends, strict=True):
            half = each.half if side > 0 else each.other
            readings.append(Reading(x=each.x, half_width=half, side=side, residual=side * (place.y - read.y)))
    if not is_whole:
        pieces.append(Line(pieces[-1].end, pieces[0].start))
    readings.sort(key=lambda each: (-each.side, each.x))
    return Stroke(pieces=tuple(pieces), closed=True, where="the table"), tuple(readings)

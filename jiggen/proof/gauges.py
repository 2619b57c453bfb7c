"""What can be measured of a design with a caliper or a rule, and the table of readings. Millimetres.

    feature, reading, unit
    fret.1, 35.2, mm
    12, 314.1, mm
    saddle, 628.3, mm
    width@12, 52.3, mm
    spread@bridge, 57.1, mm
    saw-guide/length, 452.9, mm
    saw-guide/fret.1/width, 0.71, mm
    saw-guide/fret.1..fret.18, 368.7, mm

On a board or an instrument: a fret, by its number or as `fret.12`, from the front of the nut to its middle; `saddle`,
from there to where the strings break; `width@` the nut, a fret, `end` or a distance; `spread@nut` and `spread@bridge`,
outer strings centre to centre. On a part, named first: its `length` and `width` outside; the clear `width` of a slot,
notch or hole; the distance between the middles of two features.
"""

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.accuracy import Kind, Limits
from jiggen.errors import InputError, JiggenError, did_you_mean, quoted
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.fan import x_at_centre
from jiggen.layout.model import Layout
from jiggen.layout.places import width_at
from jiggen.parts.model import Datum, Feature, Part
from jiggen.sheets.readings import Reading as Suggestion
from jiggen.sheets.readings import readings as suggestions
from jiggen.tables.readings import ReadingRow, raise_faults, reading_rows
from jiggen.units import parse_length

HEAD = ("feature", "reading", "unit")
_ROW = "fret.12, 314.1, mm"
_NUT = frozenset({"nut", "0", "fret.0"})
_FRET = re.compile(r"(?:fret\.)?([0-9]{1,3})")


class Sort(StrEnum):
    """How a gauge answers to what may be wrong."""

    PLACE = "place"  #: a distance from the nut
    WIDTH = "width"  #: of the board
    SPREAD = "spread"  #: of the strings
    OUTSIDE = "outside"  #: of a part: comes out smaller when the kerf is wider than was thought
    OPENING = "opening"  #: of a slot, notch or hole: comes out larger then
    MIDDLE = "middle"  #: between two middles: knows nothing of the kerf


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """One thing to measure.

    Attributes:
        name: As it is called in reports.
        sort: How it answers.
        nominal_mm: What it should be.
        limit_mm: How far it may be off.
        part: Name of the part; empty for the board or instrument itself.
        at_mm: Where along the neck; None for what lies nowhere along it.
        fret: Its number, None for all that is no fret.
        string_left_mm: Of a fret: from where it should be to the saddle.
    """

    name: str
    sort: Sort
    nominal_mm: float
    limit_mm: float
    part: str = ""
    at_mm: float | None = None
    fret: int | None = None
    string_left_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeReading:
    """One reading.

    Attributes:
        gauge: What was measured.
        mm: What was read.
        where: Its place in the table, for messages.
    """

    gauge: Gauge
    mm: float
    where: str = ""


class Gauges:
    """All that can be measured of a design.

    Args:
        layout: Of the neck.
        parts: That may have been made, at finished size.
        limits: How far they may be off.
    """

    def __init__(self, layout: Layout, parts: Sequence[Part], limits: Limits) -> None:
        self.layout = layout
        self.parts: Mapping[str, Part] = {part.name: part for part in parts}
        self.limits = limits
        self.scale_mm = x_at_centre(layout.saddle)

    def find(self, row: ReadingRow) -> Gauge:
        """Returns the gauge that a row names.

        Raises:
            InputError: If there is none of that name.
        """
        name = "".join(row.place.lower().split())
        if "/" in name:
            return self._of_part(name, row)
        if "@" in name:
            return self._across(name, row)
        if name == "saddle":
            return Gauge(
                name=name,
                sort=Sort.PLACE,
                nominal_mm=self.scale_mm,
                limit_mm=self.scale_mm
                * math.log(2.0)
                / 1200.0
                * self.limits.fret_cents,  # heard at the octave
                at_mm=self.scale_mm,
            )
        found = _FRET.fullmatch(name)
        if name in _NUT or found is None:
            raise self._unknown(row)
        return self._fret(int(found[1]), row)

    def _gauge(
        self,
        name: str,
        sort: Sort,
        nominal: float,
        kind: Kind,
        *,
        part: str = "",
        at_mm: float | None = None,
    ) -> Gauge:
        limit = self.limits.limit_mm(kind, nominal)
        return Gauge(name=name, sort=sort, nominal_mm=nominal, limit_mm=limit, part=part, at_mm=at_mm)

    def _fret(self, number: int, row: ReadingRow) -> Gauge:
        for fret in self.layout.frets:
            if fret.number == number:
                left = self.scale_mm - fret.distance
                return Gauge(
                    name=f"fret.{number}",
                    sort=Sort.PLACE,
                    nominal_mm=fret.distance,
                    limit_mm=self.limits.limit_mm(Kind.FRET, fret.distance, string_left_mm=left),
                    at_mm=fret.distance,
                    fret=number,
                    string_left_mm=left,
                )
        raise InputError(
            where=row.cell_where(1), got=quoted(row.place), expected=f"a fret from 1 to {self.last_fret}"
        )

    @property
    def last_fret(self) -> int:
        """Number of the last fret, 0 for a fretless neck."""
        return max((fret.number for fret in self.layout.frets), default=0)

    def _across(self, name: str, row: ReadingRow) -> Gauge:
        what, _, place = name.partition("@")
        layout = self.layout
        if what == "spread" and place in {"nut", "bridge"}:
            spec = layout.spec
            spread = spec.spread_at_nut if place == "nut" else spec.spread_at_bridge
            at = 0.0 if place == "nut" else self.scale_mm
            return self._gauge(name, Sort.SPREAD, spread.value, Kind.STRING, at_mm=at)
        if what != "width":
            raise self._unknown(row)
        if place in _NUT:
            width, at = layout.nut.start.distance(layout.nut.end), 0.0
        elif place == "end":
            width = layout.board_end.start.distance(layout.board_end.end)
            at = x_at_centre(layout.board_end)
        elif found := _FRET.fullmatch(place):
            fret = self._fret(int(found[1]), row)
            line = next(each for each in layout.frets if each.number == fret.fret)
            width, at = line.width, line.distance
        elif re.match("[0-9.½¼¾]", place):
            at = parse_length(place, where=row.cell_where(1), allow="non-negative").mm
            width = width_at(layout, at)
        else:
            raise self._unknown(row)
        return self._gauge(name, Sort.WIDTH, width, Kind.OUTLINE, at_mm=at)

    def _of_part(self, name: str, row: ReadingRow) -> Gauge:
        part_name, *rest = name.split("/")
        part = self.parts.get(part_name)
        if part is None:
            known = ", ".join(self.parts) or "none here"
            raise InputError(
                where=row.cell_where(1),
                got=quoted(row.place),
                expected=f"a part of this set first: {known}",
                mend=did_you_mean(part_name, self.parts),
            )
        match rest:
            case ["length" | "width" as what]:
                box = around(bounds(path) for path in (part.outline,))
                sides = sorted((box.width, box.height))
                return self._gauge(name, Sort.OUTSIDE, sides[what == "length"], Kind.OUTLINE, part=part.name)
            case [id, "width"]:
                feature = self._feature(part, id, row)
                if feature.width_mm is None:
                    raise InputError(
                        where=row.cell_where(1),
                        got=quoted(row.place),
                        expected=f"a slot, notch or hole; {id} has no clear width",
                    )
                return self._gauge(name, Sort.OPENING, feature.width_mm, Kind.OPENING, part=part.name)
            case [pair] if ".." in pair:
                one, other = (self._middle(part, id, row) for id in pair.split("..", 1))
                return self._gauge(name, Sort.MIDDLE, one.distance(other), Kind.LINE, part=part.name)
            case _:
                raise InputError(
                    where=row.cell_where(1),
                    got=quoted(row.place),
                    expected=f"{part_name}/length, {part_name}/width, {part_name}/FEATURE/width or "
                    f"{part_name}/FEATURE..FEATURE",
                )

    def _feature(self, part: Part, id: str, row: ReadingRow) -> Feature:
        features = {feature.id: feature for feature in part.features}
        if id not in features:
            raise InputError(
                where=row.cell_where(1),
                got=quoted(row.place),
                expected=f"a feature of {part.name}",
                mend=did_you_mean(id, features),
            )
        return features[id]

    def _middle(self, part: Part, id: str, row: ReadingRow) -> Point:
        middle = _middle(self._feature(part, id, row).datum)
        if middle is None:
            raise InputError(
                where=row.cell_where(1),
                got=quoted(row.place),
                expected=f"features with a middle; {id} has none",
            )
        return middle

    def _unknown(self, row: ReadingRow) -> InputError:
        known = [*(f"fret.{fret.number}" for fret in self.layout.frets), *_NAMES, *self.parts]
        return InputError(
            where=row.cell_where(1),
            got=quoted(row.place),
            expected=f"a fret such as fret.12, {', '.join(_NAMES)}, or a part such as saw-guide/length",
            mend=did_you_mean(row.place.lower(), known),
        )

    def blank(self, part: str = "") -> str:
        """Returns a table to fill in, for the board or instrument itself, or for a part.

        Args:
            part: Its name.

        Raises:
            InputError: If there is no such part.
        """
        lines = [
            "# Write each reading in the second column, and its unit in the third; rows left empty are passed over."
        ]
        if part and part not in self.parts:
            raise InputError(
                where="--part",
                got=quoted(part),
                expected=f"one of {', '.join(self.parts)}",
                mend=did_you_mean(part, self.parts),
            )
        rows = self._blank_of_part(self.parts[part]) if part else self._blank_of_neck()
        return "\n".join([*lines, *_REPEAT, ", ".join(HEAD), *rows]) + "\n"

    def _blank_of_neck(self) -> Iterator[str]:
        yield "# From the front of the nut to the middle of each fret's slot or crown, along the centre line."
        yield from (f"fret.{fret.number}, , mm" for fret in self.layout.frets if fret.number > 0)
        yield "# From the front of the nut to where the strings break over the saddle, on the centre line."
        yield "saddle, , mm"
        yield "# The board, edge to edge."
        places = ("nut", *(str(number) for number in (5, 12) if number <= self.last_fret), "end")
        yield from (f"width@{place}, , mm" for place in places)
        yield "# The outer strings, centre to centre."
        yield from (f"spread@{place}, , mm" for place in ("nut", "bridge"))

    def _blank_of_part(self, part: Part) -> Iterator[str]:
        yield "# Outside sizes, clear widths of slots, notches and holes, and distances between middles."
        yield from (f"{_name(each)}, , mm" for each in suggestions(part))


_NAMES = ("saddle", "width@nut", "width@12", "width@end", "spread@nut", "spread@bridge")
_REPEAT = ("# Repeat a row to read a thing again: two or three readings tell how well you read.",)


def _name(suggestion: Suggestion) -> str:
    match suggestion.what:
        case "length" | "width":
            return f"{suggestion.part}/{suggestion.what}"
        case "clear width":
            return f"{suggestion.part}/{suggestion.features[0]}/width"
        case _:
            return f"{suggestion.part}/{'..'.join(suggestion.features)}"


def _middle(datum: Datum) -> Point | None:
    match datum:
        case Line():
            return between(datum.start, datum.end, 0.5)
        case Point():
            return datum
        case None:
            return None


def gauge_readings(text: str, gauges: Gauges, *, file: str) -> tuple[GaugeReading, ...]:
    """Reads a table of readings.

    Args:
        text: As at the top of this module.
        gauges: What can be measured.
        file: What to call it in errors.

    Raises:
        JiggenError: If a row cannot be read, or there is none; all that is wrong, in one go.
    """
    readings: list[GaugeReading] = []
    faults: list[JiggenError] = []
    for row in reading_rows(text, file=file, head=HEAD, example=_ROW, faults=faults):
        try:
            readings.append(GaugeReading(gauge=gauges.find(row), mm=row.length(), where=row.where))
        except JiggenError as fault:
            faults.append(fault)
    raise_faults(faults, file=file)
    if not readings:
        raise InputError(where=file, got="no readings", expected=f"rows such as {_ROW}")
    return tuple(readings)


def part_names(text: str) -> tuple[str, ...]:
    """Returns the names of the parts that a table speaks of, each once, so that they can be drawn before it is read."""
    places = (line.partition(",")[0] for line in text.splitlines() if not line.lstrip().startswith("#"))
    return tuple(dict.fromkeys(place.partition("/")[0].strip().lower() for place in places if "/" in place))

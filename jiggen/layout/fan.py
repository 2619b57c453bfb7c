"""Frets that fan out: strings of different scale length on one neck. Millimetres, x along the centre line.

Each string has a scale length of its own, measured along the string. The strings are laid so that all are stopped at
the same x where the straight fret stands, the one fret that runs square across. With a straight nut and strings
spread in the same proportions at nut and bridge, every fret is a straight line; where they are not, the best straight
fret is found and its error told.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between


@dataclass(frozen=True, slots=True)
class Across:
    """A string's place across the neck, mm: at the nut and at the saddle line."""

    at_nut: float
    at_saddle: float


def run(scale: float, across: Across) -> float:
    """Returns how far along x a string of a scale length reaches, mm.

    Raises:
        ValueError: If the string would have to run more sideways than its length.
    """
    aside = across.at_saddle - across.at_nut
    if abs(aside) >= scale:
        raise ValueError(f"a string of {scale:.3f} mm cannot run {aside:.3f} mm sideways")
    return math.sqrt(scale * scale - aside * aside)


def outer_lines(
    bass_scale: float, treble_scale: float, bass: Across, treble: Across, straight: float
) -> tuple[Line, Line]:
    """Returns the bass-most and treble-most string's centres, nut to saddle.

    Args:
        bass_scale: Of the bass-most string, mm along it.
        treble_scale: Of the treble-most string.
        bass: Where the bass-most string runs.
        treble: Where the treble-most string runs.
        straight: Fraction of the string, from the nut, at which both are stopped at the same x: the straight fret's
            1 − remaining. 0 makes the nut square, 1 the saddle.

    Returns:
        Both lines, with x zero where the line joining their nut ends crosses the centre line.
    """
    runs = run(bass_scale, bass), run(treble_scale, treble)
    nut_bass = Point(-straight * runs[0], bass.at_nut)
    nut_treble = Point(-straight * runs[1], treble.at_nut)
    zero = x_at_centre(Line(nut_bass, nut_treble))
    return tuple(  # type: ignore[return-value] # exactly two
        Line(Point(nut.x - zero, nut.y), Point(nut.x - zero + length, across.at_saddle))
        for nut, length, across in ((nut_bass, runs[0], bass), (nut_treble, runs[1], treble))
    )


def x_at_centre(line: Line) -> float:
    """Returns the x at which a line across the neck, carried on if need be, crosses the centre line."""
    return x_at(line, 0.0)


def x_at(line: Line, y: float) -> float:
    """Returns the x of a line across the neck at some y; the line may be carried on.

    A line that does not run across (both ends at one y) is taken at its middle.
    """
    rise = line.end.y - line.start.y
    if rise == 0.0:
        return (line.start.x + line.end.x) / 2.0
    return line.start.x + (line.end.x - line.start.x) * (y - line.start.y) / rise


def inner_lines(bass: Line, treble: Line, across: Sequence[Across]) -> tuple[Line, ...]:
    """Returns each string from the straight nut to the straight saddle that join the outer strings' ends.

    Args:
        bass: The bass-most string.
        treble: The treble-most string.
        across: Where each string runs, first string first.
    """
    nut, saddle = Line(bass.start, treble.start), Line(bass.end, treble.end)
    return tuple(
        Line(Point(x_at(nut, each.at_nut), each.at_nut), Point(x_at(saddle, each.at_saddle), each.at_saddle))
        for each in across
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightFret:
    """The best straight fret through the places where strings should be stopped.

    Attributes:
        line: From the bass-most to the treble-most string's y.
        error: Largest distance along a string between the fret and the string's right place, mm; zero when the
            strings keep their proportions.
    """

    line: Line
    error: float


def straight_fret(strings: Sequence[Line], stopped: Callable[[int], float]) -> StraightFret:
    """Returns the straight line across all strings that is nearest to where each should be stopped.

    x = a + b·y is fitted so that the squares of the differences along x are least.

    Args:
        strings: Centres, nut to saddle, first string first.
        stopped: For a string's index, the fraction of its length at which it is stopped, from the nut.
    """
    places = [between(string.start, string.end, stopped(index)) for index, string in enumerate(strings)]
    treble, bass = places[0], places[-1]
    if len(places) <= 2 or treble.y == bass.y:
        return StraightFret(line=Line(bass, treble), error=0.0)
    mean_x = sum(place.x for place in places) / len(places)
    mean_y = sum(place.y for place in places) / len(places)
    spread = sum((place.y - mean_y) ** 2 for place in places)
    slope = sum((place.y - mean_y) * (place.x - mean_x) for place in places) / spread

    def on_line(y: float) -> Point:
        return Point(mean_x + slope * (y - mean_y), y)

    error = max(abs(on_line(place.y).x - place.x) for place in places)
    if error < 1e-9:
        return StraightFret(line=Line(bass, treble), error=0.0)
    return StraightFret(line=Line(on_line(bass.y), on_line(treble.y)), error=error)

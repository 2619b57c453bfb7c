"""Frets that fan out: strings of different scale length on one neck. Millimetres, x along the centre line.

Each string has a scale length of its own, measured along the string. The strings are laid so that all are stopped at
the same x where the straight fret stands, the one fret that runs square across. With a straight nut and strings
spread in the same proportions at nut and bridge, every fret is a straight line; where they are not, the best straight
fret is found.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.errors import LimitError
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point


@dataclass(frozen=True, slots=True)
class Across:
    """A string's place across the neck, mm: at the nut and at the saddle line."""

    at_nut: float
    at_saddle: float


def run(scale: float, across: Across) -> float:
    """Returns how far along x a string of a scale length reaches, mm.

    Raises:
        LimitError: If the string would have to run more sideways than its length.
    """
    aside = abs(across.at_saddle - across.at_nut)
    if aside >= scale:
        raise LimitError(
            where="neck.scale-bass, neck.scale-treble",
            got=f"a string {scale:.2f} mm long that runs {aside:.2f} mm sideways",
            expected="a string longer than its way across the neck",
        )
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

    Raises:
        LimitError: If a string would have to run more sideways than its length.
    """
    bass_run, treble_run = run(bass_scale, bass), run(treble_scale, treble)
    nut_bass = Point(-straight * bass_run, bass.at_nut)
    nut_treble = Point(-straight * treble_run, treble.at_nut)
    zero = x_at_centre(Line(nut_bass, nut_treble))
    return (
        Line(Point(nut_bass.x - zero, bass.at_nut), Point(nut_bass.x - zero + bass_run, bass.at_saddle)),
        Line(
            Point(nut_treble.x - zero, treble.at_nut),
            Point(nut_treble.x - zero + treble_run, treble.at_saddle),
        ),
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


def straight_fret(places: Sequence[Point]) -> Line:
    """Returns the straight fret that is nearest to the places where the strings should be stopped.

    x = a + b·y is fitted so that the squares of the differences along x are least; places on one line are all met.

    Args:
        places: On each of two or more strings, first string (treble) first.

    Returns:
        The line from the last place's y to the first one's: bass to treble.
    """
    treble, bass = places[0], places[-1]
    mean_x = math.fsum(place.x for place in places) / len(places)
    mean_y = math.fsum(place.y for place in places) / len(places)
    spread = math.fsum((place.y - mean_y) ** 2 for place in places)
    slope = math.fsum((place.y - mean_y) * (place.x - mean_x) for place in places) / spread
    return Line(
        Point(mean_x + slope * (bass.y - mean_y), bass.y),
        Point(mean_x + slope * (treble.y - mean_y), treble.y),
    )

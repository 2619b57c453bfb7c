"""The instrument as geometry. Millimetres; x from the front of the nut toward the bridge, y toward the treble."""

import math
from dataclasses import dataclass

from jiggen.design.spec import Spec
from jiggen.geometry.path import Line, Path
from jiggen.geometry.point import Point
from jiggen.layout.inlays import Inlay
from jiggen.layout.radius import BoardRadius


@dataclass(frozen=True, slots=True, kw_only=True)
class StringLine:
    """One string seen from above.

    Attributes:
        number: 1 is the treble-most, as strings are numbered in the trade.
        course: Counted from the treble; the same as the number where all strings are single.
        line: Its centre, from the nut to the saddle line.
        gauge: Its diameter in mm, or None when unknown.
    """

    number: int
    course: int
    line: Line
    gauge: float | None

    @property
    def scale(self) -> float:
        """Its own length from nut to saddle line, mm."""
        return self.line.start.distance(self.line.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class FretLine:
    """One fret slot's centre line.

    Attributes:
        number: 1 is next to the nut; 0 is a zero fret, at the nut line.
        label: What it is called: its number, unless the fret rule names it otherwise.
        distance: From the front of the nut to where it crosses the centre line.
        line: From the bass edge of the board to its treble edge; for a partial fret from end to end.
        from_previous: Distance from the fret before it, or from the nut, along the centre line.
        spread: Centre to centre of the outer strings along the line; of a partial fret, as if it were whole.
        crossings: Where each string crosses it, first string first; None where a partial fret does not reach.
        bend: Largest distance along a string between the straight fret and that string's right place, mm; zero
            unless frets fan out and the strings are spread in other proportions at the nut than at the bridge.
    """

    number: int
    label: str
    distance: float
    line: Line
    from_previous: float
    spread: float
    crossings: tuple[Point | None, ...]
    bend: float = 0.0

    @property
    def width(self) -> float:
        """Its length: for a whole fret the width of the board along it."""
        return self.line.start.distance(self.line.end)

    @property
    def skew(self) -> float:
        """Angle from square across, in radians, positive when the treble end is nearer the bridge."""
        run = self.line.end - self.line.start
        return math.atan2(run.x, abs(run.y))


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Everything that is drawn of a neck.

    "Bass edge to treble edge" is toward +y on a right-handed neck, toward −y on a left-handed one.

    Attributes:
        spec: The numbers it was laid out from.
        nut: Where the speaking length starts, bass edge to treble edge: the front of the nut, or the zero fret.
        saddle: The uncompensated saddle line, between the projected board edges.
        bass_edge: The board's bass edge carried on to the saddle line.
        treble_edge: The same on the treble side.
        strings: First string first.
        frets: A zero fret if there is one, then the first fret and on.
        board: The board's outline from its start to its end, counter-clockwise.
        board_start: Its end at the nut, bass edge to treble edge: behind a zero fret, else the nut line.
        board_end: Its other end, bass edge to treble edge, without a rounding.
        radius: Of its face across; None when flat or unknown.
        inlays: Position marks, nut to bridge.
    """

    spec: Spec
    nut: Line
    saddle: Line
    bass_edge: Line
    treble_edge: Line
    strings: tuple[StringLine, ...]
    frets: tuple[FretLine, ...]
    board: Path
    board_start: Line
    board_end: Line
    radius: BoardRadius | None
    inlays: tuple[Inlay, ...]

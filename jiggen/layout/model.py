"""The instrument as geometry. Millimetres; x from the front of the nut toward the bridge, y toward the treble."""

from dataclasses import dataclass

from jiggen.design.model import Spec
from jiggen.geometry.path import Line, Path


@dataclass(frozen=True, slots=True, kw_only=True)
class StringLine:
    """One string seen from above.

    Attributes:
        number: 1 is the treble-most, as strings are numbered in the trade.
        line: Its centre, from the nut to the saddle line.
        gauge: Its diameter in mm, or None when unknown.
    """

    number: int
    line: Line
    gauge: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FretLine:
    """One fret slot's centre line.

    Attributes:
        number: 1 is next to the nut.
        distance: From the front of the nut along the centre line.
        line: From the bass edge of the board to its treble edge.
        from_previous: Distance from the fret before it, or from the nut, along the centre line.
        spread: Centre to centre of the outer strings along the line.
    """

    number: int
    distance: float
    line: Line
    from_previous: float
    spread: float

    @property
    def width(self) -> float:
        """Width of the board along the fret."""
        return self.line.start.distance(self.line.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Everything that is drawn of a neck.

    Attributes:
        spec: The numbers it was laid out from.
        nut: Front of the nut, bass edge to treble edge.
        saddle: The uncompensated saddle line, between the projected board edges.
        bass_edge: The board's bass edge carried on to the saddle line.
        treble_edge: The same on the treble side.
        strings: First string first.
        frets: First fret first.
        board: The board's outline from nut to end, counter-clockwise.
        board_end: Its end, bass edge to treble edge.
    """

    spec: Spec
    nut: Line
    saddle: Line
    bass_edge: Line
    treble_edge: Line
    strings: tuple[StringLine, ...]
    frets: tuple[FretLine, ...]
    board: Path
    board_end: Line

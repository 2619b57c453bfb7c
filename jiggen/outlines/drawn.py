"""What the readers of files hand on: strokes of curves in millimetres, and the words about them."""

from dataclasses import dataclass, replace
from typing import assert_never

from jiggen.geometry.box import Box
from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.trace import Curve

Piece = Curve | Segment

#: Lines and curves that a file may draw; an outline takes some hundred.
MOST_PIECES = 10_000
#: Elements that a file may draw, each counted as often as it is used.
MOST_DRAWN = 50_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """Curves, lines and arcs that one thing in a file draws, each starting where the one before it ended.

    Attributes:
        pieces: At least one; in mm, y up.
        closed: Whether the file says that the last ends where the first starts.
        where: Its place in the file, for messages.
    """

    pieces: tuple[Piece, ...]
    closed: bool
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The residual of a curve at one station, in the file's own place.

    Attributes:
        x: Of the station.
        half_width: As read.
        side: 1 or -1.
        residual: How much farther out the curve passes.
    """

    x: float
    half_width: float
    side: int
    residual: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """All that a file draws.

    Attributes:
        strokes: In the file's order.
        took: Sentences about what was taken.
        ignored: Sentences about what was not.
        layers: Names of the layers or groups that there are to choose from.
        page: The page, where the file has one.
        y_down: Whether the file's own y grows downward, so that places are told with y negated.
        laid: Whether it lies along y = 0 already, its neck end first.
        readings: Of a table of stations.
    """

    strokes: tuple[Stroke, ...]
    took: tuple[str, ...]
    ignored: tuple[str, ...]
    layers: tuple[str, ...] = ()
    page: Box | None = None
    y_down: bool = False
    laid: bool = False
    readings: tuple[Reading, ...] = ()

    def spot(self, point: Point) -> str:
        """Returns a place in words, in the file's own directions."""
        y = -point.y if self.y_down else point.y
        return f"({point.x + 0.0:.2f}, {y + 0.0:.2f}) mm"


def reach(piece: Piece) -> tuple[Point, ...]:
    """Returns places that a piece may reach, or that stand for them; its start is among them."""
    match piece:
        case Line():
            return piece.start, piece.end
        case Arc():
            return piece.start, piece.box.low, piece.box.high
        case EllipseArc():
            out, up = piece.major, piece.minor
            return piece.start, piece.centre - out, piece.centre + out, piece.centre - up, piece.centre + up
        case QuadraticBezier() | CubicBezier() | BSpline():
            return piece.controls
        case _:
            assert_never(piece)


def with_length(stroke: Stroke) -> tuple[Stroke, ...]:
    """Returns a stroke without the pieces that are one place; nothing where all are."""
    pieces = tuple(
        piece for piece in stroke.pieces if any(place != piece.start for place in reach(piece)[1:])
    )
    return (replace(stroke, pieces=pieces),) if pieces else ()

"""The board's outline between its straight edges. Millimetres."""

import math

from jiggen.design.model import EndShape
from jiggen.design.spec import Spec
from jiggen.errors import LimitError
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point, polar


def crossing(one: Line, other: Line) -> Point:
    """Returns where two lines, carried on as far as need be, cross.

    Raises:
        ZeroDivisionError: If they are parallel.
    """
    x, y = one.start.x, one.start.y
    along_x, along_y = one.end.x - x, one.end.y - y
    across_x, across_y = other.end.x - other.start.x, other.end.y - other.start.y
    share = ((other.start.x - x) * across_y - (other.start.y - y) * across_x) / (
        along_x * across_y - along_y * across_x
    )
    return Point(x + along_x * share, y + along_y * share)


def between_edges(line: Line, edges: tuple[Line, Line]) -> Line:
    """Returns a line across the neck from the bass edge to the treble edge."""
    return Line(crossing(edges[0], line), crossing(edges[1], line))


def board_end(spec: Spec, last: Line, at: float, edges: tuple[Line, Line]) -> Line:
    """Returns the board's straight end, bass edge to treble edge.

    Args:
        spec: Says how the board ends.
        last: The last fret, or the nut of a fretless board, whose direction a straight end takes.
        at: Where the end crosses the centre line, mm from the nut.
        edges: Bass edge and treble edge.
    """
    direction = (last.end - last.start).unit()
    if spec.end.value is EndShape.ANGLED:
        direction = polar(1.0, math.pi / 2.0 + spec.end_angle.value)
    middle = Point(at, 0.0)
    return between_edges(Line(middle - direction, middle + direction), edges)


def board_outline(spec: Spec, start: Line, end: Line) -> Path:
    """Returns the board as a closed path, counter-clockwise.

    Args:
        spec: Says how the board ends.
        start: Its end at the nut, bass edge to treble edge.
        end: Its other end, bass edge to treble edge.

    Raises:
        LimitError: If its ends meet, or a rounded end is wider than its circle.
    """
    shorter = min(end.start.x - start.start.x, end.end.x - start.end.x)
    if shorter <= 0.0:
        raise LimitError(
            where="neck.end-angle",
            got=f"{math.degrees(spec.end_angle.value):.2f} deg, which cuts {-shorter:.2f} mm into the nut",
            expected="an end that leaves both edges some length",
            mend="Turn the end less, or lengthen the overhang.",
        )
    far: Segment = Line(end.start, end.end)
    if spec.end.value is EndShape.ROUNDED and spec.end_radius is not None:
        far = _rounded_end(end, spec.end_radius.value)
    return Path(
        (Line(start.start, end.start), far, Line(end.end, start.end), Line(start.end, start.start)),
        closed=True,
    )


def _rounded_end(end: Line, radius: float) -> Arc:
    half = end.start.distance(end.end) / 2.0
    if radius < half:
        raise LimitError(
            where="neck.end-radius",
            got=f"{radius:.2f} mm on a board {2.0 * half:.2f} mm wide at its end",
            expected=f"at least half of that, {half:.2f} mm",
        )
    return Arc(end.start, end.end, math.tan(math.asin(half / radius) / 2.0))

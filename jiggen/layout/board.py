"""The board's outline between its straight edges. Millimetres."""

import math

from jiggen.design.model import EndShape, Spec
from jiggen.errors import LimitError
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point, polar


def crossing(one: Line, other: Line) -> Point:
    """Returns where two lines, carried on as far as need be, cross.

    Raises:
        ZeroDivisionError: If they are parallel.
    """
    along, across = one.end - one.start, other.end - other.start
    share = (other.start - one.start).cross(across) / along.cross(across)
    return one.start + along * share


def between_edges(line: Line, bass_edge: Line, treble_edge: Line) -> Line:
    """Returns a line across the neck from the bass edge to the treble edge."""
    return Line(crossing(line, bass_edge), crossing(line, treble_edge))


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
    return between_edges(Line(middle - direction, middle + direction), *edges)


def board_outline(spec: Spec, start: Line, end: Line) -> Path:
    """Returns the board as a closed path, counter-clockwise.

    Args:
        spec: Says how the board ends.
        start: Its end at the nut, bass edge to treble edge.
        end: Its other end, bass edge to treble edge.

    Raises:
        LimitError: If a rounded end is wider than its circle.
    """
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

"""Scaling x and y by factors of their own: what a machine's axes and a sheet's grain do. Millimetres.

Under unequal factors an arc becomes a piece of an ellipse; it is refitted by arcs through points of that, halved
until each keeps to a stated tolerance. Ends stay ends, so that neighbours still meet.
"""

import math
from typing import assert_never

from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import nearest_on, point_on

#: How far, in mm, refitted arcs may lie off the ellipse: a fiftieth of what a good laser repeats to.
REFIT_TOLERANCE = 0.001
#: Where an arc through three points of a curve (its ends and middle) lies farthest off it, as shares of the way.
_FARTHEST = (0.21, 0.79)


def stretched(path: Path, x: float, y: float, *, tolerance_mm: float = REFIT_TOLERANCE) -> Path:
    """Returns a path with all x multiplied by one factor and all y by another, about the origin.

    Args:
        path: Open or closed.
        x: Positive.
        y: Positive. Equal factors keep every arc as it is.
        tolerance_mm: How far an arc may lie off the true curve.

    Raises:
        ValueError: If a factor or the tolerance is not a positive number.
    """
    if not (0.0 < x < math.inf and 0.0 < y < math.inf and 0.0 < tolerance_mm < math.inf):
        raise ValueError(f"no stretch by {x} and {y} to {tolerance_mm} mm")
    if x == y == 1.0:
        return path
    segments: list[Segment] = []
    start = first = _moved(path.start, x, y)
    last = len(path) - 1
    for index, piece in enumerate(path):
        end = first if path.closed and index == last else _moved(piece.end, x, y)
        match piece:
            case Line():
                segments.append(Line(start, end))
            case Arc() if x == y:
                segments.append(Arc(start, end, piece.bulge))
            case Arc():
                segments += _refitted(piece, x, y, tolerance_mm)
            case _:
                assert_never(piece)
        start = end
    return Path(tuple(segments), closed=path.closed)


def _moved(point: Point, x: float, y: float) -> Point:
    return Point(point.x * x, point.y * y)


def _refitted(arc: Arc, x: float, y: float, tolerance: float) -> list[Segment]:
    """Returns arcs along a stretched arc: one through its ends and middle if that will do, else those of its halves.

    Source: the angle on the rim is half of that at the centre, so an arc through three points sweeps twice the turn
        at the middle one.
    """
    middle = point_on(arc, 0.5)
    start, through, end = (_moved(point, x, y) for point in (arc.start, middle, arc.end))
    arriving, leaving = through - start, end - through
    turn = math.atan2(arriving.cross(leaving), arriving.dot(leaving))
    fitted: Segment = Line(start, end) if turn == 0.0 else Arc(start, end, math.tan(turn / 2.0))
    # A circle and its ellipse, alike in three points, are nowhere farther apart than their half axes.
    if arc.radius * abs(x - y) <= tolerance or all(
        _off(fitted, _moved(point_on(arc, share), x, y)) <= tolerance for share in _FARTHEST
    ):
        return [fitted]
    half = math.tan(arc.sweep / 8.0)
    return [
        *_refitted(Arc(arc.start, middle, half), x, y, tolerance),
        *_refitted(Arc(middle, arc.end, half), x, y, tolerance),
    ]


def _off(piece: Segment, point: Point) -> float:
    return point_on(piece, nearest_on(piece, point)).distance(point)

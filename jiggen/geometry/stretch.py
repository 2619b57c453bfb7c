"""Scaling x and y by factors of their own: what a machine's axes and a sheet's grain do. Millimetres.

Under unequal factors an arc becomes a piece of an ellipse; it is refitted by arcs, halved until each keeps to a stated
tolerance. Ends stay ends, so that neighbours still meet.
"""

import math
from collections.abc import Callable
from typing import assert_never

from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on, nearest_on, point_on

#: How far, in mm, refitted arcs may lie off the ellipse: a fiftieth of what a good laser repeats to.
REFIT_TOLERANCE = 0.001
#: Where a fit lies farthest off, as shares of the way: one arc between its ends and middle, two arcs about theirs.
_FARTHEST_OF_ONE, _FARTHEST_OF_TWO = (0.21, 0.79), (0.13, 0.37, 0.5, 0.63, 0.87)
#: From an arc and both factors to what stands for it.
Fit = Callable[[Arc, float, float], list[Segment]]


def stretched(
    path: Path, x: float, y: float, *, tolerance_mm: float = REFIT_TOLERANCE, smooth: bool = False
) -> Path:
    """Returns a path with all x multiplied by one factor and all y by another, about the origin.

    Args:
        path: Open or closed.
        x: Positive.
        y: Positive. Equal factors keep every arc as it is.
        tolerance_mm: How far an arc may lie off the true curve.
        smooth: Whether what had a common tangent keeps it, for a path that is to be offset; it takes two arcs for one.

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
    for index, piece in enumerate(path.segments):
        end = first if path.closed and index == last else _moved(piece.end, x, y)
        match piece:
            case Line():
                segments.append(Line(start, end))
            case Arc() if x == y:
                segments.append(Arc(start, end, piece.bulge))
            case Arc():
                segments += _refitted(piece, x, y, tolerance_mm, _two_arcs if smooth else _one_arc)
            case _:
                assert_never(piece)
        start = end
    return Path(tuple(segments), closed=path.closed)


def _moved(point: Point, x: float, y: float) -> Point:
    return Point(point.x * x, point.y * y)


def _refitted(arc: Arc, x: float, y: float, tolerance: float, fit: Fit) -> list[Segment]:
    """Returns what fits a stretched arc: in one go if that will do, else each half on its own."""
    fitted = fit(arc, x, y)
    shares = _FARTHEST_OF_ONE if len(fitted) == 1 else _FARTHEST_OF_TWO
    # A circle and its ellipse, alike in three points, are nowhere farther apart than their half axes.
    if arc.radius * abs(x - y) <= tolerance or all(
        _off(fitted, _moved(point_on(arc, share), x, y)) <= tolerance for share in shares
    ):
        return fitted
    half, middle = math.tan(arc.sweep / 8.0), point_on(arc, 0.5)
    return [
        *_refitted(Arc(arc.start, middle, half), x, y, tolerance, fit),
        *_refitted(Arc(middle, arc.end, half), x, y, tolerance, fit),
    ]


def _one_arc(arc: Arc, x: float, y: float) -> list[Segment]:
    """Returns the arc through the ends and the middle of a stretched one.

    Source: the angle on the rim is half of that at the centre, so an arc through three points sweeps twice the turn
        at the middle one.
    """
    start, through, end = (_moved(point, x, y) for point in (arc.start, point_on(arc, 0.5), arc.end))
    arriving, leaving = through - start, end - through
    return [_bent(start, end, math.atan2(arriving.cross(leaving), arriving.dot(leaving)))]


def _two_arcs(arc: Arc, x: float, y: float) -> list[Segment]:
    """Returns two arcs that share a tangent where they meet, and those of the stretched arc at its ends.

    Source: with equal distances d from the ends to where the tangents of the joint meet theirs (the common choice for
        such curves), |chord - d (t₀ + t₁)| = 2d gives 2d²(1 - t₀·t₁) + 2d chord·(t₀ + t₁) - chord² = 0.
    """
    start, end = _moved(arc.start, x, y), _moved(arc.end, x, y)
    sets_out, arrives = (_moved(heading_on(arc, share), x, y).unit() for share in (0.0, 1.0))
    chord = end - start
    apart, along = 1.0 - sets_out.dot(arrives), chord.dot(sets_out + arrives)
    # the positive root, in the form that keeps its digits when the tangents are all but parallel
    reach = chord.dot(chord) / (along + math.sqrt(along**2 + 2.0 * apart * chord.dot(chord)))
    joint = (start + end + (sets_out - arrives) * reach) * 0.5
    first, second = joint - start, end - joint
    return [
        _bent(start, joint, math.atan2(sets_out.cross(first), sets_out.dot(first))),
        _bent(joint, end, math.atan2(second.cross(arrives), second.dot(arrives))),
    ]


def _bent(start: Point, end: Point, turn: float) -> Segment:
    """Returns the arc that turns by half its sweep, `turn`, from its end's tangent to its chord."""
    return Arc(start, end, math.tan(turn / 2.0)) if turn else Line(start, end)


def _off(pieces: list[Segment], point: Point) -> float:
    return min(point_on(piece, nearest_on(piece, point)).distance(point) for piece in pieces)

"""Fitting lines and arcs to a run of points, to a stated tolerance. Millimetres and radians."""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise

from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.segment import nearest_on, point_on

#: A run of points that turns by more than this at one of them, in radians, has a corner there: 20 degrees.
CORNER = math.radians(20.0)


def fit(points: Sequence[Point], tolerance_mm: float, *, closed: bool) -> Path:
    """Returns a path of few lines and arcs along the polyline through `points`.

    Each segment starts and ends at one of the points and is taken as long as it will go. Corners are kept. Arcs
    turn by half a turn at most, and meet their neighbours at a slight angle rather than a common tangent.

    Args:
        points: Two or more, in order.
        tolerance_mm: How far the path may lie off the points and off the middles of the chords between them.
        closed: Whether the last point is joined to the first, which may be repeated at the end.

    Raises:
        ValueError: If there are too few different points, or the tolerance is not positive.
    """
    if not tolerance_mm > 0.0:
        raise ValueError(f"a tolerance must be positive, got {tolerance_mm} mm")
    apart = [point for index, point in enumerate(points) if index == 0 or point != points[index - 1]]
    if closed and apart and apart[0] == apart[-1]:
        apart.pop()
    if len(apart) < (3 if closed else 2):
        raise ValueError(f"too few different points to fit a path to: {len(apart)}")
    if closed:
        first = next((index for index in range(len(apart)) if _is_corner(apart, index)), 0)
        apart = [*apart[first:], *apart[: first + 1]]
    corners = [index for index in range(1, len(apart) - 1) if _is_corner(apart, index)]
    segments: list[Segment] = []
    for begin, end in zip([0, *corners], [*corners, len(apart) - 1], strict=True):
        segments += _fit_smooth(apart[begin : end + 1], tolerance_mm)
    return Path(tuple(segments), closed=closed)


def _is_corner(points: Sequence[Point], index: int) -> bool:
    arriving, leaving = points[index] - points[index - 1], points[(index + 1) % len(points)] - points[index]
    return abs(math.atan2(arriving.cross(leaving), arriving.dot(leaving))) > CORNER


def _fit_smooth(points: Sequence[Point], tolerance: float) -> list[Segment]:
    """Returns segments along a run without corners, each as long as it will go from where the last one ended."""
    segments: list[Segment] = []
    begin = 0
    while begin < len(points) - 1:
        line_end = _furthest(points, begin, tolerance, _line)
        arc_end = _furthest(points, begin, tolerance, _arc)
        end = max(line_end, arc_end)
        candidate = _line(points, begin, end) if line_end >= arc_end else _arc(points, begin, end)
        segments.append(candidate if candidate is not None else Line(points[begin], points[begin + 1]))
        begin = end
    return segments


Maker = Callable[[Sequence[Point], int, int], Segment | None]


def _furthest(points: Sequence[Point], begin: int, tolerance: float, make: Maker) -> int:
    """Returns the index up to which one segment will do: found by doubling the stretch, then by halving."""

    def fits(end: int) -> bool:
        piece = make(points, begin, end)
        return piece is not None and _keeps_to(piece, points[begin : end + 1], tolerance)

    last, reach = len(points) - 1, begin + 1
    stretch = 3  # an arc needs so many chords
    while reach < last and fits(further := min(begin + stretch, last)):
        reach = further
        stretch *= 2
    too_far = min(begin + stretch, last + 1)
    while too_far - reach > 1:
        middle = (reach + too_far) // 2
        if fits(middle):
            reach = middle
        else:
            too_far = middle
    return reach


def _keeps_to(piece: Segment, points: Sequence[Point], tolerance: float) -> bool:
    middles = [between(one, other, 0.5) for one, other in pairwise(points)]
    return all(
        point_on(piece, nearest_on(piece, point)).distance(point) <= tolerance
        for point in (*points, *middles)
    )


def _line(points: Sequence[Point], begin: int, end: int) -> Segment | None:
    return Line(points[begin], points[end])


def _arc(points: Sequence[Point], begin: int, end: int) -> Segment | None:
    """Returns the arc through both ends and the point midway, or None if that is straight or past a half turn.

    Source: the angle on the rim is half of that at the centre, so the arc sweeps twice the turn at its middle.
    """
    middle = points[(begin + end) // 2]
    arriving, leaving = middle - points[begin], points[end] - middle
    turn = math.atan2(arriving.cross(leaving), arriving.dot(leaving))
    if end - begin < 3 or not 1e-9 < abs(turn) <= math.pi / 2.0 + 1e-9:
        return None
    return Arc(points[begin], points[end], math.tan(turn / 2.0))

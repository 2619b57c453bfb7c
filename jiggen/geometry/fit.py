"""Fitting lines and arcs to curves, or to a run of points, to a stated tolerance. Millimetres and radians."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jiggen.geometry.arc_search import few_arcs
from jiggen.geometry.fit_error import error_of
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.segment import nearest_on, point_on
from jiggen.geometry.smooth_run import Run
from jiggen.geometry.trace import Curve, Steps, trace

#: A run of points that turns by more than this at one of them, in radians, has a corner there: 20 degrees.
CORNER = math.radians(20.0)


#: Chords that stand for the source may take up this share of the tolerance.
SLACK_SHARE = 1.0 / 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """A path of lines and arcs that stands for a chain of curves.

    Attributes:
        path: The path.
        error_mm: An upper bound, measured, of how far the path lies off the curves and the curves off the path.
        corners: Where the path changes direction at once, in order; nowhere else does it.
    """

    path: Path
    error_mm: float
    corners: tuple[Point, ...]


def fit_curves(
    curves: Sequence[Curve | Segment], tolerance_mm: float, *, closed: bool, corner_rad: float = CORNER
) -> Fitted:
    """Returns a path of few lines and arcs along a chain of curves, with common tangents but at corners.

    It is exact in place and direction at the chain's ends and at its corners.

    Args:
        curves: Each starting where the one before it ended. Those without length are passed over.
        tolerance_mm: How far path and curves may lie apart, both ways.
        closed: Whether the last ends where the first starts.
        corner_rad: Where the chain turns at once by more than this, it has a corner.

    Raises:
        ValueError: If there is no curve with a length, the chain jumps, or the tolerance is not positive.
    """
    if not 0.0 < tolerance_mm < math.inf:
        raise ValueError(f"a tolerance must be positive, got {tolerance_mm} mm")
    steps = trace(curves, tolerance_mm * SLACK_SHARE, tolerance_mm / 100.0)
    if not len(steps):
        raise ValueError("there is no curve with a length to fit a path to")
    _check_chain(steps, closed=closed)
    corners = _corners(steps, corner_rad, closed=closed)
    order = np.arange(len(steps))
    if closed:
        first = corners[0] if corners else 0
        order = np.roll(order, -first)
        corners = [(corner - first) % len(steps) for corner in corners if corner != first] if corners else []
        is_sharp = bool(_corners(steps, corner_rad, closed=True))
    else:
        is_sharp = False
    bounds = [0, *corners, len(steps)]
    at = steps.starts[order]
    spots = [Point(*at[bound].tolist()) for bound in bounds[:-1]]
    spots.append(spots[0] if closed else Point(*steps.ends[order[-1]].tolist()))
    segments: list[Segment] = []
    error = 0.0
    for (begin, end), ends in zip(pairwise(bounds), pairwise(spots), strict=True):
        run = Run.of(steps, order[begin:end])
        if closed and not is_sharp:
            joined = run.along[0] + run.along[-1]
            run.along[0] = run.along[-1] = joined / np.hypot(*joined)
        found = few_arcs(run, ends, tolerance_mm)
        segments += (piece.segment for piece in found)
        error = max(error, error_of(run, found))
    sharp = spots[:-1] if is_sharp else spots[1:-1]
    return Fitted(path=Path(tuple(segments), closed=closed), error_mm=error, corners=tuple(sharp))


def _check_chain(steps: Steps, *, closed: bool) -> None:
    following = np.roll(steps.starts, -1, axis=0)
    gaps = np.hypot(*(following - steps.ends).T)
    if not closed:
        gaps = gaps[:-1]
    if len(gaps) and not gaps.max() <= COINCIDENT:
        at = int(gaps.argmax())
        raise ValueError(
            f"the chain jumps by {gaps[at]:.6g} mm after curve {steps.source[at]}, "
            f"at ({steps.ends[at][0]:.6g}, {steps.ends[at][1]:.6g})"
        )


def _corners(steps: Steps, corner: float, *, closed: bool) -> list[int]:
    """Returns the steps at whose start there is a corner."""
    before = np.roll(steps.arrives, 1, axis=0)
    cross = before[:, 0] * steps.sets_out[:, 1] - before[:, 1] * steps.sets_out[:, 0]
    turn = np.abs(np.arctan2(cross, (before * steps.sets_out).sum(axis=1)))
    if not closed:
        turn[0] = 0.0
    return np.flatnonzero(turn > corner).tolist()


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

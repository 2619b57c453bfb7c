"""Fitting lines and arcs to curves, to a stated tolerance. Millimetres and radians."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jiggen.geometry.arc_search import few_arcs
from jiggen.geometry.fit_error import error_of
from jiggen.geometry.fit_points import CORNER
from jiggen.geometry.path import COINCIDENT, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on
from jiggen.geometry.smooth_run import Run
from jiggen.geometry.trace import Curve, Steps, trace

#: Where a path turns by more than this between two pieces, in radians, they have no common tangent.
_TURN = 1e-6
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
    path = Path(tuple(segments), closed=closed)
    return Fitted(path=path, error_mm=error, corners=tuple(_joints_that_turn(path)))


def _joints_that_turn(path: Path) -> Iterator[Point]:
    """Yields where a path changes direction at once: at the chain's corners, and where a step had no arc near it."""
    pieces = path.segments
    for before, piece in pairwise((pieces[-1], *pieces) if path.closed else pieces):
        one, other = heading_on(before, 1.0), heading_on(piece, 0.0)
        if abs(math.atan2(one.cross(other), one.dot(other))) > _TURN:
            yield piece.start


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

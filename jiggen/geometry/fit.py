"""Fitting lines and arcs to curves, to a stated tolerance. Millimetres and radians."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jiggen.geometry.arc_search import few_arcs
from jiggen.geometry.arcs import Arcs
from jiggen.geometry.fit_error import errors_of
from jiggen.geometry.fit_points import CORNER
from jiggen.geometry.joints import Joints
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.smooth_run import Run, angles
from jiggen.geometry.trace import STEP_TURN, Curve, Flags, Floats, Numbers, Steps, trace

#: Where a path turns by more than this between two pieces, in radians, they have no common tangent.
_TURN = 1e-6
#: An arc that turns by less than four times this is a line.
_STRAIGHT = 1e-12
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
    curves: Sequence[Curve | Segment],
    tolerance_mm: float,
    *,
    closed: bool,
    corner_rad: float = CORNER,
    keep: bool = False,
) -> Fitted:
    """Returns a path of few lines and arcs along a chain of curves, with common tangents but at corners.

    It is exact in place and direction at the chain's ends and at its corners; where a row of lines that stands for a
    curve ends there, the direction is the curve's. Lines, but for such rows, and arcs come through as they are.

    Args:
        curves: Each starting where the one before it ended. Those without length are passed over.
        tolerance_mm: How far path and curves may lie apart, both ways.
        closed: Whether the last ends where the first starts.
        corner_rad: Where the chain turns at once by more than this, it has a corner.
        keep: Whether every line and arc stays the very one it is, however it meets its neighbours. Else rows of lines
            may be taken for a curve, and slight kinks are rounded off within the tolerance.

    Raises:
        ValueError: If there is no curve with a length, the chain jumps, or the tolerance is not positive.
    """
    if not 0.0 < tolerance_mm < math.inf:
        raise ValueError(f"a tolerance must be positive, got {tolerance_mm} mm")
    steps = trace(curves, tolerance_mm * SLACK_SHARE, tolerance_mm / 100.0)
    if not len(steps):
        raise ValueError("there is no curve with a length to fit a path to")
    _check_chain(steps, closed=closed)
    joints = Joints.of(steps, curves, corner_rad, tolerance_mm, keep=keep)
    if closed:  # begin at a corner, or where a line or arc does
        first = np.flatnonzero(joints.is_corner if joints.is_corner.any() else joints.is_bound)
        order = np.roll(np.arange(len(steps)), -first[0] if len(first) else 0)
        steps, joints = steps.rows(order), joints.rows(order)
    run = Run.of(steps, joints.is_corner, joints.is_row, joints.share, closed=closed)
    arcs = few_arcs(run, _bounds(steps, joints), tolerance_mm)
    source, bulges, errors = steps.source[arcs.first], np.tan(arcs.lean / 2.0), errors_of(run, arcs)
    begins = np.ones(len(arcs), dtype=np.bool_)
    if keep:
        drawn = np.array([_drawn_bulge(curve) for curve in curves])[source]
        is_drawn = np.isfinite(drawn)
        begins[1:] = ~is_drawn[1:] | (source[1:] != source[:-1])
        bulges[is_drawn], errors[is_drawn] = drawn[is_drawn], 0.0
    return Fitted(
        path=_path(arcs, begins, bulges, closed=closed),
        error_mm=float(errors.max()),
        corners=tuple(_joints_that_turn(arcs, closed=closed)),
    )


def _bounds(steps: Steps, joints: Joints) -> Numbers:
    """Returns the places between which arcs shall be smooth, and in the curves' own directions at both ends."""
    minute = np.abs(angles(steps.sets_out, steps.arrives)) > 2.0 * STEP_TURN
    is_bound = np.append(joints.is_corner | joints.is_bound | minute, True)
    is_bound[1:] |= minute
    is_bound[0] = True
    return np.flatnonzero(is_bound)


def _drawn_bulge(curve: Curve | Segment) -> float:
    """Returns the bulge of an arc, 0 for a line, and no number for a curve."""
    match curve:
        case Line():
            return 0.0
        case Arc():
            return curve.bulge
        case _:
            return math.nan


def _path(arcs: Arcs, begins: Flags, bulges: Floats, *, closed: bool) -> Path:
    """Returns the path through the starts of those arcs with which a segment begins, and their bulges."""
    spots = [Point(x, y) for x, y in arcs.starts[begins].tolist()]
    spots.append(spots[0] if closed else Point(*arcs.ends[-1].tolist()))
    return Path(
        tuple(
            Arc(start, end, bulge) if abs(bulge) > _STRAIGHT else Line(start, end)
            for (start, end), bulge in zip(pairwise(spots), bulges[begins].tolist(), strict=True)
        ),
        closed=closed,
    )


def _joints_that_turn(arcs: Arcs, *, closed: bool) -> Iterator[Point]:
    """Yields where arcs change direction at once: at the chain's corners, and where a step had no arc near it."""
    turn = np.abs(angles(np.roll(arcs.arrives, 1, axis=0), arcs.sets_out))
    if not closed:
        turn[0] = 0.0
    yield from (Point(x, y) for x, y in arcs.starts[turn > _TURN].tolist())


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

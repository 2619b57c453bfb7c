"""Fits lines and arcs to a closed run of pieces. Lines and circular arcs of the file stay as they are. Millimetres."""

import math
from collections.abc import Sequence
from typing import assert_never

from jiggen.errors import InputError
from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.fit import SLACK_SHARE, fit_curves
from jiggen.geometry.path import Arc, Line, Path
from jiggen.outlines.drawn import Piece

#: Steps along all curves of one drawing: some seconds of work.
MOST_STEPS = 150_000


def check_work(runs: Sequence[Sequence[Piece]], tolerance_mm: float, *, where: str) -> None:
    """Refuses curves that would take too many steps to follow.

    Args:
        runs: Of curves.
        tolerance_mm: To which they shall be followed.
        where: Their place, for errors.

    Raises:
        InputError: If they are too long and winding for it.
    """
    slack = tolerance_mm * SLACK_SHARE
    steps = sum(_steps(piece, slack) for pieces in runs for piece in pieces)
    if steps > MOST_STEPS:
        raise InputError(
            where=where,
            got=f"curves that take some {steps:.0f} steps to follow to {tolerance_mm:.4g} mm",
            expected=f"at most {MOST_STEPS}; an outline takes some thousand",
            mend="Take one layer, allow a wider tolerance, or check the units",
        )


def _steps(piece: Piece, slack: float) -> float:
    """Returns about how many chords follow a piece.

    Source: a chord over a step h of the parameter lies at most h²/8 times the largest second derivative off.
    """
    match piece:
        case Line() | Arc():
            return 1.0
        case EllipseArc():
            longest = math.hypot(piece.major.length(), piece.minor.length())
            return 1.0 + abs(piece.sweep_rad) * math.sqrt(longest / (8.0 * slack))
        case QuadraticBezier() | CubicBezier():
            degree, spans = len(piece.controls) - 1, 1
        case BSpline():
            degree, spans = piece.degree, len(piece.controls) - piece.degree
        case _:
            assert_never(piece)
    bends = [
        (one + other - middle * 2.0).length()
        for one, middle, other in zip(piece.controls, piece.controls[1:], piece.controls[2:], strict=False)
    ]
    return spans * (1.0 + math.sqrt(degree * (degree - 1) * max(bends, default=0.0) / (8.0 * slack)))


def fit_contour(pieces: Sequence[Piece], tolerance_mm: float) -> tuple[Path, float]:
    """Returns the closed path along pieces, and how far it lies off them at most, mm.

    Where a curve meets a line or an arc, the path keeps the place and the curve's direction.

    Args:
        pieces: Each starting where the one before it ended, the first where the last ends.
        tolerance_mm: How far path and curves may lie apart.

    Raises:
        ValueError: If they jump, or have no length.
    """
    fitted = fit_curves(pieces, tolerance_mm, closed=True, keep=True)
    return fitted.path, fitted.error_mm

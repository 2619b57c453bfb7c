"""Fits lines and arcs to a closed run of pieces. Lines and circular arcs of the file stay as they are. Millimetres."""

from collections.abc import Sequence

from jiggen.geometry.fit import fit_curves
from jiggen.geometry.path import Path
from jiggen.outlines.drawn import Piece


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

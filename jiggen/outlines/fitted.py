"""Fits lines and arcs to a closed run of pieces. Lines and circular arcs of the file stay as they are. Millimetres."""

from collections.abc import Sequence

from jiggen.geometry.fit import fit_curves
from jiggen.geometry.path import Arc, Line, Path, Segment
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
    exact = next((index for index, piece in enumerate(pieces) if isinstance(piece, Line | Arc)), None)
    if exact is None:
        whole = fit_curves(pieces, tolerance_mm, closed=True)
        return whole.path, whole.error_mm
    segments: list[Segment] = []
    curves: list[Piece] = []
    error = 0.0
    for piece in (*pieces[exact:], *pieces[:exact], None):
        if piece is not None and not isinstance(piece, Line | Arc):
            curves.append(piece)
            continue
        if curves:
            fitted = fit_curves(curves, tolerance_mm, closed=False)
            segments += fitted.path.segments
            error = max(error, fitted.error_mm)
            curves = []
        if piece is not None:
            segments.append(piece)
    return Path(_joined(segments), closed=True), error


def _joined(segments: Sequence[Segment]) -> tuple[Segment, ...]:
    """Returns the segments with each starting at the very floats where the one before it ended."""
    found: list[Segment] = []
    for index, piece in enumerate(segments):
        start = found[-1].end if found else piece.start
        end = found[0].start if index == len(segments) - 1 else piece.end
        if start == piece.start and end == piece.end:
            found.append(piece)
        else:
            found.append(Line(start, end) if isinstance(piece, Line) else Arc(start, end, piece.bulge))
    return tuple(found)

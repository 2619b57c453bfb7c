"""What a round pen covers: strokes as areas, for machines that fill letters instead of following them. Millimetres."""

from collections.abc import Sequence

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path, polyline
from jiggen.geometry.point import Point

#: Chords in a quarter turn of the pen's round: they leave it by less than a three-hundredth of its width.
_QUARTER_CHORDS = 8


def inked(strokes: Sequence[Path], width_mm: float, *, tolerance_mm: float) -> tuple[Path, ...]:
    """Returns the contours of the area that a round pen covers on its way along strokes.

    Where strokes cross or meet they become one area. By the even-odd rule what lies between the contours is inked;
    the hole of an `o` is a contour of its own.

    Args:
        strokes: Centre lines of the pen, one or more.
        width_mm: Of the pen.
        tolerance_mm: How far a contour may lie off the true one.

    Returns:
        Closed paths of chords, that of each area before those of its holes.

    Raises:
        ValueError: If the pen has no width.
    """
    from shapely import LineString, Polygon, get_parts, union_all

    if not width_mm > 0.0:
        raise ValueError(f"a pen needs a width, got {width_mm} mm")
    lines = [
        LineString([(point.x, point.y) for point in flatten(stroke, tolerance_mm / 2.0)])
        for stroke in strokes
    ]
    area = union_all([line.buffer(width_mm / 2.0, quad_segs=_QUARTER_CHORDS) for line in lines])
    area = area.simplify(tolerance_mm / 2.0, preserve_topology=True)
    pieces = [piece for piece in get_parts(area) if isinstance(piece, Polygon)]
    rings = [ring for piece in pieces for ring in (piece.exterior, *piece.interiors)]
    return tuple(polyline([Point(x, y) for x, y in ring.coords[:-1]], closed=True) for ring in rings)

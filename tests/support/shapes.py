"""Are two shapes the same? Judged by shapely: grow one by the tolerance, subtract, nothing may remain."""

from collections.abc import Iterable
from functools import reduce

from shapely import Geometry, Polygon, union_all

from jiggen.geometry.measure import to_polygon
from jiggen.geometry.path import Path

MICRON = 0.001  # mm
#: Chords this near their arcs, in mm, are as good as arcs here.
CHORD = 1e-6

Shape = Geometry | Path | Iterable[Path]


def region(shape: Shape, tolerance: float = CHORD) -> Geometry:
    """The area of closed paths, those within others counted as holes; a shapely shape as it is."""
    if isinstance(shape, Geometry):
        return shape
    contours = (shape,) if isinstance(shape, Path) else tuple(shape)
    polygons = (to_polygon(contour, tolerance) for contour in contours)
    return reduce(lambda one, other: one.symmetric_difference(other), polygons, Polygon())


def assert_same_shape(a: Shape, b: Shape, tolerance: float) -> None:
    """Each shape, grown by `tolerance` mm, must cover the other whole."""
    one, other = region(a), region(b)
    assert not one.is_empty, "the first shape is empty"
    assert not other.is_empty, "the second shape is empty"
    for name, inner, outer in (("first", one, other), ("second", other, one)):
        rest = inner.difference(outer.buffer(tolerance, quad_segs=4, join_style="round"))
        if not rest.is_empty:
            spot = union_all(rest).representative_point()
            low_x, low_y, high_x, high_y = rest.bounds
            raise AssertionError(
                f"{rest.area:.6f} mm² of the {name} shape lie more than {tolerance} mm outside the other: "
                f"near ({spot.x:.4f}, {spot.y:.4f}), within {high_x - low_x:.4f} × {high_y - low_y:.4f} mm"
            )

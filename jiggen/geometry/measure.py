"""Measuring paths: lengths, areas, bounds, places along them; and taking them to points, bulges and polygons.

All of it is exact with arcs but `flatten` and `to_polygon`, which keep to a stated tolerance.
"""

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, assert_never

from jiggen.geometry.box import Box
from jiggen.geometry.cross import first_crossing
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import QUARTER, length_of, nearest_on, point_on, steps_on

if TYPE_CHECKING:
    from shapely import Polygon

#: A corner of a polyline in DXF's manner: x and y in mm, and the bulge of the segment that starts there.
Vertex = tuple[float, float, float]


def length(path: Path) -> float:
    """Returns the length along the path, in mm."""
    return math.fsum(length_of(piece) for piece in path)


def area(path: Path) -> float:
    """Returns the area a closed path bounds, in mm²: positive when it runs counter-clockwise.

    Raises:
        ValueError: If the path is open.

    Source: the shoelace formula, and r²(θ - sin θ)/2 for the part of a disc that a chord cuts off.
    """
    if not path.closed:
        raise ValueError("an open path has no area")
    origin = path.start
    straight = math.fsum((piece.start - origin).cross(piece.end - origin) / 2.0 for piece in path)
    return straight + math.fsum(_area_under(piece) for piece in path if isinstance(piece, Arc))


def _area_under(arc: Arc) -> float:
    """Returns the area between an arc and its chord, in mm², signed as its bulge."""
    sweep = arc.sweep
    if abs(sweep) < 0.01:  # θ - sin θ would lose its digits: take its series, good to 1e-14 here
        excess = sweep**3 * (1.0 - sweep**2 / 20.0 * (1.0 - sweep**2 / 42.0)) / 6.0
    else:
        excess = sweep - math.sin(sweep)
    return arc.radius**2 * excess / 2.0


def is_counter_clockwise(path: Path) -> bool:
    """Tells whether a closed path has its inside on the left.

    Raises:
        ValueError: If the path is open.
    """
    return area(path) > 0.0


def bounds(path: Path) -> Box:
    """Returns the smallest upright box round the path, the bellies of arcs included."""
    return path.box


def midpoint(piece: Segment) -> Point:
    """Returns the point halfway along a segment."""
    return point_on(piece, 0.5)


def point_at(path: Path, distance_mm: float) -> Point:
    """Returns the point at a distance along the path.

    Raises:
        ValueError: If the distance is negative or past the end.
    """
    whole = length(path)
    if not -COINCIDENT <= distance_mm <= whole + COINCIDENT:
        raise ValueError(f"no point at {distance_mm} mm along a path of {whole} mm")
    ahead = max(distance_mm, 0.0)
    for piece in path:
        here = length_of(piece)
        if ahead <= here and here > 0.0:
            return point_on(piece, ahead / here)
        ahead -= here
    return path.end


def locate(path: Path, point: Point) -> float:
    """Returns how far along the path, in mm, it comes nearest to a point; the first of equals."""
    walked, best, answer = 0.0, math.inf, 0.0
    for piece in path:
        fraction, here = nearest_on(piece, point), length_of(piece)
        distance = point_on(piece, fraction).distance(point)
        if distance < best:
            best, answer = distance, walked + fraction * here
        walked += here
    return answer


def distance_to(path: Path, point: Point) -> float:
    """Returns the shortest distance from a point to the path, in mm."""
    return min(point_on(piece, nearest_on(piece, point)).distance(point) for piece in path)


def flatten(path: Path, tolerance_mm: float) -> tuple[Point, ...]:
    """Returns points on the path such that the chords between them stay within `tolerance_mm` of it.

    Every end of a segment is among them, and at least one point for each quarter turn of an arc. A closed path
    ends with its first point again.

    Raises:
        ValueError: If the tolerance is not positive.
    """
    if not tolerance_mm > 0.0:
        raise ValueError(f"a tolerance must be positive, got {tolerance_mm} mm")
    points = [path.start]
    for piece in path:
        match piece:
            case Line():
                pass
            case Arc():
                points += steps_on(piece, _chords(piece, tolerance_mm))
            case _:
                assert_never(piece)
        points.append(piece.end)
    return tuple(points)


def _chords(arc: Arc, tolerance: float) -> int:
    """Returns the number of equal chords that keep within `tolerance` of an arc, at least one a quarter turn.

    Source: a chord lies r(1 - cos(θ/2)) = 2r sin²(θ/4) off its arc.
    """
    widest = 4.0 * math.asin(min(math.sqrt(tolerance / (2.0 * arc.radius)), 1.0))
    return math.ceil(abs(arc.sweep) / min(widest, QUARTER) - 1e-9)


def to_bulges(path: Path) -> tuple[Vertex, ...]:
    """Returns the path's corners with the bulge of what follows each, as DXF's LWPOLYLINE keeps them.

    A closed path gives one vertex for each segment; an open one also its end, with bulge 0.
    """
    vertices = tuple(
        (piece.start.x, piece.start.y, piece.bulge if isinstance(piece, Arc) else 0.0) for piece in path
    )
    return vertices if path.closed else (*vertices, (path.end.x, path.end.y, 0.0))


def from_bulges(vertices: Sequence[Vertex], *, closed: bool) -> Path:
    """Returns the path through `vertices`, the way back of `to_bulges`.

    Args:
        vertices: Rows of x and y in mm and the bulge of the segment that starts there. The last row's bulge
            belongs to the segment back to the first when closed, and must be 0 otherwise.
        closed: Whether the last vertex is joined to the first, which is not repeated.

    Raises:
        ValueError: If there are fewer than two vertices, two neighbours are one, or an open path's last bulge
            bends nothing.
    """
    points = [Point(x, y) for x, y, _ in vertices]
    ends = [*points[1:], *points[:1]] if closed else points[1:]
    if len(points) < 2 or any(start == end for start, end in zip(points, ends, strict=False)):
        raise ValueError(f"a path needs two or more vertices, none twice in a row: {vertices}")
    if not closed and vertices[-1][2] != 0.0:
        raise ValueError(f"the last vertex of an open path has nothing to bend: {vertices[-1]}")
    bulges = (bulge for _, _, bulge in vertices)
    return Path(
        tuple(
            Arc(start, end, bulge) if bulge else Line(start, end)
            for start, end, bulge in zip(points, ends, bulges, strict=False)
        ),
        closed=closed,
    )


def faults(path: Path) -> tuple[str, ...]:
    """Returns what keeps a path from being cut or filled, in words; nothing when it is sound.

    Looked for are segments without length, contours without area, and places where the path crosses, touches
    or retraces itself, all to `COINCIDENT`, exact with arcs.
    """
    short = tuple(
        f"no length at ({piece.start.x:.4f}, {piece.start.y:.4f})"
        for piece in path
        if length_of(piece) <= COINCIDENT
    )
    if short:  # a crossing could be no more than that
        return short
    crossing = first_crossing(path)
    if crossing is not None:
        return (f"meets itself at ({crossing.x:.4f}, {crossing.y:.4f})",)
    if path.closed and abs(area(path)) <= COINCIDENT * length(path):
        return ("bounds no area",)
    return ()


def to_polygon(paths: Path | Iterable[Path], tolerance_mm: float) -> "Polygon":
    """Returns the area within one closed path, less that within the others, as a shapely polygon.

    Args:
        paths: One contour, or several of which one goes round all the others, in any order and direction.
        tolerance_mm: How far chords may lie off the arcs, as in `flatten`.

    Raises:
        ValueError: If a path is open or meets itself, or if the paths are not one area with holes.
    """
    from shapely import LinearRing, Polygon, is_valid_reason

    contours = (paths,) if isinstance(paths, Path) else tuple(paths)
    if not contours or not all(path.closed for path in contours):
        raise ValueError("only closed paths bound an area")
    outside, *holes = sorted(contours, key=lambda path: -abs(area(path)))
    ring, *hole_rings = (
        LinearRing([(point.x, point.y) for point in flatten(path, tolerance_mm)])
        for path in (outside, *holes)
    )
    polygon = Polygon(ring, hole_rings)
    if not polygon.is_valid:
        raise ValueError(f"the paths do not bound one area: {is_valid_reason(polygon)}")
    return polygon

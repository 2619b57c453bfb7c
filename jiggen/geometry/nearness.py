"""What lies near what: the gaps between shapes, thin places of a plate, what lies in what, lines run twice.

Gaps and thin places are measured on chords that keep within `CHORDS` of their arcs; runs side by side are exact.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from jiggen.geometry.box import Box
from jiggen.geometry.measure import flatten, to_polygon
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.segment import fraction_round, point_on

if TYPE_CHECKING:
    from shapely import LineString, MultiLineString, MultiPolygon, Polygon

#: How far, in mm, chords lie off their arcs here.
CHORDS = 0.002
#: Two lines that turn from each other by less than this, in radians, run side by side: 2 degrees.
_SIDE_BY_SIDE = math.radians(2.0)
#: Share of half the limit that the largest circle left in a tip by rounding it must have for the tip to count.
_TIP = 0.5

Shape = Sequence[Path]


@dataclass(frozen=True, slots=True, kw_only=True)
class Near:
    """Two shapes that come near each other.

    Attributes:
        first: Index of the one.
        second: Index of the other, higher; equal for a place where one shape comes near itself.
        distance: Between them, in mm; for lines that run side by side, over the stretch where they do.
        at: Where.
        length: How long they run side by side, in mm; 0 where that was not asked for.
    """

    first: int
    second: int
    distance: float
    at: Point
    length: float = 0.0


def near_pairs(shapes: Sequence[Shape], limit_mm: float) -> tuple[Near, ...]:
    """Returns the pairs of shapes whose contours come nearer to each other than a limit, by their indices."""
    from shapely import STRtree, shortest_line  # takes a tenth of a second to load

    if not shapes:
        return ()
    drawn = [_lines(shape) for shape in shapes]
    found: list[Near] = []
    pairs = STRtree(drawn).query(drawn, predicate="dwithin", distance=limit_mm)
    for first, second in sorted(zip(*pairs.tolist(), strict=True)):
        if first < second:
            gap = shortest_line(drawn[first], drawn[second])
            if gap.length < limit_mm:
                (x, y), (other_x, other_y) = gap.coords[0], gap.coords[-1]
                at = between(Point(x, y), Point(other_x, other_y), 0.5)
                found.append(Near(first=first, second=second, distance=gap.length, at=at))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinPlace:
    """A place of a plate that is thin.

    Attributes:
        width: About how wide it is there, in mm: the largest circle that finds room in it.
        at: Where.
        box: Its extent.
    """

    width: float
    at: Point
    box: Box


def thin_places(outline: Path, openings: Sequence[Path], limit_mm: float) -> tuple[ThinPlace, ...]:
    """Returns the places where a plate is narrower than a limit, between whatever contours.

    The plate is eaten away by half the limit from all sides and grown again by as much: what does not come back is
    thin, but for the rounding of corners. A tip counts when it is sharper than about 40 degrees.

    Args:
        outline: Closed.
        openings: Closed, within it, not touching it nor one another.
        limit_mm: Positive.

    Raises:
        ValueError: If the paths do not bound one plate.
    """
    from shapely import get_parts

    plate = to_polygon((outline, *openings), CHORDS)
    half = limit_mm / 2.0
    kept = plate.buffer(-half, quad_segs=16).buffer(half + 4.0 * CHORDS, quad_segs=16)
    kept_and_more = kept.buffer(CHORDS)
    found: list[ThinPlace] = []
    for rest in get_parts(plate.difference(kept)):
        thin = None if rest.is_empty else _width(rest, kept_and_more, half)
        if thin:
            low_x, low_y, high_x, high_y = rest.bounds
            box = Box(Point(low_x, low_y), Point(high_x, high_y))
            found.append(ThinPlace(width=thin[0], at=thin[1], box=box))
    return tuple(sorted(found, key=lambda place: (place.at.x, place.at.y)))


def _width(rest: "Polygon", kept: "Polygon | MultiPolygon", half: float) -> tuple[float, Point] | None:
    """Returns how wide a thin rest is, and where: between its two walls, or in a sharp tip; None for a mere corner.

    Args:
        rest: Of the plate.
        kept: What is not thin, and `CHORDS` round it.
        half: Of the limit.
    """
    from shapely import get_parts, line_merge, maximum_inscribed_circle, shortest_line

    own = rest.boundary.difference(kept)
    walls = sorted(
        get_parts(line_merge(own) if own.geom_type == "MultiLineString" else own),
        key=lambda wall: wall.length,
    )
    if len(walls) >= 2 and walls[-2].length > half / 4.0:
        across = shortest_line(walls[-1], walls[-2])
        (x, y), (other_x, other_y) = across.coords[0], across.coords[-1]
        return across.length, between(Point(x, y), Point(other_x, other_y), 0.5)
    inscribed = maximum_inscribed_circle(rest, tolerance=CHORDS)
    if inscribed.length <= _TIP * half and not _is_strip(own.length, inscribed.length, half):
        return None
    return 2.0 * inscribed.length, Point(*inscribed.coords[0])


def _is_strip(wall: float, inscribed: float, half: float) -> bool:
    """Tells a strip with a free end from a corner by what rounding leaves of it: the strip is longer and narrower.

    Source: rounded with radius h, a corner of angle 2β keeps a wall of 2h/tan β and room for a circle of radius
        h(1 - sin β)/(1 + sin β).
    """
    sine = math.sin(math.atan2(2.0 * half, wall))
    return wall > 2.5 * half and inscribed < 0.85 * half * (1.0 - sine) / (1.0 + sine)


def holders(contours: Sequence[Path]) -> tuple[int | None, ...]:
    """Returns for each closed contour the index of the smallest other one that it lies in, or None."""
    from shapely import STRtree

    if not contours:
        return ()
    areas = [to_polygon(contour, CHORDS) for contour in contours]
    inner, outer = STRtree(areas).query(areas, predicate="within")
    result: list[int | None] = [None] * len(areas)
    for one, other in sorted(zip(inner.tolist(), outer.tolist(), strict=True)):
        known = result[one]
        if one != other and (known is None or areas[other].area < areas[known].area):
            result[one] = other
    return tuple(result)


def outside(shapes: Sequence[Shape], contour: Path) -> tuple[int, ...]:
    """Returns the indices of the shapes that do not lie wholly within a closed contour, give or take `CHORDS`."""
    from shapely import covers, prepare

    if not shapes:
        return ()
    area = to_polygon(contour, CHORDS).buffer(2.0 * CHORDS)
    prepare(area)
    whose, boxes, paths = _boxes(shapes)
    # A path whose box lies within does too; only the others are looked at closely.
    doubtful = [number for number, within in enumerate(covers(area, boxes)) if not within]
    return tuple(dict.fromkeys(whose[number] for number in doubtful if not area.covers(_line(paths[number]))))


def touching(shapes: Sequence[Shape], contours: Sequence[Path]) -> tuple[tuple[int, int], ...]:
    """Returns the pairs of a shape and a closed contour into whose inside the shape reaches."""
    from shapely import STRtree, intersects

    if not shapes or not contours:
        return ()
    insides = [to_polygon(contour, CHORDS).buffer(-2.0 * CHORDS) for contour in contours]
    whose, boxes, paths = _boxes(shapes)
    near, inside = STRtree(insides).query(boxes, predicate="intersects")
    drawn = {number: _line(paths[number]) for number in dict.fromkeys(near.tolist())}
    return tuple(
        sorted(
            {
                (whose[number], other)
                for number, other in zip(near.tolist(), inside.tolist(), strict=True)
                if intersects(drawn[number], insides[other])
            }
        )
    )


def clear_of(path: Path, others: Sequence[Path], limit_mm: float) -> bool:
    """Tells whether a path keeps a distance from others."""
    box = path.box.grown(limit_mm)
    near = [other for other in others if other.box.overlaps(box)]
    return not near or _line(path).distance(_lines(near)) >= limit_mm


def _boxes(shapes: Sequence[Shape]) -> tuple[list[int], Any, list[Path]]:
    """Returns which shape each path is of, boxes round the paths, none without an area, and the paths."""
    from shapely import box

    paths = [path for shape in shapes for path in shape]
    boxes = [path.box.grown(CHORDS) for path in paths]
    found = box(
        [each.low.x for each in boxes],
        [each.low.y for each in boxes],
        [each.high.x for each in boxes],
        [each.high.y for each in boxes],
    )
    return [index for index, shape in enumerate(shapes) for _ in shape], found, paths


def _line(path: Path) -> "LineString":
    from shapely import LineString

    return LineString([(point.x, point.y) for point in flatten(path, CHORDS)])


def _lines(shape: Shape) -> "MultiLineString":
    from shapely import MultiLineString

    return MultiLineString([_line(path) for path in shape])


def runs_alongside(shapes: Sequence[Shape], limit_mm: float, *, least_mm: float) -> tuple[Near, ...]:
    """Returns where lines and arcs of the shapes run side by side nearer than a limit.

    Lines that cross, or meet at their ends, do not: they must keep together over some length, all but parallel for
    lines, about one centre for arcs. Neighbours within one path are left alone.

    Args:
        shapes: Each of one path or more.
        limit_mm: Between two lines.
        least_mm: How long they must run together to count.
    """
    from shapely import STRtree, box

    pieces: list[tuple[int, int, int, Segment]] = [
        (number, line, place, piece)
        for number, shape in enumerate(shapes)
        for line, path in enumerate(shape)
        for place, piece in enumerate(path)
    ]
    if not pieces:
        return ()
    boxes = [piece.box for *_, piece in pieces]
    outlines = [box(each.low.x, each.low.y, each.high.x, each.high.y) for each in boxes]
    pairs = STRtree(outlines).query(outlines, predicate="dwithin", distance=limit_mm)
    nearest: dict[tuple[int, int], Near] = {}
    for one, other in sorted(zip(*pairs.tolist(), strict=True)):
        if one >= other:
            continue
        (number, line, place, piece), (number_too, line_too, place_too, piece_too) = (
            pieces[one],
            pieces[other],
        )
        if (number, line) == (number_too, line_too) and abs(place - place_too) in {
            1,
            len(shapes[number][line]) - 1,
        }:
            continue
        run = _side_by_side(piece, piece_too)
        if run is None or run[0] >= limit_mm or run[1] < least_mm:
            continue
        distance, length, at = run
        known = nearest.get((number, number_too))
        if known is None or distance < known.distance:
            nearest[number, number_too] = Near(
                first=number, second=number_too, distance=distance, at=at, length=length
            )
    return tuple(nearest.values())


def _side_by_side(one: Segment, other: Segment) -> tuple[float, float, Point] | None:
    """Returns how far apart two pieces run, over what length, and where the middle of that is; None if they don't."""
    match one, other:
        case Line(), Line():
            return _parallel_lines(one, other)
        case Arc(), Arc():
            return _concentric_arcs(one, other)
        case _:
            return None


def _parallel_lines(one: Line, other: Line) -> tuple[float, float, Point] | None:
    length, length_too = one.start.distance(one.end), other.start.distance(other.end)
    if length == 0.0 or length_too == 0.0:
        return None
    along, along_too = (one.end - one.start) * (1.0 / length), (other.end - other.start) * (1.0 / length_too)
    if abs(along.cross(along_too)) > math.sin(_SIDE_BY_SIDE):
        return None
    low, high = sorted(((other.start - one.start).dot(along), (other.end - one.start).dot(along)))
    begin, end = max(low, 0.0), min(high, length)
    if end <= begin:
        return None
    middle = one.start + along * ((begin + end) / 2.0)
    off = (other.start - middle).cross(along_too)
    return abs(off), end - begin, middle


def _concentric_arcs(one: Arc, other: Arc) -> tuple[float, float, Point] | None:
    off_centre = one.centre.distance(other.centre)
    if off_centre > abs(one.radius) * math.sin(_SIDE_BY_SIDE):
        return None
    shares = [share for share in _shares(one, other) if 0.0 <= share <= 1.0]
    if len(shares) < 2 or (length := (max(shares) - min(shares)) * one.radius * abs(one.sweep)) == 0.0:
        return None
    middle = point_on(one, (min(shares) + max(shares)) / 2.0)
    return abs(middle.distance(other.centre) - other.radius), length, middle


def _shares(one: Arc, other: Arc) -> Iterator[float]:
    """Yields how far round one arc the ends and middle of the other lie, and its own ends where the other covers them."""
    yield from (fraction_round(one, point_on(other, share)) for share in (0.0, 0.5, 1.0))
    for share in (0.0, 1.0):
        if fraction_round(other, point_on(one, share)) <= 1.0:
            yield share

"""Growing and shrinking closed paths: what moves a contour out or in by half a kerf. Exact with arcs.

Every segment is shifted sideways: a line stays a line, an arc keeps its centre and changes its radius. Where
the shifted segments part, at a corner, they are carried on straight to a sharp mitre, or cut off square where
that would reach further than the mitre limit. Where they overlap they are trimmed at their crossing. That is
the whole answer for nearly all contours. Where more of the contour folds over itself - a notch is swallowed, a
neck closes, an arc is tighter than the distance - the same segments are handed to `untangle`, with overlaps left
in by way of the original corner, and arcs turned inside out replaced by two lines through their centre. In that
form the run goes round each place once for every strip that a segment sweeps over it, so that what it goes round
at least once is exactly the grown or the shrunk area. Exactly is to about `COINCIDENT`; edges that come to lie
on each other to within that are told apart by moving everything up to 0.02 µm further (`NUDGES`).
"""

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from jiggen.errors import LimitError
from jiggen.geometry.cross import first_crossing
from jiggen.geometry.fit_points import fit
from jiggen.geometry.measure import area, bounds, faults, flatten, is_counter_clockwise, length, to_polygon
from jiggen.geometry.parallel import mitres, parallel
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment, as_circle, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import length_of, part_of
from jiggen.geometry.untangle import TangleError, untangle

if TYPE_CHECKING:
    from shapely import LinearRing

#: How much further, in mm, to try where edges come to lie so nearly on each other that it cannot be told on which side:
#: hundredths of a micron, which no machine can show.
NUDGES = (0.0, 1e-5, -1e-5, 2e-5, -2e-5)
#: How far, in mm, chords lie off their arcs where the exact way has failed: a fiftieth of a micron.
CHORD_TOLERANCE = 2e-5
#: How far, in mm, the lines and arcs fitted there may lie off the polygon.
FIT_TOLERANCE = 2e-4


def grow(path: Path, by_mm: float, *, mitre_limit: float = 4.0) -> tuple[Path, ...]:
    """Returns the boundary of the area within a closed path and up to `by_mm` outside it.

    Args:
        path: A closed path of either direction that does not meet itself.
        by_mm: How far to move out, in mm, zero or more. Zero returns the path itself.
        mitre_limit: How many times `by_mm` a sharp corner's tip may lie off the original corner, at least 1;
            a corner that would reach further is cut off square at just that distance.

    Returns:
        The outside contour, running as `path` does; after it, should a mouth have closed, the holes that are
        left behind it, from left to right, running the other way. Segments keep the order of the path's own, and
        where nothing had to be cleared up they start with its first.

    Raises:
        ValueError: If the path is open, or a number is out of range.
        LimitError: If the path meets itself.
    """
    return _offset(path, by_mm, 1.0, mitre_limit)


def shrink(path: Path, by_mm: float, *, mitre_limit: float = 4.0) -> tuple[Path, ...]:
    """Returns the boundary of the area that lies within a closed path and at least `by_mm` from it.

    Corners that point into the area are mitred as in `grow`.

    Args:
        path: A closed path of either direction that does not meet itself.
        by_mm: How far to move in, in mm, zero or more. Zero returns the path itself.
        mitre_limit: As in `grow`.

    Returns:
        One contour, or several from left to right if the path has necks narrower than twice `by_mm`, running as
        `path` does.

    Raises:
        ValueError: If the path is open, or a number is out of range.
        LimitError: If nothing is left, or the path meets itself.
    """
    return _offset(path, by_mm, -1.0, mitre_limit)


def _offset(path: Path, by: float, way: float, mitre_limit: float) -> tuple[Path, ...]:
    """Grows (`way` is 1) or shrinks (-1)."""
    if not path.closed:
        raise ValueError("only a closed path can grow or shrink")
    if not (0.0 <= by < math.inf and 1.0 <= mitre_limit < math.inf):
        raise ValueError(f"no offset by {by} mm with mitre limit {mitre_limit}")
    if by == 0.0:
        return (path,)
    shift = by * way
    if round_ := as_circle(path):
        return (_circle_offset(path, *round_, shift),)
    wrong = faults(sound := _tidied(path))
    if wrong:
        raise LimitError(
            where="offset",
            got=f"a contour that {wrong[0]}",
            expected="one that goes round an area without meeting itself",
        )
    forward = is_counter_clockwise(sound)
    contour = sound if forward else reverse(sound)
    for nudge in (nudge for nudge in NUDGES if abs(nudge) <= by / 10.0):
        try:
            loops = _exactly(contour, shift + nudge, mitre_limit)
            break
        except TangleError:
            continue
    else:
        loops = _by_polygons(contour, shift, mitre_limit)
        if any(faults(loop) for loop in loops):
            raise LimitError(
                where="offset",
                got=f"a contour that folds over itself too finely to be moved by {by} mm",
                expected="one whose notches, necks and corners are either wider than that or clearly narrower",
            )
    if not loops:
        raise _nothing_left(path, by)
    ordered = sorted(loops, key=_outside_first_then_from_left_to_right)
    return tuple(loop if forward else reverse(loop) for loop in ordered)


def _outside_first_then_from_left_to_right(loop: Path) -> tuple[bool, float, float]:
    low = bounds(loop).low
    return area(loop) < 0.0, low.x, low.y


def _nothing_left(path: Path, by: float) -> LimitError:
    box = bounds(path)
    return LimitError(
        where="offset",
        got=f"a contour of {box.width:.3f} × {box.height:.3f} mm to shrink by {by:.3f} mm all round",
        expected="something left of it",
        mend=f"Make it wider than {2.0 * by:.3f} mm everywhere that matters, or the kerf narrower.",
    )


def _circle_offset(path: Path, centre: Point, radius: float, shift: float) -> Path:
    if radius + shift <= COINCIDENT:
        raise _nothing_left(path, -shift)
    start = centre + (path.start - centre) * ((radius + shift) / radius)
    middle = centre * 2.0 - start
    bulge = path.segments[0].bulge if isinstance(path.segments[0], Arc) else 1.0
    return Path((Arc(start, middle, bulge), Arc(middle, start, bulge)), closed=True)


def _tidied(path: Path) -> Path:
    """Returns the path without segments too short to have a direction, and with arcs too flat to show made lines."""
    pieces = [_flat_made_straight(piece) for piece in path if length_of(piece) > COINCIDENT]
    following = [*pieces[1:], *pieces[:1]]
    return Path(
        tuple(
            part_of(piece, piece.start, after.start, 1.0)
            for piece, after in zip(pieces, following, strict=True)
        )
        or path.segments,
        closed=True,
    )


def _flat_made_straight(piece: Segment) -> Segment:
    if isinstance(piece, Arc) and abs(piece.bulge) * piece.start.distance(piece.end) / 2.0 <= COINCIDENT:
        return Line(piece.start, piece.end)  # its centre is too far away to be reckoned with
    return piece


def _exactly(contour: Path, shift: float, mitre_limit: float) -> tuple[Path, ...]:
    """Offsets a counter-clockwise contour by shifting its segments.

    Raises:
        TangleError: If the result does not stand up to a check.
    """
    raw = parallel(contour, shift, mitre_limit)
    if not raw.run:
        return ()
    if not raw.folds:
        loop = Path(raw.run, closed=True)
        if first_crossing(loop) is None and area(loop) > COINCIDENT * length(loop):
            return (loop,)
    loops = untangle(raw.run)
    gain = math.fsum(area(loop) for loop in loops) - area(contour)
    if gain * shift <= 0.0 or any(first_crossing(loop) is not None for loop in loops):
        raise TangleError(f"the area changed by {gain} mm² under a shift of {shift} mm")
    return loops


def _by_polygons(contour: Path, shift: float, mitre_limit: float) -> tuple[Path, ...]:
    """Offsets a counter-clockwise contour as a fine polygon, and fits lines and arcs to what comes of it.

    The result keeps within a micron of the exact one, but its arcs are no longer quite tangent. The band that is
    added or taken away is put together chord by chord, with the mitres: offsetting a fine polygon in one go is
    known to go wrong by far more (GEOS 3.14.1 spoils notches that have arcs in them).
    """
    from shapely import LineString, Polygon, get_parts, set_precision, union_all  # slow to load

    chords = pairwise((point.x, point.y) for point in flatten(contour, CHORD_TOLERANCE))
    strips = [LineString(chord).buffer(abs(shift), quad_segs=16) for chord in chords]
    corners = [
        Polygon([(point.x, point.y) for point in mitre]) for mitre in mitres(contour, shift, mitre_limit)
    ]
    band, inside = union_all([*strips, *corners]), to_polygon(contour, CHORD_TOLERANCE)
    moved = inside.union(band) if shift > 0.0 else inside.difference(band)
    # Rounding to a grid also closes gaps and cuts necks that are narrower than that.
    parts = get_parts(set_precision(moved, CHORD_TOLERANCE))
    return (
        *(_fitted(part.exterior, forward=True) for part in parts if _has_width(part.exterior)),
        *(_fitted(hole, forward=False) for part in parts for hole in part.interiors if _has_width(hole)),
    )


def _has_width(ring: "LinearRing") -> bool:
    from shapely import Polygon

    return bool(Polygon(ring).area > FIT_TOLERANCE * ring.length)


def _fitted(ring: "LinearRing", *, forward: bool) -> Path:
    loop = fit([Point(x, y) for x, y in ring.coords], FIT_TOLERANCE, closed=True)
    return loop if is_counter_clockwise(loop) is forward else reverse(loop)

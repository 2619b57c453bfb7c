"""Hollows, into which a round tool must get, and their relief: the tool goes a little past a corner. Millimetres."""

import math
from collections.abc import Iterator
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.measure import is_counter_clockwise
from jiggen.geometry.path import Arc, Line, Path, Segment, as_circle, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on

#: Corners that turn by less than this, in radians, hold nothing up: 10 degrees.
_SHARP = math.radians(10.0)


def tightest_hollow(path: Path, *, inside: bool) -> float | None:
    """Returns the least radius that a tool on one side of a contour has to follow.

    Args:
        path: Closed.
        inside: Whether the tool runs inside, as for an opening, or outside, as round an edge.

    Returns:
        In mm; 0 where it meets a sharp corner, None where nothing bends round it.

    Raises:
        ValueError: If the path is open.
    """
    contour = path if is_counter_clockwise(path) is inside else reverse(path)  # the tool is on the left
    if inside and (round_ := as_circle(path)):
        return round_[1]
    pieces = contour.segments
    turns = (
        (heading_on(before, 1.0), heading_on(after, 0.0)) for before, after in pairwise((pieces[-1], *pieces))
    )
    if any(
        math.atan2(arriving.cross(leaving), arriving.dot(leaving)) > _SHARP for arriving, leaving in turns
    ):
        return 0.0
    return min(
        (piece.radius for piece in pieces if isinstance(piece, Arc) and piece.bulge > 0.0), default=None
    )


def relieved(path: Path, radius: float) -> Path:
    """Returns an opening whose sharp corners have each been widened by an arc through the corner point itself.

    The arc's centre lies on the bisector of the corner, so that it takes the same from both sides.

    Args:
        path: Closed; corners between two straight sides that point out of its inside are relieved.
        radius: Of the arcs, in mm: at least that of the tool.

    Raises:
        ValueError: If the path is open or the radius not positive.
        LimitError: If a side is too short for the arcs at its ends.

    Source: relief circle of radius r through the corner, centre on the bisector at distance r (common practice in
        routing). It cuts a side at 2r cos(α/2) from a corner of angle α; the rim sees that chord under α, so the arc
        through the corner sweeps 2π - 2α.
    """
    if not (path.closed and radius > 0.0):
        raise ValueError(
            f"no relief of radius {radius} for a path that is {'closed' * path.closed or 'open'}"
        )
    forward = is_counter_clockwise(path)
    contour = path if forward else reverse(path)
    pieces = contour.segments
    trims = [_trim(before, after, radius) for before, after in pairwise((pieces[-1], *pieces))]
    result = tuple(_segments(pieces, trims, radius))
    opened = Path(result, closed=True)
    return opened if forward else reverse(opened)


def _trim(before: Segment, after: Segment, radius: float) -> tuple[float, float]:
    """Returns what a corner's arc takes from both sides, and its bulge; nought for corners that need none."""
    if not (isinstance(before, Line) and isinstance(after, Line)):
        return 0.0, 0.0
    arriving, leaving = (before.end - before.start).unit(), (after.end - after.start).unit()
    turn = math.atan2(arriving.cross(leaving), arriving.dot(leaving))
    if turn < _SHARP:
        return 0.0, 0.0
    return 2.0 * radius * math.sin(turn / 2.0), math.tan(turn / 2.0)  # α = π - turn


def _segments(
    pieces: tuple[Segment, ...], trims: list[tuple[float, float]], radius: float
) -> Iterator[Segment]:
    """Yields each corner's arc and the side after it; `trims` are those of the corners where the sides start."""
    for index, piece in enumerate(pieces):
        (at_start, bulge), (at_end, _) = trims[index], trims[(index + 1) % len(pieces)]
        if not isinstance(piece, Line):
            yield piece
            continue
        length = piece.start.distance(piece.end)
        if length <= at_start + at_end:
            raise LimitError(
                where="corner relief",
                got=f"a side of {length:.3f} mm",
                expected=f"more than {at_start + at_end:.3f} mm, what the arcs of {radius:.3f} mm radius take",
                mend="Make the opening larger, or its corners round",
            )
        along = (piece.end - piece.start).unit()
        start, end = piece.start + along * at_start, piece.end - along * at_end
        if at_start > 0.0:
            before = pieces[index - 1]
            entry = before.end - (before.end - before.start).unit() * at_start
            yield from _round(entry, piece.start, start, bulge)
        yield Line(start if at_start > 0.0 else piece.start, end if at_end > 0.0 else piece.end)


def _round(entry: Point, corner: Point, leave: Point, bulge: float) -> tuple[Segment, Segment]:
    """Returns the arc through a corner as two equal halves, so that the corner is a point of the path."""
    half = math.tan(math.atan(bulge) / 2.0)
    return Arc(entry, corner, half), Arc(corner, leave, half)

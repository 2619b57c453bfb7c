"""The half outline of a body whose bend changes gradually: Bézier curves that meet with a common curvature.

Each piece runs from one station to the next, along the centre line at both. With its control points at the heights of
its ends it can only rise or only fall, so that no place between two stations is wider or narrower than they are. Bends
are chosen at the stations, the same for both pieces that meet there. Millimetres, from the neck end on the centre line.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.point import Point

#: Handles of a piece, as shares of its run: at most, and where nothing else decides.
_LONGEST, _USUAL = 0.62, 0.5
#: Handle of an end piece along the centre line, as a share of its run at most.
_LONGEST_AT_END = 0.8
#: Handle of an end piece across, as a share of the half width, where no radius is given: 0.55 is near an ellipse.
_USUAL_ACROSS = 0.62
_HALVINGS = 80


def smooth_figure(
    length: float, stations: Sequence[Point], *, neck_radius: float | None, tail_radius: float | None
) -> tuple[CubicBezier, ...]:
    """Returns the curves from neck end to tail through stations, one a piece.

    Args:
        length: Of the body.
        stations: Widest and narrowest places in turn, at positive y.
        neck_radius: Of the neck end on the centre line; None: as usual.
        tail_radius: Of the tail there; None: as usual.

    Raises:
        LimitError: If a radius leaves no room for the curve.
    """
    bends = [bend_at(length, stations, index) for index in range(len(stations))]
    first, last = stations[0], stations[-1]
    neck = end_piece(first.x, first.y, bends[0], neck_radius, where="body.neck-end-radius")
    tail = end_piece(length - last.x, last.y, bends[-1], tail_radius, where="body.tail-radius")
    return (
        neck,
        *(
            _between(one, other, bend, next_bend)
            for (one, other), (bend, next_bend) in zip(pairwise(stations), pairwise(bends), strict=True)
        ),
        _from_other_end(tail, length),
    )


def smooth_pear(
    length: float, corner: Point, widest: Point, *, tail_radius: float | None
) -> tuple[CubicBezier, ...]:
    """Returns the curves of a pear from the board's edge at the neck end to its tail.

    Args:
        length: Of the body.
        corner: On the board's edge.
        widest: The lower bout.
        tail_radius: As in `smooth_figure`.

    Raises:
        LimitError: If the radius leaves no room for the curve.
    """
    run, rise = widest.x - corner.x, widest.y - corner.y
    lean = 2.0 * math.atan2(rise, run)  # as one arc would have it
    first = corner + Point(math.cos(lean), math.sin(lean)) * (run / 3.0)
    left = widest.y - first.y
    bend = max(
        _bend_of_end(length - widest.x, widest.y),
        _bend_for(abs(left), _LONGEST * run),
        2.0 * rise / (run**2 + rise**2),
    )
    second = widest - Point(math.sqrt(2.0 * abs(left) / (3.0 * bend)), 0.0)
    tail = end_piece(length - widest.x, widest.y, bend, tail_radius, where="body.tail-radius")
    return (CubicBezier(corner, first, second, widest), _from_other_end(tail, length))


def end_piece(along: float, across: float, bend: float, radius: float | None, *, where: str) -> CubicBezier:
    """Returns the curve from (0, 0), square across, to (along, across), along the centre line.

    Args:
        along: Its run.
        across: Its rise.
        bend: Curvature at its far end, 1/mm.
        radius: At its start; None: as usual.
        where: The key to name in an error.

    Raises:
        LimitError: If the radius is too large for the curve to stay within its width.

    Source: curvature of a cubic Bézier curve at its start, two thirds of the second control point's distance from the
    tangent over the first handle squared.
    """
    if radius is None:
        up = _USUAL_ACROSS * across
        back = math.sqrt(2.0 * (across - up) / (3.0 * bend))
    else:
        most = 1.5 * across**2 / along
        if radius >= most:
            raise LimitError(
                where=where,
                got=f"{radius:.2f} mm",
                expected=f"less than {most:.2f} mm where the body is {2.0 * across:.2f} mm wide"
                f" {along:.2f} mm from that end",
                mend="Make the radius smaller, or move the bout nearer to the end",
            )
        low, high = 0.0, along
        for _ in range(_HALVINGS):
            back = (low + high) / 2.0
            up = math.sqrt(2.0 * radius * (along - back) / 3.0)
            if back**2 < 2.0 * (across - up) / (3.0 * bend):
                low = back
            else:
                high = back
        back = (low + high) / 2.0
        up = math.sqrt(2.0 * radius * (along - back) / 3.0)
    end = Point(along, across)
    return CubicBezier(Point(0.0, 0.0), Point(0.0, up), Point(along - back, across), end)


def _between(one: Point, other: Point, bend: float, next_bend: float) -> CubicBezier:
    rise = abs(other.y - one.y)
    first, second = (math.sqrt(2.0 * rise / (3.0 * each)) for each in (bend, next_bend))
    return CubicBezier(one, one + Point(first, 0.0), other - Point(second, 0.0), other)


def _from_other_end(piece: CubicBezier, length: float) -> CubicBezier:
    places = (Point(length - each.x, each.y) for each in reversed(piece.controls))
    return CubicBezier(*places)


def bend_at(length: float, stations: Sequence[Point], index: int) -> float:
    """Returns the curvature at a station, 1/mm: between what both its pieces would have, and as much as both need at least."""
    here = stations[index]
    least, usual = [], []
    for along, neighbour in ((here.x, index - 1), (length - here.x, index + 1)):
        if 0 <= neighbour < len(stations):
            run, rise = abs(stations[neighbour].x - here.x), abs(stations[neighbour].y - here.y)
            least.append(_bend_for(rise, _LONGEST * run))
            usual.append(_bend_for(rise, _USUAL * run))
        else:
            least.append(_bend_of_end(along, here.y))
            usual.append(here.y / along**2)
    return max(*least, math.sqrt(usual[0] * usual[1]))


def _bend_for(rise: float, handle: float) -> float:
    """The curvature at the end of a piece whose handle there is so long."""
    return 2.0 * rise / (3.0 * handle**2)


def _bend_of_end(along: float, across: float) -> float:
    return _bend_for(across, _LONGEST_AT_END * along)

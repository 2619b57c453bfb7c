"""Strokes put together again where a tab or the start of a cut parted them, so that pieces are as long as they were drawn.

An arc that was parted into short ones would tell its radius no longer.
"""

import math
from collections.abc import Sequence

from jiggen.proof.trace import Place, Stroke

#: Two places this near are one, in mm.
SAME_PLACE = 0.002
#: Two pieces are parts of one when the place between them lies on that one to this, in mm.
_ON_PIECE = 0.005
#: Radians. No arc of a drawing turns through more than a half turn, give or take a rounding.
_MOST_SWEEP = math.pi * 1.001


def near(one: Place, other: Place) -> bool:
    """Tells whether two places are one."""
    return math.dist(one, other) <= SAME_PLACE


def rejoined(stroke: Stroke, places: Sequence[Place]) -> Stroke:
    """Returns a stroke without the key points at some places, where the pieces on both sides of them are parts of one."""
    points, bulges = list(stroke.points), list(stroke.bulges)
    at = 0 if stroke.closed else 1
    while at < len(bulges) and len(bulges) > 2:
        bulge = None
        if any(near(points[at], place) for place in places):
            before, after = points[at - 1], points[(at + 1) % len(points)]
            bulge = _one_piece(before, points[at], after, bulges[at - 1], bulges[at])
        if bulge is None:
            at += 1
            continue
        bulges[at - 1] = bulge
        del points[at], bulges[at]
    return Stroke(tuple(points), tuple(bulges), closed=stroke.closed)


def joined(one: Stroke, other: Stroke) -> Stroke:
    """Returns two open strokes as one, the second beginning where the first ends; closed if it ends where that begins."""
    points, bulges = (*one.points, *other.points[1:]), (*one.bulges, *other.bulges)
    closed = near(points[0], points[-1])
    return Stroke(points[:-1] if closed else points, bulges, closed=closed)


def turned_round(stroke: Stroke) -> Stroke:
    """Returns an open stroke from its other end."""
    return Stroke(stroke.points[::-1], tuple(-bulge for bulge in stroke.bulges[::-1]), closed=False)


def _one_piece(start: Place, middle: Place, end: Place, before: float, after: float) -> float | None:
    """Returns the bulge of the piece that two make together; None if they make none."""
    (x0, y0), (x1, y1), (x2, y2) = start, middle, end
    chord = math.dist(start, end)
    if chord <= SAME_PLACE:
        return None
    if before == 0.0 and after == 0.0:
        off = abs((x2 - x0) * (y1 - y0) - (y2 - y0) * (x1 - x0)) / chord
        onward = (x1 - x0) * (x2 - x1) + (y1 - y0) * (y2 - y1) > 0.0
        return 0.0 if off <= _ON_PIECE and onward else None
    sweep = 4.0 * (math.atan(before) + math.atan(after))
    if before * after <= 0.0 or abs(sweep) > _MOST_SWEEP:
        return None
    bulge = math.tan(sweep / 4.0)
    aside = (1.0 / bulge - bulge) / 4.0  # of the centre from the chord's middle to its left, in chords
    centre = ((x0 + x2) / 2.0 - aside * (y2 - y0), (y0 + y2) / 2.0 + aside * (x2 - x0))
    return bulge if abs(math.dist(centre, middle) - math.dist(centre, start)) <= _ON_PIECE else None

"""One line or one arc: its length, bounds, places along it, headings and parts. Millimetres and radians.

Fractions run from 0 at the segment's start to 1 at its end, in proportion to length.
"""

import math
from collections.abc import Iterator
from typing import assert_never

from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.point import Point, between

QUARTER = math.pi / 2.0


def length_of(piece: Segment) -> float:
    """Returns the length along a segment, in mm."""
    match piece:
        case Line():
            return piece.start.distance(piece.end)
        case Arc():
            return piece.radius * abs(piece.sweep)
        case _:
            assert_never(piece)


def point_on(piece: Segment, fraction: float) -> Point:
    """Returns the point at a fraction of a segment; exactly its ends at 0 and 1."""
    if fraction == 1.0:
        return piece.end
    match piece:
        case Line():
            return between(piece.start, piece.end, fraction)
        case Arc():
            # From the chord, since the centre of a flat arc is far away and would cost digits.
            whole, part = piece.sweep, piece.sweep * fraction
            chord = (piece.end - piece.start) * (math.sin(part / 2.0) / math.sin(whole / 2.0))
            turn = (part - whole) / 2.0
            return piece.start + chord * math.cos(turn) + chord.left() * math.sin(turn)
        case _:
            assert_never(piece)


def steps_on(arc: Arc, count: int) -> Iterator[Point]:
    """Yields the points that part an arc into so many equal pieces, its ends left out; the same as `point_on` gives."""
    start, chord, whole = arc.start, arc.end - arc.start, arc.sweep
    full = math.sin(whole / 2.0)
    for step in range(1, count):
        part = whole * (step / count)
        share, turn = math.sin(part / 2.0) / full, (part - whole) / 2.0
        x, y, cosine, sine = chord.x * share, chord.y * share, math.cos(turn), math.sin(turn)
        yield Point(start.x + x * cosine - y * sine, start.y + y * cosine + x * sine)


def heading_on(piece: Segment, fraction: float) -> Point:
    """Returns the unit vector along which a segment runs at a fraction of its length.

    Raises:
        ZeroDivisionError: If a line has no length.
    """
    along = (piece.end - piece.start).unit()
    match piece:
        case Line():
            return along
        case Arc():
            turn = piece.sweep * (fraction - 0.5)
            return along * math.cos(turn) + along.left() * math.sin(turn)
        case _:
            assert_never(piece)


def nearest_on(piece: Segment, point: Point) -> float:
    """Returns the fraction at which a segment comes nearest to a point; the first of equals."""
    match piece:
        case Line():
            along = piece.end - piece.start
            square = along.dot(along)
            return min(max((point - piece.start).dot(along) / square, 0.0), 1.0) if square > 0.0 else 0.0
        case Arc():
            fraction = fraction_round(piece, point)
            if fraction <= 1.0:
                return fraction
            return 0.0 if piece.start.distance(point) <= piece.end.distance(point) else 1.0
        case _:
            assert_never(piece)


def fraction_round(arc: Arc, point: Point) -> float:
    """Returns how far round, seen from the arc's centre, a point lies: 0 at the start, 1 at the end, and on."""
    centre = arc.centre
    out, seen = arc.start - centre, point - centre
    angle = math.atan2(out.cross(seen), out.dot(seen))
    if arc.bulge < 0.0:
        angle = -angle
    return (angle if angle >= 0.0 else angle + 2.0 * math.pi) / abs(arc.sweep)


def part_of(piece: Segment, start: Point, end: Point, share: float) -> Segment:
    """Returns the part of a segment between two points on it, `share` of its length apart.

    With a share above 1 a segment is carried on along its own line or circle.
    """
    match piece:
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, piece.bulge if share == 1.0 else math.tan(piece.sweep * share / 4.0))
        case _:
            assert_never(piece)

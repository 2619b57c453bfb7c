"""Where lines and arcs meet, and whether a path meets itself. Exact with arcs, to `COINCIDENT` mm."""

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple, assert_never

from jiggen.geometry.box import around
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import nearest_on, point_on

#: Two segments that are joined run along each other for a while if the joint is a cusp: so near to it, in mm,
#: they do not cross.
AT_JOINT = 1e-4


class Meeting(NamedTuple):
    """A place that two segments share, and how far along each it lies."""

    at: Point
    first: float
    second: float


def meetings(one: Segment, other: Segment) -> list[Meeting]:
    """Returns the places where two segments cross or touch, in order along the first.

    Where they run along each other, these are the ends of the stretch they share.
    """
    if isinstance(one, Line) and isinstance(other, Line):
        along, across = one.end - one.start, other.end - other.start
        lengths = along.length() * across.length()
        if abs(along.cross(across)) > 1e-3 * lengths:  # not nearly parallel: one crossing, or none
            return _crossing_of_lines(one, other, along, across)
    places = (*_shared_places(one, other), one.start, one.end, other.start, other.end)
    found: list[Meeting] = []
    for place in places:
        first, second = nearest_on(one, place), nearest_on(other, place)
        if point_on(one, first).distance(place) > COINCIDENT:
            continue
        if point_on(other, second).distance(place) > COINCIDENT:
            continue
        if all(place.distance(known.at) > COINCIDENT for known in found):
            found.append(Meeting(place, first, second))
    return sorted(found, key=lambda meeting: meeting.first)


def _crossing_of_lines(one: Line, other: Line, along: Point, across: Point) -> list[Meeting]:
    gap, square = other.start - one.start, along.cross(across)
    first, second = gap.cross(across) / square, gap.cross(along) / square
    reach, other_reach = COINCIDENT / along.length(), COINCIDENT / across.length()
    if not (-reach <= first <= 1.0 + reach and -other_reach <= second <= 1.0 + other_reach):
        return []
    first, second = min(max(first, 0.0), 1.0), min(max(second, 0.0), 1.0)
    return [Meeting(point_on(one, first), first, second)]


def _shared_places(one: Segment, other: Segment) -> list[Point]:
    """Returns where the whole lines and circles, of which the segments are parts, cross or touch."""
    match one:
        case Line():
            return _two_lines(one, other) if isinstance(other, Line) else _line_and_circle(one, other)
        case Arc():
            return _two_circles(one, other) if isinstance(other, Arc) else _line_and_circle(other, one)
        case _:
            assert_never(one)


def _two_lines(one: Line, other: Line) -> list[Point]:
    along, across = one.end - one.start, other.end - other.start
    square = along.cross(across)
    if abs(square) <= 1e-12 * along.length() * across.length():
        return []  # parallel, as far as can be told
    return [one.start + along * ((other.start - one.start).cross(across) / square)]


def _line_and_circle(line: Line, arc: Arc) -> list[Point]:
    centre, radius = arc.centre, arc.radius
    along = (line.end - line.start).unit()
    foot = line.start + along * (centre - line.start).dot(along)
    return _either_side(foot, along, radius, foot.distance(centre))


def _two_circles(one: Arc, other: Arc) -> list[Point]:
    centre, radius = one.centre, one.radius
    apart = other.centre - centre
    distance = apart.length()
    if distance <= COINCIDENT:
        return []  # one circle, or two that never meet
    to_chord = (distance**2 + radius**2 - other.radius**2) / (2.0 * distance)
    along = apart.unit()
    return _either_side(centre + along * to_chord, along.left(), radius, abs(to_chord))


def _either_side(foot: Point, along: Point, radius: float, off_centre: float) -> list[Point]:
    """Returns the points on a circle that lie both ways from the middle of a chord; that itself if they touch."""
    square = radius**2 - off_centre**2
    half = math.sqrt(max(square, 0.0))
    if off_centre > radius + COINCIDENT:
        return []
    return [foot - along * half, foot + along * half] if half > 0.0 else [foot]


def neighbours(pieces: Sequence[Segment]) -> Iterator[tuple[int, int]]:
    """Yields the index pairs, lower first, of segments whose bounds come within `COINCIDENT` of each other."""
    boxes = [piece.box for piece in pieces]
    whole = around(boxes)
    if whole.width >= whole.height:  # sweep the longer way: fewer lie side by side
        spans = [(box.low.x, box.high.x, box.low.y, box.high.y) for box in boxes]
    else:
        spans = [(box.low.y, box.high.y, box.low.x, box.high.x) for box in boxes]
    passing: list[int] = []
    for index in sorted(range(len(pieces)), key=spans.__getitem__):
        begin, _, low, high = spans[index]
        passing = [other for other in passing if spans[other][1] >= begin - COINCIDENT]
        for other in passing:
            if spans[other][2] <= high + COINCIDENT and low <= spans[other][3] + COINCIDENT:
                yield (index, other) if index < other else (other, index)
        passing.append(index)


def first_crossing(path: Path) -> Point | None:
    """Returns a place where the path crosses, touches or retraces itself, or None if it never does.

    The joints of its segments do not count, nor loops too small to see there. Every segment needs a length.
    """
    pieces = path.segments
    count = len(pieces)
    for low, high in neighbours(pieces):
        joined = high == low + 1
        closing = path.closed and low == 0 and high == count - 1
        for meeting in meetings(pieces[low], pieces[high]):
            at_joint = joined and meeting.at.distance(pieces[low].end) <= AT_JOINT
            at_closing = closing and meeting.at.distance(path.start) <= AT_JOINT
            if not (at_joint or at_closing):
                return meeting.at
    return None

"""The outline of a part where a joint crosses it, and the outlines of the two pieces. Millimetres."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.geometry.box import Box, around
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Line, Path, Segment, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import length_of, part_of, point_on
from jiggen.splitting.frame import Frame
from jiggen.splitting.joint import Joint

#: A joint does not end so near to where two pieces of the outline meet, mm.
_FROM_CORNER = 0.5
_BEYOND = 10.0


@dataclass(frozen=True, slots=True)
class Crossing:
    """A place where a joint meets the outline.

    Attributes:
        index: Of the outline's segment.
        share: How far along that segment.
        at: The place, in the part's coordinates.
        v: The same in the frame.
    """

    index: int
    share: float
    at: Point
    v: float


class Outline:
    """An outline seen in a frame.

    Args:
        path: Closed.
        frame: Of the joints.
    """

    def __init__(self, path: Path, frame: Frame) -> None:
        self.path = path
        self._frame = frame
        #: Of each segment, in the frame; looked at again and again.
        self._places = [[frame.turned(place) for place in flatten(Path((piece,)), 0.05)] for piece in path]
        self._boxes = [around(Box(place, place) for place in places) for places in self._places]
        self.box = around(self._boxes)

    def crossings(self, u: float) -> tuple[Crossing, ...]:
        """Returns where the line across the part at some u meets the outline, by v."""
        low, high = Point(u, self.box.low.y - _BEYOND), Point(u, self.box.high.y + _BEYOND)
        across = Line(self._frame.back(low), self._frame.back(high))
        found = [
            Crossing(index, meeting.second, meeting.at, self._frame.turned(meeting.at).y)
            for index, (piece, box) in enumerate(zip(self.path, self._boxes, strict=True))
            if box.low.x - 1e-6 <= u <= box.high.x + 1e-6
            for meeting in meetings(across, piece)
        ]
        return tuple(sorted(found, key=lambda each: each.v))

    def clean_crossings(self, u: float) -> tuple[Crossing, Crossing] | None:
        """Returns the two places where it does, or None if there are more, or one is hardly on its segment."""
        found = self.crossings(u)
        if len(found) != 2:
            return None
        for each in found:
            whole = length_of(self.path.segments[each.index])
            if min(each.share, 1.0 - each.share) * whole < _FROM_CORNER:
                return None
        return found[0], found[1]

    def across(self, low: float, high: float) -> float:
        """Returns how much of v the outline takes between two u."""
        places = (
            place
            for mine, box in zip(self._places, self._boxes, strict=True)
            if box.low.x < high and low < box.high.x
            for place in _within(mine, low, high)
        )
        found = [place.y for place in places]
        return max(found) - min(found) if found else 0.0


def _within(places: Sequence[Point], low: float, high: float) -> Iterator[Point]:
    """Yields places of a segment, those beyond a range of u put on its limit, which is wide of the mark by little."""
    for one, other in pairwise(places):
        for place in (one, other):
            if low <= place.x <= high:
                yield place
        for u in (low, high):
            if min(one.x, other.x) < u < max(one.x, other.x):
                share = (u - one.x) / (other.x - one.x)
                yield Point(u, one.y + (other.y - one.y) * share)


def divided(outline: Path, joint: Joint) -> tuple[Path, Path]:
    """Returns the outlines of the piece of lower u and of the other, each closed and walked as the whole was.

    Args:
        outline: Closed.
        joint: That crosses it twice, on its way from the lower v to the higher.

    Raises:
        ValueError: If it does not.
    """
    crossings = Outline(outline, joint.frame).clean_crossings(joint.u)
    if crossings is None:
        raise ValueError(f"joint {joint.mark} does not cross the outline twice")
    low, high = crossings
    rising, falling = _run(outline, low, high), _run(outline, high, low)
    of = (
        1 if _reach(rising, joint.frame) > joint.u + 1e-6 else -1
    )  # the piece round which it is walked upward
    one = Path((*rising, *reverse(joint.side(of, low.at, high.at))), closed=True)
    other = Path((*falling, *joint.side(-of, low.at, high.at)), closed=True)
    return (other, one) if of == 1 else (one, other)


def _run(outline: Path, start: Crossing, end: Crossing) -> tuple[Segment, ...]:
    """Returns what lies on the outline from one place to another, as it is walked."""
    pieces, count = outline.segments, len(outline.segments)
    first, last = pieces[start.index], pieces[end.index]
    if start.index == end.index and start.share < end.share:
        return (part_of(first, start.at, end.at, end.share - start.share),)
    found = [part_of(first, start.at, first.end, 1.0 - start.share)]
    index = (start.index + 1) % count
    while index != end.index:
        found.append(pieces[index])
        index = (index + 1) % count
    found.append(part_of(last, last.start, end.at, end.share))
    return tuple(found)


def _reach(run: tuple[Segment, ...], frame: Frame) -> float:
    """Returns the highest u of a run, at its joints and middles."""
    return max(frame.turned(place).x for piece in run for place in (piece.end, point_on(piece, 0.5)))

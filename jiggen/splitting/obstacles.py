"""What is in a joint's way: slots, holes, notches, lettering, corners, and lines that it would run along or cut short.

All in the frame of the joint. A line that the joint crosses well away from its ends is in nobody's way: it is divided.
"""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, flatten
from jiggen.geometry.path import Arc, Path
from jiggen.geometry.point import Point, between
from jiggen.parts.model import Feature, Part, Role
from jiggen.splitting.frame import Frame

#: From a joint to lettering, to the end of a line that it crosses, and to a line that runs along it, mm.
_FROM_LETTERS, _FROM_END, _FROM_LINE = 1.5, 2.0, 1.5
#: A line shorter than this, mm, is not divided: little would be left of it.
_SHORT = 12.0
#: A line that goes less than this far across a joint for each mm along it runs along it: 27 degrees.
_ALONG = 0.5
#: An arc of the outline tighter than this, mm, is a corner.
_CORNER = 12.0
_CHORDS = 0.05
#: Words that may be lettered anew elsewhere: heading, what to know, and the rows of the spec.
_FREE_WORDS = re.compile(r"(title|words|spec)(\.\d+)?(\.value|\.inch)?")
_SPEC_ROW = re.compile(r"(spec\.\d+)(\.value|\.inch)?")

Interval = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Block:
    """A place that a joint keeps clear of.

    Attributes:
        box: In the frame.
        feature: Id of what is there.
        gap: To keep from it, mm.
    """

    box: Box
    feature: str
    gap: float


def is_free(feature: Feature) -> bool:
    """Tells whether a feature is lettering that may as well stand elsewhere on the part."""
    return feature.role is Role.LETTERING and _FREE_WORDS.fullmatch(feature.id) is not None


def row_of(id: str) -> str:
    """Returns the id that the cells of one row of the spec share; any other id as it is."""
    found = _SPEC_ROW.fullmatch(id)
    return found[1] if found else id


class Obstacles:
    """What a part has in the way of joints of one slant.

    Args:
        part: To be split.
        frame: Of the joints.
        web_mm: To keep between a joint and anything cut through.
        moves_words: Whether heading, words and rows of the spec may be crossed, since they can be lettered anew.
    """

    def __init__(self, part: Part, frame: Frame, *, web_mm: float, moves_words: bool) -> None:
        self._frame = frame
        self._web = web_mm
        self.blocks = tuple(self._blocks(part, moves_words=moves_words))
        self._strokes = [
            (frame.turned(one), frame.turned(other), feature.id)
            for feature in part.features
            if feature.role in {Role.LINE, Role.NOTE}
            for path in feature.paths
            for one, other in pairwise(flatten(path, _CHORDS))
        ]

    def at(self, u: float) -> tuple[Block, ...]:
        """Returns what is in the way of a joint at some u."""
        return tuple(
            each for each in self.blocks if each.box.low.x - each.gap < u < each.box.high.x + each.gap
        )

    def nearest(self, u: float) -> float:
        """Returns how far from some u, where nothing is in the way, the first thing is that would be, mm."""
        return min(
            (max(each.box.low.x - each.gap - u, u - each.box.high.x - each.gap) for each in self.blocks),
            default=math.inf,
        )

    def taken(self, u: Interval, *, lines_gap: float | None = None) -> tuple[Interval, ...]:
        """Returns which v are taken over a range of u, in order, none touching another.

        Args:
            u: From where to where.
            lines_gap: To keep from lines that can be divided; None: they are in nobody's way.
        """
        low, high = u
        found = [
            (each.box.low.y - each.gap, each.box.high.y + each.gap)
            for each in self.blocks
            if each.box.low.x - each.gap < high and low < each.box.high.x + each.gap
        ]
        if lines_gap is not None:
            for one, other, _ in self._strokes:
                if within := _clipped(one, other, low - lines_gap, high + lines_gap):
                    found.append((within[0] - lines_gap, within[1] + lines_gap))
        return merged(found)

    def _box(self, paths: Iterable[Path]) -> Box:
        places = [self._frame.turned(place) for path in paths for place in flatten(path, _CHORDS)]
        return around(Box(place, place) for place in places)

    def _blocks(self, part: Part, *, moves_words: bool) -> Iterator[Block]:
        rows: dict[str, list[Box]] = {}
        for feature in part.features:
            match feature.role:
                case Role.EDGE:
                    yield from self._corners(feature)
                case Role.OPENING:
                    for path in feature.paths:
                        yield Block(self._box([path]), feature.id, self._web)
                case Role.LETTERING:
                    if not (moves_words and is_free(feature)):
                        rows.setdefault(row_of(feature.id), []).append(self._lettering(feature))
                case Role.LINE | Role.NOTE:
                    yield from self._line(feature)
        for id, boxes in rows.items():
            yield Block(around(boxes), id, _FROM_LETTERS)
        if not moves_words:
            yield Block(_turned_box(part.tag_box, self._frame), "tag", _FROM_LETTERS)

    def _lettering(self, feature: Feature) -> Box:
        return _turned_box(around(bounds(path) for path in feature.paths), self._frame)

    def _corners(self, feature: Feature) -> Iterator[Block]:
        for path in feature.paths:
            for piece in path:
                if isinstance(piece, Arc) and piece.radius < _CORNER:
                    yield Block(self._box([Path((piece,))]), feature.id, self._web)

    def _line(self, feature: Feature) -> Iterator[Block]:
        whole = self._box(feature.paths)
        if whole.width < _SHORT:
            for path in feature.paths:
                yield Block(self._box([path]), feature.id, _FROM_LINE)
            return
        for path in feature.paths:
            for one, other in pairwise(map(self._frame.turned, flatten(path, _CHORDS))):
                if abs(other.x - one.x) < _ALONG * abs(other.y - one.y):
                    yield Block(Box.spanning(one, other), feature.id, _FROM_LINE)
            for end in (path.start, path.end):
                place = self._frame.turned(end)
                if min(place.x - whole.low.x, whole.high.x - place.x) < _CHORDS:
                    yield Block(Box(place, place), feature.id, _FROM_END)


def _turned_box(box: Box, frame: Frame) -> Box:
    corners = (box.low, Point(box.high.x, box.low.y), box.high, Point(box.low.x, box.high.y))
    return around(Box(place, place) for place in map(frame.turned, corners))


def _clipped(one: Point, other: Point, low: float, high: float) -> Interval | None:
    """Returns from which v to which a chord goes within a range of u."""
    if one.x > other.x:
        one, other = other, one
    if other.x < low or high < one.x:
        return None
    along = other.x - one.x
    ends = [
        between(one, other, min(max((u - one.x) / along, 0.0), 1.0)).y if along > 0.0 else place.y
        for u, place in ((low, one), (high, other))
    ]
    return min(ends), max(ends)


def merged(intervals: Sequence[Interval]) -> tuple[Interval, ...]:
    """Returns intervals in order, those that touch made one."""
    found: list[Interval] = []
    for low, high in sorted(intervals):
        if found and low <= found[-1][1]:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return tuple(found)


def gaps(within: Interval, taken: Sequence[Interval]) -> tuple[Interval, ...]:
    """Returns what of an interval is not taken; `taken` as `merged` returns it."""
    found: list[Interval] = []
    low = within[0]
    for begin, end in taken:
        if begin > low:
            found.append((low, min(begin, within[1])))
        low = max(low, end)
    if low < within[1]:
        found.append((low, within[1]))
    return tuple((begin, end) for begin, end in found if end > begin)

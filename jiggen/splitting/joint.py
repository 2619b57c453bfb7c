"""A joint: straight faces that meet, and keys that hold the two pieces in line. Millimetres.

The faces touch where the part is divided, so that closed up the part has its length. Round the keys is a clearance, for
they only hold: it is part of the finished size, and the kerf is made up for as everywhere. A key is a dovetail with
round corners, of a size that the tool gets into.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.geometry.path import Path, rounded, segment
from jiggen.geometry.point import Point
from jiggen.splitting.frame import Frame

#: A key of full size, mm: how far it reaches into the other piece, how wide it is at the face and at its head.
#: Source: common practice; the flanks lean by 14 degrees, as those of dovetails in hardwood, 1 in 4.
DEPTH, NECK, HEAD = 8.0, 9.0, 13.0
_LEAN = (HEAD - NECK) / 2.0 / DEPTH
_FLANK = math.hypot(1.0, _LEAN)  # along a flank, for each mm of depth
#: Both corners of a flank, and a little straight between them, for each mm of their radius.
_CORNERS = 2.1 * math.tan((math.pi / 2.0 + math.atan(_LEAN)) / 2.0)
#: Sizes that are tried, from the best to the smallest that a 3 mm sheet bears (common practice).
_SIZES = (1.0, 0.8, 0.6, 0.45)
_LEAST_RADIUS = 1.0
_MARK = 1.4
_TOOL = 1.05  # a corner's radius over that of the tool that must get into it


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """One key.

    Attributes:
        middle: Its v, along the joint.
        size: Its share of full size.
    """

    middle: float
    size: float

    @property
    def half_head(self) -> float:
        """Half of its greatest width."""
        return HEAD * self.size / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Where a part is divided, and how its pieces hold together.

    Attributes:
        mark: The letter beside it on both pieces.
        frame: Of the joint.
        u: Where it lies.
        v: From where to where it goes, across the part.
        way: 1 when the keys are on the piece with the lower u, -1 when they are on the other.
        keys: In order of v.
        radius: Of the keys' corners.
        clearance: Between a key's flanks or head and the other piece.
        mark_at: The middle of the mark on the piece of lower u, and on the other; in the frame.
        moved: Rows of lettering that it goes through, which must be lettered anew.
        crowded: 0 when all that it must keep clear of is well away, 1 when it lies as near to it as may be.
    """

    mark: str = ""
    frame: Frame
    u: float
    v: tuple[float, float]
    way: int
    keys: tuple[Key, ...]
    radius: float
    clearance: float
    mark_at: tuple[Point, Point]
    moved: int = 0
    crowded: float = 0.0

    @property
    def depth(self) -> float:
        """How far its keys reach."""
        return max((DEPTH * key.size for key in self.keys), default=0.0)

    @property
    def ends(self) -> tuple[Point, Point]:
        """Where it meets the outline, in the part's coordinates."""
        return self.frame.back(Point(self.u, self.v[0])), self.frame.back(Point(self.u, self.v[1]))

    @property
    def at(self) -> float:
        """The x of its middle in the part."""
        one, other = self.ends
        return (one.x + other.x) / 2.0

    @property
    def reach(self) -> tuple[float, float]:
        """From which u to which its faces, keys and pockets, and the middles of its marks lie."""
        keyed = self.way * (self.depth + self.clearance)
        us = (self.u, self.u + keyed, self.mark_at[0].x, self.mark_at[1].x)
        return min(us), max(us)

    def side(self, of: int, start: Point, end: Point) -> Path:
        """Returns the edge of one piece along the joint, open, in the part's coordinates.

        Args:
            of: -1 for the piece of lower u, 1 for the other.
            start: Where it starts on the outline, at the lower v; kept as it is.
            end: Where it ends.
        """
        spare = self.clearance if of == self.way else 0.0  # the piece without the keys has their pockets
        corners, radii = [start], [0.0]
        for key in self.keys:
            corners += [self.frame.back(place) for place in self._corners(key, spare)]
            radii += [self.radius, self.radius + spare, self.radius + spare, self.radius]
        if not self.keys:
            return segment(start, end)
        return Path(rounded([*corners, end], [*radii, 0.0]).segments[:-1])

    def _corners(self, key: Key, spare: float) -> Iterator[Point]:
        """Yields the corners of a key by v, or those of its pocket with some spare room all round."""
        depth = DEPTH * key.size
        neck = NECK * key.size / 2.0 + spare * _FLANK
        head = neck + _LEAN * (depth + spare)
        for in_depth, aside in ((0.0, -neck), (depth + spare, -head), (depth + spare, head), (0.0, neck)):
            yield Point(self.u + self.way * in_depth, key.middle + aside)


def mark_height(letters_mm: float) -> float:
    """Returns the height of the letter beside a joint, over that of the smallest lettering, in mm."""
    return _MARK * letters_mm


def corner_radius(tool_radius: float) -> float:
    """Returns the radius of a key's corners, so that a tool gets into those of its pocket."""
    return max(_LEAST_RADIUS, _TOOL * tool_radius)


def sizes(radius: float) -> Sequence[float]:
    """Returns the sizes of keys that have room for corners of a radius, the largest first."""
    least = _CORNERS * radius / (DEPTH * _FLANK)
    return tuple(each for each in _SIZES if each >= least) or (least,)

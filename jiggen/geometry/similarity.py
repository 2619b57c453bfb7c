"""Moves that keep shape: shift, turn, uniform scale and mirror. Arcs stay arcs under all of them."""

import math
from dataclasses import dataclass
from typing import assert_never

from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, Segment, know_box
from jiggen.geometry.point import ORIGIN, Point


@dataclass(frozen=True, slots=True)
class Similarity:
    """A map of the plane: mirror across the x axis if asked, then scale and turn, then shift.

    Attributes:
        cosine: Scale times the cosine of the turn.
        sine: Scale times the sine of the turn.
        shift: Where the origin goes, in mm.
        mirrored: Whether y is negated first.
    """

    cosine: float = 1.0
    sine: float = 0.0
    shift: Point = ORIGIN
    mirrored: bool = False

    def __post_init__(self) -> None:
        if not (math.isfinite(self.scale) and self.scale > 0.0 and self.shift.is_finite()):
            raise ValueError(f"not a similarity: {self}")

    @property
    def scale(self) -> float:
        """The factor by which lengths grow."""
        return math.hypot(self.cosine, self.sine)

    def point(self, point: Point) -> Point:
        """Returns where a point goes."""
        y = -point.y if self.mirrored else point.y
        return Point(
            self.cosine * point.x - self.sine * y + self.shift.x,
            self.sine * point.x + self.cosine * y + self.shift.y,
        )

    def segment(self, piece: Segment) -> Segment:
        """Returns where a segment goes; an arc turns the other way under a mirror."""
        return self._between(piece, self.point(piece.start), self.point(piece.end))

    def _between(self, piece: Segment, start: Point, end: Point) -> Segment:
        """Returns where a segment goes whose ends are mapped already."""
        match piece:
            case Line():
                return Line(start, end)
            case Arc():
                return Arc(start, end, -piece.bulge if self.mirrored else piece.bulge)
            case _:
                assert_never(piece)

    def path(self, path: Path) -> Path:
        """Returns where a path goes, walked in the same order."""
        first = start = self.point(path.start)
        segments: list[Segment] = []
        last = len(path) - 1
        for index, piece in enumerate(path.segments):  # neighbours share a place, which is mapped once
            end = first if path.closed and index == last else self.point(piece.end)
            segments.append(self._between(piece, start, end))
            start = end
        moved = Path(tuple(segments), closed=path.closed)
        if self.cosine == 0.0 or self.sine == 0.0:  # upright stays upright
            know_box(moved, Box.spanning(self.point(path.box.low), self.point(path.box.high)))
        return moved

    def then(self, after: "Similarity") -> "Similarity":
        """Returns the map that does this one first and `after` second."""
        sign = -1.0 if after.mirrored else 1.0
        return Similarity(
            cosine=after.cosine * self.cosine - after.sine * self.sine * sign,
            sine=after.sine * self.cosine + after.cosine * self.sine * sign,
            shift=after.point(self.shift),
            mirrored=self.mirrored != after.mirrored,
        )

    def inverse(self) -> "Similarity":
        """Returns the map that undoes this one."""
        square = self.scale**2
        sign = -1.0 if self.mirrored else 1.0
        linear = Similarity(
            cosine=self.cosine / square, sine=-self.sine * sign / square, mirrored=self.mirrored
        )
        back = linear.point(self.shift)
        return Similarity(cosine=linear.cosine, sine=linear.sine, shift=-back, mirrored=self.mirrored)


IDENTITY = Similarity()
#: Across the x axis: bass and treble change places.
MIRROR = Similarity(mirrored=True)
#: A quarter turn to the left, exact.
QUARTER_TURN = Similarity(cosine=0.0, sine=1.0)


def shifted(x: float, y: float) -> Similarity:
    """Returns the shift by (x, y) mm."""
    return Similarity(shift=Point(x, y))


def turned(angle: float) -> Similarity:
    """Returns the turn about the origin by `angle` radians, + is counter-clockwise."""
    return Similarity(cosine=math.cos(angle), sine=math.sin(angle))


def scaled(factor: float) -> Similarity:
    """Returns the uniform scale about the origin by a positive factor."""
    return Similarity(cosine=factor)

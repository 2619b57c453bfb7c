"""Finds room for lettering on a part of any shape, beside what is drawn on it already. Millimetres.

The part is laid out on squared paper. Squares that a line runs through, or that lie outside, are taken; the largest
upright rectangle of free squares is where the words go.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds, flatten
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point, between

_ACROSS = 160  # squares along the longer side of a part
_FINEST = 0.5  # mm, of a square
_CHORDS = 0.02  # mm that chords may lie off the arcs


class Room:
    """What is free on a part.

    Args:
        outline: Of the part, closed.
        drawn: All that is on it.
        gap_mm: To keep between lettering and anything else.
        cut: Closed openings, within which nothing can be lettered.
    """

    def __init__(
        self, outline: Path, drawn: Iterable[Path], *, gap_mm: float, cut: Iterable[Path] = ()
    ) -> None:
        self._box = bounds(outline)
        self._cell = max(_FINEST, max(self._box.width, self._box.height) / _ACROSS)
        self._columns = math.ceil(self._box.width / self._cell)
        self._rows = math.ceil(self._box.height / self._cell)
        self._gap = gap_mm
        self._taken = [bytearray(self._columns) for _ in range(self._rows)]
        corners = flatten(outline, _CHORDS)
        self._take_outside(corners)
        for opening in cut:
            self._take_inside(flatten(opening, _CHORDS))
        for path in (outline, *drawn):
            self._take_along(path)

    def take(self, height_at: Callable[[float], float], least_area: float = 0.0) -> Box | None:
        """Returns the room for something that is higher the narrower it is, and takes it.

        Args:
            height_at: The height that it needs at a width, mm; infinity where that will not do.
            least_area: What it covers at least, mm²: smaller places are not looked at.

        Returns:
            The upper part of the largest free rectangle that is large enough, just as high as it needs; or None.
        """
        needed: dict[float, float] = {}
        places = [box for box in self._rectangles() if box.width * box.height >= least_area]
        for box in sorted(places, key=lambda box: (-box.width * box.height, box.low.x, box.low.y)):
            width = round(box.width, 6)
            if width not in needed:
                needed[width] = height_at(width)
            if needed[width] <= box.height:
                taken = Box(Point(box.low.x, box.high.y - needed[width]), box.high)
                self._take_box(taken.grown(self._gap))
                return taken
        return None

    def _take_outside(self, corners: tuple[Point, ...]) -> None:
        """Takes all squares whose middle is outside, row by row."""
        for row in range(self._rows):
            inside = bytearray(b"\x01") * self._columns
            for begin, end in self._spans(corners, row):
                inside[begin:end] = bytes(end - begin)
            self._taken[row] = inside

    def _take_inside(self, corners: tuple[Point, ...]) -> None:
        """Takes all squares whose middle is inside."""
        for row in range(self._rows):
            for begin, end in self._spans(corners, row):
                self._taken[row][begin:end] = b"\x01" * (end - begin)

    def _spans(self, corners: tuple[Point, ...], row: int) -> Iterator[tuple[int, int]]:
        """Yields the columns of a row that are inside, first and last but one: between odd and even crossings."""
        y = self._box.low.y + (row + 0.5) * self._cell
        crossings = sorted(
            one.x + (other.x - one.x) * (y - one.y) / (other.y - one.y)
            for one, other in pairwise(corners)
            if (one.y <= y) != (other.y <= y)
        )
        for left, right in zip(crossings[::2], crossings[1::2], strict=True):
            yield self._column(left), self._column(right) + 1

    def _take_along(self, path: Path) -> None:
        """Takes the squares within the gap of a path."""
        for one, other in pairwise(flatten(path, _CHORDS)):
            steps = max(1, math.ceil(one.distance(other) / (2.0 * self._cell)))
            for step in range(steps):
                start, end = between(one, other, step / steps), between(one, other, (step + 1) / steps)
                self._take_box(Box.spanning(start, end).grown(self._gap))

    def _take_box(self, box: Box) -> None:
        begin, end = self._column(box.low.x), self._column(box.high.x) + 1
        full = b"\x01" * (end - begin)
        for row in range(self._row(box.low.y), self._row(box.high.y) + 1):
            self._taken[row][begin:end] = full

    def _column(self, x: float) -> int:
        return min(max(int((x - self._box.low.x) / self._cell), 0), self._columns - 1)

    def _row(self, y: float) -> int:
        return min(max(int((y - self._box.low.y) / self._cell), 0), self._rows - 1)

    def _rectangles(self) -> Iterator[Box]:
        """Yields every free rectangle that cannot grow to the left, right or below.

        Source: the largest rectangle under a histogram, by a stack; a standard method.
        """
        heights = [0] * self._columns
        for row, taken in enumerate(self._taken):
            heights = [0 if here else height + 1 for here, height in zip(taken, heights, strict=True)]
            stack: list[tuple[int, int]] = []  # column where a height begins, height
            for column, height in enumerate((*heights, 0)):
                begin = column
                while stack and stack[-1][1] > height:
                    begin, high = stack.pop()
                    yield self._rectangle(row, begin, column, high)
                if height and (not stack or stack[-1][1] < height):
                    stack.append((begin, height))

    def _rectangle(self, row: int, begin: int, end: int, height: int) -> Box:
        low = Point(self._box.low.x + begin * self._cell, self._box.low.y + (row + 1 - height) * self._cell)
        return Box(low, Point(self._box.low.x + end * self._cell, self._box.low.y + (row + 1) * self._cell))

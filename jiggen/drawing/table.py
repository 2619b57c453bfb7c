"""Tables in lettering: a head, rows, thin rules. Millimetres; placed by their upper left corner."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate

from jiggen.drawing.model import Ink, Item, width_of, words
from jiggen.drawing.style import ASSUMED_RED, INK, NAME, RULE, SMALL, SOFT, THIN
from jiggen.geometry.path import segment
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor

#: From baseline to baseline.
PITCH = 4.1
#: Between columns.
_GAP = 4.0
#: From a title's top to the rule above the head.
_TITLE_ROOM = NAME + 2.0
#: From a rule to the baseline below it, and to the one above it.
_UNDER, _OVER = 3.3, 0.8
#: A rule leads the eye after so many rows.
_EVERY = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """What a table says.

    Attributes:
        title: Above it.
        head: Names of columns; a line break makes two lines of one.
        rows: Texts, as many in each as there are columns.
        left: How many columns stand flush left; the others stand flush right, as figures do.
        marked: Numbers of rows, from 1, that want a decision and are shown in colour.
    """

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    left: int = 0
    marked: frozenset[int] = frozenset()

    @property
    def size(self) -> Point:
        """Width and height, mm."""
        widths, lines = self._widths(), len(self._head_rows()) + len(self.rows)
        width = max(sum(widths) + _GAP * (len(widths) - 1), width_of(self.title, NAME))
        return Point(width, _TITLE_ROOM + lines * PITCH)

    def draw(self, corner: Point) -> Iterator[Item]:
        """Yields the table with its upper left corner at a point."""
        head, widths = self._head_rows(), self._widths()
        lefts = [
            corner.x,
            *(corner.x + each + _GAP * n for n, each in enumerate(accumulate(widths), start=1)),
        ]
        right = lefts[-1] - _GAP
        if self.title:
            yield words(self.title, corner - Point(0.0, NAME), height=NAME, colour=INK)
        top = corner.y - _TITLE_ROOM
        under_head = top - len(head) * PITCH
        wide = [segment(Point(corner.x, y), Point(right, y)) for y in dict.fromkeys((top, under_head))]
        yield Ink(paths=tuple(wide), pen=THIN)
        numbers = range(1, len(self.rows) + 1)
        ruled = [under_head - n * PITCH for n in numbers if n % _EVERY == 0 or n == len(self.rows)]
        yield Ink(paths=tuple(segment(Point(corner.x, y), Point(right, y)) for y in ruled), pen=RULE)
        colours = [SOFT] * len(head) + [ASSUMED_RED if number in self.marked else INK for number in numbers]
        for line, (row, colour) in enumerate(zip((*head, *self.rows), colours, strict=True)):
            base = top - line * PITCH - _UNDER
            for column, text in enumerate(row):
                if text and column < self.left:
                    yield words(text, Point(lefts[column], base), height=SMALL, colour=colour)
                elif text:
                    at = Point(lefts[column] + widths[column], base)
                    yield words(text, at, height=SMALL, colour=colour, anchor=Anchor.RIGHT_BASELINE)

    def _head_rows(self) -> list[tuple[str, ...]]:
        """The head line by line, names standing on the lowest."""
        names = [name.split("\n") for name in self.head]
        most = max(map(len, names)) if any(self.head) else 0
        return list(zip(*([""] * (most - len(name)) + name for name in names), strict=True)) if most else []

    def _widths(self) -> list[float]:
        rows = (*self._head_rows(), *self.rows)
        return [max(width_of(text, SMALL) for text in column) for column in zip(*rows, strict=True)]


def in_columns(table: Table, longest: int) -> Sequence[Table]:
    """Returns a table as several to stand side by side, none longer than `longest`; none at all for no rows."""
    count = -(-len(table.rows) // longest)
    each = -(-len(table.rows) // max(count, 1))
    return [
        Table(
            title=table.title if number == 0 else "",
            head=table.head,
            rows=table.rows[number * each : (number + 1) * each],
            left=table.left,
        )
        for number in range(count)
    ]

"""The words on a piece: which piece of what it is, the tag, and rows that a joint went through, where there is room."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, flatten
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor, fit_text, wrap_text
from jiggen.parts.caption import height_of_tag, rows_height
from jiggen.parts.marks import label
from jiggen.parts.model import Feature, Role
from jiggen.parts.room import Room
from jiggen.splitting.obstacles import row_of

_GAP = 1.5  # mm, from lettering to anything else
_ASIDE = 1.0  # more beside a row of words, in heights of capitals, so that none seems to go on from it
_CLOSE = 0.3  # mm, above and below the room that a part has set aside for its tag
_CHORDS = 0.05
_BEYOND_ROUNDING = 1.001  # what holds letters a little higher holds the tag, however it is rounded


class Words:
    """Room for words on one piece.

    Args:
        tag: Its text.
        name: Of the piece, for messages.
        drawn: All that is on it already, its edge among it.
        tag_box: Room that it has for the tag; None: wherever there is some.
        letters_mm: Height of capitals.

    Raises:
        LimitError: If there is no room for the tag.
    """

    def __init__(
        self, tag: str, name: str, drawn: Sequence[Feature], tag_box: Box | None, *, letters_mm: float
    ) -> None:
        outline = next(feature.paths[0] for feature in drawn if feature.role is Role.EDGE)
        paths = [path for feature in drawn for path in feature.paths if feature.role is not Role.LETTERING]
        aside = Point(_ASIDE * letters_mm, 0.0)
        paths += [
            rectangle(box.low - aside, box.high + aside)
            for box in (*_word_boxes(drawn), *([tag_box] if tag_box else []))
            if box.width > 0.0 < box.height
        ]
        self._room = Room(outline, paths, gap_mm=_GAP)
        self._tag, self._name, self._letters = tag, name, letters_mm
        found = tag_box or self._room.take(partial(_height_or_none, self._tag_height))
        if found is None:
            raise self.no_room("the tag")
        self._tag_box = found

    def tag_box(self) -> Box:
        """Returns room for the tag."""
        return self._tag_box

    def lettered(self, id: str, *texts: str) -> tuple[Feature, ...]:
        """Returns the first of some texts that there is room for, on as many rows as it takes; none if for none.

        Args:
            id: Of its first row; the others count on.
            texts: Each in one.
        """
        for text in texts:
            box = self._room.take(partial(_height_or_none, partial(self._words_height, text)))
            if box is None:
                continue
            return tuple(
                label(
                    id if row == 1 else f"{id}.{row}",
                    words,
                    Point(box.low.x, box.high.y - rows_height(row, self._letters)),
                    height=self._letters,
                    anchor=Anchor.LEFT_BASELINE,
                )
                for row, words in enumerate(wrap_text(text, box.width, self._letters), start=1)
            )
        return ()

    def no_room(self, what: str) -> LimitError:
        """Returns the error for words that there is no room for."""
        return LimitError(
            where=f"part {self._name}",
            got=f"no room for {what} in letters of {self._letters:.1f} mm",
            expected="room beside what is drawn on the piece",
            mend="Divide the part elsewhere with --split-at, or choose a machine that can letter smaller",
        )

    def _tag_height(self, width: float) -> float:
        return height_of_tag(self._tag, width, self._letters)

    def _words_height(self, text: str, width: float) -> float:
        return rows_height(len(wrap_text(text, width, self._letters)), self._letters)


def needed_width(tag: str, width: float, height: float, letters_mm: float) -> float | None:
    """Returns the least width of a box of some height that holds the tag, None if that is more than it may be, mm."""
    needed = width
    while needed > 0.0 and _holds(Box.of_size(needed, height), tag, letters_mm):
        needed -= letters_mm
    return None if needed == width else needed + letters_mm


def _holds(box: Box, tag: str, letters_mm: float) -> bool:
    """Tells whether the shop can letter a tag in a box, in one row or several."""
    try:
        height = _BEYOND_ROUNDING * letters_mm
        rows = wrap_text(tag, box.width, height)
        fit_text(rows, box=box, largest_mm=height, smallest_mm=height, where="tag")
    except LimitError:
        return False
    return True


def taken_along(
    drawn: Sequence[Feature], low: float, high: float, letters_mm: float
) -> Iterator[tuple[float, float]]:
    """Yields from which x to which something is drawn in a row across the part, and a gap round it.

    Args:
        drawn: All that is there.
        low: y of the row's lower side.
        high: y of its upper side.
        letters_mm: Height of capitals.
    """
    boxes = [
        Box.spanning(one, other)
        for feature in drawn
        if feature.role is not Role.LETTERING
        for path in feature.paths
        for one, other in pairwise(flatten(path, _CHORDS))
    ]
    beside = Point(_ASIDE * letters_mm, 0.0)
    words = (Box(box.low - beside, box.high + beside) for box in _word_boxes(drawn))
    for box in (*boxes, *words):
        if box.low.y < high + _CLOSE and low - _CLOSE < box.high.y:
            yield box.low.x - _GAP, box.high.x + _GAP


def _height_or_none(height_at: Callable[[float], float], width: float) -> float:
    try:
        return height_at(width)
    except LimitError:
        return float("inf")


def _word_boxes(drawn: Sequence[Feature]) -> Iterator[Box]:
    """Yields the boxes of all lettering, cells of one row in one box."""
    rows: dict[str, list[Feature]] = {}
    for feature in drawn:
        if feature.role is Role.LETTERING:
            rows.setdefault(row_of(feature.id), []).append(feature)
    for cells in rows.values():
        yield around(bounds(path) for cell in cells for path in cell.paths)


def text_of(cells: Sequence[Feature]) -> str:
    """Returns the text of a row, cell after cell."""
    return "  ".join(cell.text for cell in cells)

"""Lays parts on shelves, filled from the top down: little wasted of long bars, and easy to take in. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.sheets.room import Laid, Lie, fits


@dataclass(slots=True)
class _Shelf:
    bottom: float
    height: float
    right: float  # where the next part starts


@dataclass(slots=True)
class _Sheet:
    room: Box
    shelves: list[_Shelf] = field(default_factory=list)
    laid: list[Laid] = field(default_factory=list)


def lay_on_shelves(
    lies: Sequence[Sequence[Lie]], rooms: Sequence[Box], gap_mm: float
) -> tuple[tuple[tuple[Laid, ...], ...], tuple[int, ...]]:
    """Returns what lies on each sheet, and the parts that found no room.

    Tall parts first, each on the first shelf with room, else on a new shelf, else on the next sheet; a part lies the
    first way in which it fits the first sheet that it fits when empty.

    Args:
        lies: The ways in which each part may lie, the one it rather should first.
        rooms: Of the sheets, in the order in which they are filled.
        gap_mm: Between parts.
    """
    chosen = [_first_that_fits(ways, rooms) for ways in lies]
    order = sorted(
        ((index, lie) for index, lie in enumerate(chosen) if lie is not None),
        key=lambda entry: (-round(entry[1].box.height, 3), -round(entry[1].box.width, 3), entry[0]),
    )
    sheets = [_Sheet(room) for room in rooms]
    left = {index for index, lie in enumerate(chosen) if lie is None}
    for index, lie in order:
        if not any(_put(sheet, index, lie, gap_mm) for sheet in sheets):
            left.add(index)
    return tuple(tuple(sheet.laid) for sheet in sheets), tuple(sorted(left))


def _first_that_fits(ways: Sequence[Lie], rooms: Sequence[Box]) -> Lie | None:
    for room in dict.fromkeys(rooms):
        for lie in ways:
            if fits(lie.box, room):
                return lie
    return None


def _put(sheet: _Sheet, index: int, lie: Lie, gap: float) -> bool:
    """Puts a part on a shelf of the sheet; tells whether there was room."""
    room, box = sheet.room, lie.box
    for shelf in sheet.shelves:
        if box.height <= shelf.height and shelf.right + box.width <= room.high.x:
            break
    else:
        top = sheet.shelves[-1].bottom - gap if sheet.shelves else room.high.y
        if top - box.height < room.low.y or box.width > room.width:
            return False
        shelf = _Shelf(bottom=top - box.height, height=box.height, right=room.low.x)
        sheet.shelves.append(shelf)
    low = Point(shelf.right, shelf.bottom + shelf.height - box.height)
    sheet.laid.append(Laid(index=index, lie=lie, low=low))
    shelf.right += box.width + gap
    return True

"""Laying parts on sheets: shelves, filled from the top down, the same way every time. Millimetres.

Our parts are long bars, for which shelves waste little. Nothing is left out in silence: a part that cannot fit
is an error that names it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from jiggen.errors import LimitError, raise_all
from jiggen.geometry.box import Box
from jiggen.geometry.similarity import Similarity, shifted
from jiggen.sheets.model import Placement, Sheet
from jiggen.sheets.room import box_of, lie_in, room_of
from jiggen.shop.machine import Machine
from jiggen.shop.model import CutPart


@dataclass(frozen=True, slots=True)
class _Item:
    cut_part: CutPart
    turn: Similarity
    box: Box  # of everything cut, after the turn


@dataclass(slots=True)
class _Shelf:
    bottom: float
    height: float
    right: float  # where the next part starts


@dataclass(slots=True)
class _Stock:
    shelves: list[_Shelf] = field(default_factory=list)
    placements: list[tuple[int, Placement]] = field(default_factory=list)


def nest(cut_parts: Sequence[CutPart], machine: Machine) -> tuple[Sheet, ...]:
    """Places every part once on as many sheets of the machine's bed size as it takes.

    Tall parts first, each on the first shelf with room, else on a new shelf, else on a new sheet; a part lies
    along the bed when it can, and is turned a quarter or laid on a slant when it must and may. A part whose marks go underneath is
    mirrored; no other is. Sizes, gaps and margins are those of the parts as they are cut, growth and all; the bed is
    as far as the machine can be told to go, and the margins are kept there too.

    Args:
        cut_parts: In the order in which they shall be listed.
        machine: Gives bed, margin and gap.

    Returns:
        Sheets, counted from 1; on each, placements in the order of `cut_parts`.

    Raises:
        LimitError: If a part is larger than the bed less its margins; names each such part.
    """
    room = room_of(machine)
    items = [_item(cut_part, room) for cut_part in cut_parts]
    raise_all([item for item in items if isinstance(item, LimitError)])
    order = sorted(
        ((index, item) for index, item in enumerate(items) if isinstance(item, _Item)),
        key=lambda entry: (-round(entry[1].box.height, 3), -round(entry[1].box.width, 3), entry[0]),
    )
    stocks: list[_Stock] = []
    for index, item in order:
        if not any(_put(stock, index, item, room, machine.gap_mm) for stock in stocks):
            stocks.append(_Stock())
            _put(stocks[-1], index, item, room, machine.gap_mm)
    return tuple(
        Sheet(
            number=number,
            width_mm=machine.bed_width_mm,
            height_mm=machine.bed_height_mm,
            placements=tuple(
                placement for _, placement in sorted(stock.placements, key=lambda entry: entry[0])
            ),
            machine=machine,
        )
        for number, stock in enumerate(stocks, start=1)
    )


def _item(cut_part: CutPart, room: Box) -> _Item | LimitError:
    lie = lie_in(cut_part, room)
    if lie is not None:
        return _Item(cut_part, lie.turn, lie.box)
    box = box_of(cut_part)
    grain = ", on a slant neither" if cut_part.may_turn else ", and not turned, since the sheet has a grain"
    return LimitError(
        where=f"part {cut_part.part.name}",
        got=f"{box.width:.1f} × {box.height:.1f} mm as cut",
        expected=f"at most {room.width:.1f} × {room.height:.1f} mm, the bed less its margins{grain}",
        mend="Choose a larger machine with --machine or make fewer parts with --only",
    )


def _put(stock: _Stock, index: int, item: _Item, room: Box, gap: float) -> bool:
    """Puts the item on a shelf of the stock; tells whether there was room."""
    for shelf in stock.shelves:
        if item.box.height <= shelf.height and shelf.right + item.box.width <= room.high.x:
            break
    else:
        top = stock.shelves[-1].bottom - gap if stock.shelves else room.high.y
        if top - item.box.height < room.low.y:
            return False
        shelf = _Shelf(bottom=top - item.box.height, height=item.box.height, right=room.low.x)
        stock.shelves.append(shelf)
    shift = shifted(
        shelf.right - item.box.low.x, shelf.bottom + shelf.height - item.box.height - item.box.low.y
    )
    stock.placements.append((index, Placement(cut_part=item.cut_part, place=item.turn.then(shift))))
    shelf.right += item.box.width + gap
    return True

"""Laying parts on sheets, the same way every time. Millimetres.

Parts lie on shelves, which are easy to take in, as long as one sheet holds them all; else closer together by their
true shapes, where that takes less; and small ones in openings of others, where that leaves room. Nothing is left out
in silence: a part that finds no room is an error that names it.
Parts never lie edge to edge, gaps being wider than the kerf, so that no cut is shared by two of them and none is made
twice.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from jiggen.design.making import Stock
from jiggen.errors import InputError, LimitError, raise_all
from jiggen.geometry.box import Box
from jiggen.sheets.model import Placement, Sheet, Within
from jiggen.sheets.openings import Inside, lay_in_openings
from jiggen.sheets.room import Laid, Lie, box_of, lies_in, room_of
from jiggen.sheets.shelves import lay_on_shelves
from jiggen.shop.machine import Machine
from jiggen.shop.model import CutPart

#: How many comparisons may be spent on each part to lay it closer, and on all of them together.
_STEPS_A_PART, MOST_STEPS = 4_000_000, 360_000_000
#: What must be left free of the last sheet beyond what shelves leave, as a share of it, for other than shelves, and
#: beyond what parts beside one another leave, for parts in openings.
_WORTH_IT = 0.05


@dataclass(frozen=True, slots=True)
class _Offer:
    """A sheet that may be used."""

    width: float
    height: float
    room: Box


def nest(cut_parts: Sequence[CutPart], machine: Machine, stock: Sequence[Stock] = ()) -> tuple[Sheet, ...]:
    """Places every part once on as few sheets as it can, each of the stock or of the machine's bed size.

    A part lies along the sheet when it can, and is turned or laid on a slant when it must and may; one with a grain is
    turned by half at most. A part whose marks go underneath is mirrored; no other is. Sizes, gaps and margins are
    those of the parts as they are cut, growth and all; the bed is as far as the machine can be told to go, and the
    margins are kept there too.

    Args:
        cut_parts: In the order in which they shall be listed.
        machine: Gives bed, margin and gap.
        stock: Sheets at hand, used up from the smallest on; none: as many of the bed's size as it takes.

    Returns:
        Sheets, counted from 1; on each, placements in the order of `cut_parts`. A part in an opening of another lies on
        the sheet of that, and is turned with it.

    Raises:
        JiggenError: If a part fits no sheet, which names each such part; if the stock does not suffice, or is larger
            than the bed.
    """
    offers = _offers(machine, stock, len(cut_parts))
    rooms = list(dict.fromkeys(offer.room for offer in offers))
    lies = [lies_in(cut_part, rooms) for cut_part in cut_parts]
    raise_all(
        [
            _too_large(cut_part, rooms[-1], stock)
            for cut_part, ways in zip(cut_parts, lies, strict=True)
            if not ways
        ]
    )
    sheets, left, inside = _all_laid(cut_parts, lies, [offer.room for offer in offers], machine)
    if left:
        raise _runs_out([cut_parts[index] for index in left], stock)
    used = [(offer, laid) for offer, laid in zip(offers, sheets, strict=False) if laid]
    return tuple(
        Sheet(
            number=number,
            width_mm=offer.width,
            height_mm=offer.height,
            placements=_placements(cut_parts, laid, inside),
            machine=machine,
        )
        for number, (offer, laid) in enumerate(used, start=1)
    )


def _placements(
    cut_parts: Sequence[CutPart], laid: Sequence[Laid], inside: Mapping[int, Inside]
) -> tuple[Placement, ...]:
    """Returns the parts of a sheet in their order, those in openings of others too."""
    places = {each.index: each.place for each in laid}
    waiting = dict(inside)
    while here := [index for index, each in waiting.items() if each.host in places]:
        for index in here:
            held = waiting.pop(index)
            places[index] = held.place.then(places[held.host])
    return tuple(
        Placement(
            cut_part=cut_parts[index], place=places[index], within=_within(cut_parts, inside.get(index))
        )
        for index in sorted(places)
    )


def _within(cut_parts: Sequence[CutPart], inside: Inside | None) -> Within | None:
    return Within(cut_parts[inside.host].part.name, inside.feature) if inside else None


def _offers(machine: Machine, stock: Sequence[Stock], most: int) -> list[_Offer]:
    """Returns the sheets that may be used, the smallest first, no more of one size than there are parts."""
    if not stock:
        bed = _Offer(machine.bed_width_mm, machine.bed_height_mm, room_of(machine))
        return [bed] * most
    raise_all([_off_bed(each, machine) for each in stock if not _is_on_bed(each, machine)])
    pieces = sorted(stock, key=lambda each: (each.length * each.width, each.length))
    return [
        _Offer(each.length, each.width, room_of(machine, each.length, each.width))
        for each in pieces
        for _ in range(min(each.count, most))
    ]


_Sheets = tuple[tuple[Laid, ...], ...]


def _all_laid(
    cut_parts: Sequence[CutPart], lies: Sequence[Sequence[Lie]], rooms: Sequence[Box], machine: Machine
) -> tuple[_Sheets, tuple[int, ...], dict[int, Inside]]:
    """Returns what lies on each sheet, the parts that found no room, and those that lie in openings of others.

    Parts lie in openings where that leaves room to spare.
    """
    sheets, left = _laid(cut_parts, lies, rooms, machine.gap_mm)
    inside = lay_in_openings(cut_parts, machine)
    if not inside:
        return sheets, left, {}
    rest = [index for index in range(len(cut_parts)) if index not in inside]
    fewer, still_left = _laid(
        [cut_parts[index] for index in rest], [lies[index] for index in rest], rooms, machine.gap_mm
    )
    if _cost(fewer, still_left, rooms) >= _cost(sheets, left, rooms, spare=_WORTH_IT):
        return sheets, left, {}
    numbered = tuple(tuple(replace(each, index=rest[each.index]) for each in laid) for laid in fewer)
    return numbered, tuple(rest[index] for index in still_left), inside


def _laid(
    cut_parts: Sequence[CutPart], lies: Sequence[Sequence[Lie]], rooms: Sequence[Box], gap: float
) -> tuple[_Sheets, tuple[int, ...]]:
    """Returns what lies on each sheet, and the parts that found no room: on shelves, or closer where that is better."""
    shelves, left = lay_on_shelves(lies, rooms, gap)
    if not left and sum(map(bool, shelves)) <= 1:
        return shelves, left
    from jiggen.sheets.close import lay_close

    steps = min(_STEPS_A_PART * len(cut_parts), MOST_STEPS)
    close, still_left = lay_close(cut_parts, lies, rooms, gap, steps)
    rather = _cost(close, still_left, rooms) < _cost(shelves, left, rooms, spare=_WORTH_IT)
    return (close, still_left) if rather else (shelves, left)


def _cost(
    sheets: _Sheets, left: Sequence[int], rooms: Sequence[Box], *, spare: float = 0.0
) -> tuple[int, float, float]:
    """Returns what a way to lie costs: parts left over, area of the sheets, and how far the last is used from its top."""
    used = [(room, laid) for room, laid in zip(rooms, sheets, strict=False) if laid]
    if not used:
        return len(left), 0.0, 0.0
    room, laid = used[-1]
    share = (room.high.y - min(each.low.y for each in laid)) / room.height
    area = sum(room.width * room.height for room, _ in used)
    return len(left), round(area, 3), round(share - spare, 6)


def _is_on_bed(stock: Stock, machine: Machine) -> bool:
    return stock.length <= machine.bed_width_mm and stock.width <= machine.bed_height_mm


def _off_bed(stock: Stock, machine: Machine) -> InputError:
    return InputError(
        where="stock",
        got=f"a sheet of {_size(stock.length, stock.width)}",
        expected=f"at most {_size(machine.bed_width_mm, machine.bed_height_mm)}, the bed of {machine.name}",
        mend="Its length lies along the bed: change the two, cut it down, or choose another --machine.",
    )


def _too_large(cut_part: CutPart, room: Box, stock: Sequence[Stock]) -> LimitError:
    box = box_of(cut_part)
    grain = ", on a slant neither" if cut_part.may_turn else ", and not turned, since the sheet has a grain"
    sheet = "the largest sheet of the stock" if stock else "the bed"
    return LimitError(
        where=f"part {cut_part.part.name}",
        got=f"{box.width:.1f} × {box.height:.1f} mm as cut",
        expected=f"at most {room.width:.1f} × {room.height:.1f} mm, {sheet} less its margins{grain}",
        mend=f"{'Name a larger sheet in the stock' if stock else 'Choose a larger machine with --machine'} or make"
        " fewer parts with --only",
    )


def _runs_out(left: Sequence[CutPart], stock: Sequence[Stock]) -> LimitError:
    sheets = ", ".join(
        f"{_size(each.length, each.width)}{f' × {each.count}' if each.count > 1 else ''}" for each in stock
    )
    return LimitError(
        where="stock",
        got=sheets,
        expected=f"room for {', '.join(each.part.name for each in left)} too",
        mend="Add sheets to the stock, or make fewer parts with --only",
    )


def _size(width: float, height: float) -> str:
    return f"{width:.1f} × {height:.1f} mm"

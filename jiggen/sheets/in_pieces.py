"""A part as it must be cut, in one piece where it finds room on a sheet and in several where it does not. Millimetres."""

from collections.abc import Callable, Sequence

from jiggen.design.spec import Spec
from jiggen.geometry.box import Box
from jiggen.parts.model import Part
from jiggen.sheets.room import lies_in, room_of
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop
from jiggen.splitting.search import Fits
from jiggen.splitting.split import Wish, split

#: Room that is left for what rounding does.
_SPARE = 0.01


def in_pieces(
    part: Part, spec: Spec, workshop: Workshop, wish: Wish, cut: Callable[[Part], CutPart]
) -> list[CutPart]:
    """Returns a part as it must be cut, or its pieces where it is too large or shall be divided.

    Args:
        part: At finished size.
        spec: Of the design.
        workshop: How it is made.
        wish: What the maker said of dividing parts.
        cut: From a part at finished size to the one that must be cut.

    Raises:
        JiggenError: If it cannot be made, or is too large and cannot be divided.
    """
    whole = cut(part)
    rooms = _rooms(workshop)
    if not wish.places(part.name) and (wish.never or lies_in(whole, rooms)):
        return [whole]
    return [
        cut(piece)
        for piece in split(part, spec, workshop, wish, tag=whole.tag.line(), fits=_fits(workshop, rooms))
    ]


def _rooms(workshop: Workshop) -> list[Box]:
    """Returns what may be used of the sheets at hand, or of the bed."""
    if not workshop.stock:
        return [room_of(workshop.machine)]
    return [room_of(workshop.machine, each.length, each.width) for each in workshop.stock]


def _fits(workshop: Workshop, rooms: Sequence[Box]) -> Fits:
    """Returns what tells whether a width and a height at finished size lie on a sheet, along it or turned."""
    growth = workshop.growth

    def fits(width: float, height: float) -> bool:
        along = width * growth.along + workshop.kerf_mm + _SPARE
        across = height * growth.across + workshop.kerf_mm + _SPARE
        return any(
            (along <= room.width and across <= room.height)
            or (not workshop.material.has_grain and across <= room.width and along <= room.height)
            for room in rooms
        )

    return fits

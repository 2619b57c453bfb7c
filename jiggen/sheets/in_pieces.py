"""A part as it must be cut, in one piece where it finds room on a sheet and in several where it does not. Millimetres."""

from collections.abc import Callable, Sequence

from jiggen.design.spec import Spec
from jiggen.geometry.box import Box
from jiggen.parts.model import Part
from jiggen.sheets.room import fits_bed, rooms_of
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
    machine, stock = workshop.machine, workshop.stock
    if not wish.places(part.name) and (wish.never or fits_bed(whole, machine, stock)):
        return [whole]
    fits = _fits(workshop, rooms_of(machine, stock))
    return [cut(piece) for piece in split(part, spec, workshop, wish, tag=whole.tag.line(), fits=fits)]


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

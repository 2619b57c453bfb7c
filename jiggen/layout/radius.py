"""The board's curve across: radius, rise at the middle, and how deep slots must be. Millimetres."""

import math
from dataclasses import dataclass

from jiggen.errors import LimitError


def sagitta(radius: float, width: float) -> float:
    """Returns how much higher the middle of a curved board is than its edges, mm.

    s = R − √(R² − (w/2)²)

    Args:
        radius: Of the curve across, mm.
        width: Of the board there, mm.

    Raises:
        LimitError: If the board is wider than the circle.

    Source: geometry of the circle, as in machinery handbooks (segment height).
    """
    if width > 2.0 * radius:
        raise LimitError(
            where="board radius",
            got=f"{radius:.2f} mm on a board {width:.2f} mm wide",
            expected=f"at least half the board's width, {width / 2.0:.2f} mm",
        )
    return radius - math.sqrt(radius * radius - width * width / 4.0)


def radius_from_sagitta(width: float, rise: float) -> float:
    """Returns the radius of a curve that rises by `rise` mm over a chord of `width` mm.

    R = (w/2)² / 2s + s/2
    """
    return (width / 2.0) ** 2 / (2.0 * rise) + rise / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardRadius:
    """A board's radius, alike everywhere or growing evenly from the nut to the board's end (compound).

    An even growth is what is commonly meant by a compound or conical radius; that real string sets form an exact
    cone is disputed, so it is an approximation (common practice).

    Attributes:
        at_nut: mm.
        at_end: mm; the same as at the nut for a plain radius.
        length: From the nut to the place where `at_end` holds, mm.
    """

    at_nut: float
    at_end: float
    length: float

    def at(self, distance: float) -> float:
        """Returns the radius in mm at a distance from the nut."""
        return self.at_nut + (self.at_end - self.at_nut) * distance / self.length


def slot_depth(tang_depth: float, radius: BoardRadius | None, distance: float, width: float) -> float:
    """Returns the depth of a flat-bottomed slot at the board's middle so that the tang's depth is left at its edges.

    A saw run straight through cuts a flat bottom; on a curved board the edges lie lower than the middle by the
    sagitta, so the slot must be that much deeper there (common practice; a curved saw stop does without).

    Args:
        tang_depth: What the tang needs everywhere, mm, clearance below it included.
        radius: Of the board; None for a flat one.
        distance: From the nut, mm.
        width: Of the board there, mm.
    """
    return tang_depth if radius is None else tang_depth + sagitta(radius.at(distance), width)

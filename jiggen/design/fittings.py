"""Numbers of what is fitted to the neck: nut, bridge and truss rod.

Each group is a TOML table. Lengths in mm. None: not said.
"""

from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.given import Given


@dataclass(frozen=True, slots=True, kw_only=True)
class Nut:
    """The nut. TOML table `[nut]`.

    Attributes:
        seat: `seat`, from the nut's seat up to the board's face at its middle: 0 for a nut that stands on the board.
        fret_height: `fret-height`, of a fret above the board, by which the nut stands higher.
        slot_clearance: `slot-clearance`, added to a string's gauge for its slot.
        widths: `widths`, of the board at the nut, that the nut card shows; None: the design's own and its neighbours.
    """

    seat: Given[float] | None = None
    fret_height: Given[float] | None = None
    slot_clearance: Given[float] | None = None
    widths: Given[tuple[float, ...]] | None = None


class LocateFrom(StrEnum):
    """What the bridge is located from."""

    NUT = "nut"  #: the front face of the nut
    LAST_SLOTS = "last-slots"  #: the slots of the last two frets


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """The bridge and its saddle. TOML table `[bridge]`. Its front is the side toward the nut.

    Attributes:
        length: `length`, across the strings.
        width: `width`, along the strings.
        front: `front`, from its front to the saddle line on paper, at the centre line.
        slot_length: `slot-length`, of the saddle's slot; None: the bridge has no such slot.
        slot_width: `slot-width`, of the saddle's slot, and of the pins that locate in it.
        saddle_height: `saddle-height`, from the slot's floor to the saddle's top at its middle.
        pin_distance: `pin-distance`, from the saddle line on paper to the string holes, at the centre line.
        second_row: `second-row`, from there to a second row, for the second, fourth … string of each course.
        pin_drill: `pin-drill`, diameter of the drill for them.
        locate_from: `locate-from`, what its locator sits against; None: the nut.
    """

    length: Given[float] | None = None
    width: Given[float] | None = None
    front: Given[float] | None = None
    slot_length: Given[float] | None = None
    slot_width: Given[float] | None = None
    saddle_height: Given[float] | None = None
    pin_distance: Given[float] | None = None
    second_row: Given[float] | None = None
    pin_drill: Given[float] | None = None
    locate_from: Given[LocateFrom] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrussRod:
    """The truss rod's slot. TOML table `[truss-rod]`.

    Attributes:
        length: `length`, of the slot, its anchor included.
        width: `width`, of the slot.
        from_nut: `from-nut`, from the nut to where the slot begins, minus when it begins in the head.
        anchor_length: `anchor-length`, of a wider place at its far end; None: it has none.
        anchor_width: `anchor-width`, of that place.
        depth: `depth`, lettered on the guide.
    """

    length: Given[float] | None = None
    width: Given[float] | None = None
    from_nut: Given[float] | None = None
    anchor_length: Given[float] | None = None
    anchor_width: Given[float] | None = None
    depth: Given[float] | None = None

"""What a headstock is made of: its outline, tuners and slots, in the layout's coordinates. Millimetres."""

from dataclasses import dataclass

from jiggen.geometry.path import Line, Path
from jiggen.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Tuner:
    """One tuner and its string.

    Attributes:
        string: Number of the string.
        side: `bass` or `treble`: the side of the head that it stands on.
        centre: Of its hole; in a slotted head, of its roller in the middle of the slot.
        run: The string from the back of the nut to where it touches the post or the roller.
        bend: By how much the string turns aside at the nut, radians; zero for a straight pull.
        axis: Of its roller, from the head's side to the slot's far wall; None: it stands on the head's face.
    """

    string: int
    side: str
    centre: Point
    run: Line
    bend: float
    axis: Line | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A slot through a slotted head.

    Attributes:
        side: `bass` or `treble`.
        middle: Between the middles of its round ends, from the nut on.
        contour: Counter-clockwise.
    """

    side: str
    middle: Line
    contour: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadShape:
    """The headstock.

    Attributes:
        outline: Counter-clockwise.
        nut: The back of the nut, bass edge to treble edge.
        tip: x of its end.
        tuners: Bass side first, on each side from the nut on.
        slots: Of a slotted head, bass side first; none of a solid one.
    """

    outline: Path
    nut: Line
    tip: float
    tuners: tuple[Tuner, ...]
    slots: tuple[Slot, ...] = ()

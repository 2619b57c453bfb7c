"""What a design file says of the making: which parts, of what and on what, how exactly."""

from dataclasses import dataclass, fields, replace
from enum import StrEnum

from jiggen.design.given import Given


class MarkFace(StrEnum):
    """Which face of a part carries its lines and lettering."""

    TOP = "top"  #: the face that one looks at
    UNDER = "under"  #: the face against the work, read through a clear sheet; the part is cut mirrored


class TrueFace(StrEnum):
    """Which face of a part has the drawn size, where the cut is wider on one face than on the other."""

    MARKED = "marked"  #: the face that was up when it was cut, which carries the marks
    PLAIN = "plain"  #: the other one
    MIDDLE = "middle"  #: halfway through the sheet


class Grade(StrEnum):
    """The tolerance classes of ISO 2768-1, under the names the standard gives them."""

    FINE = "fine"
    MEDIUM = "medium"
    COARSE = "coarse"
    VERY_COARSE = "very-coarse"


@dataclass(frozen=True, slots=True, kw_only=True)
class Accuracy:
    """How far parts may be off. TOML table `[accuracy]`, of a design or of a machine's profile.

    None leaves it to the other, or to the general class; `design/accuracy.py` says what holds then.

    Attributes:
        fret_cents: Of a fret, by its pitch.
        string: Of a string's place, mm.
        opening: Of a slot, notch or hole, mm.
        outline: Of a part's size, mm.
        line: Of any other line, mm.
        lettering: Of words, mm.
        general: Class for all that has no figure of its own.
    """

    fret_cents: Given[float] | None = None
    string: Given[float] | None = None
    opening: Given[float] | None = None
    outline: Given[float] | None = None
    line: Given[float] | None = None
    lettering: Given[float] | None = None
    general: Given[Grade] | None = None

    def over(self, other: "Accuracy") -> "Accuracy":
        """Returns what holds when this one is asked first and the other where it says nothing."""
        mine = {each.name: getattr(self, each.name) for each in fields(self)}
        return replace(other, **{name: given for name, given in mine.items() if given is not None})


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Sheets at hand, all of one size. A table in the list `make.stock`.

    Attributes:
        length: Along the bed, and along the grain, `length`, mm.
        width: Across, `width`, mm.
        count: How many there are, `count`.
    """

    length: float
    width: float
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """What to make of it. TOML table `[make]`.

    Attributes:
        parts: Names of parts, `parts`; empty: all of the standard set.
        material: Name of a material profile, `material`.
        machine: Name of a machine profile, `machine`.
        setting: Which of the material's kerfs on that machine, by its words for power and speed, `setting`.
        mark_face: Which face carries lines and lettering, `mark-face`; None: as suits material and part.
        true_face: Which face has the drawn size when the cut tapers, `true-face`.
        cut_degc: Temperature of the sheet when it is cut, `cut-temperature`, °C.
        use_degc: Temperature at which the part is used, `use-temperature`, °C.
        cut_humidity: Relative humidity that the sheet has taken on when it is cut, `cut-humidity`, per cent.
        use_humidity: Relative humidity where the part is used, `use-humidity`, per cent.
        guide: Outside diameter of the guide bush or bearing of a router that shall run along the parts, `guide`.
        bit: Diameter of the router's bit, `bit`. With both given, parts are made as patterns for that router.
        stock: Sheets and offcuts at hand, `stock`; none: as many of the bed's size as it takes.
        joint_clearance: Round the keys of parts that are made in pieces, `joint-clearance`.
    """

    parts: tuple[str, ...] = ()
    material: str = ""
    machine: str = ""
    setting: str = ""
    mark_face: Given[MarkFace] | None = None
    true_face: Given[TrueFace] | None = None
    cut_degc: Given[float] | None = None
    use_degc: Given[float] | None = None
    cut_humidity: Given[float] | None = None
    use_humidity: Given[float] | None = None
    guide: Given[float] | None = None
    bit: Given[float] | None = None
    stock: tuple[Stock, ...] = ()
    joint_clearance: Given[float] | None = None

"""What a design file says, and the whole spec that comes of it."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")

#: The words for where a number comes from; any other words are the maker's own and kept as they are.
MEASURED, CATALOGUE, CHOSEN, ASSUMED, SOLVED = "measured", "catalogue", "chosen", "assumed", "solved"


@dataclass(frozen=True, slots=True)
class Given(Generic[T]):
    """A value with where it comes from.

    Attributes:
        value: Lengths in mm.
        source: One of the words above or the maker's own.
        text: The value as it was typed, to quote it back; empty when nobody typed it.
        note: Free words on it: how it was measured, or which profile it was assumed from and why.
        where: The place where it was given, for errors: a file with line and key, or an option.
    """

    value: T
    source: str = CHOSEN
    text: str = ""
    note: str = ""
    where: str = field(default="", compare=False)


class SetbackTo(StrEnum):
    """What a setback runs to, starting from the board's edge."""

    CENTRE = "centre"  #: the outer string's centre
    EDGE = "edge"  #: the outer string's outer edge; its gauge is then needed


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """The bench tools that jigs must fit. TOML table `[tools]`, lengths in mm. None: not said.

    Attributes:
        saw_plate: Thickness of the fret saw over its set, `saw-plate`.
        saw_clearance: Added to the saw plate for its guide slot, `saw-clearance`.
        index_pin: Diameter of the mitre box's index pin, `index-pin`.
        pin_clearance: Added to a pin for its notch or hole, `pin-clearance`.
        stop_pin: Diameter of the dowel pins used as stops, `stop-pin`.
    """

    saw_plate: Given[float] | None = None
    saw_clearance: Given[float] | None = None
    index_pin: Given[float] | None = None
    pin_clearance: Given[float] | None = None
    stop_pin: Given[float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Make:
    """What to make of it. TOML table `[make]`.

    Attributes:
        parts: Names of parts, `parts`; empty: all of the standard set.
        material: Name of a material profile, `material`.
        machine: Name of a machine profile, `machine`.
    """

    parts: tuple[str, ...] = ()
    material: str = ""
    machine: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Design:
    """A design as the maker wrote it: a number that is None was left out. Lengths in mm.

    Attributes:
        name: `name`, at the top of the file.
        owner: `owner`, whose it is.
        date: `date`, of this revision, ISO 8601.
        revision: `revision`, the maker's own mark for it.
        note: `note`, free words.
        profile: `profile`, the instrument profile that fills what is left out.
        scale: `neck.scale`, the speaking length before compensation.
        nut_width: `neck.nut-width`, width of the board at the nut.
        frets: `neck.frets`, their number; 0 for fretless.
        overhang: `neck.overhang`, from the last fret to the end of the board.
        string_count: `strings.count`.
        spread_at_bridge: `strings.spread-at-bridge`, centre to centre of the outer strings at the saddle.
        setback: `strings.setback`, from the board's edge to the outer string, the same all along the neck.
        setback_to: `strings.setback-to`.
        gauges: `strings.gauges`, string diameters, first string (treble) first.
        tools: `[tools]`.
        make: `[make]`.
    """

    name: str
    owner: str = ""
    date: str = ""
    revision: str = ""
    note: str = ""
    profile: str = ""
    scale: Given[float] | None = None
    nut_width: Given[float] | None = None
    frets: Given[int] | None = None
    overhang: Given[float] | None = None
    string_count: Given[int] | None = None
    spread_at_bridge: Given[float] | None = None
    setback: Given[float] | None = None
    setback_to: Given[SetbackTo] | None = None
    gauges: Given[tuple[float, ...]] | None = None
    tools: Tools = field(default_factory=Tools)
    make: Make = field(default_factory=Make)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolSpec:
    """`Tools` with every number present."""

    saw_plate: Given[float]
    saw_clearance: Given[float]
    index_pin: Given[float]
    pin_clearance: Given[float]
    stop_pin: Given[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """The whole build spec: every number present, each with its source. Lengths in mm.

    Attributes:
        design: What the maker wrote.
        spread_at_nut: Centre to centre of the outer strings at the nut.
        setback_bass: From the board's bass edge to the centre of the outer string there.
        setback_treble: The same on the treble side; the two differ when the setback runs to string edges.
        width_at_saddle: The board's taper carried on to the saddle line, the projected width.
        gauges: First string first; None when nobody gave them.
    """

    design: Design
    scale: Given[float]
    nut_width: Given[float]
    frets: Given[int]
    overhang: Given[float]
    string_count: Given[int]
    spread_at_bridge: Given[float]
    spread_at_nut: Given[float]
    setback_bass: Given[float]
    setback_treble: Given[float]
    width_at_saddle: Given[float]
    gauges: Given[tuple[float, ...]] | None
    tools: ToolSpec
    make: Make

"""The whole build spec: a design solved."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from jiggen.design.fittings import Bridge, Nut, TrussRod
from jiggen.design.fret_rule import FretRule
from jiggen.design.given import Given
from jiggen.design.instrument import Body, Head, NeckBack, NeckPocket, RadiusGauges, SoundHole
from jiggen.design.making import Make
from jiggen.design.model import Design, EndShape, Inlays, PartialFret, Setup, Spacing
from jiggen.design.mould import Mould
from jiggen.design.step import Step


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolSpec:
    """`Tools` with every number present, but for what one may do without."""

    saw_plate: Given[float]
    saw_clearance: Given[float]
    index_pin: Given[float]
    pin_clearance: Given[float]
    stop_pin: Given[float]
    locating_pin: Given[float]
    bushing: Given[float] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Spec:
    """The whole build spec: every number that the layout needs, each with its source. Lengths in mm.

    Attributes:
        design: What the maker wrote.
        scale: Speaking length along the centre line; where frets fan out, halfway between the two below.
        scale_bass: Along the last string, or the scale.
        scale_treble: Along the first string, or the scale.
        straight_fret: The fret that runs square across; of no effect when both scales are the same.
        spread_at_nut: Centre to centre of the outer strings at the nut.
        setback_bass: From the board's bass edge to the centre of the outer string there.
        setback_treble: The same on the treble side; the two differ when the setback runs to string edges.
        width_at_saddle: The board's taper carried on to the saddle line, the projected width.
        partial_frets: Frets under some strings only.
        courses: How many strings each course has; all ones for single strings.
        gauges: First string first; None when nobody gave them.
        steps: How the solved numbers were derived.
        setup: As in the design, filled up.
        inlays: As in the design, filled up.
        nut: As in the design, filled up; so are the groups after it.
    """

    design: Design
    scale: Given[float]
    scale_bass: Given[float]
    scale_treble: Given[float]
    straight_fret: Given[float]
    nut_width: Given[float]
    frets: Given[int]
    fret_rule: Given[FretRule]
    partial_frets: Given[tuple[PartialFret, ...]] | None
    zero_fret: Given[bool]
    nut_behind: Given[float]
    overhang: Given[float]
    end: Given[EndShape]
    end_angle: Given[float]
    end_radius: Given[float] | None
    radius: Given[float] | None
    radius_at_end: Given[float] | None
    tang_depth: Given[float] | None
    wire_overhang: Given[float]
    string_count: Given[int]
    courses: Given[tuple[int, ...]]
    course_spacing_nut: Given[float]
    course_spacing_bridge: Given[float]
    spread_at_bridge: Given[float]
    spread_at_nut: Given[float]
    setback_bass: Given[float]
    setback_treble: Given[float]
    width_at_saddle: Given[float]
    spacing: Given[Spacing]
    positions_nut: Given[tuple[float, ...]] | None
    positions_bridge: Given[tuple[float, ...]] | None
    nut_offset: Given[float]
    left_handed: Given[bool]
    gauges: Given[tuple[float, ...]] | None
    string_set: Given[str] | None
    tuning: Given[tuple[str, ...]] | None
    pitch_standard: Given[float]
    setup: Setup
    inlays: Inlays
    tools: ToolSpec
    nut: Nut
    bridge: Bridge
    truss_rod: TrussRod
    neck_back: NeckBack
    head: Head
    body: Body
    sound_hole: SoundHole
    neck_pocket: NeckPocket
    radius_gauges: RadiusGauges
    mould: Mould
    make: Make
    steps: tuple[Step, ...] = ()

    @property
    def fanned(self) -> bool:
        """Whether the strings are of different length, so that the frets fan out."""
        return self.scale_bass.value != self.scale_treble.value


def groups_of(spec: Spec) -> Iterator[tuple[str, Any]]:
    """Yields the groups of numbers that a spec has, by their fields; not what to make of it."""
    for each in fields(spec):
        value = getattr(spec, each.name)
        if is_dataclass(value) and not isinstance(value, Given | Design | Make):
            yield each.name, value

"""Numbers of the instrument beyond board and strings: neck's back, head, body and what is routed into it.

Each group is a TOML table. Lengths in mm. None: not said.
"""

from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.given import Given
from jiggen.design.outline import Outline


class BackShape(StrEnum):
    """How a neck's back is rounded."""

    C = "c"  #: round
    D = "d"  #: fuller at the shoulders, flatter in the middle
    SOFT_V = "soft-v"  #: straight flanks, a broad ridge
    V = "v"  #: straight flanks, a narrow ridge


@dataclass(frozen=True, slots=True, kw_only=True)
class DepthAt:
    """Depth of the neck at a fret: `{ fret = 1, depth = "21mm" }`."""

    fret: int
    depth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckBack:
    """The back of the neck. TOML table `[neck-back]`.

    Attributes:
        shape: `shape`.
        depths: `depths`, from the middle of the board's face to the back, at one fret or more.
        frets: `frets`, where gauges are wanted; None: where depths are given.
        board: `board`, thickness of the board at its middle: below it the rounding starts.
        ridge: `ridge`, how far the deepest line lies from the centre line toward the bass side.
    """

    shape: Given[BackShape] | None = None
    depths: Given[tuple[DepthAt, ...]] | None = None
    frets: Given[tuple[int, ...]] | None = None
    board: Given[float] | None = None
    ridge: Given[float] | None = None


class HeadForm(StrEnum):
    """Where the tuners of a head are."""

    SOLID = "solid"  #: they stand on its face
    SLOTTED = "slotted"  #: on its sides, their rollers across slots


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The headstock, measured in its own plane from the back of the nut. TOML table `[head]`.

    Attributes:
        form: `form`, solid or slotted.
        outline: `outline`, brought along; the numbers of its form are then read off it.
        length: `length`, to its tip.
        width: `width`, where it is widest, at its shoulder.
        width_at_tip: `width-at-tip`; None: as wide there.
        shoulder: `shoulder`, from the nut to where its sides begin.
        tuners: `tuners`, how many on the bass side and on the treble side.
        tuner_hole: `tuner-hole`, diameter; of a slotted head, of the holes in its sides.
        first_tuner: `first-tuner`, from the nut to the first hole of a row.
        tuner_spacing: `tuner-spacing`, from hole to hole along the centre line; of a slotted head, along its side.
        tuner_inset: `tuner-inset`, from the middle of a hole to the head's side; of no effect on a slotted head.
        post: `post`, diameter on which the string winds.
        straight_pull: `straight-pull`, whether strings run on to the posts without a bend at the nut; the head's sides
            then follow the tuners.
        nut_thickness: `nut-thickness`, from its front to its back.
        slot_width: `slot-width`, of the slots of a slotted head.
        slot_length: `slot-length`, with their round ends.
        slot_from_nut: `slot-from-nut`, from the back of the nut to where they begin.
        slot_from_centre: `slot-from-centre`, from the centre line to the middle of each.
        roller_depth: `roller-depth`, from the head's face to the middle of the rollers.
    """

    form: Given[HeadForm] | None = None
    outline: Given[Outline] | None = None
    length: Given[float] | None = None
    width: Given[float] | None = None
    width_at_tip: Given[float] | None = None
    shoulder: Given[float] | None = None
    tuners: Given[tuple[int, ...]] | None = None
    tuner_hole: Given[float] | None = None
    first_tuner: Given[float] | None = None
    tuner_spacing: Given[float] | None = None
    tuner_inset: Given[float] | None = None
    post: Given[float] | None = None
    straight_pull: Given[bool] | None = None
    nut_thickness: Given[float] | None = None
    slot_width: Given[float] | None = None
    slot_length: Given[float] | None = None
    slot_from_nut: Given[float] | None = None
    slot_from_centre: Given[float] | None = None
    roller_depth: Given[float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A pick-up's opening or another cavity: `{ name = "bridge", length = "88mm", width = "20mm", … }`.

    Attributes:
        name: What goes in.
        length: Across the strings, for an opening that lies square to them.
        width: Along the strings.
        radius: Of its corners.
        from_saddle: Of its middle from the saddle line, along the centre line, toward the nut.
        offset: Of its middle from the centre line, toward the treble side.
        slant: Angle from square across, radians, plus when its treble end is nearer the saddle.
        depth: How deep it is routed, lettered on the pattern; None: not said.
    """

    name: str
    length: float
    width: float
    radius: float
    from_saddle: float
    offset: float = 0.0
    slant: float = 0.0
    depth: float | None = None


class Smoothness(StrEnum):
    """How the arcs of a body's outline follow one another."""

    TANGENT = "tangent"  #: few arcs that meet with common tangents
    CURVATURE = "curvature"  #: many arcs along a curve whose bend changes gradually


class CutawayShape(StrEnum):
    """How a cutaway's horn ends."""

    SOFT = "soft"  #: rounded
    SHARP = "sharp"  #: a point


class CutawaySide(StrEnum):
    """Where a body is cut away."""

    BASS = "bass"
    TREBLE = "treble"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """The body seen from the front. TOML table `[body]`. Its length runs along the centre line from its neck end.

    Attributes:
        outline: `outline`, brought along; the numbers of its form are then read off it.
        length: `length`.
        upper_bout: `upper-bout`, width; left out together with the waist for a pear shape.
        waist: `waist`, width.
        lower_bout: `lower-bout`, width.
        upper_bout_at: `upper-bout-at`, how far from the neck end the upper bout is widest.
        waist_at: `waist-at`, how far from there it is narrowest.
        lower_bout_at: `lower-bout-at`, how far from there the lower bout is widest.
        joint_fret: `joint-fret`, the fret at which its neck end lies.
        openings: `openings`, for pick-ups and the like.
        smooth: `smooth`, how the arcs of its outline follow one another.
        neck_end_radius: `neck-end-radius`, of its neck end on the centre line; None: as usual.
        tail_radius: `tail-radius`, of its tail there; None: as usual.
        upper_bout_shift: `upper-bout-shift`, how much farther from the neck end the upper bout lies on the treble side
            than on the bass side.
        waist_shift: `waist-shift`, the same of the waist.
        lower_bout_shift: `lower-bout-shift`, the same of the lower bout.
        cutaway: `cutaway`, how its horn ends; None: no cutaway.
        cutaway_side: `cutaway-side`.
        cutaway_depth: `cutaway-depth`, from the neck end to the bottom of the scoop.
        horn_at: `horn-at`, from the neck end to the horn's tip; negative: it reaches beyond the neck end.
        horn_radius: `horn-radius`, of a soft horn's tip.
        side_depth_neck: `side-depth-neck`, of the sides at the neck end, inside.
        side_depth_tail: `side-depth-tail`, the same at the tail.
        side_thickness: `side-thickness`.
        side_allowance: `side-allowance`, by which each side is cut longer than it is round, for bending.
    """

    outline: Given[Outline] | None = None
    length: Given[float] | None = None
    upper_bout: Given[float] | None = None
    waist: Given[float] | None = None
    lower_bout: Given[float] | None = None
    upper_bout_at: Given[float] | None = None
    waist_at: Given[float] | None = None
    lower_bout_at: Given[float] | None = None
    joint_fret: Given[int] | None = None
    openings: Given[tuple[Opening, ...]] | None = None
    smooth: Given[Smoothness] | None = None
    neck_end_radius: Given[float] | None = None
    tail_radius: Given[float] | None = None
    upper_bout_shift: Given[float] | None = None
    waist_shift: Given[float] | None = None
    lower_bout_shift: Given[float] | None = None
    cutaway: Given[CutawayShape] | None = None
    cutaway_side: Given[CutawaySide] | None = None
    cutaway_depth: Given[float] | None = None
    horn_at: Given[float] | None = None
    horn_radius: Given[float] | None = None
    side_depth_neck: Given[float] | None = None
    side_depth_tail: Given[float] | None = None
    side_thickness: Given[float] | None = None
    side_allowance: Given[float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A channel round the sound hole: `{ from-edge = "5mm", width = "8mm" }`."""

    from_edge: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundHole:
    """The sound hole. TOML table `[sound-hole]`.

    Attributes:
        width: `width`, across; the diameter of a round one.
        length: `length`, along the strings; None: round.
        from_saddle: `from-saddle`, of its middle from the saddle line.
        rings: `rings`, channels of its rosette.
    """

    width: Given[float] | None = None
    length: Given[float] | None = None
    from_saddle: Given[float] | None = None
    rings: Given[tuple[Ring, ...]] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckPocket:
    """The pocket that takes a bolted neck's heel. TOML table `[neck-pocket]`.

    Attributes:
        length: `length`, from the body's edge to the pocket's end, along the centre line.
        end_from_saddle: `end-from-saddle`, from the pocket's end to the saddle line; None: it ends with the board.
        allowance: `allowance`, by which the pocket is wider than the heel on each side and longer at its end.
        radius: `radius`, of the corners at its end.
        depth: `depth`, lettered on the pattern.
    """

    length: Given[float] | None = None
    end_from_saddle: Given[float] | None = None
    allowance: Given[float] | None = None
    radius: Given[float] | None = None
    depth: Given[float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RadiusGauges:
    """Gauges for the board's curve. TOML table `[radius-gauges]`.

    Attributes:
        radii: `radii`, of the gauges wanted besides the board's own.
        abrasive: `abrasive`, thickness of the sheet that goes on a sanding block.
    """

    radii: Given[tuple[float, ...]] | None = None
    abrasive: Given[float] | None = None

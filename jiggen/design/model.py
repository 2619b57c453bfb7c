"""What a design file says, and the whole spec that comes of it."""

from dataclasses import dataclass, field
from enum import StrEnum

from jiggen.design.fittings import Bridge, Nut, TrussRod
from jiggen.design.fret_rule import FretRule
from jiggen.design.given import ASSUMED, CATALOGUE, CHOSEN, MEASURED, SOLVED, Given
from jiggen.design.instrument import Body, Head, NeckBack, NeckPocket, RadiusGauges, SoundHole
from jiggen.design.making import Accuracy, Make
from jiggen.design.mould import Mould

__all__ = [
    "ASSUMED",
    "CATALOGUE",
    "CHOSEN",
    "MEASURED",
    "SOLVED",
    "CompensationBy",
    "Design",
    "EndShape",
    "Family",
    "FretAt",
    "Given",
    "Inlays",
    "PartialFret",
    "SetbackTo",
    "Setup",
    "Spacing",
    "Tools",
    "WidthAt",
]


class SetbackTo(StrEnum):
    """What a setback runs to, starting from the board's edge."""

    CENTRE = "centre"  #: the outer string's centre
    EDGE = "edge"  #: the outer string's outer edge; its gauge is then needed


class Spacing(StrEnum):
    """How strings or courses are spread between the outermost ones."""

    CENTRES = "equal-centres"  #: equal distances from middle to middle
    GAPS = "equal-gaps"  #: equal clear gaps between their edges; gauges are then needed


class EndShape(StrEnum):
    """How the board ends."""

    STRAIGHT = "straight"  #: along the last fret
    ANGLED = "angled"  #: straight, turned by `end_angle`
    ROUNDED = "rounded"  #: an arc of `end_radius`, bulging away from the nut


class CompensationBy(StrEnum):
    """Where saddle setbacks come from."""

    MODEL = "model"  #: the strings' physics; a string set is then needed
    RULE_OF_THUMB = "rule-of-thumb"
    NONE = "none"


class Family(StrEnum):
    """Kinds of instruments that have a rule of thumb."""

    NYLON_GUITAR = "nylon-guitar"
    STEEL_GUITAR = "steel-guitar"
    ELECTRIC_GUITAR = "electric-guitar"
    BASS = "bass"
    UKULELE = "ukulele"
    MANDOLIN = "mandolin"


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthAt:
    """Width of the board at a fret or at a distance from the nut: `{ fret = 12, width = "54mm" }`.

    Attributes:
        width: mm.
        fret: Fret number; None when a distance is given.
        distance: mm from the nut; None when a fret is given.
    """

    width: float
    fret: int | None = None
    distance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FretAt:
    """Distance of one fret from the nut or from the bridge: `{ fret = 7, distance = "215.4mm" }`."""

    fret: int
    distance: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PartialFret:
    """A fret that lies under some strings only: `{ fret = 7, strings = [1, 2, 3] }`.

    Attributes:
        fret: Its number.
        strings: The strings that it lies under, neighbours.
    """

    fret: int
    strings: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """The bench tools that jigs must fit. TOML table `[tools]`, lengths in mm. None: not said.

    Attributes:
        saw_plate: Thickness of the fret saw over its set, `saw-plate`.
        saw_clearance: Added to the saw plate for its guide slot, `saw-clearance`.
        index_pin: Diameter of the mitre box's index pin, `index-pin`.
        pin_clearance: Added to a pin for its notch or hole, `pin-clearance`.
        stop_pin: Diameter of the dowel pins used as stops, `stop-pin`.
        locating_pin: Diameter of the pins through board and neck at two frets, `locating-pin`.
        bushing: Outside diameter of the drill bushings that jigs take, `bushing`; None: the bare drill is led.
    """

    saw_plate: Given[float] | None = None
    saw_clearance: Given[float] | None = None
    index_pin: Given[float] | None = None
    pin_clearance: Given[float] | None = None
    stop_pin: Given[float] | None = None
    locating_pin: Given[float] | None = None
    bushing: Given[float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """How the strings lie over the frets, and what the saddle is compensated by. TOML table `[setup]`.

    Attributes:
        compensation: `compensation`, where setbacks of the saddle come from.
        compensate_nut: `compensate-nut`, whether the nut may move too.
        action: `action`, underside of the open first string above fret 12, mm.
        action_bass: `action-bass`, the same of the last string; the others lie between. None: as the first.
        nut_height: `nut-height`, underside of the strings at the nut above the plane of the fret tops, mm.
        relief: `relief`, how far fret 12 lies below the straight line of fret tops, mm.
        finger: `finger-distance`, from the fret back to where the finger presses, mm.
        family: `family`, kind of instrument for the rule of thumb.
    """

    compensation: Given[CompensationBy] | None = None
    compensate_nut: Given[bool] | None = None
    action: Given[float] | None = None
    action_bass: Given[float] | None = None
    nut_height: Given[float] | None = None
    relief: Given[float] | None = None
    finger: Given[float] | None = None
    family: Given[Family] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlays:
    """Position marks. TOML table `[inlays]`.

    Attributes:
        frets: `frets`, those that are marked.
        doubled: `doubled`, those of them that get two dots.
        diameter: `diameter`, of a dot on the face, mm.
        side_diameter: `side-diameter`, of a dot on the board's edge, mm.
        side_depth: `side-depth`, from the board's face to the middle of a dot on its edge, mm.
    """

    frets: Given[tuple[int, ...]] | None = None
    doubled: Given[tuple[int, ...]] | None = None
    diameter: Given[float] | None = None
    side_diameter: Given[float] | None = None
    side_depth: Given[float] | None = None


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
        scale_bass: `neck.scale-bass`, along the last string, where frets fan out.
        scale_treble: `neck.scale-treble`, along the first string.
        straight_fret: `neck.straight-fret`, the fret that runs square across a fan; a fraction lies between two.
        nut_to_twelfth: `neck.nut-to-12th`, half the scale.
        nut_to_fret: `neck.nut-to-fret`, from which the scale follows.
        bridge_to_fret: `neck.bridge-to-fret`, from the saddle line to a fret.
        nut_width: `neck.nut-width`, width of the board at the nut.
        widths: `neck.widths`, of the board at other places.
        taper_angle: `neck.taper-angle`, between the board's edges, radians.
        frets: `neck.frets`, their number; 0 for fretless.
        fret_rule: `neck.fret-rule`, by which the string is divided.
        partial_frets: `neck.partial-frets`.
        zero_fret: `neck.zero-fret`, whether a fret stands at the nut line, with the nut behind it.
        nut_behind: `neck.nut-behind`, from a zero fret back to the nut and the start of the board.
        overhang: `neck.overhang`, from the last fret to the end of the board; of a rounded end, to where it starts.
        end: `neck.end`, how the board ends.
        end_angle: `neck.end-angle`, radians, positive when the bass side is longer.
        end_radius: `neck.end-radius`, mm.
        radius: `neck.radius`, of the board's face across; None for a flat board.
        radius_at_end: `neck.radius-at-end`, of a compound board.
        tang_depth: `neck.tang-depth`, that a fret's tang needs below the board's face.
        wire_overhang: `neck.wire-overhang`, fret wire left over on each side when it is cut to length.
        string_count: `strings.count`.
        courses: `strings.courses`, how many strings each course has, first course (treble) first.
        course_spacing_nut: `strings.course-spacing-at-nut`, from string to string within a course: to centres or,
            with equal gaps, clear.
        course_spacing_bridge: `strings.course-spacing-at-bridge`.
        spread_at_nut: `strings.spread-at-nut`, centre to centre of the outer strings at the nut.
        spread_at_bridge: `strings.spread-at-bridge`, centre to centre of the outer strings at the saddle.
        setback: `strings.setback`, from the board's edge to the outer string, the same all along the neck.
        setback_bass: `strings.setback-bass`, on the bass side alone.
        setback_treble: `strings.setback-treble`, on the treble side alone.
        setback_to: `strings.setback-to`.
        spacing: `strings.spacing`.
        positions_nut: `strings.positions-at-nut`, centres counted from the first string, in place of a spacing.
        positions_bridge: `strings.positions-at-bridge`.
        nut_offset: `strings.nut-offset`, by which all strings lie nearer the treble edge at the nut.
        left_handed: `strings.left-handed`, whether everything is mirrored.
        gauges: `strings.gauges`, string diameters, first string (treble) first.
        string_set: `strings.set`, name of a string-set profile.
        tuning: `strings.tuning`, open notes, first string first.
        pitch_standard: `strings.pitch-standard`, frequency of A4 in Hz.
        tolerance: `tolerance`, by which numbers that say the same thing may differ.
        silenced: `silence`, names of warnings not to be given.
        setup: `[setup]`.
        inlays: `[inlays]`.
        tools: `[tools]`.
        make: `[make]`.
        accuracy: `[accuracy]`, how far parts may be off.
        nut: `[nut]`.
        bridge: `[bridge]`.
        truss_rod: `[truss-rod]`.
        neck_back: `[neck-back]`.
        head: `[head]`.
        body: `[body]`.
        sound_hole: `[sound-hole]`.
        neck_pocket: `[neck-pocket]`.
        radius_gauges: `[radius-gauges]`.
        mould: `[mould]`.
    """

    name: str
    owner: str = ""
    date: str = ""
    revision: str = ""
    note: str = ""
    profile: str = ""
    scale: Given[float] | None = None
    scale_bass: Given[float] | None = None
    scale_treble: Given[float] | None = None
    straight_fret: Given[float] | None = None
    nut_to_twelfth: Given[float] | None = None
    nut_to_fret: Given[FretAt] | None = None
    bridge_to_fret: Given[FretAt] | None = None
    nut_width: Given[float] | None = None
    widths: Given[tuple[WidthAt, ...]] | None = None
    taper_angle: Given[float] | None = None
    frets: Given[int] | None = None
    fret_rule: Given[FretRule] | None = None
    partial_frets: Given[tuple[PartialFret, ...]] | None = None
    zero_fret: Given[bool] | None = None
    nut_behind: Given[float] | None = None
    overhang: Given[float] | None = None
    end: Given[EndShape] | None = None
    end_angle: Given[float] | None = None
    end_radius: Given[float] | None = None
    radius: Given[float] | None = None
    radius_at_end: Given[float] | None = None
    tang_depth: Given[float] | None = None
    wire_overhang: Given[float] | None = None
    string_count: Given[int] | None = None
    courses: Given[tuple[int, ...]] | None = None
    course_spacing_nut: Given[float] | None = None
    course_spacing_bridge: Given[float] | None = None
    spread_at_nut: Given[float] | None = None
    spread_at_bridge: Given[float] | None = None
    setback: Given[float] | None = None
    setback_bass: Given[float] | None = None
    setback_treble: Given[float] | None = None
    setback_to: Given[SetbackTo] | None = None
    spacing: Given[Spacing] | None = None
    positions_nut: Given[tuple[float, ...]] | None = None
    positions_bridge: Given[tuple[float, ...]] | None = None
    nut_offset: Given[float] | None = None
    left_handed: Given[bool] | None = None
    gauges: Given[tuple[float, ...]] | None = None
    string_set: Given[str] | None = None
    tuning: Given[tuple[str, ...]] | None = None
    pitch_standard: Given[float] | None = None
    tolerance: Given[float] | None = None
    silenced: tuple[str, ...] = ()
    setup: Setup = field(default_factory=Setup)
    inlays: Inlays = field(default_factory=Inlays)
    tools: Tools = field(default_factory=Tools)
    make: Make = field(default_factory=Make)
    accuracy: Accuracy = field(default_factory=Accuracy)
    nut: Nut = field(default_factory=Nut)
    bridge: Bridge = field(default_factory=Bridge)
    truss_rod: TrussRod = field(default_factory=TrussRod)
    neck_back: NeckBack = field(default_factory=NeckBack)
    head: Head = field(default_factory=Head)
    body: Body = field(default_factory=Body)
    sound_hole: SoundHole = field(default_factory=SoundHole)
    neck_pocket: NeckPocket = field(default_factory=NeckPocket)
    radius_gauges: RadiusGauges = field(default_factory=RadiusGauges)
    mould: Mould = field(default_factory=Mould)

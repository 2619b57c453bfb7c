"""The keys of a design file, one row each. A new key is a row here and a field in `model.py`."""

from pathlib import Path
from typing import Any

from jiggen.design.fitting_keys import FITTING_ROWS
from jiggen.design.fret_rule import FretRule
from jiggen.design.fret_rule_text import fret_rule_from, fret_rule_text
from jiggen.design.given import given
from jiggen.design.instrument_keys import INSTRUMENT_ROWS
from jiggen.design.model import (
    CompensationBy,
    Design,
    EndShape,
    FretAt,
    Grade,
    MarkFace,
    PartialFret,
    SetbackTo,
    Spacing,
    TrueFace,
    WidthAt,
)
from jiggen.profiles import read_text
from jiggen.tables.climate import humidity, temperature
from jiggen.tables.document import Entry
from jiggen.tables.kinds import (
    angle,
    choice,
    count,
    day,
    exactly,
    flag,
    length,
    listing,
    number,
    table,
    unit_name,
    words,
)
from jiggen.tables.rows import Kind, Row

SCHEMA = "jiggen-design/1"


def fret_rule() -> Kind:
    """A fret rule; a scale file is looked for beside the design's own file."""

    def read(entry: Entry) -> tuple[FretRule, str]:
        def read_scl(name: str) -> str:
            return read_text(Path(entry.document.file).parent / name)

        return fret_rule_from(entry.value, where=entry.where, read_scl=read_scl), ""

    return Kind(read=read, write=lambda rule, _: fret_rule_text(rule), example='"12-equal"')


_FRET_AT = table(
    (
        Row(key="fret", field="fret", kind=count(1, 60, example="7"), about="fret number", required=True),
        Row(
            key="distance", field="distance", kind=length(example='"215.4mm"'), about="how far", required=True
        ),
    ),
    FretAt,
)
_WIDTH_AT = table(
    (
        Row(key="width", field="width", kind=length(example='"54mm"'), about="width there", required=True),
        Row(key="fret", field="fret", kind=count(0, 60, example="12"), about="fret number"),
        Row(
            key="distance",
            field="distance",
            kind=length("non-negative", example='"314mm"'),
            about="mm from the nut",
        ),
    ),
    WidthAt,
)
_PARTIAL_FRET = table(
    (
        Row(key="fret", field="fret", kind=count(1, 60, example="7"), about="fret number", required=True),
        Row(
            key="strings",
            field="strings",
            kind=listing(count(1, 24, example="1"), least=1),
            about="the strings that it lies under",
            required=True,
        ),
    ),
    PartialFret,
)
_POSITIONS = given(listing(length("non-negative", example='"7.8mm"'), least=1))
_NOTE_NAME = words(longest=4, pattern=r"[A-Ga-g][#♯b♭]?(-1|[0-9])", example='"E4"')

#: How far parts may be off: the same keys in a design and in a machine's profile.
ACCURACY_ROWS = (
    Row(
        key="accuracy.fret-cents",
        field="accuracy.fret_cents",
        kind=given(number(most=100.0, example="1.0")),
        about="how far a fret may be off, in cents",
        rare=True,
    ),
    *(
        Row(
            key=f"accuracy.{name}",
            field=f"accuracy.{name}",
            kind=given(length(example=f'"{example}"')),
            about=f"how far {what} may be off",
            rare=True,
        )
        for name, example, what in (
            ("string", "0.1mm", "the place of a string"),
            ("opening", "0.05mm", "a slot, notch or hole"),
            ("outline", "0.2mm", "a part's size and outline"),
            ("line", "0.2mm", "any other line"),
            ("lettering", "0.5mm", "the place of words"),
        )
    ),
    Row(
        key="accuracy.general",
        field="accuracy.general",
        kind=given(choice(Grade)),
        about="class of ISO 2768-1 for all that has no figure of its own",
        rare=True,
    ),
)

ROWS = (
    Row(key="schema", field="", kind=exactly(SCHEMA), about="the format of this file", required=True),
    Row(
        key="name",
        field="name",
        kind=words(example='"Wren"'),
        about="what the design is called",
        required=True,
    ),
    Row(key="owner", field="owner", kind=words(example='"Kestrel Yard"'), about="whose it is"),
    Row(key="date", field="date", kind=day(), about="date of this revision"),
    Row(
        key="revision", field="revision", kind=words(longest=20, example='"A"'), about="your own mark for it"
    ),
    Row(key="note", field="note", kind=words(longest=2000, lines=True), about="free words"),
    Row(
        key="profile",
        field="profile",
        kind=words(example='"six-string-guitar"'),
        about="instrument profile that fills what is left out",
    ),
    Row(key="units", field="", kind=unit_name(), about="the unit of lengths written as bare numbers"),
    Row(
        key="tolerance",
        field="tolerance",
        kind=given(length(example='"0.05mm"')),
        about="by which numbers that say the same thing may differ",
        rare=True,
    ),
    Row(
        key="silence",
        field="silenced",
        kind=listing(words(longest=60, example='"short-scale"')),
        about="warnings not to be given",
        rare=True,
    ),
    Row(
        key="neck.scale",
        field="scale",
        kind=given(length(example='"628mm"')),
        about="scale: speaking length before compensation",
    ),
    Row(
        key="neck.scale-bass",
        field="scale_bass",
        kind=given(length(example='"890mm"')),
        about="scale along the last string, where frets fan out",
        rare=True,
    ),
    Row(
        key="neck.scale-treble",
        field="scale_treble",
        kind=given(length(example='"838mm"')),
        about="scale along the first string",
        rare=True,
    ),
    Row(
        key="neck.straight-fret",
        field="straight_fret",
        kind=given(number(above=-1.0, most=60.0, example="7")),
        about="the fret that runs square across a fan",
        rare=True,
    ),
    Row(
        key="neck.nut-to-12th",
        field="nut_to_twelfth",
        kind=given(length(example='"314mm"')),
        about="from the nut to fret 12",
        rare=True,
    ),
    Row(
        key="neck.nut-to-fret",
        field="nut_to_fret",
        kind=given(_FRET_AT, tabular=True),
        about="from the nut to a fret",
        rare=True,
    ),
    Row(
        key="neck.bridge-to-fret",
        field="bridge_to_fret",
        kind=given(_FRET_AT, tabular=True),
        about="from the saddle line to a fret",
        rare=True,
    ),
    Row(
        key="neck.nut-width",
        field="nut_width",
        kind=given(length(example='"46mm"')),
        about="width of the board at the nut",
    ),
    Row(
        key="neck.widths",
        example='[{ fret = 12, width = "54mm" }]',
        field="widths",
        kind=given(listing(_WIDTH_AT, least=1)),
        about="width of the board at other places",
        rare=True,
    ),
    Row(
        key="neck.taper-angle",
        field="taper_angle",
        kind=given(angle(largest_degrees=20.0, example='"1.64 deg"')),
        about="between the edges of the board",
        rare=True,
    ),
    Row(
        key="neck.frets",
        field="frets",
        kind=given(count(0, 60, example="19")),
        about="number of frets, 0 for fretless",
    ),
    Row(
        key="neck.fret-rule",
        field="fret_rule",
        kind=given(fret_rule(), tabular=True),
        about="how the string is divided",
        rare=True,
    ),
    Row(
        key="neck.partial-frets",
        field="partial_frets",
        kind=given(listing(_PARTIAL_FRET, least=1)),
        about="frets under some strings only",
        rare=True,
    ),
    Row(
        key="neck.zero-fret",
        field="zero_fret",
        kind=given(flag()),
        about="whether a fret stands at the nut line, the nut behind it",
        rare=True,
    ),
    Row(
        key="neck.nut-behind",
        field="nut_behind",
        kind=given(length(example='"4mm"')),
        about="from a zero fret back to the nut",
        rare=True,
    ),
    Row(
        key="neck.overhang",
        field="overhang",
        kind=given(length("non-negative", example='"10mm"')),
        about="from the last fret to the end of the board",
    ),
    Row(
        key="neck.end",
        field="end",
        kind=given(choice(EndShape)),
        about="how the board ends",
        rare=True,
    ),
    Row(
        key="neck.end-angle",
        field="end_angle",
        kind=given(angle(largest_degrees=60.0, example='"10 deg"')),
        about="of an angled end, plus when the bass side is longer",
        rare=True,
    ),
    Row(
        key="neck.end-radius",
        field="end_radius",
        kind=given(length(example='"60mm"')),
        about="of a rounded end",
        rare=True,
    ),
    Row(
        key="neck.radius",
        field="radius",
        kind=given(length(example='"16in"')),
        about="of the board's face across",
        rare=True,
    ),
    Row(
        key="neck.radius-at-end",
        field="radius_at_end",
        kind=given(length(example='"20in"')),
        about="of a compound board at its end",
        rare=True,
    ),
    Row(
        key="neck.tang-depth",
        field="tang_depth",
        kind=given(length(example='"2mm"')),
        about="that a fret's tang needs, its clearance included",
        rare=True,
    ),
    Row(
        key="neck.wire-overhang",
        field="wire_overhang",
        kind=given(length("non-negative", example='"3mm"')),
        about="fret wire left over on each side when it is cut",
        rare=True,
    ),
    Row(
        key="strings.count",
        field="string_count",
        kind=given(count(1, 24, example="6")),
        about="number of strings",
    ),
    Row(
        key="strings.courses",
        field="courses",
        kind=given(listing(count(1, 6, example="2"), least=1)),
        about="how many strings each course has, first course first",
        rare=True,
    ),
    Row(
        key="strings.course-spacing-at-nut",
        field="course_spacing_nut",
        kind=given(length(example='"2.2mm"')),
        about="from string to string within a course",
        rare=True,
    ),
    Row(
        key="strings.course-spacing-at-bridge",
        field="course_spacing_bridge",
        kind=given(length(example='"3mm"')),
        about="from string to string within a course",
        rare=True,
    ),
    Row(
        key="strings.spread-at-nut",
        field="spread_at_nut",
        kind=given(length("non-negative", example='"39mm"')),
        about="centre to centre of the outer strings at the nut",
        rare=True,
    ),
    Row(
        key="strings.spread-at-bridge",
        field="spread_at_bridge",
        kind=given(length("non-negative", example='"57mm"')),
        about="centre to centre of the outer strings at the saddle",
    ),
    Row(
        key="strings.setback",
        field="setback",
        kind=given(length("non-negative", example='"1/8in"')),
        about="from the edge of the board to the outer string",
    ),
    Row(
        key="strings.setback-bass",
        field="setback_bass",
        kind=given(length("non-negative", example='"3.5mm"')),
        about="setback on the bass side alone",
        rare=True,
    ),
    Row(
        key="strings.setback-treble",
        field="setback_treble",
        kind=given(length("non-negative", example='"3mm"')),
        about="setback on the treble side alone",
        rare=True,
    ),
    Row(
        key="strings.setback-to",
        field="setback_to",
        kind=given(choice(SetbackTo)),
        about='what a setback runs to: the outer string\'s "centre" or "edge"',
    ),
    Row(
        key="strings.gauges",
        field="gauges",
        kind=given(listing(length(example='".012in"'), least=1)),
        about="string diameters, first string (treble) first",
    ),
    Row(
        key="strings.spacing",
        field="spacing",
        kind=given(choice(Spacing)),
        about="equal distances from middle to middle, or equal clear gaps",
        rare=True,
    ),
    Row(
        key="strings.positions-at-nut",
        field="positions_nut",
        kind=_POSITIONS,
        about="string centres, counted from the first string",
        rare=True,
    ),
    Row(
        key="strings.positions-at-bridge",
        field="positions_bridge",
        kind=_POSITIONS,
        about="string centres, counted from the first string",
        rare=True,
    ),
    Row(
        key="strings.nut-offset",
        field="nut_offset",
        kind=given(length("any", example='"0.5mm"')),
        about="by which all strings lie nearer the treble edge at the nut",
        rare=True,
    ),
    Row(
        key="strings.left-handed",
        field="left_handed",
        kind=given(flag()),
        about="whether everything is mirrored",
        rare=True,
    ),
    Row(
        key="strings.set",
        field="string_set",
        kind=given(words(longest=60, example='"steel-acoustic-012"')),
        about="string-set profile",
        rare=True,
    ),
    Row(
        key="strings.tuning",
        field="tuning",
        kind=given(listing(_NOTE_NAME, least=1)),
        about="open notes, first string first",
        rare=True,
    ),
    Row(
        key="strings.pitch-standard",
        field="pitch_standard",
        kind=given(number(most=1000.0, example="440")),
        about="frequency of A4 in Hz",
        rare=True,
    ),
    Row(
        key="setup.compensation",
        field="setup.compensation",
        kind=given(choice(CompensationBy)),
        about="where the saddle's setbacks come from",
        rare=True,
    ),
    Row(
        key="setup.compensate-nut",
        field="setup.compensate_nut",
        kind=given(flag()),
        about="whether the nut may move too",
        rare=True,
    ),
    Row(
        key="setup.action",
        field="setup.action",
        kind=given(length(example='"2.4mm"')),
        about="first string above fret 12",
        rare=True,
    ),
    Row(
        key="setup.action-bass",
        field="setup.action_bass",
        kind=given(length(example='"2.8mm"')),
        about="last string above fret 12",
        rare=True,
    ),
    Row(
        key="setup.nut-height",
        field="setup.nut_height",
        kind=given(length("non-negative", example='"1mm"')),
        about="strings at the nut above the fret tops' plane",
        rare=True,
    ),
    Row(
        key="setup.relief",
        field="setup.relief",
        kind=given(length("non-negative", example='"0.2mm"')),
        about="how far fret 12 lies below the straight line",
        rare=True,
    ),
    Row(
        key="setup.finger-distance",
        field="setup.finger",
        kind=given(length("non-negative", example='"10mm"')),
        about="from the fret back to the finger",
        rare=True,
    ),
    Row(
        key="setup.family",
        field="setup.family",
        kind=given(words(longest=40, example='"steel-guitar"')),
        about="kind of instrument for the rule of thumb",
        rare=True,
    ),
    Row(
        key="inlays.frets",
        field="inlays.frets",
        kind=given(listing(count(1, 60, example="5"))),
        about="frets that are marked",
        rare=True,
    ),
    Row(
        key="inlays.doubled",
        field="inlays.doubled",
        kind=given(listing(count(1, 60, example="12"))),
        about="those that get two dots",
        rare=True,
    ),
    Row(
        key="inlays.diameter",
        field="inlays.diameter",
        kind=given(length(example='"6mm"')),
        about="of a dot on the face",
        rare=True,
    ),
    Row(
        key="inlays.side-diameter",
        field="inlays.side_diameter",
        kind=given(length(example='"2mm"')),
        about="of a dot on the edge",
        rare=True,
    ),
    Row(
        key="inlays.side-depth",
        field="inlays.side_depth",
        kind=given(length(example='"3mm"')),
        about="from the board's face to the middle of a dot on the edge",
        rare=True,
    ),
    *FITTING_ROWS,
    *INSTRUMENT_ROWS,
    Row(
        key="tools.saw-plate",
        field="tools.saw_plate",
        kind=given(length(example='"0.6mm"')),
        about="thickness of the fret saw over its set",
    ),
    Row(
        key="tools.saw-clearance",
        field="tools.saw_clearance",
        kind=given(length("non-negative", example='"0.08mm"')),
        about="added to the saw plate for its guide slot",
    ),
    Row(
        key="tools.index-pin",
        field="tools.index_pin",
        kind=given(length(example='"2mm"')),
        about="diameter of the mitre box's index pin",
    ),
    Row(
        key="tools.pin-clearance",
        field="tools.pin_clearance",
        kind=given(length("non-negative", example='"0.05mm"')),
        about="added to a pin for its notch or hole",
    ),
    Row(
        key="tools.stop-pin",
        field="tools.stop_pin",
        kind=given(length(example='"3mm"')),
        about="diameter of the dowel pins used as stops",
    ),
    Row(
        key="tools.locating-pin",
        field="tools.locating_pin",
        kind=given(length(example='"1.5mm"')),
        about="diameter of the pins that hold board and neck together at two frets",
        rare=True,
    ),
    Row(
        key="tools.bushing",
        field="tools.bushing",
        kind=given(length(example='"8mm"')),
        about="outside diameter of the drill bushings that jigs take; the bare drill is led when left out",
        rare=True,
    ),
    Row(
        key="make.parts",
        field="make.parts",
        kind=listing(words(example='"plan-template"')),
        about="what to make; all of the standard set when left out",
    ),
    Row(
        key="make.material",
        field="make.material",
        kind=words(example='"cast-acrylic-3"'),
        about="material profile",
    ),
    Row(
        key="make.machine", field="make.machine", kind=words(example='"large-laser"'), about="machine profile"
    ),
    Row(
        key="make.setting",
        field="make.setting",
        kind=words(example='"60 % power, 12 mm/s"'),
        about="which of the material's kerfs, by its words for power and speed",
        rare=True,
    ),
    Row(
        key="make.mark-face",
        field="make.mark_face",
        kind=given(choice(MarkFace)),
        about='which face carries the marks: "top", or "under" to be read through a clear sheet',
        rare=True,
    ),
    Row(
        key="make.true-face",
        field="make.true_face",
        kind=given(choice(TrueFace)),
        about='which face has the drawn size when the cut tapers: "marked", "plain" or "middle"',
        rare=True,
    ),
    Row(
        key="make.cut-temperature",
        field="make.cut_degc",
        kind=given(temperature()),
        about="temperature of the sheet when it is cut",
        rare=True,
    ),
    Row(
        key="make.use-temperature",
        field="make.use_degc",
        kind=given(temperature()),
        about="temperature at which the parts are used",
        rare=True,
    ),
    Row(
        key="make.cut-humidity",
        field="make.cut_humidity",
        kind=given(humidity()),
        about="relative humidity that the sheet has taken on when it is cut",
        rare=True,
    ),
    Row(
        key="make.use-humidity",
        field="make.use_humidity",
        kind=given(humidity()),
        about="relative humidity where the parts are used",
        rare=True,
    ),
    Row(
        key="make.guide",
        field="make.guide",
        kind=given(length(example='"17mm"')),
        about="router's guide bush or bearing, outside diameter: makes the parts patterns to rout along",
        rare=True,
    ),
    Row(
        key="make.bit",
        field="make.bit",
        kind=given(length(example='"12mm"')),
        about="router's bit, diameter, for the same patterns",
        rare=True,
    ),
    *ACCURACY_ROWS,
)


def value_of(row: Row, design: Design) -> Any:
    """Returns what a design has for a key, None or empty when it has nothing."""
    value: Any = design
    for name in row.field.split("."):
        value = getattr(value, name)
    return value

"""The keys of a design file for the neck itself, table `[neck]`, one row each."""

from pathlib import Path

from jiggen.design.fret_rule import FretRule
from jiggen.design.fret_rule_text import fret_rule_from, fret_rule_text
from jiggen.design.given import given
from jiggen.design.model import (
    EndShape,
    FretAt,
    PartialFret,
    WidthAt,
)
from jiggen.errors import InputError
from jiggen.profiles import read_text
from jiggen.tables.document import Entry
from jiggen.tables.kinds import (
    angle,
    choice,
    count,
    flag,
    length,
    listing,
    number,
    table,
)
from jiggen.tables.rows import Kind, Row


def fret_rule() -> Kind:
    """A fret rule; a scale file is looked for beside the design's own file."""

    def read(entry: Entry) -> tuple[FretRule, str]:
        def read_scl(name: str) -> str:
            try:
                return read_text(Path(entry.document.file).parent / name, what="a scale file")
            except InputError as error:
                raise error.at(f"{entry.where}, {error.where}") from error

        return fret_rule_from(entry.value, where=entry.where, read_scl=read_scl), ""

    schema = {
        "anyOf": [{"type": "string", "pattern": "^[0-9]+-equal$"}, {"type": "object", "minProperties": 1}]
    }
    return Kind(read=read, write=lambda rule, _: fret_rule_text(rule), example='"12-equal"', schema=schema)


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

NECK_ROWS = (
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
        kind=given(number(least=0.0, most=60.0, example="7")),
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
        about="from the last fret, of a fretless board from the nut, to the board's end",
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
)

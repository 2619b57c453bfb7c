"""The keys of a design file, one row each. A new key is a row here and a field in `model.py`."""

from typing import Any

from jiggen.design.given import given
from jiggen.design.making import Grade, MarkFace, Stock, TrueFace
from jiggen.design.model import Design
from jiggen.design.neck_keys import NECK_ROWS
from jiggen.design.string_keys import STRING_ROWS
from jiggen.tables.climate import humidity, temperature
from jiggen.tables.kinds import (
    choice,
    count,
    day,
    exactly,
    length,
    listing,
    number,
    table,
    unit_name,
    words,
)
from jiggen.tables.rows import Row

SCHEMA = "jiggen-design/1"

#: Most sheets of one size in a stock.
MOST_SHEETS = 999
_STOCK = table(
    (
        Row(
            key="length",
            field="length",
            kind=length(example='"600mm"'),
            about="of the sheet along the bed, and along its grain",
            required=True,
        ),
        Row(
            key="width",
            field="width",
            kind=length(example='"300mm"'),
            about="of the sheet across",
            required=True,
        ),
        Row(
            key="count",
            field="count",
            kind=count(1, MOST_SHEETS, example="2"),
            about="how many; one when left out",
        ),
    ),
    Stock,
)

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
    *NECK_ROWS,
    *STRING_ROWS,
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
    Row(
        key="make.stock",
        field="make.stock",
        kind=listing(_STOCK, most=50),
        about="sheets and offcuts at hand, the smallest used first; as many of the bed's size as it takes when left out",
        rare=True,
    ),
    Row(
        key="make.joint-clearance",
        field="make.joint_clearance",
        kind=given(length("non-negative", example='"0.05mm"')),
        about="round the keys of parts that are made in pieces; 0.05 mm when left out, common practice",
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

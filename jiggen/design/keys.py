"""The keys of a design file, one row each. A new key is a row here and a field in `model.py`."""

from typing import Any

from jiggen.design.model import CHOSEN, Given, SetbackTo
from jiggen.errors import InputError, did_you_mean
from jiggen.tables.document import Entry
from jiggen.tables.kinds import choice, count, day, exactly, length, listing, toml_string, unit_name, words
from jiggen.tables.rows import Kind, Row

SCHEMA = "jiggen-design/1"

_FREE = words(longest=200)


def given(of: Kind) -> Kind:
    """A value that may say where it comes from: `"46 mm"` or `{ value = "46 mm", source = "measured" }`.

    Read, it is a `Given` with source `chosen` where the file names no other.
    """

    def read(entry: Entry) -> tuple[Given[Any], str]:
        if not isinstance(entry.value, dict):
            value, text = of.read(entry)
            return Given(value, text=text, where=entry.where), text
        for child in entry.children():
            if child.steps[-1] not in {"value", "source", "note"}:
                mend = did_you_mean(str(child.steps[-1]), ("value", "source", "note"))
                raise InputError(
                    where=child.where, got="an unknown key", expected="one of value, source, note", mend=mend
                )
        inner = entry.find("value")
        if inner is None:
            raise entry.wrong("a value in it", f"Write {{ value = {of.example}, source = … }}")
        value, text = of.read(inner)
        source, note = (
            _FREE.read(found)[0] if (found := entry.find(key)) else "" for key in ("source", "note")
        )
        return Given(value, source or CHOSEN, text, note, inner.where), text

    def write(value: Given[Any], _: str) -> str:
        bare = of.write(value.value, value.text)
        rest = [
            f"{key} = {toml_string(words)}"
            for key, words in (("source", value.source), ("note", value.note))
            if words not in {"", CHOSEN}
        ]
        return f"{{ {', '.join([f'value = {bare}', *rest])} }}" if rest else bare

    return Kind(read=read, write=write, example=of.example)


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
        key="neck.scale",
        field="scale",
        kind=given(length(example='"628mm"')),
        about="scale: speaking length before compensation",
    ),
    Row(
        key="neck.nut-width",
        field="nut_width",
        kind=given(length(example='"46mm"')),
        about="width of the board at the nut",
    ),
    Row(
        key="neck.frets",
        field="frets",
        kind=given(count(0, 60, example="19")),
        about="number of frets, 0 for fretless",
    ),
    Row(
        key="neck.overhang",
        field="overhang",
        kind=given(length("non-negative", example='"10mm"')),
        about="from the last fret to the end of the board",
    ),
    Row(
        key="strings.count",
        field="string_count",
        kind=given(count(1, 24, example="6")),
        about="number of strings",
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
)

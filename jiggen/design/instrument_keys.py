"""The keys of the tables in `instrument.py`, one row each."""

from jiggen.design.given import given
from jiggen.design.instrument import (
    BackShape,
    CutawayShape,
    CutawaySide,
    DepthAt,
    HeadForm,
    Opening,
    Ring,
    Smoothness,
)
from jiggen.design.outline import outline
from jiggen.tables.kinds import angle, choice, count, flag, length, listing, table, words
from jiggen.tables.rows import Kind, Row

_DEPTH_AT = table(
    (
        Row(key="fret", field="fret", kind=count(0, 60, example="1"), about="fret number", required=True),
        Row(
            key="depth",
            field="depth",
            kind=length(example='"21mm"'),
            about="from the board's face to the back",
            required=True,
        ),
    ),
    DepthAt,
)
_RING = table(
    (
        Row(
            key="from-edge",
            field="from_edge",
            kind=length("non-negative", example='"5mm"'),
            about="from the hole's edge to the channel",
            required=True,
        ),
        Row(key="width", field="width", kind=length(example='"8mm"'), about="of the channel", required=True),
    ),
    Ring,
)
_OPENING = table(
    (
        Row(
            key="name",
            field="name",
            kind=words(longest=24, example='"bridge"'),
            about="what goes in",
            required=True,
        ),
        Row(
            key="length",
            field="length",
            kind=length(example='"90mm"'),
            about="across the strings",
            required=True,
        ),
        Row(
            key="width",
            field="width",
            kind=length(example='"20mm"'),
            about="along the strings",
            required=True,
        ),
        Row(
            key="radius", field="radius", kind=length(example='"5mm"'), about="of its corners", required=True
        ),
        Row(
            key="from-saddle",
            field="from_saddle",
            kind=length("any", example='"30mm"'),
            about="from its middle to the saddle line",
            required=True,
        ),
        Row(
            key="offset",
            field="offset",
            kind=length("any", example='"2mm"'),
            about="of its middle from the centre line, toward the treble side",
        ),
        Row(
            key="slant",
            field="slant",
            kind=angle(largest_degrees=90.0, example='"5 deg"'),
            about="plus when the treble end is nearer the saddle",
        ),
        Row(key="depth", field="depth", kind=length(example='"18mm"'), about="how deep it is routed"),
    ),
    Opening,
)


def _row(key: str, kind: Kind, about: str, example: str = "", *, tabular: bool = False) -> Row:
    """A key that few designs need, its field named after it."""
    group, name = key.split(".")
    field = f"{group.replace('-', '_')}.{name.replace('-', '_')}"
    return Row(
        key=key, field=field, kind=given(kind, tabular=tabular), about=about, example=example, rare=True
    )


INSTRUMENT_ROWS = (
    _row("neck-back.shape", choice(BackShape), "how the neck's back is rounded"),
    _row(
        "neck-back.depths",
        listing(_DEPTH_AT, least=1),
        "from the middle of the board's face to the back, at one fret or more",
    ),
    _row(
        "neck-back.frets",
        listing(count(0, 60, example="5"), least=1),
        "where gauges are wanted; where depths are given when left out",
    ),
    _row("neck-back.board", length(example='"6mm"'), "thickness of the board at its middle"),
    _row(
        "neck-back.ridge",
        length("any", example='"1.5mm"'),
        "how far the deepest line lies toward the bass side",
    ),
    _row("head.form", choice(HeadForm), "tuners on its face, or on its sides with rollers across slots"),
    _row(
        "head.outline",
        outline(example='"head.svg"'),
        "of the headstock, in a file brought along: a name, or a table with what is asked of it",
        tabular=True,
    ),
    _row("head.length", length(example='"175mm"'), "of the headstock, from the back of the nut to its tip"),
    _row("head.width", length(example='"74mm"'), "where its sides begin"),
    _row("head.width-at-tip", length(example='"64mm"'), "where they end"),
    _row("head.shoulder", length(example='"22mm"'), "from the nut to where its sides begin"),
    _row(
        "head.tuners",
        listing(count(0, 24, example="3"), least=2, most=2),
        "how many tuners on the bass side and on the treble side",
        "[3, 3]",
    ),
    _row(
        "head.tuner-hole",
        length(example='"10mm"'),
        "diameter of a tuner's hole, in a slotted head's sides that of a roller's",
    ),
    _row("head.first-tuner", length(example='"40mm"'), "from the nut to the first hole of a row"),
    _row(
        "head.tuner-spacing",
        length(example='"38mm"'),
        "from hole to hole along the centre line, on a slotted head along its side",
    ),
    _row("head.tuner-inset", length(example='"13mm"'), "from the middle of a hole to the head's side"),
    _row("head.post", length(example='"6mm"'), "diameter on which the string winds"),
    _row("head.straight-pull", flag(), "whether strings run on to the posts without a bend at the nut"),
    _row("head.nut-thickness", length(example='"5mm"'), "of the nut, front to back"),
    _row("head.slot-width", length(example='"14mm"'), "of the slots of a slotted head"),
    _row("head.slot-length", length(example='"100mm"'), "of the slots, with their round ends"),
    _row("head.slot-from-nut", length(example='"28mm"'), "from the nut to where the slots begin"),
    _row("head.slot-from-centre", length(example='"15mm"'), "from the centre line to the middle of a slot"),
    _row("head.roller-depth", length(example='"10mm"'), "from the head's face to the middle of the rollers"),
    _row(
        "body.outline",
        outline(example='"body.svg"'),
        "of the body, in a file brought along: a name, or a table with what is asked of it",
        tabular=True,
    ),
    _row("body.length", length(example='"480mm"'), "of the body along the centre line"),
    _row("body.upper-bout", length(example='"250mm"'), "width of the upper bout"),
    _row("body.waist", length(example='"210mm"'), "width of the waist"),
    _row("body.lower-bout", length(example='"340mm"'), "width of the lower bout"),
    _row(
        "body.upper-bout-at", length(example='"95mm"'), "from the neck end to the upper bout's widest place"
    ),
    _row("body.waist-at", length(example='"190mm"'), "from the neck end to the waist's narrowest place"),
    _row(
        "body.lower-bout-at", length(example='"345mm"'), "from the neck end to the lower bout's widest place"
    ),
    _row("body.joint-fret", count(1, 60, example="12"), "the fret at which the body's neck end lies"),
    _row(
        "body.openings",
        listing(_OPENING, least=1),
        "of pick-ups and other cavities, a table [[body.openings]] each",
    ),
    _row(
        "body.smooth",
        choice(Smoothness),
        "arcs that meet with common tangents, or whose bend changes gradually",
    ),
    _row("body.neck-end-radius", length(example='"260mm"'), "of the neck end on the centre line"),
    _row("body.tail-radius", length(example='"300mm"'), "of the tail on the centre line"),
    _row(
        "body.upper-bout-shift",
        length("any", example='"6mm"'),
        "how much farther from the neck end the upper bout lies on the treble side than on the bass side",
    ),
    _row("body.waist-shift", length("any", example='"10mm"'), "the same of the waist"),
    _row("body.lower-bout-shift", length("any", example='"8mm"'), "the same of the lower bout"),
    _row("body.cutaway", choice(CutawayShape), "how the horn of a cutaway ends; no cutaway when left out"),
    _row("body.cutaway-side", choice(CutawaySide), "where it is cut away"),
    _row(
        "body.cutaway-depth",
        length(example='"75mm"'),
        "from the neck end to the bottom of the cutaway's scoop",
    ),
    _row(
        "body.horn-at",
        length("any", example='"15mm"'),
        "from the neck end to the horn's tip, negative when it reaches beyond",
    ),
    _row("body.horn-radius", length(example='"14mm"'), "of a soft horn's tip"),
    _row("body.side-depth-neck", length(example='"90mm"'), "of the sides at the neck end, inside"),
    _row("body.side-depth-tail", length(example='"100mm"'), "of the sides at the tail, inside"),
    _row("body.side-thickness", length(example='"2mm"'), "of the sides"),
    _row(
        "body.side-allowance",
        length("non-negative", example='"50mm"'),
        "by which each side is cut longer than it is round, for bending",
    ),
    _row("sound-hole.width", length(example='"90mm"'), "across; the diameter of a round hole"),
    _row("sound-hole.length", length(example='"70mm"'), "along the strings, of an oval one"),
    _row("sound-hole.from-saddle", length(example='"160mm"'), "from its middle to the saddle line"),
    _row("sound-hole.rings", listing(_RING, least=1), "channels of the rosette, from inside to outside"),
    _row(
        "neck-pocket.length",
        length(example='"76mm"'),
        "of a bolted neck's pocket, from the body's edge to its end",
    ),
    _row(
        "neck-pocket.end-from-saddle",
        length(example='"190mm"'),
        "from the pocket's end to the saddle line; with the board's end when left out",
    ),
    _row(
        "neck-pocket.allowance",
        length("non-negative", example='"0.1mm"'),
        "by which the pocket is larger than the heel on each side",
    ),
    _row("neck-pocket.radius", length(example='"8mm"'), "of the corners at its end"),
    _row("neck-pocket.depth", length(example='"16mm"'), "how deep it is routed"),
    _row(
        "radius-gauges.radii",
        listing(length(example='"12in"'), least=1),
        "of radius gauges wanted besides the board's own",
    ),
    _row(
        "radius-gauges.abrasive",
        length("non-negative", example='"0.4mm"'),
        "thickness of the abrasive sheet on a sanding block",
    ),
)

"""The keys of the tables in `fittings.py`, one row each."""

from jiggen.design.fittings import LocateFrom
from jiggen.design.given import given
from jiggen.tables.kinds import choice, length, listing
from jiggen.tables.rows import Kind, Row


def _row(key: str, kind: Kind, about: str) -> Row:
    """A key that few designs need, its field named after it."""
    field = key.replace("-", "_")
    return Row(key=key, field=field, kind=given(kind), about=about, rare=True)


FITTING_ROWS = (
    _row("nut.seat", length("non-negative", example='"6mm"'), "from the nut's seat up to the board's face"),
    _row("nut.fret-height", length("non-negative", example='"1.1mm"'), "height of a fret above the board"),
    _row(
        "nut.slot-clearance",
        length("non-negative", example='"0.05mm"'),
        "added to a string's gauge for its slot in the nut",
    ),
    _row(
        "nut.widths",
        listing(length(example='"43mm"'), least=1),
        "widths of board that the nut card shows; the design's own and its neighbours when left out",
    ),
    _row("bridge.length", length(example='"150mm"'), "of the bridge, across the strings"),
    _row("bridge.width", length(example='"28mm"'), "of the bridge, along the strings"),
    _row(
        "bridge.front", length("any", example='"9mm"'), "from the bridge's front to the saddle line on paper"
    ),
    _row("bridge.slot-length", length(example='"72mm"'), "of the saddle's slot"),
    _row(
        "bridge.slot-width", length(example='"3.2mm"'), "of the saddle's slot, and of pins that locate in it"
    ),
    _row("bridge.saddle-height", length(example='"12mm"'), "from the slot's floor to the saddle's top"),
    _row(
        "bridge.pin-distance", length(example='"15mm"'), "from the saddle line on paper to the string holes"
    ),
    _row(
        "bridge.second-row",
        length("any", example='"8mm"'),
        "from there to a second row of holes, for every second string of a course",
    ),
    _row("bridge.pin-drill", length(example='"5mm"'), "diameter of the drill for the string holes"),
    _row(
        "bridge.locate-from",
        choice(LocateFrom),
        "what the bridge locator sits against: the nut when left out, or slips of saw plate in the last two slots",
    ),
    _row("truss-rod.length", length(example='"370mm"'), "of the truss rod's slot, its anchor included"),
    _row("truss-rod.width", length(example='"6mm"'), "of the slot"),
    _row(
        "truss-rod.from-nut",
        length("any", example='"-12mm"'),
        "from the nut to where the slot begins, minus when that is in the head",
    ),
    _row("truss-rod.anchor-length", length(example='"12mm"'), "of a wider place at the slot's far end"),
    _row("truss-rod.anchor-width", length(example='"10mm"'), "width of that place"),
    _row("truss-rod.depth", length(example='"9mm"'), "how deep the slot is routed"),
)

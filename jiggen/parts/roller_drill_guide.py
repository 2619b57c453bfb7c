"""The drill guide for the rollers of a slotted headstock: holes in a row, spaced as the tuners' plate is.

It lies on the head's side. Two pins through it rest on the head's face, so that the holes keep their depth; its lines are
set to those that the headstock template gives on the face. Turned over, with the pins pushed through, it serves for
the other side.
"""

from collections.abc import Iterator, Sequence

from jiggen.design.given import known
from jiggen.design.instrument import HeadForm
from jiggen.geometry.box import Box
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.caption import caption
from jiggen.parts.marks import arrow, hole, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import format_mm

NAME, TITLE = "roller-drill-guide", "Roller drill guide"

NEEDS = ("head.tuners", "head.tuner_hole", "head.tuner_spacing", "head.roller_depth")

_MARGIN = 16.0  # from the middles of the outer holes to the plate's ends
_GAP, _WEB = 1.5, 2.5
_CORNER = 3.0
_ARROW = 7.0
_BESIDE_HOLE = 2.0  # from a hole to its line


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    head = neck.spec.head
    return (
        ""
        if not head.tuners or known(head.form) is HeadForm.SLOTTED
        else "its head is solid: no tuner has a roller"
    )


def roller_drill_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part: x along the head's side toward its tip, from the first roller; the face at y = 0.

    Args:
        neck: Whose head is slotted, its tuners known.
        bench: Sets the lettering's height.
    """
    head, tools, letters = neck.spec.head, neck.spec.tools, bench.smallest_lettering_mm
    depth, drill = known(head.roller_depth), known(head.tuner_hole)
    rollers = [number * known(head.tuner_spacing) for number in range(max(_counts(neck)))]
    pin = tools.stop_pin.value
    left, right = -_MARGIN - drill / 2.0, rollers[-1] + _MARGIN + drill / 2.0
    top = pin + tools.pin_clearance.value + _WEB
    pins = (left + _WEB + pin, right - _WEB - pin)
    block = caption(
        neck.spec,
        TITLE,
        _words(neck),
        left=left + _CORNER,
        top=-depth - drill / 2.0 - _GAP,
        width=right - left - 2.0 * _CORNER,
        letters=letters,
    )
    box = Box(Point(left, block.low - _GAP), Point(right, top))
    features = (
        Feature(id="outline", role=Role.EDGE, paths=(rectangle(box.low, box.high, radius=_CORNER),)),
        *(hole(f"roller.{number}", Point(x, -depth), drill) for number, x in enumerate(rollers, start=1)),
        *(
            hole(f"pin.{number}", Point(x, pin / 2.0), pin + tools.pin_clearance.value)
            for number, x in enumerate(pins, start=1)
        ),
        *_marks(rollers, depth - drill / 2.0 - _BESIDE_HOLE, (pins[0] + pin, pins[1] - pin), left, letters),
        *block.features,
    )
    return (Part(name=NAME, title=TITLE, features=features, tag_box=block.tag_box),)


def _marks(
    lines: Sequence[float], reach: float, ends: tuple[float, float], left: float, letters: float
) -> Iterator[Feature]:
    """Yields each roller's line from the face toward its hole, the face's line between the pins, and the nut's end.

    Args:
        lines: Where the rollers are.
        reach: Of a roller's line.
        ends: Of the face's line.
        left: Of the plate's nut end.
        letters: Height of capitals.
    """
    if reach > 0.0:
        for number, x in enumerate(lines, start=1):
            yield scored(f"roller.{number}.line", Point(x, 0.0), Point(x, -reach))
    start, end = ends
    yield scored("face", Point(start + _GAP, 0.0), Point(end - _GAP, 0.0))
    y = -reach - _BESIDE_HOLE
    tip = Point(left + _GAP, y)
    yield arrow("arrow.nut", tip + Point(_ARROW, 0.0), tip, size=1.6)
    yield label("name.nut", "nut", tip + Point(0.0, -_GAP), height=letters, anchor=Anchor.LEFT_TOP)


def _counts(neck: Neck) -> tuple[int, ...]:
    return known(neck.spec.head.tuners)


def _words(neck: Neck) -> tuple[str, ...]:
    head, tools = neck.spec.head, neck.spec.tools
    drill, pitch, depth = (
        format_mm(known(each)) for each in (head.tuner_hole, head.tuner_spacing, head.roller_depth)
    )
    pin = format_mm(tools.stop_pin.value)
    return (
        f"{drill} drill, {pitch} apart, {depth} below the face",
        f"on the head's side, {pin} pins on its face; turn over for the other side",
        "clamp it, and drill square to the side",
    )

"""The saw-guide plate: one slot per fret that the saw's plate runs in, with pins as stops for the board.

The board lies under the plate; pins pressed through it touch the board's nut end and both tapered edges, so that it
can lie in one place only. Slots end inside the plate: the rails left along both sides keep it in one piece. Fanned
frets get their slots at their angles.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.board import crossing
from jiggen.layout.fan import x_at
from jiggen.layout.model import FretLine, Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.marks import fitting_height, hole, label, scored, slot
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate
from jiggen.parts.spec_block import scale_words

NAME, TITLE = "saw-guide", "Saw-guide plate"

_OVERRUN = 5.0  # slot beyond the board's edge, so that the saw's teeth clear it
_RAIL = 14.0  # solid rail beyond the slots of the widest place
_NUT_END = 22.0  # plate before the board, which carries the stops there
_FAR_END = 15.0
_CORNER = 4.0
_CORNER_MARK = 5.0  # length of the lines at the board's corners and centre
_GAP = 1.5
_SMALLEST_WEB = 2.0  # acrylic left beside a hole or slot (common practice)
_STOPS_AT = 0.25  # the nut-end pins stand this share of the width in from the edges


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    return "" if neck.layout.frets else "a fretless neck has no slots"


def saw_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: With frets.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If there is no room for a stop pin between two slots.
    """
    layout = neck.layout
    tools, letters = layout.spec.tools, bench.smallest_lettering_mm
    slot_width = tools.saw_plate.value + tools.saw_clearance.value
    slots = [_slot_line(fret) for fret in layout.frets]
    ends = [end for line in (*slots, layout.board_start, layout.board_end) for end in (line.start, line.end)]
    half = max(abs(end.y) for end in ends) + _RAIL
    band = 4.2 * letters + 3.0 * _GAP
    box = Box(
        Point(min(end.x for end in ends) - _NUT_END, -half),
        Point(max(end.x for end in ends) + _FAR_END, half + band),
    )
    words_box = Box(Point(0.0, half + _GAP), Point(box.high.x - _CORNER, half + _GAP + letters * 1.4))
    tag_box = Box(
        Point(0.0, box.high.y - _GAP - 2.0 * letters), Point(box.high.x - _CORNER, box.high.y - _GAP)
    )
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER),
            *(
                slot(f"fret.{fret.number}", line, slot_width, datum=fret.line)
                for fret, line in zip(layout.frets, slots, strict=True)
            ),
            *_stop_pins(layout),
            *_board_marks(layout, box),
            *_numbers(layout, slots, letters),
            *_words(layout, slot_width, words_box, letters),
        ),
        tag_box=tag_box,
        lies_on_work=True,
    )
    return (part,)


def _slot_line(fret: FretLine) -> Line:
    over = (fret.line.end - fret.line.start).unit() * _OVERRUN
    return Line(fret.line.start - over, fret.line.end + over)


def _stop_pins(layout: Layout) -> tuple[Feature, ...]:
    """Two pins at the nut end, and two against each edge as far apart as the slots leave room for."""
    tools = layout.spec.tools
    pin, diameter = tools.stop_pin.value, tools.stop_pin.value + tools.pin_clearance.value
    start = layout.board_start
    back = (start.end - start.start).unit().left()
    back = back if back.x < 0.0 else -back
    centres = [
        between(start.start, start.end, share) + back * (pin / 2.0) for share in (_STOPS_AT, 1.0 - _STOPS_AT)
    ]
    for edge in (layout.bass_edge, layout.treble_edge):
        direction = (edge.end - edge.start).unit()
        outward = direction.left() if edge.start.y > 0.0 else -direction.left()
        centres += [touch + outward * (pin / 2.0) for touch in _touching_places(layout, edge, diameter)]
    return tuple(hole(f"pin.{number}", at, diameter) for number, at in enumerate(centres, start=1))


def _touching_places(layout: Layout, edge: Line, diameter: float) -> tuple[Point, Point]:
    """The first and the last place along an edge, midway between two slots, that holds a pin's hole beside it."""
    slot_width = layout.spec.tools.saw_plate.value + layout.spec.tools.saw_clearance.value
    lines = [layout.board_start, *(fret.line for fret in layout.frets)]
    places: list[Point] = []
    for before, after in pairwise(lines):
        left, right = crossing(before, edge), crossing(after, edge)
        lean = max(
            abs(math.atan2(line.end.x - line.start.x, abs(line.end.y - line.start.y)))
            for line in (before, after)
        )
        room = (right - left).length() * math.cos(lean) - diameter * math.sin(lean)
        if room - slot_width >= diameter + 2.0 * _SMALLEST_WEB:
            places.append(between(left, right, 0.5))
    if len(places) < 2:
        raise LimitError(
            where=f"part {NAME}",
            got=f"a stop pin of {layout.spec.tools.stop_pin.value:.2f} mm",
            expected=f"one that leaves {_SMALLEST_WEB:.1f} mm on both sides between two neighbouring slots",
            mend="Use a thinner pin (tools.stop-pin)",
        )
    return places[0], places[-1]


def _board_marks(layout: Layout, box: Box) -> tuple[Feature, ...]:
    """Short lines that show the board's ends, edges and centre, for a blank not yet tapered."""
    start, end = x_at(layout.board_start, 0.0), x_at(layout.board_end, 0.0)
    features = [
        scored("centre.nut-end", Point(box.low.x + 2.0, 0.0), Point(start, 0.0)),
        scored("centre.far-end", Point(end, 0.0), Point(box.high.x - 2.0, 0.0)),
    ]
    for name, line in (("board-start", layout.board_start), ("board-end", layout.board_end)):
        across = (line.end - line.start).unit() * _CORNER_MARK
        middle = between(line.start, line.end, 0.5)
        features += [
            scored(f"{name}.bass", line.start, line.start + across),
            scored(f"{name}.centre", middle - across, middle + across),
            scored(f"{name}.treble", line.end - across, line.end),
        ]
    return tuple(features)


def _numbers(layout: Layout, slots: Sequence[Line], letters: float) -> tuple[Feature, ...]:
    closest = min(
        (
            min(after.start.x - before.start.x, after.end.x - before.end.x)
            for before, after in pairwise(slots)
        ),
        default=math.inf,
    )
    names = [fret.label for fret in layout.frets]
    height = fitting_height(names, closest, largest=letters * 1.4, smallest=letters)
    return tuple(
        label(
            f"number.{fret.number}.{side}",
            fret.label,
            end + Point(0.0, math.copysign(_GAP, end.y)),
            height=height,
            anchor=Anchor.CENTRE_BASELINE if end.y > 0.0 else Anchor.CENTRE_TOP,
        )
        for fret, line in zip(layout.frets, slots, strict=True)
        for side, end in (("bass", line.start), ("treble", line.end))
    )


def _words(layout: Layout, slot_width: float, room: Box, letters: float) -> tuple[Feature, ...]:
    spec = layout.spec
    heading = (
        f"{spec.design.name} · {TITLE} · {scale_words(spec)}"
        f" · slot {slot_width:.2f} mm for a {spec.tools.saw_plate.value:.2f} mm saw"
        f" · {spec.tools.stop_pin.value:.2f} mm stop pins"
    )
    height = min(letters * 1.4, room.width / text_width(heading, 1.0))
    start, at_nut = layout.board_start, "nut end"
    y = max(
        max(start.start.y, start.end.y) * 0.75, _GAP + text_width(at_nut, letters * 1.4) / 2.0
    )  # clear of the centre line
    return (
        label("title", heading, room.low, height=height, anchor=Anchor.LEFT_BASELINE),
        label(
            "name.nut-end",
            at_nut,
            Point(x_at(start, y) - _NUT_END / 2.0 - 2.0, y),
            height=letters * 1.4,
            angle=math.pi / 2.0,
        ),
    )

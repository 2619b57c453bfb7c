"""The saw-guide plate: one slot per fret that the saw's plate runs in, with pins as stops for the board.

The board lies under the plate; pins pressed through it touch the board's nut end and both tapered edges, so that it
can lie in one place only. Slots end inside the plate: the rails left along both sides keep it in one piece.
"""

from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.model import Layout
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import hole, label, scored, slot
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate

NAME, TITLE = "saw-guide", "Saw-guide plate"

_OVERRUN = 5.0  # slot beyond the board's edge, so that the saw's teeth clear it
_RAIL = 14.0  # solid rail beyond the slots of the widest place
_NUT_END = 22.0  # plate before the nut, which carries the stops there
_FAR_END = 15.0
_CORNER = 4.0
_CORNER_MARK = 5.0  # length of the lines at the board's corners and centre
_GAP = 1.5
_SMALLEST_WEB = 2.0  # acrylic left beside a hole or slot (common practice)


def saw_guide(layout: Layout, bench: Bench) -> Part:
    """Returns the part.

    Args:
        layout: Of the neck; it needs frets.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the neck has no frets, or there is no room for a stop pin between two slots.
    """
    if not layout.frets:
        raise LimitError(
            where=f"part {NAME}",
            got="a fretless neck",
            expected="at least one fret to saw a slot for",
            mend="Leave this part out with --only",
        )
    tools, letters = layout.spec.tools, bench.smallest_lettering_mm
    slot_width = tools.saw_plate.value + tools.saw_clearance.value
    widest = max(layout.board_end.end.y, layout.nut.end.y)
    band = 4.2 * letters + 3.0 * _GAP
    box = Box(
        Point(-_NUT_END, -widest - _OVERRUN - _RAIL),
        Point(layout.board_end.start.x + _FAR_END, widest + _OVERRUN + _RAIL + band),
    )
    band_low = box.high.y - band
    tag_box = Box(
        Point(0.0, box.high.y - _GAP - 2.0 * letters), Point(box.high.x - _CORNER, box.high.y - _GAP)
    )
    return Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER),
            *(_slot(fret.number, fret.line, slot_width) for fret in layout.frets),
            *_stop_pins(layout),
            *_board_edges(layout),
            *_numbers(layout, letters * 1.4),
            *_words(layout, bench, slot_width, band_low),
        ),
        tag_box=tag_box,
        lies_on_work=True,
    )


def _slot(number: int, line: Line, width: float) -> Feature:
    over = (line.end - line.start).unit() * _OVERRUN
    return slot(f"fret.{number}", Line(line.start - over, line.end + over), width, datum=line)


def _stop_pins(layout: Layout) -> tuple[Feature, ...]:
    """Two pins at the nut end, and two against each edge as far apart as the slots leave room for."""
    tools = layout.spec.tools
    pin, diameter = tools.stop_pin.value, tools.stop_pin.value + tools.pin_clearance.value
    inset = layout.nut.end.y * 0.5
    at_nut = [Point(-pin / 2.0, -inset), Point(-pin / 2.0, inset)]
    gaps = _gaps_for_pins(layout, diameter)
    against: list[Point] = []
    for x in (gaps[0], gaps[-1]):
        for edge, outward in ((layout.bass_edge, -1.0), (layout.treble_edge, 1.0)):
            direction = (edge.end - edge.start).unit()
            touch = edge.start + direction * ((x - edge.start.x) / direction.x)
            against.append(touch + direction.left() * (outward * pin / 2.0))
    return tuple(
        hole(f"pin.{number}", at, diameter) for number, at in enumerate([*at_nut, *against], start=1)
    )


def _gaps_for_pins(layout: Layout, diameter: float) -> list[float]:
    """Middles of the gaps between neighbouring slots (the nut counts as one) that hold a pin's hole."""
    slot_width = layout.spec.tools.saw_plate.value + layout.spec.tools.saw_clearance.value
    lines = [0.0, *(fret.distance for fret in layout.frets)]
    middles = [
        (left + right) / 2.0
        for left, right in pairwise(lines)
        if right - left - slot_width >= diameter + 2.0 * _SMALLEST_WEB
    ]
    if len(middles) < 2:
        raise LimitError(
            where=f"part {NAME}",
            got=f"a stop pin of {layout.spec.tools.stop_pin.value:.2f} mm",
            expected=f"one that leaves {_SMALLEST_WEB:.1f} mm on both sides between two neighbouring slots",
            mend="Use a thinner pin (tools.stop-pin)",
        )
    return middles


def _board_edges(layout: Layout) -> tuple[Feature, ...]:
    """Short lines that show the board's ends, edges and centre, for a blank not yet tapered."""
    end = layout.board_end.start.x
    features = [
        scored("centre.nut-end", Point(-_NUT_END + 2.0, 0.0), Point(0.0, 0.0)),
        scored("centre.far-end", Point(end, 0.0), Point(end + _FAR_END - 2.0, 0.0)),
    ]
    for name, line in (("nut", layout.nut), ("board-end", layout.board_end)):
        across = (line.end - line.start).unit() * _CORNER_MARK
        middle = between(line.start, line.end, 0.5)
        features += [
            scored(f"{name}.bass", line.start, line.start + across),
            scored(f"{name}.centre", middle - across, middle + across),
            scored(f"{name}.treble", line.end - across, line.end),
        ]
    return tuple(features)


def _numbers(layout: Layout, height: float) -> tuple[Feature, ...]:
    return tuple(
        label(
            f"number.{fret.number}.{side}",
            str(fret.number),
            Point(fret.distance, sign * (fret.line.end.y + _OVERRUN + _GAP)),
            height=height,
            anchor=anchor,
        )
        for fret in layout.frets
        for side, sign, anchor in (("bass", -1.0, Anchor.CENTRE_TOP), ("treble", 1.0, Anchor.CENTRE_BASELINE))
    )


def _words(layout: Layout, bench: Bench, slot_width: float, low: float) -> tuple[Feature, ...]:
    spec, letters = layout.spec, bench.smallest_lettering_mm
    heading = (
        f"{spec.design.name} {bench.design_id} · {TITLE} · {spec.scale.value:.2f} mm scale"
        f" · slot {slot_width:.2f} mm for a {spec.tools.saw_plate.value:.2f} mm saw"
        f" · {spec.tools.stop_pin.value:.2f} mm stop pins"
    )
    return (
        label("title", heading, Point(0.0, low + _GAP), height=letters * 1.4, anchor=Anchor.LEFT_BASELINE),
        label(
            "name.nut-end",
            "nut end",
            Point(-_NUT_END / 2.0 - 2.0, layout.nut.end.y * 0.5),
            height=letters * 1.4,
            angle=1.5707963267948966,
        ),
    )

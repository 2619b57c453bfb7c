"""The coupon: a square plate whose slots, tongues, blocks, holes and letters tell what a machine does to a material.

Slots and tongues of equal width, along x and along y, part the kerf from the scale: one comes out wider by what makes
the other narrower. Ten blocks drop out of a row of windows; pushed together, they show ten kerfs at once. The plate's
sides and diagonals tell scale and squareness. Holes and saw slots are there to try a fit, letters to be read.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import accumulate

from jiggen.geometry.box import Box
from jiggen.geometry.path import Line, polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import hole, label, slot
from jiggen.parts.model import Bench, Feature, Part, Role

NAME, TITLE = "coupon", "Coupon"

SIDE = 100.0  # of the plate: its diagonal still goes into a caliper of 150 mm
WIDTHS = (5.0, 8.0, 12.0)  # of slots and tongues: wide enough for a caliper's jaws
BLOCKS, BLOCK_WIDTH = 10, 6.0
_DEPTH = 10.0  # of slots, so that jaws reach in
_LAST = 5.0  # a slot beyond the last tongue, for the caliper's other jaw
_BLOCK_HEIGHT, _WEB = 10.0, 3.2
_TOP_COMB_FROM, _RIGHT_COMB_FROM = 22.0, 12.0  # where the combs begin
_RIGHT = SIDE - _DEPTH - 5.0  # lettering keeps left of this, clear of the comb on the right side
_LEFT = 4.0
_BLOCKS_LOW = 74.0

Run = tuple[Point, Point, Point, Point]  #: round a slot: mouth, floor, floor, mouth

#: Added to a pin's diameter, and to the saw plate's, for the rows of holes and slots to try: tight to free.
PIN_CLEARANCES = (-0.05, 0.0, 0.05, 0.10, 0.15)
SAW_CLEARANCES = (0.0, 0.04, 0.08, 0.12, 0.16)
#: Heights of letters in the ladder, as shares of the smallest that the machine is said to letter legibly.
LADDER = (0.6, 0.8, 1.0, 1.2, 1.6)


class Side(StrEnum):
    """How a caliper takes a measure."""

    OUTSIDE = "outside"  #: over something that is left standing
    INSIDE = "inside"  #: between two walls
    BLOCKS = "blocks"  #: over all blocks pushed together
    DIAGONAL = "diagonal"  #: from corner to corner


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """Something to measure on the coupon.

    Attributes:
        id: As written in the first column of the readings.
        side: How the caliper takes it.
        axis: `x` or `y`; for the diagonals `rising` or `falling` with x.
        nominal_mm: Of one of them, at finished size.
        about: Where it is, for people.
        readings: How often it is best read.
    """

    id: str
    side: Side
    axis: str
    nominal_mm: float
    about: str
    readings: int = 1


def _gauges() -> Iterator[Gauge]:
    for axis, edge in (("x", "top"), ("y", "right")):
        for width in WIDTHS:
            for side, word in ((Side.OUTSIDE, "tongue"), (Side.INSIDE, "slot")):
                yield Gauge(
                    id=f"{word}.{axis}.{width:g}",
                    side=side,
                    axis=axis,
                    nominal_mm=width,
                    about=f"{word} of {width:g} mm in the {edge} edge",
                )
    yield Gauge(
        id="blocks.x",
        side=Side.BLOCKS,
        axis="x",
        nominal_mm=BLOCK_WIDTH,
        about=f"all {BLOCKS} blocks pushed together, over their narrow sides",
        readings=4,
    )
    for axis, way in (("x", "left to right, low down"), ("y", "bottom to top, at the left")):
        yield Gauge(
            id=f"plate.{axis}",
            side=Side.OUTSIDE,
            axis=axis,
            nominal_mm=SIDE,
            about=f"plate, {way}",
            readings=3,
        )
    for way, corners in (("rising", "lower left to upper right"), ("falling", "upper left to lower right")):
        yield Gauge(
            id=f"diagonal.{way}",
            side=Side.DIAGONAL,
            axis=way,
            nominal_mm=SIDE * 2.0**0.5,
            about=f"plate, corner to corner, {corners}",
        )


GAUGES = tuple(_gauges())


def coupon(layout: Layout, bench: Bench) -> Part:
    """Returns the part: a square with its lower left corner at the origin.

    Args:
        layout: Of the neck whose tools the fits are tried for.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    tools = layout.spec.tools
    tag_box = Box(Point(_LEFT, 3.0), Point(_RIGHT, 3.0 + 5.8 * letters))
    title = f"{SIDE:g} mm square · slots inside, tongues outside"
    title_at = Point(_LEFT, tag_box.high.y + 0.8 * letters)
    return Part(
        name=NAME,
        title=TITLE,
        features=(
            *_plate_and_combs(letters),
            *_blocks(letters),
            label("title", title, title_at, height=1.2 * letters, anchor=Anchor.LEFT_BASELINE),
            *_ladder(Point(_LEFT, title_at.y + 2.4 * letters), letters),
            *_saw_slots(tools.saw_plate.value, 35.0, letters),
            *_pin_holes("stop-pin", tools.stop_pin.value, 50.0, letters),
            *_pin_holes("index-pin", tools.index_pin.value, 60.5, letters),
        ),
        tag_box=tag_box,
    )


def _comb() -> tuple[tuple[float, float], ...]:
    """Returns from where to where each slot of a comb runs, from its beginning."""
    steps = [0.0]
    for width in WIDTHS:
        steps += [width, width]  # a slot, then the tongue after it
    steps.append(_LAST)
    ends = tuple(accumulate(steps))
    return tuple((ends[index], ends[index + 1]) for index in range(0, len(ends) - 1, 2))


def _plate_and_combs(letters: float) -> Iterator[Feature]:
    slots, names = _comb(), [*(f"{width:g}" for width in WIDTHS), "end"]
    floor = SIDE - _DEPTH
    up: list[tuple[str, Run]] = []
    back: list[tuple[str, Run]] = []
    for name, (begin, end) in zip(names, slots, strict=True):
        low, high = _RIGHT_COMB_FROM + begin, _RIGHT_COMB_FROM + end
        up.append(
            (f"slot.y.{name}", (Point(SIDE, low), Point(floor, low), Point(floor, high), Point(SIDE, high)))
        )
        low, high = _TOP_COMB_FROM + begin, _TOP_COMB_FROM + end
        back.append(
            (f"slot.x.{name}", (Point(high, SIDE), Point(high, floor), Point(low, floor), Point(low, SIDE)))
        )
    back.reverse()
    corners = [
        *(Point(0.0, 0.0), Point(SIDE, 0.0)),
        *(point for _, run in up for point in run),
        Point(SIDE, SIDE),
        *(point for _, run in back for point in run),
        Point(0.0, SIDE),
    ]
    yield Feature(id="outline", role=Role.EDGE, paths=(polyline(corners, closed=True),))
    for id, run in (*up, *back):
        yield _notch(id, run)
    yield from _comb_labels(slots, letters)


def _notch(id: str, run: Run) -> Feature:
    mouth, floor = (run[0] + run[3]) * 0.5, (run[1] + run[2]) * 0.5
    return Feature(
        id=id,
        role=Role.OPENING,
        paths=(polyline(run),),
        datum=Line(mouth, floor),
        width_mm=run[1].distance(run[2]),
        cut_in="outline",
    )


def _comb_labels(slots: tuple[tuple[float, float], ...], letters: float) -> Iterator[Feature]:
    """Each tongue carries its width; so does the plate under each slot."""
    on_tongue, under_slot = SIDE - _DEPTH / 2.0, SIDE - _DEPTH - 0.8
    for index, width in enumerate(WIDTHS):
        slot_middle = (slots[index][0] + slots[index][1]) / 2.0
        tongue_middle = (slots[index][1] + slots[index + 1][0]) / 2.0
        for place, middle, depth in (("tongue", tongue_middle, on_tongue), ("slot", slot_middle, under_slot)):
            along_top, along_right = _TOP_COMB_FROM + middle, _RIGHT_COMB_FROM + middle
            is_slot = place == "slot"
            yield label(
                f"name.{place}.x.{width:g}",
                f"{width:g}",
                Point(along_top, depth),
                height=letters,
                anchor=Anchor.CENTRE_TOP if is_slot else Anchor.CENTRE_MIDDLE,
            )
            yield label(
                f"name.{place}.y.{width:g}",
                f"{width:g}",
                Point(depth, along_right),
                height=letters,
                anchor=Anchor.RIGHT_MIDDLE if is_slot else Anchor.CENTRE_MIDDLE,
            )


def _blocks(letters: float) -> Iterator[Feature]:
    pitch = BLOCK_WIDTH + _WEB
    left = (SIDE - BLOCKS * pitch + _WEB) / 2.0
    for number in range(BLOCKS):
        low = Point(left + number * pitch, _BLOCKS_LOW)
        high = low + Point(BLOCK_WIDTH, _BLOCK_HEIGHT)
        middle = (low.x + high.x) / 2.0
        yield Feature(
            id=f"block.{number + 1}",
            role=Role.OPENING,
            paths=(rectangle(low, high),),
            datum=Line(Point(middle, low.y), Point(middle, high.y)),
            width_mm=BLOCK_WIDTH,
        )
    words = f"{BLOCKS} blocks drop out: measure them together"
    at = Point(_LEFT, _BLOCKS_LOW - 0.9)
    yield label("name.blocks", words, at, height=letters, anchor=Anchor.LEFT_TOP)


def _ladder(at: Point, letters: float) -> Iterator[Feature]:
    x = at.x
    for number, share in enumerate(LADDER, start=1):
        height = share * letters
        yield label(
            f"ladder.{number}", f"{height:.1f} g8", Point(x, at.y), height=height, anchor=Anchor.LEFT_BASELINE
        )
        x += 4.6 * height + 3.0


def _saw_slots(saw: float, low: float, letters: float) -> Iterator[Feature]:
    for number, clearance in enumerate(SAW_CLEARANCES):
        x = 30.0 + 12.0 * number
        along = Line(Point(x, low), Point(x, low + 8.0))
        yield slot(f"saw.{number + 1}", along, saw + clearance, datum=along)
        at = Point(x, low + 8.8)
        yield label(
            f"name.saw.{number + 1}",
            f"{saw + clearance:.2f}",
            at,
            height=letters,
            anchor=Anchor.CENTRE_BASELINE,
        )
    at = Point(_LEFT, low + 4.0)
    yield label("name.saw", f"{saw:.2f} saw", at, height=letters, anchor=Anchor.LEFT_MIDDLE)


def _pin_holes(name: str, pin: float, y: float, letters: float) -> Iterator[Feature]:
    for number, clearance in enumerate(PIN_CLEARANCES):
        centre = Point(30.0 + 12.0 * number, y)
        yield hole(f"{name}.{number + 1}", centre, pin + clearance)
        at = Point(centre.x, y + pin / 2.0 + 0.9)
        yield label(
            f"name.{name}.{number + 1}",
            f"{pin + clearance:.2f}",
            at,
            height=letters,
            anchor=Anchor.CENTRE_BASELINE,
        )
    at = Point(_LEFT, y)
    yield label(f"name.{name}", f"{pin:.2f} pin", at, height=letters, anchor=Anchor.LEFT_MIDDLE)

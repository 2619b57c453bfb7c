"""The routing pattern for pick-ups and other cavities: one plate with all of them, laid by centre and saddle line."""

import math
from collections.abc import Iterator, Sequence

from jiggen.design.given import known
from jiggen.design.instrument import Opening
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.openings import opening_contour, opening_place
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import label
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import Notch, Side
from jiggen.parts.routing import CLEAR, GAP, MARGIN, notch, routing_plate, saddle_line, to_the_nut
from jiggen.units import format_mm

NAME, TITLE = "cavity-pattern", "Cavity pattern"

_INSET = 5.0  # from the plate's sides to the caption
_PAST_SADDLE = 14.0  # plate beyond the saddle line, so that it can be seen on both sides
_NOTCH_DEPTH = 2.5
_LEAST_CAPTION = 70.0  # width of a caption beside the saddle line; with less it goes under all of it
_CAPTION_DEPTH = 60.0  # how far down beside it the caption may reach


def cavity_pattern(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part, in the layout's coordinates.

    Args:
        neck: Whose body has openings.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If an opening's corners are rounder than it has room for.
    """
    layout, letters = neck.layout, bench.smallest_lettering_mm
    wanted = known(neck.spec.body.openings)
    openings = tuple(
        Feature(
            id=f"opening.{number}",
            role=Role.OPENING,
            paths=(opening_contour(layout, each),),
            datum=opening_place(layout, each),
            width_mm=min(each.length, each.width),
            led=True,
        )
        for number, each in enumerate(wanted, start=1)
    )
    cut = around(bounds(each.paths[0]) for each in openings)
    aside = CLEAR + 2.0 * letters + 2.0 * GAP  # room for a number beside an opening
    low, high = min(cut.low.y - aside, -MARGIN), max(cut.high.y + aside, MARGIN)
    top = high + letters + GAP
    saddle = [x_at(layout.saddle, y) for y in (low - _CAPTION_DEPTH, top)]
    left = min(cut.low.x - MARGIN, min(saddle) - _PAST_SADDLE)
    right = max(cut.high.x + MARGIN, max(saddle) + _PAST_SADDLE)
    beside = min(saddle) - GAP - left - _INSET
    is_beside = beside >= _LEAST_CAPTION
    block = caption(
        neck.spec,
        TITLE,
        [f"{number} {_words(each)}" for number, each in enumerate(wanted, start=1)],
        left=left + _INSET,
        top=low,
        width=beside if is_beside else right - left - 2.0 * _INSET,
        letters=letters,
    )
    box = Box(Point(left, block.low - GAP), Point(right, top))
    ends = (box.low.y if is_beside else low, box.high.y)
    line = saddle_line(layout, (ends[0] + _NOTCH_DEPTH, ends[1] - _NOTCH_DEPTH), wanted)
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *routing_plate(box, more=_saddle_notches(layout, box, low_too=is_beside)),
            *openings,
            *line,
            label(
                "name.saddle",
                "saddle",
                Point(max(x_at(layout.saddle, y) for y in (high - 8.0 * letters, high)) + GAP, high),
                height=letters,
                anchor=Anchor.LEFT_BASELINE,
                angle=-math.pi / 2.0,
            ),
            *_numbers(layout, openings, box, letters),
            *to_the_nut(box, _row_for_the_nut(layout, box, low, letters), letters),
            *block.features,
        ),
        tag_box=block.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _row_for_the_nut(layout: Layout, box: Box, low: float, letters: float) -> float:
    """The y of the arrow to the nut: at the top, or above the caption where a slanted saddle line is in the way."""
    top = box.high.y - GAP - letters / 2.0
    return top if x_at(layout.saddle, top) > box.low.x + 16.0 * letters else low + GAP + letters / 2.0


def _words(opening: Opening) -> str:
    """An opening in words; what is nought goes without saying."""
    side = "treble" if opening.offset > 0.0 else "bass"
    items = (
        f"{opening.name}: {opening.length:.2f} × {opening.width:.2f} mm",
        f"{format_mm(opening.from_saddle)} from the saddle line",
        f"{format_mm(abs(opening.offset))} to the {side}" if opening.offset else "",
        f"slant {math.degrees(opening.slant):.1f} deg" if opening.slant else "",
        f"{format_mm(opening.depth)} deep" if opening.depth else "",
    )
    return " · ".join(filter(None, items))


def _saddle_notches(layout: Layout, box: Box, *, low_too: bool) -> tuple[Notch, ...]:
    """Vs at the ends of the saddle line."""
    high = notch("saddle.high", Side.TOP, x_at(layout.saddle, box.high.y))
    low = notch("saddle.low", Side.BOTTOM, x_at(layout.saddle, box.low.y))
    return (high, low) if low_too else (high,)


def _numbers(layout: Layout, openings: Sequence[Feature], box: Box, letters: float) -> Iterator[Feature]:
    """Yields each opening's number beside it, where neither another opening nor the saddle line is near."""
    size = 1.6 * letters
    boxes = [bounds(each.paths[0]) for each in openings]
    for number, own in enumerate(boxes, start=1):
        half = text_width(str(number), size) / 2.0
        up, aside = own.height / 2.0 + CLEAR + size / 2.0, own.width / 2.0 + CLEAR + half
        ways = (Point(0.0, up), Point(0.0, -up), Point(-aside, 0.0), Point(aside, 0.0))
        for place in (own.centre + way for way in ways):
            room = Box(place - Point(half, size / 2.0), place + Point(half, size / 2.0)).grown(GAP)
            saddle = [x_at(layout.saddle, y) for y in (room.low.y, room.high.y)]
            beside_saddle = room.high.x < min(saddle) or room.low.x > max(saddle) + 2.0 * GAP + letters
            beside_others = not any(room.overlaps(each.grown(CLEAR - GAP)) for each in boxes)
            if beside_saddle and beside_others and box.contains(room) and abs(place.y) > size:
                yield label(f"number.{number}", str(number), place, height=size)
                break

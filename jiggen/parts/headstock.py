"""The headstock template: its outline, the tuners' holes or the slots, and each string's way from the nut.

It lies on the head's face, its straight end against the back of the nut or on the line for it. On a slotted head, lines
show where the rollers go in from the sides.
"""

import math
from collections.abc import Iterator
from itertools import pairwise

from jiggen.design.given import known
from jiggen.design.instrument import HeadForm
from jiggen.design.quote import key_of
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line, segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.segment import heading_on
from jiggen.geometry.stroke import slot_along
from jiggen.layout.head import lay_out_head
from jiggen.layout.head_shape import HeadShape, Slot, Tuner
from jiggen.layout.places import edge_at
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.fitted_caption import fitted_caption
from jiggen.parts.marks import arrow, hole, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import format_mm

NAME, TITLE = "headstock-template", "Headstock template"

NEEDS = (
    "head.length",
    "head.tuners",
    "head.tuner_hole",
    "head.first_tuner",
    "head.tuner_spacing",
)
#: What a slotted head asks for too.
_SLOTS = ("width", "slot_width", "slot_length", "slot_from_nut", "slot_from_centre")

_FROM_HOLE = 1.0  # between a string's line and the hole of its tuner
_GAP = 1.2  # from lettering to anything else
_TO_NUT = "to the nut"
_ARROW, _ARROW_GAP = 7.0, 0.6
_EDGE_GAP, _TICK = 0.6, 6.0  # of the mark on the centre line at the tip


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    head = neck.spec.head
    if not head.tuners:
        return ""
    if known(head.form) is HeadForm.SLOTTED:
        lacking = [key_of(f"head.{name}") for name in _SLOTS if getattr(head, name) is None]
        return f"it is slotted, and {', '.join(lacking)} not said" if lacking else ""
    if head.tuner_inset is None:
        return "its head.tuner-inset is missing"
    if head.width:
        return ""
    if known(head.straight_pull) and min(head.tuners.value) > 0:
        return ""
    return "its head.width is missing; it is needed where sides do not follow tuners that are pulled straight"


def headstock_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: Whose head's numbers are known.
        bench: Sets the lettering's height.

    Raises:
        ConflictError: If there is not one tuner for each string.
        LimitError: If tuners do not fit on the head, or there is no room for the lettering.
    """
    shape, letters = lay_out_head(neck.layout), bench.smallest_lettering_mm
    drawn = (
        Feature(id="outline", role=Role.EDGE, paths=(shape.outline,), datum=shape.nut, led=True),
        *(_slotted(neck, shape, letters) if shape.slots else _solid(neck, shape, letters)),
        *_nut_end(shape, letters),
        *_centre(shape),
    )
    block = fitted_caption(neck.spec, TITLE, _words(neck, shape), drawn, letters=letters)
    part = Part(
        name=NAME,
        title=TITLE,
        features=(*drawn, *block.features),
        tag_box=block.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _solid(neck: Neck, shape: HeadShape, letters: float) -> Iterator[Feature]:
    """Yields what belongs to tuners that stand on the face."""
    for each in shape.tuners:
        yield hole(f"tuner.{each.string}", each.centre, known(neck.spec.head.tuner_hole))
    yield from _strings(neck, shape)
    yield from _numbers(neck, shape, letters)


def _slotted(neck: Neck, shape: HeadShape, letters: float) -> Iterator[Feature]:
    """Yields the slots, each string from the nut to its slot, and its roller's line and number beside that."""
    by_side, width = {slot.side: slot for slot in shape.slots}, known(neck.spec.head.slot_width)
    for slot in shape.slots:
        yield Feature(
            id=f"slot.{slot.side}",
            role=Role.OPENING,
            paths=(slot.contour,),
            datum=slot.middle,
            width_mm=width,
            led=True,
        )
    for tuner in shape.tuners:
        run, slot = tuner.run, by_side[tuner.side]
        near = slot_along(segment(slot.middle.start, slot.middle.end), width + 2.0 * _FROM_HOLE)
        end = run.start + (run.end - run.start).unit() * min(
            run.start.distance(each.at) for piece in near for each in meetings(piece, run)
        )
        yield Feature(
            id=f"string.{tuner.string}", role=Role.LINE, paths=(segment(run.start, end),), datum=run
        )
        yield from _roller(tuner, slot, width, letters)


def _roller(tuner: Tuner, slot: Slot, width: float, letters: float) -> Iterator[Feature]:
    """Yields a roller's line from the head's side to its slot, and its string's number on the nut's side of it."""
    axis = tuner.axis
    if axis is None:
        raise TypeError("a tuner on the head's face has no roller")
    side, inward = axis.start, (axis.end - axis.start).unit()
    wall = slot.middle.start.y + math.copysign(width / 2.0, side.y - slot.middle.start.y)
    inner = side + inward * ((wall - side.y) / inward.y - _FROM_HOLE)
    yield scored(f"roller.{tuner.string}", side + inward * _EDGE_GAP, inner, datum=axis)
    toward_nut = inward.left() if inward.left().x > 0.0 else -inward.left()
    at = between(side, inner, 0.5) + toward_nut * (letters / 2.0 + _GAP)
    yield label(f"number.{tuner.string}", str(tuner.string), at, height=letters)


def _strings(neck: Neck, shape: HeadShape) -> tuple[Feature, ...]:
    """Each string from the nut to near its post's hole, in which there is nothing to score."""
    from_middle = known(neck.spec.head.tuner_hole) / 2.0 + _FROM_HOLE
    features: list[Feature] = []
    for tuner in shape.tuners:
        run = tuner.run
        short = math.sqrt(max(from_middle**2 - run.end.distance(tuner.centre) ** 2, 0.0))
        end = between(run.end, run.start, short / run.start.distance(run.end))
        features.append(
            Feature(id=f"string.{tuner.string}", role=Role.LINE, paths=(segment(run.start, end),), datum=run)
        )
    return tuple(features)


def _numbers(neck: Neck, shape: HeadShape, letters: float) -> tuple[Feature, ...]:
    """Each string's number beside its hole, on the side away from the strings."""
    aside = known(neck.spec.head.tuner_hole) / 2.0 + _GAP + letters / 2.0
    return tuple(
        label(
            f"number.{each.string}",
            str(each.string),
            each.centre + (each.centre - each.run.end).unit() * aside,
            height=letters,
        )
        for each in shape.tuners
    )


def _nut_end(shape: HeadShape, letters: float) -> Iterator[Feature]:
    """An arrow to the nut in the widest gap between two strings near the middle, with words where there is room."""
    runs = sorted((each.run for each in shape.tuners), key=lambda run: run.start.y)
    if len(runs) < 2:
        runs = [Line(end, end - Point(shape.nut.start.x - shape.tip, 0.0)) for end in _by_y(shape.nut)]
    low, high = max(pairwise(runs), key=_gap_near_middle)
    place = between(low.start, high.start, 0.5)
    yield arrow("arrow.nut", place - Point(_ARROW, 0.0), place - Point(_ARROW_GAP, 0.0))
    end = place.x - _ARROW - _GAP
    span = (end - text_width(_TO_NUT, letters), end)
    floor, ceiling = max(edge_at(low, x) for x in span), min(edge_at(high, x) for x in span)
    lines_end = max(low.end.x, high.end.x, *(_begin(slot) + _GAP for slot in shape.slots))
    if min(place.y - floor, ceiling - place.y) >= letters / 2.0 + _GAP and span[0] > lines_end:
        yield label("name.nut", _TO_NUT, Point(end, place.y), height=letters, anchor=Anchor.RIGHT_MIDDLE)


def _begin(slot: Slot) -> float:
    """The x at which a slot begins, seen from the nut."""
    return bounds(slot.contour).high.x


def _by_y(line: Line) -> list[Point]:
    return sorted((line.start, line.end), key=lambda end: end.y)


def _gap_near_middle(pair: tuple[Line, Line]) -> tuple[float, float]:
    """To choose the widest gap by, and of equals the one nearest the centre line."""
    one, other = (run.start for run in pair)
    return round(one.distance(other), 3), -abs(one.y + other.y)


def _centre(shape: HeadShape) -> Iterator[Feature]:
    """A mark on the centre line at the tip, where it crosses the head's end and not a side."""
    centre = Line(Point(shape.tip - 1.0, 0.0), Point(shape.nut.start.x, 0.0))
    met = [
        (each.at.x, heading_on(piece, each.first))
        for piece in shape.outline
        for each in meetings(piece, centre)
    ]
    x, heading = min(met, key=lambda each: each[0])
    if abs(heading.x) < abs(heading.y):
        yield scored("centre.tip", Point(x + _EDGE_GAP, 0.0), Point(x + _TICK, 0.0))


def _words(neck: Neck, shape: HeadShape) -> tuple[str, ...]:
    head = neck.spec.head
    hand = " · left-handed" if neck.spec.left_handed.value else ""
    most = math.degrees(max(each.bend for each in shape.tuners))
    size, pitch, deep = (
        format_mm(known(each)) for each in (head.tuner_hole, head.tuner_spacing, head.roller_depth)
    )
    bends = f"strings bend at the nut, {most:.1f} deg at most"
    if shape.slots:
        return (
            f"straight end to the nut{hand}",
            f"rollers {size}, {pitch} apart, {deep} deep",
            "straight pull" if known(head.straight_pull) else bends,
        )
    return (
        f"straight end to the back of the nut{hand}",
        f"{size} holes, {pitch} apart",
        f"straight pull, {format_mm(known(head.post))} posts" if known(head.straight_pull) else bends,
    )

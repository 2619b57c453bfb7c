"""The string-hole jig: a hole for every string's pin, or for the string itself, to lead the drill or take a bushing."""

from collections.abc import Iterator
from itertools import combinations

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.bridge import BridgePlace, place_bridge, string_holes
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import arrow, hole, label, scored
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import Notch, Side, plate

NAME, TITLE = "string-hole-jig", "String-hole jig"

_ROUND = 14.0  # plate round the holes: room for a clamp
_LEAST_WEB = 1.6  # between two holes
_LEAST_WIDTH = 90.0  # for the words
_NOTCH_WIDTH, _NOTCH_DEPTH = 4.0, 2.0
_GAP = 1.5
_CORNER = 3.0


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    if neck.spec.bridge.pin_distance is None:
        return ""  # the missing number is named as one that is needed
    closest = min(
        (one.distance(other) for (_, one), (_, other) in combinations(string_holes(neck.layout), 2)),
        default=float("inf"),
    )
    needed = drill_hole(neck.layout) + _LEAST_WEB
    if closest >= needed:
        return ""
    return (
        f"its string holes are {closest:.2f} mm apart and holes to drill through need {needed:.2f} mm:"
        " give bridge.second-row, or thinner bushings"
    )


def drill_hole(layout: Layout) -> float:
    """Returns the diameter of the jig's holes: that of the bushings if there are any, else of the bare drill."""
    tools, drill = layout.spec.tools, layout.spec.bridge.pin_drill
    bare = drill.value if drill else 0.0
    return (tools.bushing.value if tools.bushing else bare) + tools.pin_clearance.value


def string_hole_jig(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for; the bridge's size and place and the holes' are known.
        bench: Sets the lettering's height.
    """
    layout, letters = neck.layout, bench.smallest_lettering_mm
    place, diameter = place_bridge(layout, neck.setup), drill_hole(layout)
    holes = [hole(f"string-hole.{number}", at, diameter) for number, at in string_holes(layout)]
    pins = _saddle_pins(neck, place)
    points = [at for _, at in string_holes(layout)]
    points += list(place.pins) or [place.saddle.start, place.saddle.end]
    reach = _ROUND + diameter / 2.0
    numbered = diameter / 2.0 + _GAP + letters
    left = min(point.x for point in points) - reach
    right = max(max(point.x for point in points) + reach + numbered, left + _LEAST_WIDTH)
    low, high = min(point.y for point in points) - reach, max(point.y for point in points) + reach
    text = caption(
        neck.spec,
        TITLE,
        _words(neck, place),
        left=left + _CORNER + _GAP,
        top=low,
        width=right - left - 2.0 * (_CORNER + _GAP),
        letters=letters,
    )
    box = Box(Point(left, text.low - _CORNER), Point(right, high))
    notches = [
        Notch(id=id, side=side, at=0.0, width=_NOTCH_WIDTH, depth=_NOTCH_DEPTH, pointed=True)
        for id, side in (("centre.front", Side.LEFT), ("centre.back", Side.RIGHT))
    ]
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER, notches=notches),
            *holes,
            *pins,
            *_marks(neck, place, box, letters),
            *_numbers(layout, diameter, letters),
            *text.features,
        ),
        tag_box=text.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _numbers(layout: Layout, diameter: float, letters: float) -> Iterator[Feature]:
    """Each string's number behind its hole; before it in the first of two rows."""
    holes = string_holes(layout)
    rows = 2 if layout.spec.bridge.second_row and max(layout.spec.courses.value) > 1 else 1
    for index, (number, at) in enumerate(holes):
        before = rows == 2 and layout.strings[index].course not in {
            string.course for string in layout.strings[:index]
        }
        aside = Point(diameter / 2.0 + _GAP, 0.0)
        yield label(
            f"number.{number}",
            str(number),
            at - aside if before else at + aside,
            height=letters,
            anchor=Anchor.RIGHT_MIDDLE if before else Anchor.LEFT_MIDDLE,
        )


def _saddle_pins(neck: Neck, place: BridgePlace) -> list[Feature]:
    width = neck.spec.bridge.slot_width
    diameter = (width.value if width else 0.0) + neck.spec.tools.pin_clearance.value
    return [hole(f"saddle-pin.{number}", pin, diameter) for number, pin in enumerate(place.pins, start=1)]


def _marks(neck: Neck, place: BridgePlace, box: Box, letters: float) -> list[Feature]:
    """The saddle line to lay the jig by where it has no pins, an arrow to the nut, and which side is which."""
    features: list[Feature] = []
    if not place.pins:
        features.append(scored("saddle", place.saddle.start, place.saddle.end))
    start = box.low.x + _GAP
    y = box.high.y - _GAP - letters
    tail = Point(start + 3.0 * letters, y)
    features.append(arrow("arrow.nut", tail, Point(start, y)))
    features.append(
        label("name.nut", "nut", tail + Point(_GAP, 0.0), height=letters, anchor=Anchor.LEFT_MIDDLE)
    )
    treble_up = neck.layout.nut.end.y > 0.0
    x = tail.x + _GAP + text_width("nut", letters) + 4.0 * _GAP
    upper = "treble" if treble_up else "bass"
    features.append(
        label("name.side", f"{upper} side", Point(x, y), height=letters, anchor=Anchor.LEFT_MIDDLE)
    )
    return features


def _words(neck: Neck, place: BridgePlace) -> tuple[str, ...]:
    spec = neck.spec
    drill = spec.bridge.pin_drill.value if spec.bridge.pin_drill else 0.0
    bushing = f" in {spec.tools.bushing.value:.2f} mm bushings" if spec.tools.bushing else ""
    held = "lay it by the saddle's line and the centre notches"
    if place.pins:
        width = spec.bridge.slot_width.value if spec.bridge.slot_width else 0.0
        held = f"{width:.2f} mm pins in the saddle's slot hold it · notches on the centre line"
    return (f"{drill:.2f} mm drill{bushing}, square to the top · clamp it, do not hold it by hand", held)

"""Where bridge, saddle and string holes lie. Millimetres."""

from dataclasses import dataclass

from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.setup import StringSetup

#: From the end of the saddle's slot to the middle of a pin in it.
_PIN_FROM_END = 6.0
#: Of the bridge's length, over which a saddle of unknown length is drawn.
_SHARE = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgePlace:
    """A bridge on the instrument. "Across" is along the saddle line on paper, which slants where frets fan out.

    Attributes:
        across: Unit vector along the saddle line on paper, toward +y.
        back: Unit vector square to it, away from the nut.
        centre: Where the saddle line on paper crosses the centre line.
        corners: Of the bridge: front low, back low, back high, front high, by y.
        paper: The saddle line on paper, as long as the slot, or most of the bridge when it has none, low y first.
        saddle: The saddle's middle, set back as the strings need, likewise.
        compensated: Whether the strings' needs are known: else the saddle lies on the line on paper.
        pins: Where two pins in the slot locate, low y first; empty when there is no slot.
    """

    across: Point
    back: Point
    centre: Point
    corners: tuple[Point, Point, Point, Point]
    paper: Line
    saddle: Line
    compensated: bool
    pins: tuple[Point, ...]


def place_bridge(layout: Layout, setup: StringSetup) -> BridgePlace:
    """Returns where the bridge goes.

    Args:
        layout: Of the neck; its spec says how long and wide the bridge is, and where its front lies.
        setup: Says how far the saddle is set back.

    Raises:
        ValueError: If the spec does not say that.
    """
    bridge = layout.spec.bridge
    if bridge.length is None or bridge.width is None or bridge.front is None:
        raise ValueError("a bridge of unknown size")
    centre = Point(x_at(layout.saddle, 0.0), 0.0)
    across = (layout.saddle.end - layout.saddle.start).unit()
    across = across if across.y > 0.0 else -across
    back = Point(across.y, -across.x)
    half, front, rear = (
        bridge.length.value / 2.0,
        -bridge.front.value,
        bridge.width.value - bridge.front.value,
    )
    corners = (
        centre - across * half + back * front,
        centre - across * half + back * rear,
        centre + across * half + back * rear,
        centre + across * half + back * front,
    )
    slot = bridge.slot_length.value if bridge.slot_length else _SHARE * bridge.length.value
    aside = across * (slot / 2.0)
    paper = Line(centre - aside, centre + aside)
    saddle = Line(_set_back(paper.start, setup), _set_back(paper.end, setup))
    inward = (saddle.end - saddle.start).unit() * _PIN_FROM_END
    return BridgePlace(
        across=across,
        back=back,
        centre=centre,
        corners=corners,
        paper=paper,
        saddle=saddle,
        compensated=setup.saddle is not None,
        pins=(saddle.start + inward, saddle.end - inward) if bridge.slot_length else (),
    )


def _set_back(place: Point, setup: StringSetup) -> Point:
    if setup.saddle is None:
        return place
    return place + Point(setup.saddle.straight.setback_at(place.y), 0.0)


def string_holes(layout: Layout) -> tuple[tuple[int, Point], ...]:
    """Returns the number of each string and where its hole goes, behind the saddle line on paper.

    Every second string of a course has its hole in a second row, where the spec asks for one.

    Raises:
        ValueError: If the spec does not say where the holes are.
    """
    bridge = layout.spec.bridge
    if bridge.pin_distance is None:
        raise ValueError("string holes at an unknown place")
    second = bridge.second_row.value if bridge.second_row else 0.0
    found: list[tuple[int, Point]] = []
    in_course: dict[int, int] = {}
    for string in layout.strings:
        index = in_course.get(string.course, 0)
        in_course[string.course] = index + 1
        behind = bridge.pin_distance.value + (second if index % 2 else 0.0)
        run = string.line.end - string.line.start
        found.append((string.number, string.line.end + run * (behind / run.x)))
    return tuple(found)

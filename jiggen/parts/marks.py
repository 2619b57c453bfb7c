"""Features that parts are put together from: lines, holes, slots and lettering. Millimetres."""

from collections.abc import Iterator, Sequence

from jiggen.design.spec import Spec
from jiggen.geometry.path import Line, Path, circle, polyline, segment
from jiggen.geometry.point import Point, between
from jiggen.layout.model import StringLine
from jiggen.lettering.fit import Anchor, letter, text_width
from jiggen.parts.model import Feature, Role

#: Centre line: long dash, gap, dot, gap (ISO 128-2, line type 04: 24, 3, 0.5 and 3 widths of line, from memory; the
#: dot longer, since a beam would only prick it).
CENTRE_LINE = (16.0, 2.0, 0.6, 2.0)
#: Hidden or projected line: dash, gap (ISO 128-2, line type 02: 12 and 3 widths of line, from memory).
DASHED_LINE = (8.0, 2.0)

#: Clear space between two labels in a row, in mm.
_BETWEEN_LABELS = 1.0
#: Lines nearer than this, in mm, would be scored as one, and burnt twice.
_ONE_MARK = 0.3
#: Lines nearer than this, in mm, burn into one to the eye.
APART = 0.5
#: Length in mm of the marks at the sides of a string, and of each where they stand one beyond the other.
SIDES = 2.6
_SIDE_BEYOND_SIDE = 1.0


def string_on_centre(string: StringLine) -> bool:
    """Tells whether a string runs so near the centre line that one mark must do for both."""
    return max(abs(string.line.start.y), abs(string.line.end.y)) < _ONE_MARK


def scored(id: str, start: Point, end: Point, *, datum: Line | None = None) -> Feature:
    """Returns a shallow solid line; it stands for itself unless a datum is given."""
    return Feature(id=id, role=Role.LINE, paths=(segment(start, end),), datum=datum or Line(start, end))


def string_sides(string: StringLine, place: Point, inward: Point, *, id: str) -> Iterator[Feature]:
    """Yields marks at both sides of a string, none if its gauge is not known.

    Those of a string thinner than two lines can be told apart stand one beyond the other.

    Args:
        string: That is marked.
        place: Where the marks start, on the string's middle.
        inward: The way they run, a unit vector.
        id: What their ids begin with.
    """
    gauge = string.gauge
    if gauge is None:
        return
    long = SIDES if gauge >= APART else _SIDE_BEYOND_SIDE
    for name, side in (("low-side", -1.0), ("high-side", 1.0)):
        start = Point(place.x + side * gauge / 2.0, place.y)
        if long < SIDES and name == "high-side":
            start += inward * (SIDES - long)
        yield scored(f"{id}.{name}", start, start + inward * long)


def slot_widths(spec: Spec) -> str:
    """Returns how wide a string's slot in the nut is, for each string, in words; empty if gauges are not known."""
    if spec.gauges is None:
        return ""
    clearance = spec.nut.slot_clearance.value if spec.nut.slot_clearance else 0.0
    slots = " · ".join(
        f"{number}: {gauge + clearance:.2f}" for number, gauge in enumerate(spec.gauges.value, start=1)
    )
    return f"slots by string in mm, gauge + {clearance:.2f} · {slots}"


def broken(id: str, start: Point, end: Point, pattern: Sequence[float]) -> Feature:
    """Returns a shallow broken line: dashes and gaps by turns, starting and ending on a whole first dash.

    Args:
        id: Feature id.
        start: Where the first dash starts.
        end: Where the last dash ends.
        pattern: Dash, gap, dash, gap … in mm; stretched a little so that a first dash falls on both ends.
    """
    total, period, first = start.distance(end), sum(pattern), pattern[0]
    repeats = max(round((total - first) / period), 0)
    stretch = total / (repeats * period + first)
    pieces: list[Path] = []
    at = 0.0
    for index in range(repeats * len(pattern) + 1):
        size = pattern[index % len(pattern)] * stretch
        if index % 2 == 0:
            upto = total if index == repeats * len(pattern) else at + size
            pieces.append(segment(between(start, end, at / total), between(start, end, upto / total)))
        at += size
    return Feature(id=id, role=Role.LINE, paths=tuple(pieces), datum=Line(start, end))


def arrow(id: str, tail: Point, tip: Point, *, size: float = 2.0) -> Feature:
    """Returns an arrow to the edge or end that a part is set by: a shaft and two barbs.

    Args:
        id: Feature id.
        tail: Where its shaft starts.
        tip: What it points to.
        size: How far back its barbs reach, mm.
    """
    back = (tail - tip).unit() * size
    aside = back.left() * 0.5
    barbs = polyline((tip + back + aside, tip, tip + back - aside))
    return Feature(id=id, role=Role.LINE, paths=(segment(tail, tip), barbs), datum=Line(tail, tip))


def hole(id: str, centre: Point, diameter: float) -> Feature:
    """Returns a round hole of a clear diameter."""
    return Feature(
        id=id, role=Role.OPENING, paths=(circle(centre, diameter / 2.0),), datum=centre, width_mm=diameter
    )


def slot(id: str, along: Line, width: float, *, datum: Line) -> Feature:
    """Returns a square-ended through slot of a clear width round a centre line.

    Args:
        id: Feature id.
        along: Its centre line from end to end.
        width: Clear width.
        datum: The line that it stands for, which may be shorter.
    """
    aside = (along.end - along.start).unit().left() * (width / 2.0)
    corners = (along.start - aside, along.end - aside, along.end + aside, along.start + aside)
    return Feature(
        id=id, role=Role.OPENING, paths=(polyline(corners, closed=True),), datum=datum, width_mm=width
    )


def label(
    id: str,
    text: str,
    at: Point,
    *,
    height: float,
    anchor: Anchor = Anchor.CENTRE_MIDDLE,
    angle: float = 0.0,
) -> Feature:
    """Returns lettering at a point; `angle` in radians, counter-clockwise."""
    lettering = letter(text, height_mm=height, at=at, anchor=anchor, angle=angle, where=f"lettering {id}")
    return Feature(id=id, role=Role.LETTERING, paths=lettering.paths, text=text, letter_mm=height)


def fitting_height(texts: Sequence[str], room: float, *, largest: float, smallest: float) -> float:
    """Returns the height at which the widest of some labels keeps clear of its neighbours.

    Args:
        texts: The labels.
        room: Distance from the middle of one label to that of the next, mm.
        largest: Height that is not to be exceeded, mm.
        smallest: Height that is kept even where labels touch, mm.
    """
    widest = max(text_width(text, 1.0) for text in texts)
    return min(largest, max(smallest, (room - _BETWEEN_LABELS) / widest))

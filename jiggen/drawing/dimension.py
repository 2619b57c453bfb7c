"""Dimensions as a drawing office draws them: extension lines, dimension lines, arrowheads, both units.

Source: ISO 129-1 for their parts: narrow lines, figures above the dimension line and readable from below or from
the right; running dimensions from one origin with the figures along their extension lines. Proportions: common
practice.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.drawing.model import Area, Ink, Item, width_of, words
from jiggen.drawing.style import INK, SMALL, THIN
from jiggen.geometry.path import circle, polyline, segment
from jiggen.geometry.point import Point, between
from jiggen.lettering.fit import Anchor
from jiggen.units import format_inch, format_mm

#: Arrowhead: length, and half its width (an angle of about 15 degrees).
_ARROW, _HALF_ARROW = 2.5, 0.34
#: From the thing to its extension line, and from the dimension line to the end of that.
_GAP, _PAST = 1.0, 1.5
#: From a dimension line to the figures above it.
_ABOVE = 0.8
#: Least distance between the figures of running dimensions, from middle to middle.
RUNNING_PITCH = 4.2
#: Height of the jog by which figures make room for one another.
_JOG = 4.0


def both_units(mm: float) -> str:
    """Returns a length as a dimension gives it, millimetres and inches in brackets: `314.00 [12.362]`."""
    return f"{format_mm(mm).removesuffix(' mm')} [{format_inch(mm).removesuffix(' in')}]"


def horizontal(
    start: Point, end: Point, y: float, text: str, *, passing: Sequence[float] = ()
) -> Iterator[Item]:
    """Yields a dimension along x between two points, its line at `y`.

    Args:
        start: The left one.
        end: The right one.
        y: Of the dimension line.
        text: Figures; in the middle, or beside it where a line passes.
        passing: Places along x at which lines of other dimensions pass through.
    """
    yield from _extension(start, Point(start.x, y))
    yield from _extension(end, Point(end.x, y))
    half = width_of(text, SMALL) / 2.0 + _GAP
    shares = (0.5, 0.4, 0.6, 0.3, 0.7)
    middles = [start.x + (end.x - start.x) * share for share in shares]
    clear = (
        share
        for share, x in zip(shares, middles, strict=True)
        if all(abs(x - each) > half for each in passing)
    )
    yield from _measured(Point(start.x, y), Point(end.x, y), text, angle=0.0, share=next(clear, 0.5))


def vertical(low: Point, high: Point, x: float, text: str) -> Iterator[Item]:
    """Yields a dimension along y between two points, its line at `x`; figures read from the right."""
    yield from _extension(low, Point(x, low.y))
    yield from _extension(high, Point(x, high.y))
    yield from _measured(Point(x, low.y), Point(x, high.y), text, angle=math.pi / 2.0)


def _extension(thing: Point, at: Point) -> Iterator[Item]:
    reach = thing.distance(at)
    if reach > _GAP:
        along = (at - thing).unit()
        yield Ink(paths=(segment(thing + along * _GAP, at + along * _PAST),), pen=THIN)


def _measured(start: Point, end: Point, text: str, *, angle: float, share: float = 0.5) -> Iterator[Item]:
    """Yields the dimension line with its arrows and figures; where there is no room, the figures go past its end."""
    along = (end - start).unit()
    distance, room = start.distance(end), width_of(text, SMALL)
    inside = distance >= 2.0 * _ARROW + 1.0
    middle = between(start, end, share)
    tail_start = start if inside else start - along * (2.0 * _ARROW)
    tail_end = end if inside else end + along * (2.0 * _ARROW)
    if distance < room + 1.0:
        tail_end = end + along * (room + 2.0 * _ARROW)
        middle = end + along * (room / 2.0 + 1.5 * _ARROW)
    yield Ink(paths=(segment(tail_start, tail_end),), pen=THIN)
    sign = 1.0 if inside else -1.0
    yield arrow(start, along * -sign)
    yield arrow(end, along * sign)
    yield words(
        text,
        middle + along.left() * _ABOVE,
        height=SMALL,
        colour=INK,
        anchor=Anchor.CENTRE_BASELINE,
        angle=angle,
    )


def arrow(tip: Point, direction: Point) -> Area:
    """Returns a closed, filled arrowhead whose tip points along a unit vector."""
    back = tip - direction * _ARROW
    aside = direction.left() * _HALF_ARROW
    return Area(paths=(polyline((tip, back + aside, back - aside), closed=True),), colour=INK)


@dataclass(frozen=True, slots=True)
class Running:
    """One place of a run of dimensions.

    Attributes:
        thing: Where it is measured to.
        text: Figures, along the extension line.
    """

    thing: Point
    text: str


def running(origin: Point, places: Sequence[Running], y: float, *, up: bool = True) -> Iterator[Item]:
    """Yields running dimensions along x from one origin: a small circle there, an arrowhead at each place.

    Figures stand along the extension lines; where places lie close together they move apart, by a jog in the line.

    Args:
        origin: Where all are measured from.
        places: From left to right, right of the origin.
        y: Of the dimension line.
        up: Whether the things lie below it and the figures above; else the other way round.
    """
    sign = 1.0 if up else -1.0
    start = Point(origin.x, y)
    yield Ink(paths=(segment(start, Point(places[-1].thing.x, y)), circle(start, 0.8)), pen=THIN)
    yield from _extension(origin, start)
    spread = spread_out([place.thing.x for place in places], RUNNING_PITCH)
    for place, x in zip(places, spread, strict=True):
        at = Point(place.thing.x, y)
        yield from _extension(place.thing, at)
        yield arrow(at, Point(1.0, 0.0))
        foot = Point(x, y + sign * (_PAST + _JOG))
        if abs(x - place.thing.x) > 1e-6:
            yield Ink(paths=(polyline((at + Point(0.0, sign * _PAST), foot)),), pen=THIN)
        else:
            yield Ink(paths=(segment(at + Point(0.0, sign * _PAST), foot),), pen=THIN)
        yield words(
            place.text,
            foot + Point(0.0, sign * 1.0),
            height=SMALL,
            colour=INK,
            anchor=Anchor.LEFT_MIDDLE if up else Anchor.RIGHT_MIDDLE,
            angle=math.pi / 2.0,
        )


def running_height(places: Sequence[Running]) -> float:
    """Returns how far running dimensions reach beyond their dimension line, mm."""
    return _PAST + _JOG + 1.0 + max(width_of(place.text, SMALL) for place in places)


def spread_out(places: Sequence[float], pitch: float) -> list[float]:
    """Returns places moved apart as little as it takes to be `pitch` from one another; they keep their order.

    Neighbours that touch are moved together about the middle of where they want to be.

    Args:
        places: In rising order.
        pitch: Least distance.
    """
    groups: list[
        list[float]
    ] = []  # of each: the sum of where its first one wants to be, and how many there are
    for place in places:
        groups.append([place, 1.0])
        while len(groups) > 1:
            (before, many), (last, few) = groups[-2:]
            if before / many + many * pitch <= last / few:
                break
            groups[-2:] = [[before + last - few * many * pitch, many + few]]
    return [total / size + index * pitch for total, size in groups for index in range(int(size))]

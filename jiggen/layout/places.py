"""Places along the neck: where a fret is, and how wide the board is there. Millimetres."""

import math

from jiggen.design.fret_places import remaining
from jiggen.errors import InputError
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout


def fret_place(layout: Layout, fret: int, *, where: str) -> float:
    """Returns how far from the nut a fret crosses the centre line; on a fretless neck, where it would.

    Args:
        layout: Of the neck.
        fret: Its number; 0 for the nut.
        where: The key that names it, for an error.

    Raises:
        InputError: If the neck has frets, but not that many.
    """
    if fret == 0:
        return 0.0
    for each in layout.frets:
        if each.number == fret:
            return each.distance
    if layout.frets:
        last = layout.frets[-1].number
        raise InputError(
            where=where,
            got=f"fret {fret}",
            expected=f"a fret from 1 to {last}, or 0 for the nut",
            mend=f"Give {where} in the design; where it says nothing, its profile does",
        )
    return layout.spec.scale.value * (1.0 - remaining(layout.spec.fret_rule.value, fret))


def edge_at(edge: Line, x: float) -> float:
    """Returns the y of an edge of the board, carried on if need be, at some x."""
    return edge.start.y + (edge.end.y - edge.start.y) * (x - edge.start.x) / (edge.end.x - edge.start.x)


def width_at(layout: Layout, x: float) -> float:
    """Returns the board's width square across at some x, its taper carried on beyond its ends."""
    return abs(edge_at(layout.treble_edge, x) - edge_at(layout.bass_edge, x))


def aside(line: Line, place: Point) -> float:
    """Returns how far along a line across the neck a place on it is from the centre line, mm, + toward +y."""
    return math.copysign(place.distance(Point(x_at(line, 0.0), 0.0)), place.y)

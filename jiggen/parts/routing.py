"""What the routing patterns have in common: a plate with its centre line in notches, and an arrow to the nut.

A pattern's openings are given at the size of what is to be cut; with a guide bush and bit in the design, the shop makes
them larger by their offset. So nothing else comes near them.
"""

import math
from collections.abc import Iterator, Sequence
from itertools import groupby
from operator import itemgetter

from jiggen.design.instrument import Opening
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line, Path, segment
from jiggen.geometry.point import Point, between
from jiggen.geometry.similarity import turned
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.openings import opening_place, opening_turn
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Feature, Role
from jiggen.parts.plate import Notch, Side, plate

#: From an opening to the plate's sides: what the router's base stands on at least.
MARGIN = 22.0
#: From an opening to anything that is marked: more than a guide bush moves its edge out.
CLEAR = 9.0
#: From marks and lettering to one another.
GAP = 2.0

_NOTCH, _NOTCH_DEPTH = 4.0, 2.0
_TICK = 7.0  # of the centre line beside its notch
_ARROW = 9.0
_CORNER = 4.0
_STEP = 0.5  # along the saddle line, to find where it comes near an opening


def notch(id: str, side: Side, at: float) -> Notch:
    """Returns a V for the point of a pencil or knife."""
    return Notch(id=id, side=side, at=at, width=_NOTCH, depth=_NOTCH_DEPTH, pointed=True)


def routing_plate(box: Box, *, more: Sequence[Notch] = ()) -> tuple[Feature, ...]:
    """Returns a plate's edge with the centre line at y = 0: notches at both ends, and lines beside them.

    Args:
        box: The plate.
        more: Further notches.
    """
    ends = (("nut-end", Side.LEFT, box.low.x, 1.0), ("saddle-end", Side.RIGHT, box.high.x, -1.0))
    notches = [notch(f"centre.{name}", side, 0.0) for name, side, _, _ in ends]
    return (
        *plate(box, radius=_CORNER, notches=(*notches, *more)),
        *(
            scored(
                f"centre.{name}.line",
                Point(x + inward * (_NOTCH_DEPTH + 0.5), 0.0),
                Point(x + inward * (_NOTCH_DEPTH + 0.5 + _TICK), 0.0),
            )
            for name, _, x, inward in ends
        ),
    )


def to_the_nut(box: Box, y: float, letters: float) -> Iterator[Feature]:
    """Yields an arrow toward the nut at a plate's nut end, with words beside it.

    Args:
        box: The plate.
        y: At which it lies.
        letters: Height of capitals.
    """
    tip = Point(box.low.x + GAP, y)
    yield arrow("arrow.nut", tip + Point(_ARROW, 0.0), tip)
    yield label(
        "name.nut", "to the nut", tip + Point(_ARROW + GAP, 0.0), height=letters, anchor=Anchor.LEFT_MIDDLE
    )


def saddle_line(
    layout: Layout,
    ends: tuple[float, float],
    openings: Sequence[Opening],
    contours: Sequence[Path] = (),
) -> tuple[Feature, ...]:
    """Returns the saddle line on paper, broken where an opening is near; nothing where one covers it all.

    Args:
        layout: Of the neck.
        ends: From which y to which.
        openings: That may be near.
        contours: Of other openings that may be.
    """
    low, high = (Point(x_at(layout.saddle, y), y) for y in ends)
    steps = math.ceil(low.distance(high) / _STEP)
    places = [between(low, high, step / steps) for step in range(steps + 1)]
    taken = [bounds(each).grown(CLEAR) for each in contours]
    clear = [
        all(_distance(layout, each, place) >= CLEAR for each in openings)
        and not any(each.contains(Box(place, place)) for each in taken)
        for place in places
    ]
    runs = [
        list(run) for is_clear, run in groupby(zip(clear, places, strict=True), key=itemgetter(0)) if is_clear
    ]
    paths = [segment(run[0][1], run[-1][1]) for run in runs if len(run) > 1]
    return (Feature(id="saddle", role=Role.LINE, paths=tuple(paths), datum=Line(low, high)),) if paths else ()


def _distance(layout: Layout, opening: Opening, place: Point) -> float:
    """How far a place lies from an opening's rectangle; nought within."""
    off = turned(opening_turn(layout, opening)).inverse().point(place - opening_place(layout, opening))
    return math.hypot(max(abs(off.x) - opening.width / 2.0, 0.0), max(abs(off.y) - opening.length / 2.0, 0.0))

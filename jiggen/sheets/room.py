"""How a part can lie on a bed: along it, turned by a quarter, or slanting from corner to corner. Millimetres.

A part on a sheet with a grain lies along it and no other way. What fits straight is never laid on a slant.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.design.making import Stock
from jiggen.geometry.box import Box, around
from jiggen.geometry.hull import convex_hull
from jiggen.geometry.measure import bounds, flatten
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import IDENTITY, MIRROR, QUARTER_TURN, Similarity, shifted, turned
from jiggen.shop.machine import Machine
from jiggen.shop.model import CutPart

#: How far chords lie off their arcs here, in mm; a slanting part has this much more room on every side.
CHORDS = 0.002
#: A slant is a whole number of these, in radians: half a micron at 1 m, the same on every machine.
_STEP = 5e-7
_HALF_TURN = QUARTER_TURN.then(QUARTER_TURN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lie:
    """One way in which a part can lie.

    Attributes:
        turn: From the part's own coordinates, mirrored where its marks go underneath; without a shift.
        box: Of everything cut, after the turn.
    """

    turn: Similarity
    box: Box


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """A part as it lies on a sheet.

    Attributes:
        index: Which.
        lie: How.
        low: Where the lower left corner of its box lies.
    """

    index: int
    lie: Lie
    low: Point

    @property
    def place(self) -> Similarity:
        """From the part's own coordinates to the sheet's."""
        shift = self.low - self.lie.box.low
        return self.lie.turn.then(shifted(shift.x, shift.y))


def room_of(machine: Machine, width_mm: float | None = None, height_mm: float | None = None) -> Box:
    """Returns what of a sheet may be used, in true lengths: all but the margins, on the bed and in what is written.

    Args:
        machine: Gives margin and scale.
        width_mm: Of the sheet; the bed's when left out.
        height_mm: The same along y.
    """
    margin = machine.margin_mm
    high_x = machine.bed_width_mm if width_mm is None else width_mm
    high_y = machine.bed_height_mm if height_mm is None else height_mm
    scale_x, scale_y = machine.scale_x.value, machine.scale_y.value
    return Box(
        Point(margin / min(scale_x, 1.0), margin / min(scale_y, 1.0)),
        Point((high_x - margin) / max(scale_x, 1.0), (high_y - margin) / max(scale_y, 1.0)),
    )


def rooms_of(machine: Machine, stock: Sequence[Stock] = ()) -> tuple[Box, ...]:
    """Returns what may be used of each size of sheet, smallest first: those of the stock, or the bed where there is none."""
    sizes = sorted({(each.length, each.width) for each in stock}, key=lambda size: (size[0] * size[1], size))
    return tuple(room_of(machine, *size) for size in sizes) or (room_of(machine),)


def fits_bed(cut_part: CutPart, machine: Machine, stock: Sequence[Stock] = ()) -> bool:
    """Tells whether a part finds room on an empty sheet, straight, turned by a quarter or slanting.

    Args:
        cut_part: The part.
        machine: Its bed counts where there is no stock.
        stock: Sheets at hand.
    """
    return bool(lies_in(cut_part, rooms_of(machine, stock)))


def lies_in(cut_part: CutPart, rooms: Sequence[Box]) -> tuple[Lie, ...]:
    """Returns the ways in which a part fits one of several rooms, along it before turned, on a slant only if no other does.

    A part that must not be turned lies along the room or not at all.
    """
    straight = tuple(lie for lie in straight_lies(cut_part) if any(fits(lie.box, room) for room in rooms))
    if straight or not cut_part.may_turn:
        return straight
    return tuple(filter(None, (_slanting(cut_part, room) for room in rooms)))


def half_turned(lie: Lie) -> Lie:
    """Returns the same turned by half, which a grain allows."""
    box = lie.box
    return Lie(turn=lie.turn.then(_HALF_TURN), box=Box(-box.high, -box.low))


def straight_lies(cut_part: CutPart) -> tuple[Lie, ...]:
    """Returns a part as it lies by itself, and turned by a quarter where that may be."""
    box = box_of(cut_part)
    way = way_of(cut_part)
    turns = (way, way.then(QUARTER_TURN)) if cut_part.may_turn else (way,)
    return tuple(
        Lie(turn=turn, box=Box.spanning(turn.point(box.low), turn.point(box.high))) for turn in turns
    )


def box_of(cut_part: CutPart) -> Box:
    """Returns the bounds of everything that is cut, in the part's own coordinates."""
    return around(bounds(path) for cut in cut_part.features for path in cut.paths)


def fits(box: Box, room: Box) -> bool:
    """Tells whether a box of this size has room."""
    return box.width <= room.width and box.height <= room.height


def way_of(cut_part: CutPart) -> Similarity:
    """Returns how a part lies unturned: mirrored where its marks go underneath."""
    return MIRROR if cut_part.tag.mirrored else IDENTITY


def _slanting(cut_part: CutPart, room: Box) -> Lie | None:
    """Returns the slant that leaves a part the most room, None when there is none that leaves it any."""
    way = way_of(cut_part)
    points = [
        way.point(point) for cut in cut_part.features for path in cut.paths for point in flatten(path, CHORDS)
    ]
    hull = convex_hull(points)
    spare = 2.0 * CHORDS
    angle = min(_turning_points(hull, room), key=lambda each: round(_excess(hull, each, room), 6))
    angle = round(angle / _STEP) * _STEP
    angle -= math.pi if angle > math.pi / 2.0 else 0.0  # words stay the right way up
    if _excess(hull, angle, room) > -spare:
        return None
    turn = turned(angle)
    found = [turn.point(point) for point in hull]
    box = Box(
        Point(min(point.x for point in found), min(point.y for point in found)),
        Point(max(point.x for point in found), max(point.y for point in found)),
    )
    return Lie(turn=way.then(turn), box=box.grown(CHORDS))


def _excess(hull: list[Point], angle: float, room: Box) -> float:
    """Returns by how much a shape turned by an angle is too large for a room, at its worst; negative when it fits."""
    cosine, sine = math.cos(angle), math.sin(angle)
    along = [cosine * point.x - sine * point.y for point in hull]
    across = [sine * point.x + cosine * point.y for point in hull]
    return max(max(along) - min(along) - room.width, max(across) - min(across) - room.height)


def _turning_points(hull: list[Point], room: Box) -> Iterator[float]:
    """Yields the angles, 0 to half a turn, among which the one is that leaves a convex shape the most room.

    Between two angles at which a side of the shape lies upright, the same corners stand out, and width and height are
    each part of a sine that curves downward: what they exceed the room by is least at either end, or where the two
    exceed it by as much.
    """
    sides = [end - start for start, end in zip(hull, [*hull[1:], hull[0]], strict=True)]
    flat = sorted({-math.atan2(side.y, side.x) % (math.pi / 2.0) for side in sides})
    ends = [*flat, *(angle + math.pi / 2.0 for angle in flat), flat[0] + math.pi]
    yield from ends
    for low, high in pairwise(ends):
        middle = (low + high) / 2.0
        cosine, sine = math.cos(middle), math.sin(middle)
        wide = _span(hull, Point(cosine, -sine))
        tall = _span(hull, Point(sine, cosine))
        # width = w.x cos - w.y sin, height = t.x sin + t.y cos; their difference is that of the room where they cross
        along, across = wide.x - tall.y, wide.y + tall.x
        size = math.hypot(along, across)
        wanted = room.width - room.height
        if size > abs(wanted):
            first = -math.atan2(across, along)
            for turn in (math.acos(wanted / size), -math.acos(wanted / size)):
                angle = low + (first + turn - low) % math.tau
                if angle < high:
                    yield angle


def _span(hull: list[Point], direction: Point) -> Point:
    """Returns the way from the corner that lies least far in a direction to the one that lies farthest."""
    return max(hull, key=direction.dot) - min(hull, key=direction.dot)

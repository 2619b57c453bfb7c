"""The outside mould that sides are bent into, and the inside form that they are bent over, half by half. Millimetres.

Both follow the body's outline, moved out or in exactly, and are split on the centre line. Bolts go through all layers
of a half; dowels line the layers up. The mould's halves meet at the neck end and at the tail, where plates across the
seam hold them together by the nearest bolt and dowel of each.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

from jiggen.design.given import known
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds, flatten, length, locate
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Line, Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR
from jiggen.geometry.stroke import closed_run, stretch
from jiggen.layout.body import BodyShape, lay_out_body
from jiggen.layout.body_numbers import bends
from jiggen.layout.hole_row import Hole, HoleSizes, holes_along, holes_round
from jiggen.layout.model import Layout
from jiggen.units import format_mm

#: More layers than this are a slip.
_MOST_LAYERS = 60
#: How far chords may lie off the opening where a plate across the seam is held against it.
_CHORDS = 0.01
#: How far a corner of the wall's outside may lie off that of the body, in widths of the wall: sharper ones are cut off.
_MITRE = 1.5
#: Places on the centre line nearer than this are one.
_ONE_PLACE = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class MouldHalf:
    """A half, seen from the front of the body, in the layout's coordinates.

    Attributes:
        side: The sign of y.
        contour: All round, counter-clockwise.
        working: The edge that the sides lie against, from the neck end to the tail.
        stations: Names of bouts and waist, and where they lie on that edge.
        is_outside: Whether the layer lies outside that edge.
        holes: Bolts and dowels.
    """

    side: float
    contour: Path
    working: Path
    stations: tuple[tuple[str, Point], ...]
    is_outside: bool
    holes: tuple[Hole, ...]

    def turned_over(self) -> "MouldHalf":
        """Returns the same half on the other side."""
        return MouldHalf(
            side=-self.side,
            contour=reverse(MIRROR.path(self.contour)),
            working=MIRROR.path(self.working),
            stations=tuple((name, MIRROR.point(at)) for name, at in self.stations),
            is_outside=self.is_outside,
            holes=tuple(each.mirrored() for each in self.holes),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """A plate across the seam of an outside mould.

    Attributes:
        end: `neck` or `tail`: where it lies.
        box: What it must cover: the holes and the web round them.
        holes: Those of both halves that it covers.
    """

    end: str
    box: Box
    holes: tuple[Hole, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stack:
    """How layers make up the depth.

    Attributes:
        layers: Their number.
        thickness: Of each.
        spacer: Between each two; 0: they lie on one another.
    """

    layers: int
    thickness: float
    spacer: float

    @property
    def height(self) -> float:
        """From the lowest face to the uppermost."""
        return self.layers * self.thickness + (self.layers - 1) * self.spacer


def lay_out_mould(layout: Layout) -> tuple[MouldHalf, MouldHalf]:
    """Returns the halves of the outside mould, at positive y first.

    Args:
        layout: Of an instrument whose body and mould are known.

    Raises:
        LimitError: If a hollow of the body is too tight for the mould's clearance, the wall closes a mouth of the body,
            or there is no room for the holes.
    """
    mould, shape, sizes = layout.spec.mould, lay_out_body(layout), _sizes(layout)
    clearance, wall = known(mould.clearance), known(mould.wall)
    least = 2.0 * sizes.web + max(sizes.bolt, sizes.dowel)
    if wall < least:
        raise LimitError(
            where="mould.wall",
            got=format_mm(wall),
            expected=f"at least {format_mm(least)}, for bolts and the web on both sides of them",
            mend="Widen the wall, or use smaller bolts",
        )
    _check_bends(layout, shape, clearance, hollow=True)
    opening = _one(grow(shape.outline, clearance), "mould.clearance", clearance)
    outside = _one(grow(opening, wall, mitre_limit=_MITRE), "mould.wall", wall)
    middle = grow(opening, wall / 2.0, mitre_limit=_MITRE)[
        0
    ]  # holes stand on it; where it closes off a place, there are none

    def half(side: float) -> MouldHalf:
        inner, outer, row = (_side_of(each, side) for each in (opening, outside, middle))
        pieces = (
            Line(inner.start, outer.start),
            *outer.segments,
            Line(outer.end, inner.end),
            *reverse(inner).segments,
        )
        contour = closed_run(pieces) if side < 0.0 else reverse(closed_run(pieces))
        return MouldHalf(
            side=side,
            contour=contour,
            working=inner,
            stations=_stations(shape, side, clearance),
            is_outside=True,
            holes=holes_along(row, contour, sizes),
        )

    return _both(shape, half)


def splices_of(layout: Layout, halves: tuple[MouldHalf, MouldHalf]) -> tuple[Splice, Splice]:
    """Returns the plates that hold the halves of a mould together, at the neck end and at the tail.

    Args:
        layout: Of the instrument.
        halves: Of its mould.

    Raises:
        LimitError: If one would reach over the body.
    """
    return _splice(layout, halves, "neck"), _splice(layout, halves, "tail")


def lay_out_form(layout: Layout) -> tuple[MouldHalf, ...]:
    """Returns the inside form: one half where both sides are alike, to be turned over, else both, positive y first.

    Args:
        layout: Of an instrument whose body and mould are known.

    Raises:
        LimitError: If a bend of the body is too tight for the form's inset, or there is no room for the holes.
    """
    shape, inset = lay_out_body(layout), inset_of(layout)
    _check_bends(layout, shape, inset, hollow=False)
    inside = _one(shrink(shape.outline, inset), "mould.inset", inset)

    def half(side: float) -> MouldHalf:
        curve = _side_of(inside, side)
        pieces = (*curve.segments, Line(curve.end, curve.start))
        contour = closed_run(pieces) if side < 0.0 else reverse(closed_run(pieces))
        return MouldHalf(
            side=side,
            contour=contour,
            working=curve,
            stations=_stations(shape, side, -inset),
            is_outside=False,
            holes=holes_round(contour, _sizes(layout)),
        )

    return (half(1.0),) if shape.is_symmetrical else (half(1.0), half(-1.0))


def inset_of(layout: Layout) -> float:
    """Returns by how much the inside form is smaller than the body."""
    return known(layout.spec.mould.inset or layout.spec.body.side_thickness)


def stack_of(layout: Layout, thickness: float) -> Stack:
    """Returns how layers of a sheet make up the mould's depth.

    Args:
        layout: Of an instrument whose mould is known, and its depth or that of the sides.
        thickness: Of the sheet.

    Raises:
        LimitError: If the layers are thicker together than the depth, or too many.
    """
    mould, body = layout.spec.mould, layout.spec.body
    depth = (
        mould.depth.value if mould.depth else min(known(body.side_depth_neck), known(body.side_depth_tail))
    )
    if mould.layers is None:
        count = max(1, math.ceil(depth / thickness - 1e-6))
        if count > _MOST_LAYERS:
            raise LimitError(
                where="mould.layers",
                got=f"{count} layers of {format_mm(thickness)} that fill {format_mm(depth)}",
                expected=f"at most {_MOST_LAYERS}",
                mend="Say how many there are, with spacers between, or choose a thicker sheet",
            )
        return Stack(layers=count, thickness=thickness, spacer=0.0)
    count = mould.layers.value
    left = depth - count * thickness
    if left < -1e-6:
        raise LimitError(
            where="mould.layers",
            got=f"{count} layers of {format_mm(thickness)}, {format_mm(count * thickness)} together",
            expected=f"no more than the mould is deep, {format_mm(depth)}",
            mend="Use fewer layers, or a thinner sheet",
        )
    spacer = max(left, 0.0) / (count - 1) if count > 1 else 0.0
    return Stack(layers=count, thickness=thickness, spacer=spacer)


def _sizes(layout: Layout) -> HoleSizes:
    mould, tools = layout.spec.mould, layout.spec.tools
    return HoleSizes(
        bolt=known(mould.bolt) + known(mould.bolt_clearance),
        dowel=known(mould.dowel) + tools.pin_clearance.value,
        web=known(mould.web),
        spacing=known(mould.bolt_spacing),
        where="mould",
    )


def _both(shape: BodyShape, half: Callable[[float], MouldHalf]) -> tuple[MouldHalf, MouldHalf]:
    """Both halves; the second is the first turned over where both sides are alike."""
    first = half(1.0)
    return first, first.turned_over() if shape.is_symmetrical else half(-1.0)


def _stations(shape: BodyShape, side: float, moved: float) -> tuple[tuple[str, Point], ...]:
    """Bouts and waist on an edge moved out so far: the outline runs along x there, so that they move along y only."""
    return tuple(
        (each.name, Point(each.at(side), side * (each.reach(side) + moved))) for each in shape.stations
    )


def _check_bends(layout: Layout, shape: BodyShape, by: float, *, hollow: bool) -> None:
    """Checks that the outline keeps all its bends when it is moved toward the middles of some.

    Raises:
        LimitError: If one is too tight for that.
    """
    high, low = ("bass", "treble") if layout.spec.left_handed.value else ("treble", "bass")
    tight = [
        (bend, name)
        for side, name in ((1.0, high), (-1.0, low))
        for bend in bends(shape, side)
        if bend.hollow is hollow and bend.radius <= by
    ]
    if not tight:
        return
    bend, name = min(tight, key=lambda each: each[0].radius)
    raise LimitError(
        where="mould.clearance" if hollow else "mould.inset",
        got=format_mm(by),
        expected=f"less than the radius of {format_mm(bend.radius)} with which the body's {name} side bends"
        f" {format_mm(bend.x)} from the nut",
        mend="Make it smaller, or round the outline there",
    )


def _one(contours: tuple[Path, ...], where: str, by: float) -> Path:
    """The only contour that came of moving the outline.

    Raises:
        LimitError: If it fell apart, or closed round a place.
    """
    if len(contours) > 1:
        place = bounds(contours[1]).centre
        raise LimitError(
            where=where,
            got=f"{format_mm(by)}, by which the outline falls into {len(contours)} contours,"
            f" one of them {format_mm(place.x)} from the nut",
            expected="one contour",
            mend="Change it, or open the outline there",
        )
    return contours[0]


def _side_of(contour: Path, side: float) -> Path:
    """The stretch of a counter-clockwise contour on a side, from the neck end to the tail.

    Raises:
        LimitError: If it crosses the centre line more than twice.
    """
    box = bounds(contour)
    centre = Line(Point(box.low.x - 1.0, 0.0), Point(box.high.x + 1.0, 0.0))
    places = sorted((each.at for piece in contour for each in meetings(piece, centre)), key=lambda at: at.x)
    neck, tail = places[0], places[-1]
    if any(min(at.x - neck.x, tail.x - at.x) > _ONE_PLACE for at in places):
        raise LimitError(
            where="mould",
            got=f"an outline that crosses the centre line {format_mm(places[1].x)} from the nut too",
            expected="one that crosses it at the neck end and at the tail only, where the mould is split",
        )
    begin, end = locate(contour, neck), locate(contour, tail)
    if side > 0.0:
        begin, end = end, begin
    run = stretch(contour, begin, end if end > begin else end + length(contour))
    return reverse(run) if side > 0.0 else run


def _splice(layout: Layout, halves: tuple[MouldHalf, MouldHalf], end: str) -> Splice:
    sizes = _sizes(layout)
    holes = tuple(hole for half in halves for hole in (half.holes[:2] if end == "neck" else half.holes[-2:]))
    margin = sizes.web + max(sizes.bolt, sizes.dowel) / 2.0
    xs, ys = [each.centre.x for each in holes], [each.centre.y for each in holes]
    box = Box(Point(min(xs), min(ys)), Point(max(xs), max(ys))).grown(margin)
    if any(box.contains(Box(at, at)) for half in halves for at in flatten(half.working, _CHORDS)):
        raise LimitError(
            where="mould.wall",
            got=f"{format_mm(known(layout.spec.mould.wall))}, so that a plate across the seam at the {end}"
            " reaches over the body",
            expected="a wall wide enough for it",
            mend="Widen the wall, or use smaller bolts and dowels",
        )
    return Splice(end=end, box=box, holes=holes)

"""What follows from a body's outline: area, air, side wood, smallest bend, and where everything lies. Millimetres."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import assert_never

from jiggen.design.given import known
from jiggen.design.model import SOLVED
from jiggen.design.quote import is_own
from jiggen.design.step import Step
from jiggen.errors import LimitError
from jiggen.geometry.curve import CubicBezier, tightest
from jiggen.geometry.measure import area, flatten, length
from jiggen.geometry.offset import shrink
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import between
from jiggen.layout.body import BodyShape, lay_out_body
from jiggen.layout.doubt import Doubt
from jiggen.layout.model import Layout
from jiggen.layout.openings import saddle_at_centre, sound_hole_place
from jiggen.outlines.halves import body_bouts
from jiggen.units import format_mm

#: How far chords may lie off the outline when its middle is reckoned.
_CHORDS = 0.005
#: A side bends dry over heat to so many times its thickness without cracking (from memory; woods differ).
BEND_PER_THICKNESS = 20.0
_NEEDS = ("length", "lower_bout", "joint_fret")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """Where the outline bends most.

    Attributes:
        radius: mm.
        x: Of that place, or of the arc's middle, in the layout's coordinates.
        hollow: Whether the body is hollow there, as at the waist.
    """

    radius: float
    x: float
    hollow: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyNumbers:
    """What follows from a body's outline. Millimetres, mm², mm³.

    Attributes:
        area: Within the outline.
        perimeter: All round.
        sides: How long each side is, from the centre line at the neck end to that at the tail, at positive y first.
        side_wood: How long each is cut, with what bending takes.
        smallest_bend: Between corners; None: there is none.
        waist: The tightest hollow bend between the bouts; None: there is none.
        inside_area: Within the sides.
        air: Volume within the sides, without linings, braces and blocks; None: the sides' depth is not known.
        neck_end: x of the neck end.
        saddle_from_neck_end: Of the saddle line on the centre line.
        sound_hole_from_neck_end: Of the sound hole's middle; None where nothing says where it is.
        overall: From the head's tip to the tail; None: the head is not known.
    """

    area: float
    perimeter: float
    sides: tuple[float, float]
    side_wood: tuple[float, float]
    smallest_bend: Bend | None
    waist: Bend | None
    inside_area: float
    air: float | None
    neck_end: float
    saddle_from_neck_end: float
    sound_hole_from_neck_end: float | None
    overall: float | None


def body_numbers(layout: Layout) -> BodyNumbers | None:
    """Returns what follows from the body's outline; None where the maker says nothing of his body.

    Args:
        layout: Of the instrument.

    Raises:
        JiggenError: If the maker's numbers make no body.
    """
    if not _is_told(layout):
        return None
    body, shape = layout.spec.body, lay_out_body(layout)
    outline = shape.outline
    inside = _inside(outline, known(body.side_thickness))
    sides = length(shape.half), length(shape.other)
    allowance = known(body.side_allowance)
    hole = sound_hole_place(layout)
    return BodyNumbers(
        area=area(outline),
        perimeter=length(outline),
        sides=sides,
        side_wood=(sides[0] + allowance, sides[1] + allowance),
        smallest_bend=_smallest_bend(shape),
        waist=_waist(shape),
        inside_area=area(inside),
        air=_air(layout, shape, inside),
        neck_end=shape.neck_end,
        saddle_from_neck_end=saddle_at_centre(layout) - shape.neck_end,
        sound_hole_from_neck_end=hole.x - shape.neck_end if hole else None,
        overall=_overall(layout, shape),
    )


def tight_bend(layout: Layout) -> Doubt | None:
    """Returns the doubt about a side that has to bend tighter than its wood is likely to take, or None."""
    body = layout.spec.body
    if not _is_told(layout) or body.side_depth_neck is None:
        return None
    bend, least = _smallest_bend(lay_out_body(layout)), BEND_PER_THICKNESS * known(body.side_thickness)
    if bend is None or bend.radius >= least:
        return None
    return Doubt(
        name="tight-bend",
        reason=f"A side {format_mm(known(body.side_thickness))} thick may crack where it bends tightest,"
        f" {format_mm(bend.x)} from the nut",
        number=f"radius {format_mm(bend.radius)}",
        usual=f"{BEND_PER_THICKNESS:g} thicknesses, {format_mm(least)}, or more",
        source="from memory; woods differ",
        mend="Thin the side there, laminate it, or round the outline.",
    )


def body_steps(layout: Layout) -> Iterator[Step]:
    """Yields how the numbers of a body follow.

    Args:
        layout: Of the instrument.

    Raises:
        JiggenError: If the maker's numbers make no body.
    """
    found = body_numbers(layout)
    if found is None:
        return
    yield from _read_off(layout)
    yield _step(
        "tail from the nut",
        "neck end + body length",
        f"{found.neck_end:.3f} + {known(layout.spec.body.length):.3f}",
        format_mm(found.neck_end + known(layout.spec.body.length)),
    )
    yield _step(
        "saddle line from the neck end",
        "saddle − neck end",
        f"{saddle_at_centre(layout):.3f} − {found.neck_end:.3f}",
        format_mm(found.saddle_from_neck_end),
    )
    hole = layout.spec.sound_hole.from_saddle
    if hole and found.sound_hole_from_neck_end is not None:
        yield _step(
            "sound hole's middle from the neck end",
            "saddle line − its distance from it",
            f"{found.saddle_from_neck_end:.3f} − {hole.value:.3f}",
            format_mm(found.sound_hole_from_neck_end),
        )
    for side, wood in zip(found.sides, found.side_wood, strict=True):
        yield _step(
            "side wood",
            "length of the side + bending allowance",
            f"{side:.2f} + {known(layout.spec.body.side_allowance):.2f}",
            format_mm(wood),
        )
    if found.air is not None:
        yield _step(
            "air",
            "area within the sides × their depth at its middle",
            f"{found.inside_area / 100.0:.1f} cm² × {found.air / found.inside_area / 10.0:.3f} cm",
            f"{found.air / 1e6:.2f} l",
        )


def _read_off(layout: Layout) -> Iterator[Step]:
    """Yields what was read off an outline that was brought along."""
    given = layout.spec.body.outline
    if given is None:
        return
    halves, bouts, _ = body_bouts(given.value.brought, where=given.value.name)
    yield _step(
        "length of the body",
        "tail − neck end, where the centre line meets the outline",
        f"{halves.high.end.x:.3f} − {halves.neck_end:.3f}",
        format_mm(halves.length),
        given.value.source,
    )
    for each in bouts:
        high, low = each.reach
        yield _step(
            each.name.replace("-", " "),
            "how far both sides reach from the centre line",
            f"{high:.3f} + {low:.3f}",
            format_mm(each.width),
            given.value.source,
        )


def _step(name: str, formula: str, figures: str, result: str, source: str = SOLVED) -> Step:
    return Step(name=name, formula=formula, figures=figures, result=result, source=source)


def _is_told(layout: Layout) -> bool:
    body = layout.spec.body
    told = [getattr(body, name) for name in _NEEDS]
    return all(told) and any(is_own(each) for each in told)


def _inside(outline: Path, thickness: float) -> Path:
    found = shrink(outline, thickness)
    if len(found) != 1:
        raise LimitError(
            where="body.side-thickness",
            got=format_mm(thickness),
            expected="sides thin enough to leave one hollow within",
        )
    return found[0]


def _air(layout: Layout, shape: BodyShape, inside: Path) -> float | None:
    """The sides' depth grows evenly from neck end to tail, so the volume is the area times the depth at its middle."""
    body = layout.spec.body
    if body.side_depth_neck is None or body.side_depth_tail is None:
        return None
    at_neck, at_tail = body.side_depth_neck.value, body.side_depth_tail.value
    share = (_middle(inside) - shape.neck_end) / (shape.tail - shape.neck_end)
    return area(inside) * (at_neck + (at_tail - at_neck) * share)


def _middle(path: Path) -> float:
    """The x of the centroid of what a contour encloses.

    Source: Green's theorem for a polygon.
    """
    points = flatten(path, _CHORDS)
    # about a place near by, so that nothing cancels
    origin = points[0]
    twice, moment = 0.0, 0.0
    for one, other in pairwise((*points, points[0])):
        from_one, from_other = one - origin, other - origin
        cross = from_one.cross(from_other)
        twice += cross
        moment += cross * (from_one.x + from_other.x)
    return origin.x + moment / (3.0 * twice)


def _smallest_bend(shape: BodyShape) -> Bend | None:
    found = [bend for side in (1.0, -1.0) for bend in bends(shape, side)]
    return min(found, key=lambda each: each.radius, default=None)


def _waist(shape: BodyShape) -> Bend | None:
    if len(shape.stations) < 2:
        return None
    upper, lower = shape.stations[0], shape.stations[-1]
    found = [
        bend
        for side in (1.0, -1.0)
        for bend in bends(shape, side)
        if bend.hollow and upper.at(side) < bend.x < lower.at(side)
    ]
    return min(found, key=lambda each: each.radius, default=None)


def bends(shape: BodyShape, side: float) -> Iterator[Bend]:
    """Yields where a side, the sign of whose y is given, bends most, each way, in each piece from neck end to tail.

    Of a gradual outline these are the bends of its curves, not those of the arcs along them. Of an outline that was
    brought along they are those of its arcs, within a few hundredths of the bends of curves that it was drawn with.
    """
    for piece in shape.pieces[0 if side > 0.0 else 1]:
        match piece:
            case Line():
                continue
            case Arc():
                middle = between(piece.start, piece.end, 0.5)
                yield Bend(radius=piece.radius, x=shape.neck_end + middle.x, hollow=piece.bulge > 0.0)
            case CubicBezier():
                for turn in (1.0, -1.0):
                    t = tightest(piece, turn)
                    bend = turn * piece.curvature(t)
                    if bend > 0.0:
                        x = shape.neck_end + piece.point(t).x
                        yield Bend(radius=1.0 / bend, x=x, hollow=turn > 0.0)
            case _:
                assert_never(piece)


def _overall(layout: Layout, shape: BodyShape) -> float | None:
    head = layout.spec.head
    if head.length is None or head.nut_thickness is None:
        return None
    front = layout.board_start
    lean = abs((front.end - front.start).unit().y)
    return shape.tail + known(head.nut_thickness) / lean + head.length.value

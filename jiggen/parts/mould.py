"""Layers of the outside mould that sides are bent into and of the inside form that they are bent over.

Each layer lies with its lettering up, as the body is seen from the front, on the one lettered with the number before;
dowels line them up, bolts go through all. A half of the mould rests on its lowest layer, its straight ends against
those of the other half; plates across the seam hold them together above and below. A layer of the form rests on its
straight edge while the side is bent over its curved one.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from operator import itemgetter

from jiggen.design.given import known
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.measure import length, point_at
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import QUARTER_TURN
from jiggen.layout.body import lay_out_body
from jiggen.layout.hole_row import Hole, HoleFor
from jiggen.layout.model import Layout
from jiggen.layout.mould import (
    MouldHalf,
    Splice,
    Stack,
    inset_of,
    lay_out_form,
    lay_out_mould,
    splices_of,
    stack_of,
)
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts import body_marks
from jiggen.parts.caption import caption
from jiggen.parts.fitted_caption import fitted_caption
from jiggen.parts.marks import arrow, hole, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import format_mm

NAME, TITLE = "mould", "Mould"
FORM_NAME, FORM_TITLE = "bending-form", "Bending form"

NEEDS = (*body_marks.NEEDS, "mould.bolt")

_EDGE_GAP, _GAP = 0.6, 1.5
_ARROW = 7.0
_MARK = 8.0  # lines at bouts and waist, within the web
_CORNER, _INSET = 6.0, 4.0  # of a plate across the seam, and from its sides to its lettering


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have a mould; empty when it can."""
    mould, body = neck.spec.mould, neck.spec.body
    if not mould.bolt or mould.depth or (body.side_depth_neck and body.side_depth_tail):
        return ""
    return "nothing says how deep it is: give mould.depth, or side-depth-neck and side-depth-tail to [body]"


def mould(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the layers of both halves of the outside mould, bass first, and the plates across its seam.

    Args:
        neck: Whose body and mould are known.
        bench: Sets the lettering's height and the thickness of a layer.

    Raises:
        JiggenError: If the numbers make no body, the outline cannot be moved out, or there is no room for the holes.
    """
    halves, stack = lay_out_mould(neck.layout), stack_of(neck.layout, bench.thickness_mm)
    use = ("inner edge to the sides, straight ends to the other half", *_stack_words(neck, stack))
    letters = bench.smallest_lettering_mm
    layers = _layers(neck, halves, stack, named=(NAME, TITLE), use=use, letters=letters)
    plates = (
        _plate(neck, bench, splice, face)
        for splice in splices_of(neck.layout, halves)
        for face in ("upper", "lower")
    )
    return (*layers, *plates)


def bending_form(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the layers of the inside form: half the body, for each side where they differ, bass first.

    Args:
        neck: Whose body and mould are known.
        bench: Sets the lettering's height and the thickness of a layer.

    Raises:
        JiggenError: If the numbers make no body, the outline cannot be moved in, or there is no room for the holes.
    """
    halves, stack = lay_out_form(neck.layout), stack_of(neck.layout, bench.thickness_mm)
    use = (
        f"curved edge to the sides, {format_mm(inset_of(neck.layout))} within the body",
        "straight edge on the centre line",
        *(("turn the stack over for the other side",) if len(halves) == 1 else ()),
        *_stack_words(neck, stack),
    )
    # there is room for larger letters than on the mould
    letters = body_marks.letters_of(lay_out_body(neck.layout), bench)
    return tuple(_layers(neck, halves, stack, named=(FORM_NAME, FORM_TITLE), use=use, letters=letters))


def _layers(
    neck: Neck,
    halves: Sequence[MouldHalf],
    stack: Stack,
    *,
    named: tuple[str, str],
    use: Sequence[str],
    letters: float,
) -> Iterator[Part]:
    """Yields the layers from the lowest up, of each the bass side first.

    Args:
        neck: That they are for.
        halves: Both, or the one that serves for both sides.
        stack: Of the layers.
        named: Name and title of the stack.
        use: What to know to use it.
        letters: Height of capitals.

    Raises:
        LimitError: If there is no room for what is marked.
    """
    _check_web(neck, letters)
    by_side = sorted(
        ((_side_name(neck.layout, half.side), _drawn(neck, half, letters)) for half in halves),
        key=itemgetter(0),
    )
    for number in range(1, stack.layers + 1):
        for side, drawn in by_side:
            title = f"{named[1]}, layer {number} of {stack.layers}"
            name = f"{named[0]}-{number}"
            if len(halves) > 1:
                title, name = f"{title}, {side} side", f"{name}-{side}"
            block = fitted_caption(neck.spec, title, use, drawn, letters=letters)
            yield Part(name=name, title=title, features=(*drawn, *block.features), tag_box=block.tag_box)


def _drawn(neck: Neck, half: MouldHalf, letters: float) -> tuple[Feature, ...]:
    """What is on every layer of a half."""
    ends = _mould_ends if half.is_outside else _form_ends
    return (
        Feature(id="outline", role=Role.EDGE, paths=(half.contour,)),
        *_holes(half.holes),
        *_stations(neck.layout, half),
        *ends(neck.layout, half, letters),
        _to_sides(neck.layout, half),
    )


def _check_web(neck: Neck, letters: float) -> None:
    """Checks that what is marked between holes and edges has room there.

    Raises:
        LimitError: If it has not.
    """
    web, least = known(neck.spec.mould.web), letters + 2.0 * _GAP
    if web < least:
        raise LimitError(
            where="mould.web",
            got=format_mm(web),
            expected=f"at least {format_mm(least)}, for the marks beside the holes",
        )


def _side_name(layout: Layout, side: float) -> str:
    return "treble" if (side > 0.0) is not layout.spec.left_handed.value else "bass"


def _stack_words(neck: Neck, stack: Stack) -> tuple[str, ...]:
    numbers = neck.spec.mould
    between = f", spacers {format_mm(stack.spacer)}" if stack.spacer else ""
    hand = " · left-handed" if neck.spec.left_handed.value else ""
    return (
        f"{stack.layers} × {format_mm(stack.thickness)}{between}, {format_mm(stack.height)} in all",
        f"bolts {format_mm(known(numbers.bolt))}, dowels {format_mm(known(numbers.dowel))}",
        f"lettering up{hand}",
    )


def _holes(holes: Sequence[Hole]) -> Iterator[Feature]:
    for use in HoleFor:
        same = [each for each in holes if each.use is use]
        yield from (
            hole(f"{use}.{number}", each.centre, each.diameter) for number, each in enumerate(same, start=1)
        )


def _stations(layout: Layout, half: MouldHalf) -> Iterator[Feature]:
    """Yields lines at bouts and waist, from near the working edge into the web."""
    into = half.side if half.is_outside else -half.side
    for name, edge in half.stations:
        ends = (edge + Point(0.0, into * long) for long in (_EDGE_GAP, _in_web(layout, _MARK)))
        yield scored(f"{name}.line", *ends)


def _in_web(layout: Layout, long: float) -> float:
    """How long a mark may be that starts at an edge and keeps off the holes."""
    return min(long, known(layout.spec.mould.web) - _GAP)


def _mould_ends(layout: Layout, half: MouldHalf, letters: float) -> Iterator[Feature]:
    """Yields an arrow to each straight end, on the sides' half of the wall, and its name on the other."""
    wall, long = known(layout.spec.mould.wall), _in_web(layout, _ARROW)
    ends = (("neck", half.working.start, -1.0), ("tail", half.working.end, 1.0))
    for name, inner, outward in ends:
        near, far = (inner.x + outward * wall * share for share in (0.25, 0.75))
        yield arrow(
            f"arrow.{name}", Point(near, half.side * long), Point(near, half.side * _EDGE_GAP), size=1.6
        )
        yield label(f"name.{name}", name, Point(far, half.side * long / 2.0), height=letters)


def _form_ends(layout: Layout, half: MouldHalf, letters: float) -> Iterator[Feature]:
    """Yields arrows to the neck and to the straight edge, with words beside them."""
    start, long = half.working.start, _in_web(layout, _ARROW)
    y = half.side * known(layout.spec.mould.web) / 2.0
    tip = Point(start.x + 2.0 * _GAP, y)
    yield arrow("arrow.neck", tip + Point(long, 0.0), tip, size=1.6)
    yield label("name.neck", "neck", tip + Point(long + _GAP, 0.0), height=letters, anchor=Anchor.LEFT_MIDDLE)
    x = (start.x + half.working.end.x) / 2.0
    yield arrow("arrow.centre", Point(x, half.side * long), Point(x, half.side * _EDGE_GAP), size=1.6)
    at = Point(x + _GAP, half.side * long / 2.0)
    yield label("name.centre", "centre line", at, height=letters, anchor=Anchor.LEFT_MIDDLE)


def _to_sides(layout: Layout, half: MouldHalf) -> Feature:
    """An arrow to the working edge, off the lines at bouts and waist."""
    whole = length(half.working)
    middle = max(
        (whole * share for share in (0.5, 0.46, 0.54, 0.42, 0.58)),
        key=lambda along: min(
            (abs(point_at(half.working, along).x - at.x) for _, at in half.stations), default=whole
        ),
    )
    place = point_at(half.working, middle)
    inward = (point_at(half.working, middle + 0.1) - point_at(half.working, middle - 0.1)).unit().left()
    if (inward.y * half.side > 0.0) is not half.is_outside:
        inward = -inward
    return arrow(
        "arrow.sides", place + inward * _in_web(layout, _ARROW), place + inward * _EDGE_GAP, size=1.6
    )


def _plate(neck: Neck, bench: Bench, splice: Splice, face: str) -> Part:
    """A plate across the seam, x = 0, its side toward the body uppermost, its lettering beyond the holes."""
    letters = bench.smallest_lettering_mm
    turn = QUARTER_TURN if splice.end == "neck" else QUARTER_TURN.inverse()
    corners = [turn.point(corner) for corner in (splice.box.low, splice.box.high)]
    holes = [replace(each, centre=turn.point(each.centre)) for each in splice.holes]
    around_holes = Box.spanning(*corners)
    title = f"{TITLE} plate, {splice.end} end, {face}"
    block = caption(
        neck.spec,
        title,
        ("lettering up, its line on the seam, toward the body",),
        left=around_holes.low.x + _INSET,
        top=min(each.centre.y - each.diameter / 2.0 for each in holes) - _GAP,
        width=around_holes.width - 2.0 * _INSET,
        letters=letters,
    )
    low = min(around_holes.low.y, block.low - _GAP)
    top = around_holes.high.y
    outside = rectangle(Point(around_holes.low.x, low), around_holes.high, radius=_CORNER)
    return Part(
        name=f"{NAME}-plate-{splice.end}-{face}",
        title=title,
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(outside,)),
            *_holes(holes),
            scored("seam", Point(0.0, top - _EDGE_GAP), Point(0.0, top - _in_web(neck.layout, _MARK))),
            *block.features,
        ),
        tag_box=block.tag_box,
    )

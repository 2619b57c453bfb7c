"""The body template, half or whole: its outline to draw or rout along, and where everything lies on it.

The half is turned over along the centre line for the other side, so that both come out alike; it carries only what is
alike on both. The whole one has pick-ups and cavities too.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from jiggen.design.given import known
from jiggen.design.instrument import CutawaySide
from jiggen.errors import LimitError
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds, length, locate
from jiggen.geometry.path import Line, Path, Segment, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import point_on
from jiggen.geometry.similarity import MIRROR, shifted
from jiggen.geometry.stroke import stretch
from jiggen.layout.body import BodyShape, Station, lay_out_body
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.openings import (
    opening_contour,
    opening_place,
    pocket_end,
    pocket_run,
    pocket_sides,
    saddle_at_centre,
    sound_hole,
    sound_hole_place,
)
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import Caption
from jiggen.parts.fitted_caption import fitted_caption
from jiggen.parts.marks import CENTRE_LINE, arrow, broken, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.routing import saddle_line
from jiggen.units import format_mm

NAME, TITLE = "body-template", "Body template"
HALF_NAME, HALF_TITLE = "body-half-template", "Half body template"
NEEDS = ("body.length", "body.lower_bout", "body.joint_fret")

_LARGEST, _FULL_SIZE = (
    1.5,
    300.0,
)  # its lettering is so much higher than the least on bodies at least so wide, mm
_MARK = 16.0  # lines at bouts and waist
_BRIDGE_LINE = 26.0  # the saddle line beyond the outer strings, about as wide as a bridge
_DASH = 12.0  # of the centre line
_EDGE_GAP = 0.6
_GAP = 2.0
_ARROW = 12.0


def body_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the whole body, in the layout's coordinates.

    Args:
        neck: Whose body's length, lower bout and joint are known.
        bench: Sets the lettering's height.

    Raises:
        JiggenError: If the numbers make no body, or its neck pocket or saddle lies outside it.
    """
    layout, letters = neck.layout, _letters(neck, bench)
    shape = _shape(layout)
    openings = neck.spec.body.openings.value if neck.spec.body.openings else ()
    cut = tuple(
        Feature(
            id=f"opening.{number}",
            role=Role.OPENING,
            paths=(opening_contour(layout, each),),
            datum=opening_place(layout, each),
            width_mm=min(each.length, each.width),
            led=True,
        )
        for number, each in enumerate(openings, start=1)
    )
    hole = _sound_hole(layout)
    half = _half_saddle(shape, layout)
    drawn = (
        *_edge(layout, shape),
        *hole,
        *cut,
        *saddle_line(layout, (-half, half), openings),
        _saddle_name(layout, half, letters),
        *_centre(layout, shape, (*hole, *cut)),
        *(mark for each in shape.stations for side in (1.0, -1.0) for mark in _mark(each, side)),
        *(_mark_name(each, letters) for each in shape.stations),
        _arrow(layout, shape, 3.0 * letters),
    )
    block = fitted_caption(neck.spec, TITLE, _words(neck), drawn, letters=letters)
    return (_part(NAME, TITLE, drawn, block),)


def unsuited(neck: Neck) -> str:
    """Tells why a neck's body has no half template that is turned over; empty when it has."""
    body = neck.spec.body
    one_sided = body.cutaway is not None and known(body.cutaway_side) is not CutawaySide.BOTH
    shifts = (body.upper_bout_shift, body.waist_shift, body.lower_bout_shift)
    if one_sided or any(each.value for each in shifts if each):
        return "the sides of its body differ; body-template has both"
    return ""


def body_half_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the half at positive y; arguments and errors are those of `body_template`."""
    layout, letters = neck.layout, _letters(neck, bench)
    shape = _shape(layout)
    half = _half_saddle(shape, layout)
    place = x_at(layout.saddle, 0.0)
    drawn = (
        *_half_edge(layout, shape),
        *_half_sound_hole(layout),
        scored("saddle", Point(place, _EDGE_GAP), Point(place, _DASH if neck.spec.fanned else half)),
        _saddle_name(layout, _DASH if neck.spec.fanned else half, letters),
        *(mark for each in shape.stations for mark in _mark(each, 1.0)),
        *(_mark_name(each, letters) for each in shape.stations),
        _arrow(layout, shape, 3.0 * letters),
        *_to_centre((saddle_at_centre(layout) + shape.tail) / 2.0, letters),
    )
    words = ("turn over along the centre line for the other half", *_words(neck))
    block = fitted_caption(neck.spec, HALF_TITLE, words, drawn, letters=letters)
    return (_part(HALF_NAME, HALF_TITLE, drawn, block),)


def _letters(neck: Neck, bench: Bench) -> float:
    """Height of capitals: a large template is read from farther away."""
    share = known(neck.spec.body.lower_bout) / _FULL_SIZE
    return bench.smallest_lettering_mm * max(1.0, min(share, 1.0) * _LARGEST)


def _part(name: str, title: str, drawn: tuple[Feature, ...], block: Caption) -> Part:
    return Part(
        name=name,
        title=title,
        features=(*drawn, *block.features),
        tag_box=block.tag_box,
        lies_on_work=True,
    )


def _shape(layout: Layout) -> BodyShape:
    """The body, which must reach past the saddle line.

    Raises:
        LimitError: If it does not.
    """
    shape = lay_out_body(layout)
    saddle = saddle_at_centre(layout)
    if not shape.neck_end + _DASH < saddle < shape.tail - _DASH:
        raise LimitError(
            where="body",
            got=f"a body from {format_mm(shape.neck_end)} to {format_mm(shape.tail)} from the nut",
            expected=f"one that the saddle line, at {format_mm(saddle)}, lies on",
            mend="Change body.length or body.joint-fret",
        )
    return shape


def _edge(layout: Layout, shape: BodyShape) -> Iterator[Feature]:
    """The outside of the whole body; with the neck's pocket as a notch in it, if there is one."""
    if layout.spec.neck_pocket.length is None:
        yield Feature(id="outline", role=Role.EDGE, paths=(shape.outline,), led=True)
        return
    run, (upper, lower) = _pocket(layout, shape)
    whole = shape.outline
    around = stretch(whole, locate(whole, lower), locate(whole, upper))
    yield Feature(id="outline", role=Role.EDGE, paths=(_closed((*around.segments, *run.segments)),), led=True)
    yield _notch(layout, run)


def _half_edge(layout: Layout, shape: BodyShape) -> Iterator[Feature]:
    """The outside of a half; with half the neck's pocket, if there is one that is alike on both sides."""
    if layout.spec.neck_pocket.length is None or layout.spec.fanned:
        yield Feature(id="outline", role=Role.EDGE, paths=(shape.half_outline,))
        return
    run, (upper, _) = _pocket(layout, shape)
    middle = stretch(run, 0.0, length(run) / 2.0)  # down to the centre line
    outside = stretch(reverse(shape.half), 0.0, locate(reverse(shape.half), upper))
    centre = Line(middle.end, outside.start)
    half_run = Path(middle.segments)
    yield Feature(
        id="outline", role=Role.EDGE, paths=(_closed((centre, *outside.segments, *half_run.segments)),)
    )
    yield _notch(layout, half_run)


def _closed(pieces: tuple[Segment, ...]) -> Path:
    """The contour of pieces that meet to within a rounding, joined at the very same points."""
    joined: list[Segment] = []
    for index, piece in enumerate(pieces):
        start = joined[-1].end if joined else piece.start
        end = pieces[0].start if index == len(pieces) - 1 else piece.end
        joined.append(replace(piece, start=start, end=end))
    return Path(tuple(joined), closed=True)


def _notch(layout: Layout, run: Path) -> Feature:
    return Feature(
        id="neck-pocket",
        role=Role.OPENING,
        paths=(run,),
        datum=Point(pocket_end(layout), 0.0),
        cut_in="outline",
    )


def _pocket(layout: Layout, shape: BodyShape) -> tuple[Path, tuple[Point, Point]]:
    """The pocket's walls and their mouths in the body's outline, the one at positive y first.

    Raises:
        LimitError: If the pocket does not open to the body's neck end.
    """
    sides = pocket_sides(layout, known(layout.spec.neck_pocket.allowance))
    mouths: list[Point] = []
    for side in sides:
        half = shape.half if side.start.y > 0.0 else shape.other
        found = [each.at for piece in half for each in meetings(piece, side)]
        if not found or max(each.x for each in found) > pocket_end(layout) - _DASH:
            raise LimitError(
                where="neck-pocket",
                got=f"a pocket that ends {format_mm(pocket_end(layout))} from the nut",
                expected=f"one that opens to the body's neck end, at {format_mm(shape.neck_end)}",
                mend="Change neck-pocket.end-from-saddle or body.joint-fret",
            )
        mouths.append(min(found, key=lambda at: at.x))
    upper, lower = mouths
    return pocket_run(layout, (upper, lower), allowance=known(layout.spec.neck_pocket.allowance)), (
        upper,
        lower,
    )


def _sound_hole(layout: Layout) -> tuple[Feature, ...]:
    place = sound_hole_place(layout)
    if place is None or layout.spec.sound_hole.width is None:
        return ()
    contour = shifted(place.x, 0.0).path(sound_hole(layout))
    return (Feature(id="sound-hole", role=Role.OPENING, paths=(contour,), datum=place, led=True),)


def _half_sound_hole(layout: Layout) -> tuple[Feature, ...]:
    """The half of the sound hole at positive y as a line, and its middle."""
    found = _sound_hole(layout)
    if not found:
        return ()
    (whole,) = found
    pieces = tuple(piece for piece in whole.paths[0] if point_on(piece, 0.5).y > 0.0)
    low, high = bounds(Path(pieces)).low.x, bounds(Path(pieces)).high.x
    middle = Point((low + high) / 2.0, 0.0)
    return (
        replace(whole, role=Role.LINE, paths=(Path(pieces),), led=False),
        scored("sound-hole.middle", middle + Point(0.0, _EDGE_GAP), middle + Point(0.0, _DASH)),
    )


def _half_saddle(shape: BodyShape, layout: Layout) -> float:
    """How far from the centre line the saddle line is drawn: about as wide as a bridge, and on the body."""
    strings = max(abs(string.line.end.y) for string in layout.strings)
    across = Line(Point(saddle_at_centre(layout), 0.0), Point(saddle_at_centre(layout), 1e4))
    body = min(
        each.at.y
        for half in (shape.half, MIRROR.path(shape.other))
        for piece in half
        for each in meetings(piece, across)
    )
    return min(strings + _BRIDGE_LINE, body - _DASH)


def _to_centre(x: float, letters: float) -> Iterator[Feature]:
    """Yields an arrow to the straight edge of a half, with words beside it."""
    yield arrow("arrow.centre", Point(x, _ARROW), Point(x, _EDGE_GAP))
    at = Point(x + _GAP, _ARROW / 2.0)
    yield label("name.centre", "centre line", at, height=letters, anchor=Anchor.LEFT_MIDDLE)


def _saddle_name(layout: Layout, half: float, letters: float) -> Feature:
    """Beside the upper end of the saddle line, reading downward."""
    top = max(half, text_width("saddle", letters) + 2.0 * _GAP)
    xs = [x_at(layout.saddle, y) for y in (top, top - 8.0 * letters)]
    return label(
        "name.saddle",
        "saddle",
        Point(max(xs) + _GAP, top),
        height=letters,
        anchor=Anchor.LEFT_BASELINE,
        angle=-math.pi / 2.0,
    )


def _centre(layout: Layout, shape: BodyShape, openings: Sequence[Feature]) -> Iterator[Feature]:
    """Yields the centre line between what is open on it."""
    start = shape.neck_end
    if layout.spec.neck_pocket.length is not None:
        start = pocket_end(layout) + known(layout.spec.neck_pocket.allowance)
    taken = sorted(
        (box.low.x, box.high.x)
        for box in (bounds(each.paths[0]) for each in openings)
        if box.low.y < 0.0 < box.high.y
    )
    pen, number = start + _GAP, 0
    for low, high in (*taken, (shape.tail, shape.tail)):
        if low - _GAP > pen + _DASH:
            number += 1
            yield broken(f"centre.{number}", Point(pen, 0.0), Point(low - _GAP, 0.0), CENTRE_LINE)
        pen = max(pen, high + _GAP)


def _mark(station: Station, side: float) -> Iterator[Feature]:
    """Yields a line at a bout or the waist, from near the edge inward."""
    name = f"{station.name}.{'high' if side > 0.0 else 'low'}"
    edge = station.width / 2.0 - _EDGE_GAP
    x = station.at(side)
    yield scored(name, Point(x, side * edge), Point(x, side * (edge - _MARK)))


def _mark_name(station: Station, letters: float) -> Feature:
    words = f"{station.name.replace('-', ' ')} {format_mm(station.width)}"
    at = Point(station.at(1.0), station.width / 2.0 - _MARK - _GAP)
    return label(f"name.{station.name}", words, at, height=letters, anchor=Anchor.CENTRE_TOP)


def _arrow(layout: Layout, shape: BodyShape, y: float) -> Feature:
    """To the neck: at the body's neck end, or inside the neck's pocket."""
    along = Line(Point(shape.neck_end - 1.0, y), Point(shape.tail, y))
    start = min(each.at.x for piece in shape.half for each in meetings(piece, along))
    if layout.spec.neck_pocket.length is not None:
        start = pocket_end(layout) + known(layout.spec.neck_pocket.allowance) + _ARROW / 2.0
    return arrow("arrow.neck", Point(start + _ARROW, y), Point(start + 2.0 * _EDGE_GAP, y))


def _words(neck: Neck) -> tuple[str, ...]:
    body = neck.spec.body
    hand = " · left-handed" if neck.spec.left_handed.value else ""
    return (
        f"arrow to the neck{hand}",
        f"{format_mm(known(body.length))} long, its neck end at fret {known(body.joint_fret)}",
        "saddle line as on paper, without compensation",
    )

"""What the whole and the half body template share: the body, its neck pocket and sound hole, and what is marked on it."""

import math

from jiggen.design.given import known
from jiggen.errors import LimitError
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line, Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR, shifted
from jiggen.layout.body import BodyShape, Station, lay_out_body
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.openings import (
    across,
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
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import format_mm

#: Fields of `Spec` that a body cannot do without.
NEEDS = ("body.length", "body.lower_bout", "body.joint_fret")
#: From marks to the edge, and from lettering to anything else.
EDGE_GAP, GAP = 0.6, 2.0
#: Of arrows, and of a mark or a dash of the centre line.
ARROW, DASH = 12.0, 12.0

# lettering is so much higher than the least on bodies at least so wide, mm
_LARGEST, _FULL_SIZE = 1.5, 300.0
_MARK = 16.0  # lines at bouts and waist
_BRIDGE_LINE = 26.0  # the saddle line beyond the outer strings, about as wide as a bridge


def letters_of(shape: BodyShape, bench: Bench) -> float:
    """Returns the height of capitals: a large template is read from farther away."""
    share = bounds(shape.outline).height / _FULL_SIZE
    return bench.smallest_lettering_mm * max(1.0, min(share, 1.0) * _LARGEST)


def body_part(name: str, title: str, drawn: tuple[Feature, ...], block: Caption) -> Part:
    """Returns a part that lies on the body, of what is drawn on it and its caption."""
    return Part(
        name=name,
        title=title,
        features=(*drawn, *block.features),
        tag_box=block.tag_box,
        lies_on_work=True,
    )


def body_shape(layout: Layout) -> BodyShape:
    """Returns the body, which must reach past the saddle line.

    Raises:
        LimitError: If it does not.
    """
    shape = lay_out_body(layout)
    saddle = saddle_at_centre(layout)
    if not shape.neck_end + DASH < saddle < shape.tail - DASH:
        raise LimitError(
            where="body",
            got=f"a body from {format_mm(shape.neck_end)} to {format_mm(shape.tail)} from the nut",
            expected=f"one that the saddle line, at {format_mm(saddle)}, lies on",
            mend="Change body.length or body.joint-fret",
        )
    return shape


def pocket_notch(layout: Layout, run: Path) -> Feature:
    """Returns the neck's pocket, whose walls lie in the part's edge."""
    return Feature(
        id="neck-pocket",
        role=Role.OPENING,
        paths=(run,),
        datum=Point(pocket_end(layout), 0.0),
        cut_in="outline",
    )


def pocket_walls(layout: Layout, shape: BodyShape) -> tuple[Path, tuple[Point, Point]]:
    """Returns the pocket's walls and their mouths in the body's outline, the one at positive y first.

    Raises:
        LimitError: If the pocket does not open to the body's neck end.
    """
    sides = pocket_sides(layout, known(layout.spec.neck_pocket.allowance))
    mouths: list[Point] = []
    for side in sides:
        half = shape.half if side.start.y > 0.0 else shape.other
        found = [each.at for piece in half for each in meetings(piece, side)]
        if not found or max(each.x for each in found) > pocket_end(layout) - DASH:
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


def hole_in_top(layout: Layout) -> tuple[Feature, ...]:
    """Returns the sound hole where the body has one and its place is known, else nothing."""
    place = sound_hole_place(layout)
    if place is None or layout.spec.sound_hole.width is None:
        return ()
    contour = shifted(place.x, 0.0).path(sound_hole(layout))
    return (Feature(id="sound-hole", role=Role.OPENING, paths=(contour,), datum=place, led=True),)


def saddle_reach(shape: BodyShape, layout: Layout) -> float:
    """Returns how far from the centre line the saddle line is drawn: about as wide as a bridge, and on the body."""
    strings = max(abs(string.line.end.y) for string in layout.strings)
    across = Line(Point(saddle_at_centre(layout), 0.0), Point(saddle_at_centre(layout), 1e4))
    body = min(
        each.at.y
        for half in (shape.half, MIRROR.path(shape.other))
        for piece in half
        for each in meetings(piece, across)
    )
    return min(strings + _BRIDGE_LINE, body - DASH)


def saddle_name(layout: Layout, half: float, letters: float, side: float = 1.0) -> Feature:
    """Returns its name beside the saddle line's outer end on a side, reading toward lower y.

    Args:
        layout: Of the neck.
        half: How far the line reaches from the centre line.
        letters: Height of capitals.
        side: The sign of y.
    """
    long = text_width("saddle", letters)
    outer = max(half, long + 2.0 * GAP)
    top = outer if side > 0.0 else long - outer
    xs = [x_at(layout.saddle, y) for y in (top, top - 8.0 * letters)]
    return label(
        "name.saddle",
        "saddle",
        Point(max(xs) + GAP, top),
        height=letters,
        anchor=Anchor.LEFT_BASELINE,
        angle=-math.pi / 2.0,
    )


def station_mark(station: Station, side: float) -> Feature:
    """Returns a line at a bout or the waist on a side, the sign of whose y is given, from near the edge inward."""
    name = f"{station.name}.{'high' if side > 0.0 else 'low'}"
    edge = station.reach(side) - EDGE_GAP
    x = station.at(side)
    return scored(name, Point(x, side * edge), Point(x, side * (edge - _MARK)))


def station_name(station: Station, letters: float, side: float = 1.0, *, of_half: bool = False) -> Feature:
    """Returns the name and width of a bout or the waist, at the end of its mark on a side.

    Args:
        station: The bout or the waist.
        letters: Height of capitals.
        side: The sign of y.
        of_half: Whether a half whose reach differs from the other's tells its own.
    """
    words = f"{station.name.replace('-', ' ')} {format_mm(station.width)}"
    if of_half and station.offset:
        words = f"{station.name.replace('-', ' ')}, this half {format_mm(station.reach(side))}"
    at = Point(station.at(side), side * (station.reach(side) - _MARK - GAP))
    anchor = Anchor.CENTRE_TOP if side > 0.0 else Anchor.CENTRE_BASELINE
    return label(f"name.{station.name}", words, at, height=letters, anchor=anchor)


def neck_arrow(layout: Layout, shape: BodyShape, y: float) -> Feature:
    """Returns an arrow to the neck: at the body's neck end, or inside the neck's pocket."""
    along = Line(Point(shape.neck_end - 1.0, y), Point(shape.tail, y))
    start = min(
        each.at.x for piece in (shape.half if y > 0.0 else shape.other) for each in meetings(piece, along)
    )
    if layout.spec.neck_pocket.length is not None:
        end = across(layout, pocket_end(layout) + known(layout.spec.neck_pocket.allowance))
        start = x_at(end, y) + ARROW / 2.0
    return arrow("arrow.neck", Point(start + ARROW, y), Point(start + 2.0 * EDGE_GAP, y))


def body_words(neck: Neck, shape: BodyShape) -> tuple[str, ...]:
    """Returns what to know to use a template of the body."""
    hand = " · left-handed" if neck.spec.left_handed.value else ""
    return (
        f"arrow to the neck{hand}",
        f"{format_mm(shape.tail - shape.neck_end)} long, its neck end at fret {known(neck.spec.body.joint_fret)}",
        "saddle line as on paper, without compensation",
    )

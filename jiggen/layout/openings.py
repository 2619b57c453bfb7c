"""What is cut and routed into the body: sound hole, rosette, pick-ups and neck pocket, in the layout's coordinates.

Everything is placed by its distance from the saddle line, which is where it must be right.
"""

import math

from jiggen.design.given import known
from jiggen.design.instrument import Opening, Ring
from jiggen.errors import LimitError
from jiggen.geometry.measure import length
from jiggen.geometry.offset import grow
from jiggen.geometry.path import Line, Path, circle, rectangle, reverse, rounded
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import MIRROR, Similarity, shifted, turned
from jiggen.geometry.stroke import slot_along, stretch
from jiggen.geometry.two_arcs import quarter_oval
from jiggen.layout.board import crossing
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.units import format_mm

#: How full an oval sound hole is, as `quarter_oval` has it: about an ellipse.
_FULLNESS = 0.72
#: Bridges that hold the middle of a rosette's pattern, mm wide, so many round it: an odd number, so that half a turn
#: brings slots where bridges were.
BRIDGE, BRIDGES = 10.0, 3


def saddle_at_centre(layout: Layout) -> float:
    """Returns the x at which the saddle line crosses the centre line."""
    return x_at(layout.saddle, 0.0)


def opening_place(layout: Layout, opening: Opening) -> Point:
    """Returns the middle of a pick-up's opening or another cavity."""
    return Point(saddle_at_centre(layout) - opening.from_saddle, opening.offset * _treble(layout))


def opening_contour(layout: Layout, opening: Opening) -> Path:
    """Returns the contour of a pick-up's opening or another cavity, counter-clockwise.

    Raises:
        LimitError: If its corners are rounder than it has room for.
    """
    along, across = opening.width / 2.0, opening.length / 2.0
    if opening.radius > min(along, across):
        raise LimitError(
            where=f"body.openings, {opening.name}",
            got=f"corners of {format_mm(opening.radius)} radius in {format_mm(opening.length)}"
            f" × {format_mm(opening.width)}",
            expected=f"at most {format_mm(min(along, across))}",
        )
    outline = rectangle(Point(-along, -across), Point(along, across), radius=opening.radius)
    middle = opening_place(layout, opening)
    return turned(opening_turn(layout, opening)).then(shifted(middle.x, middle.y)).path(outline)


def opening_turn(layout: Layout, opening: Opening) -> float:
    """Returns by how much an opening is turned, radians, so that its treble end comes nearer the saddle."""
    return -opening.slant * _treble(layout)


def _treble(layout: Layout) -> float:
    """The sign of y on the treble side."""
    return -1.0 if layout.spec.left_handed.value else 1.0


def sound_hole(layout: Layout) -> Path:
    """Returns the contour of a sound hole about the origin, counter-clockwise: a circle, or an oval of four arcs."""
    hole = layout.spec.sound_hole
    across = known(hole.width) / 2.0
    if hole.length is None or hole.length.value == known(hole.width):
        return circle(ORIGIN, across)
    along = hole.length.value / 2.0
    quarter = quarter_oval(along, across, _FULLNESS)
    from_left = shifted(-along, 0.0).path(quarter)  # from the left end to the top
    half = (*from_left.segments, *reverse(_FLIPPED.path(from_left)).segments)  # on to the right end
    below = tuple(MIRROR.segment(piece) for piece in half)
    return Path((*below, *reverse(Path(half)).segments), closed=True)


#: Across the y axis.
_FLIPPED = Similarity(cosine=-1.0, mirrored=True)


def sound_hole_place(layout: Layout) -> Point | None:
    """Returns the middle of the sound hole; None where nothing says where it is."""
    from_saddle = layout.spec.sound_hole.from_saddle
    return Point(saddle_at_centre(layout) - from_saddle.value, 0.0) if from_saddle else None


def ring_slots(layout: Layout, ring: Ring) -> tuple[Path, ...]:
    """Returns a rosette's channel about the origin as slots with bridges between them.

    Raises:
        LimitError: If the bridges leave too little between them to be done away with by half a turn.
    """
    (middle,) = grow(sound_hole(layout), ring.from_edge + ring.width / 2.0)
    whole = length(middle)
    short = BRIDGE / 2.0 + ring.width / 2.0  # from the middle of a bridge to that of the slot's round end
    if 2.0 * (short + ring.width / 2.0) >= whole / (2.0 * BRIDGES):
        raise LimitError(
            where="sound-hole.rings",
            got=f"a channel {format_mm(ring.width)} wide, {format_mm(whole)} round",
            expected=f"one that is longer, for {BRIDGES} bridges of {format_mm(BRIDGE)}",
            mend="Make the channel narrower",
        )
    pitch = whole / BRIDGES
    return tuple(
        slot_along(stretch(middle, number * pitch + short, (number + 1) * pitch - short), ring.width)
        for number in range(BRIDGES)
    )


def pocket_end(layout: Layout) -> float:
    """Returns the x at which the neck pocket ends on the centre line, without its allowance."""
    end = layout.spec.neck_pocket.end_from_saddle
    return saddle_at_centre(layout) - end.value if end else x_at(layout.board_end, 0.0)


def pocket_start(layout: Layout) -> float:
    """Returns the x at which the neck pocket starts on the centre line: at the body's edge."""
    return pocket_end(layout) - known(layout.spec.neck_pocket.length)


def neck_pocket(layout: Layout, *, allowance: float, beyond: float = 0.0) -> Path:
    """Returns the contour of the neck's heel, or of the pocket for it, clockwise.

    Its sides are those of the board, its end is parallel to the last fret, square across unless frets fan out.

    Args:
        layout: Of a neck whose pocket's length is known.
        allowance: By which it is larger on each side and at its end, mm.
        beyond: How far it runs on past the body's edge, with round corners there too; 0: it ends there, square.

    Raises:
        LimitError: If the corners are rounder than there is room for.
    """
    start = across(layout, pocket_start(layout) - beyond)
    upper, lower = pocket_sides(layout, allowance)
    radius = known(layout.spec.neck_pocket.radius)
    mouths = crossing(upper, start), crossing(lower, start)
    return _pocket(layout, mouths, allowance=allowance, mouth_radius=radius if beyond else 0.0)


def pocket_sides(layout: Layout, allowance: float) -> tuple[Line, Line]:
    """Returns the sides of the neck pocket carried on from nut to saddle, the one at positive y first."""
    sides = (_aside(layout.bass_edge, allowance), _aside(layout.treble_edge, allowance))
    return sides if sides[0].start.y > 0.0 else sides[::-1]


def pocket_run(layout: Layout, mouths: tuple[Point, Point], *, allowance: float) -> Path:
    """Returns the pocket's walls from one mouth to the other, the one at positive y first.

    Args:
        layout: As for `neck_pocket`.
        mouths: Where its sides meet the body's edge.
        allowance: As for `neck_pocket`.

    Raises:
        LimitError: If the corners are rounder than there is room for.
    """
    closed = _pocket(layout, mouths, allowance=allowance, mouth_radius=0.0)
    return Path(closed.segments[:-1])


def _pocket(layout: Layout, mouths: tuple[Point, Point], *, allowance: float, mouth_radius: float) -> Path:
    """The contour from one mouth round the end to the other and back, clockwise as the mouths are given.

    Raises:
        LimitError: If the corners are rounder than there is room for.
    """
    end = across(layout, pocket_end(layout) + allowance)
    upper, lower = (crossing(side, end) for side in pocket_sides(layout, allowance))
    radius = known(layout.spec.neck_pocket.radius)
    try:
        return rounded((mouths[0], upper, lower, mouths[1]), (mouth_radius, radius, radius, mouth_radius))
    except ValueError as error:
        raise LimitError(
            where="neck-pocket.radius",
            got=format_mm(radius),
            expected=f"corners with room in a pocket {format_mm(upper.distance(mouths[0]))} long",
        ) from error


def across(layout: Layout, x: float) -> Line:
    """Returns a line through the centre line at x, parallel to the last fret."""
    last = layout.frets[-1].line if layout.frets else layout.nut
    way = (last.end - last.start).unit()
    return Line(Point(x, 0.0) - way, Point(x, 0.0) + way)


def _aside(edge: Line, by: float) -> Line:
    """An edge of the board moved away from the centre line."""
    out = (edge.end - edge.start).unit().left() * math.copysign(by, edge.start.y)
    return Line(edge.start + out, edge.end + out)

"""A cutaway: the half outline from the neck end round the horn to the bout, in place of a rounded shoulder.

From the neck's corner it runs along the board, round the bottom of the scoop and out to the horn, whose tip is round
(soft) or a point (sharp), and on to the upper bout. Millimetres, from the neck end on the centre line.
"""

import math

from jiggen.design.given import known
from jiggen.design.instrument import Body, CutawayShape
from jiggen.errors import LimitError
from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.point import Point
from jiggen.units import format_mm

#: From the board's edge to the side of the scoop (common practice).
BESIDE_BOARD = 6.0
#: How far out the scoop's deepest place lies between the neck and the horn.
_BOTTOM = 0.5
#: How far the turn at the scoop's bottom reaches toward the neck end, in its half heights: it is no tighter than
#: need be.
_REACH = 1.4
#: From the upper bout's half width to a soft horn's tip at most, and to a sharp one's, as shares of the way from the
#: neck.
_HORN_WITHIN, _POINT_WITHIN = 0.5, 0.1
#: A soft horn's outside: its rise over its first handle, and its second handle as a share of its run.
_OVER, _BACK = 1.5, 0.45
#: Handles of curves that turn a quarter, about an ellipse.
_QUARTER = 0.5523
#: Directions of a sharp horn's sides at its point, measured from across, radians.
_INNER, _OUTER = math.radians(25.0), math.radians(50.0)

Piece = Segment | CubicBezier


def cutaway_half(body: Body, *, board: float, bout: Point, bend: float | None = None) -> tuple[Piece, ...]:
    """Returns the pieces from the centre line at the neck end to the upper bout, which the last meets along x.

    Args:
        body: Whose cutaway, its depth and its horn's place are known.
        board: Half the board's width at the neck end.
        bout: The upper bout.
        bend: Curvature that the outline has on the other side of the upper bout, 1/mm; None: it does not matter.

    Raises:
        LimitError: If there is no room for scoop or horn.
    """
    soft = known(body.cutaway) is CutawayShape.SOFT
    depth, horn_at, horn_radius = known(body.cutaway_depth), known(body.horn_at), known(body.horn_radius)
    corner = Point(0.0, board + BESIDE_BOARD)
    room = bout.y - corner.y
    run = bout.x - horn_at
    # a soft horn's outside leaves its tip with the tip's radius: see `end_piece` for the curvature of such a curve
    up = math.sqrt(2.0 * horn_radius * max(run, 0.0) * (1.0 - _BACK) / 3.0)
    outside = bout.y - min(_OVER * up, _HORN_WITHIN * room) if soft else bout.y - _POINT_WITHIN * room
    inside = outside - (horn_radius if soft else 0.0)
    bottom = Point(depth, corner.y + _BOTTOM * (inside - corner.y))
    least = 20.0 if soft else 30.0
    if inside - corner.y < least:
        raise LimitError(
            where="body.horn-radius" if soft else "body.upper-bout",
            got=f"{format_mm(max(inside - corner.y, 0.0))} between neck and horn",
            expected=f"at least {format_mm(least)}",
            mend="Make the horn's radius smaller, or the upper bout wider",
        )
    tip = horn_at + (horn_radius if soft else 0.0)
    if not (tip < depth - 10.0 and tip < bout.x - 10.0):
        raise LimitError(
            where="body.horn-at",
            got=f"a horn at {format_mm(horn_at)} with a scoop {format_mm(depth)} deep"
            f" and the upper bout at {format_mm(bout.x)}",
            expected="a horn nearer to the neck than both, by 10 mm and its radius at least",
            mend="Change body.horn-at, body.cutaway-depth or body.upper-bout-at",
        )
    low, high = bottom.y - corner.y, inside - bottom.y
    turn = Point(max(depth - _REACH * low, 0.0), corner.y)
    beside = (Line(corner, turn),) if turn.x > 0.0 else ()
    neck_end = (Line(Point(0.0, 0.0), corner), *beside)
    down = _quarter(turn, Point(depth, corner.y), bottom)
    if soft:
        start, middle = Point(tip, inside), Point(horn_at, outside)
        rise = bout.y - outside
        leave = Point(max(depth - _REACH * high, tip), inside)
        out = (
            _quarter(bottom, Point(depth, inside), leave),
            *((Line(leave, start),) if leave.x > tip else ()),
        )
        up = min(up, rise / _OVER)
        back = min(_handle(rise - up, bend, _BACK * run), 0.7 * run)
        return (
            *neck_end,
            down,
            *out,
            Arc(start, middle, -math.tan(math.pi / 8.0)),
            CubicBezier(middle, middle + Point(0.0, up), bout - Point(back, 0.0), bout),
        )
    point = Point(horn_at, outside)
    reach = 0.4 * bottom.distance(point)
    inner = CubicBezier(
        bottom,
        bottom + Point(0.0, _QUARTER * (point.y - bottom.y)),
        point - Point(-math.cos(_INNER), math.sin(_INNER)) * reach,
        point,
    )
    lift = min((bout.y - point.y) * 0.9, run / 3.0 / math.tan(_OUTER))
    back = min(_handle(bout.y - point.y - lift, bend, run / 3.0), run * 2.0 / 3.0)
    last = CubicBezier(point, point + Point(run / 3.0, lift), bout - Point(back, 0.0), bout)
    return (*neck_end, down, inner, last)


def _handle(rise: float, bend: float | None, usual: float) -> float:
    """How long a handle is that gives the end of a curve this bend."""
    return usual if bend is None else math.sqrt(2.0 * rise / (3.0 * bend))


def _quarter(start: Point, corner: Point, end: Point) -> CubicBezier:
    """A curve that sets out toward a corner and arrives from it."""
    return CubicBezier(start, start + (corner - start) * _QUARTER, end + (corner - end) * _QUARTER, end)

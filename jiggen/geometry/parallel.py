"""The segments of a contour shifted sideways and joined into one run again: the raw form of an offset."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Self, assert_never

from jiggen.geometry.cross import AT_JOINT, meetings
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on, length_of, nearest_on, part_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Parallel:
    """A contour's segments shifted sideways and joined.

    Attributes:
        run: Closed: each segment starts where the one before it ends, the first where the last ends. What it
            goes round, counted with sign, is the contour's inside with the strips that the segments swept on
            their way added or taken off, each once. Empty if all has shrunk into one point.
        folds: Whether overlaps of the strips are still in the run, since one corner alone could not clear them.
    """

    run: tuple[Segment, ...]
    folds: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """A segment of the contour and its parallel, which is None for an arc tighter than the shift."""

    source: Segment
    curve: Segment | None
    start: Point  # where the parallel starts
    end: Point
    sets_out: Point  # unit vectors along
    arrives: Point

    @classmethod
    def of(cls, source: Segment, shift: float) -> Self:
        sets_out, arrives = heading_on(source, 0.0), heading_on(source, 1.0)
        start, end = source.start - sets_out.left() * shift, source.end - arrives.left() * shift
        curve: Segment | None
        match source:
            case Line():
                curve = Line(start, end)
            case Arc():
                radius = source.radius + math.copysign(shift, shift * source.bulge)
                curve = Arc(start, end, source.bulge) if radius > COINCIDENT else None
            case _:
                assert_never(source)
        return cls(source=source, curve=curve, start=start, end=end, sets_out=sets_out, arrives=arrives)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Joint:
    """How the run gets from one parallel to the next.

    Attributes:
        points: Walked in straight lines from where the one now ends to where the next now begins.
        leaves: How far along the one that is, as a fraction of its full length.
        enters: The same on the next.
        trimmed: Whether the two were cut back to where they cross.
        folds: Whether they overlap and the run goes back to the corner between them.
    """

    points: tuple[Point, ...]
    leaves: float = 1.0
    enters: float = 0.0
    trimmed: bool = False
    folds: bool = False


def parallel(contour: Path, shift: float, mitre_limit: float) -> Parallel:
    """Returns the segments of a closed path shifted to its right, or left, and joined.

    Args:
        contour: Closed, counter-clockwise, each segment longer than `COINCIDENT`.
        shift: In mm; positive is to the right of travel, so outward; not zero.
        mitre_limit: How many times the shift a corner's tip may lie off the corner, at least 1.
    """
    sides = [_Side.of(piece, shift) for piece in contour]
    joints = [_joint(one, following, shift, mitre_limit) for one, following in pairwise([*sides, sides[0]])]
    for index, side in enumerate(sides):
        if _is_overrun(side, joints[index - 1], joints[index]):
            for place, one, following in (
                (index - 1, sides[index - 1], side),
                (index, side, sides[(index + 1) % len(sides)]),
            ):
                if joints[place].trimmed:
                    joints[place] = _folded(one, following)
    tight = any(side.curve is None and side.start.distance(side.end) > COINCIDENT for side in sides)
    return Parallel(run=_run(sides, joints), folds=tight or any(joint.folds for joint in joints))


def mitres(contour: Path, shift: float, mitre_limit: float) -> tuple[tuple[Point, ...], ...]:
    """Returns the areas that the mitres of `parallel` add: polygons of corner, shifted end, tips, shifted start."""
    sides = [_Side.of(piece, shift) for piece in contour]
    return tuple(
        (one.source.end, one.end, *_tips(one, following, shift, mitre_limit), following.start)
        for one, following in pairwise([*sides, sides[0]])
        if _turn(one, following) * shift > 0.0 and one.end.distance(following.start) > AT_JOINT
    )


def _turn(one: _Side, following: _Side) -> float:
    """Returns which way a corner turns: more than 0 is left."""
    turn = one.arrives.cross(following.sets_out)
    if abs(turn) < 1e-9 and one.arrives.dot(following.sets_out) < 0.0:  # a cusp: the curves beside it tell
        return -(_curvature(one.source) + _curvature(following.source))
    return turn


def _curvature(piece: Segment) -> float:
    return math.copysign(1.0 / piece.radius, piece.bulge) if isinstance(piece, Arc) else 0.0


def _joint(one: _Side, following: _Side, shift: float, mitre_limit: float) -> _Joint:
    ahead = one.arrives.dot(following.sets_out)
    gap = one.end.distance(following.start)
    if ahead > 0.0 and gap <= COINCIDENT:  # a common tangent
        return _Joint(points=(_tip(one, following, shift, ahead),))
    if ahead > 0.0 and gap <= min(AT_JOINT, _room(one), _room(following)):
        return _smooth(one, following, shift, ahead)
    if _turn(one, following) * shift > 0.0:
        return _mitred(one, following, shift, mitre_limit)
    return _trimmed(one, following) or _folded(one, following)


def _tip(one: _Side, following: _Side, shift: float, ahead: float) -> Point:
    """Returns where the two parallels meet if both go on straight."""
    normals = one.arrives.left() + following.sets_out.left()
    return one.source.end - normals * (shift / (1.0 + ahead))


def _room(side: _Side) -> float:
    """Returns how much a parallel may be carried on, or cut back, without changing what it is, in mm."""
    return 0.0 if side.curve is None else length_of(side.curve) / 10.0


def _smooth(one: _Side, following: _Side, shift: float, ahead: float) -> _Joint:
    """Joins two parallels that all but meet, each carried on or cut back a little along its own curve."""
    tip = _tip(one, following, shift, ahead)
    leaves, enters = 1.0, 0.0
    if one.curve is not None:
        leaves += (tip - one.end).dot(one.arrives) / length_of(one.curve)
    if following.curve is not None:
        enters += (tip - following.start).dot(following.sets_out) / length_of(following.curve)
    return _Joint(points=(tip,), leaves=leaves, enters=enters)


def _mitred(one: _Side, following: _Side, shift: float, mitre_limit: float) -> _Joint:
    """Carries two parallels on straight until they meet or reach the limit."""
    before = () if isinstance(one.curve, Line) else (one.end,)
    after = () if isinstance(following.curve, Line) else (following.start,)
    return _Joint(points=(*before, *_tips(one, following, shift, mitre_limit), *after))


def _tips(one: _Side, following: _Side, shift: float, mitre_limit: float) -> tuple[Point, ...]:
    """Returns the sharp tip of a mitre, or the two ends of the flat that cuts it off at the limit.

    Source: a mitre over a turn θ reaches 1/cos(θ/2) of the shift, and (1 + cos θ)/2 is cos²(θ/2).
    """
    ahead = one.arrives.dot(following.sets_out)
    if (1.0 + ahead) / 2.0 >= 1.0 / mitre_limit**2:
        return (_tip(one, following, shift, ahead),)
    outward = (one.arrives - following.sets_out).unit()
    short_by = mitre_limit * abs(shift) - (one.end - one.source.end).dot(outward)
    further = short_by / one.arrives.dot(outward)
    return one.end + one.arrives * further, following.start - following.sets_out * further


def _trimmed(one: _Side, following: _Side) -> _Joint | None:
    """Cuts two overlapping parallels back to their crossing, if that is sure to clear the overlap.

    It is if the crossing is the last on the one and the first on the next, and the strip of each holds the end
    of the other, so that the piece cut away was covered twice.
    """
    if one.curve is None or following.curve is None:
        return None
    if nearest_on(one.source, following.start) <= 0.0 or nearest_on(following.source, one.end) >= 1.0:
        return None
    crossings = meetings(one.curve, following.curve)
    if not crossings:
        return None
    last, first = crossings[-1], min(crossings, key=lambda crossing: crossing.second)
    if last is not first:
        return None
    return _Joint(points=(last.at,), leaves=last.first, enters=last.second, trimmed=True)


def _folded(one: _Side, following: _Side) -> _Joint:
    return _Joint(points=(one.end, one.source.end, following.start), folds=True)


def _is_overrun(side: _Side, entry: _Joint, leave: _Joint) -> bool:
    """Tells whether a side's parallel has been trimmed from both ends to nothing or less."""
    match side.curve:
        case Line():
            return (leave.points[0] - entry.points[-1]).dot(side.arrives) <= COINCIDENT
        case Arc():
            return (leave.leaves - entry.enters) * length_of(side.curve) <= COINCIDENT
        case None:
            return False


def _run(sides: Sequence[_Side], joints: Sequence[_Joint]) -> tuple[Segment, ...]:
    """Returns the parallels and what joins them as one closed run, without segments too short to see."""
    start = pen = joints[-1].points[-1]
    run: list[Segment] = []
    for entry, side, leave in zip([joints[-1], *joints], sides, joints, strict=False):
        for piece, to in (*_strokes(side, leave), *((None, point) for point in leave.points[1:])):
            if pen.distance(to) <= COINCIDENT:
                continue
            share = leave.leaves - entry.enters
            run.append(Line(pen, to) if piece is None or share <= 0.0 else part_of(piece, pen, to, share))
            pen = to
    if len(run) < 2:
        return ()
    run[-1] = part_of(run[-1], run[-1].start, start, 1.0)  # the pen may have stopped just short of it
    return tuple(run)


def _strokes(side: _Side, leave: _Joint) -> tuple[tuple[Segment | None, Point], ...]:
    """Returns what to follow to where along one side; None for straight on."""
    to = leave.points[0]
    if side.curve is None and isinstance(side.source, Arc):
        return (None, side.source.centre), (None, to)
    return ((side.curve, to),)

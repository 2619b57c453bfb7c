"""Joins strokes end to end into closed runs, and tells where they do not meet. Millimetres."""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.errors import InputError
from jiggen.geometry.affine import backward, with_ends
from jiggen.geometry.curve import NoDirectionError
from jiggen.geometry.path import COINCIDENT, Arc, Line
from jiggen.geometry.point import Point, between
from jiggen.geometry.segment import heading_on, point_on
from jiggen.outlines.drawn import Piece, Stroke

#: Ends nearer than this, in mm, are told apart by how straight the way goes on, not by how near they are.
_AS_NEAR = 1e-3
#: A curve is bent to a place as long as its chord is so many times longer than the way there.
_STIFF = 4.0
#: More ends than this in one place are no drawing.
_CROWD = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """A closed run.

    Attributes:
        pieces: Each starting where the one before it ended, the first where the last ends.
        where: Place of its first stroke in the file.
    """

    pieces: tuple[Piece, ...]
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """Two ends that do not meet.

    Attributes:
        at: Midway between them.
        mm: How far they are apart.
    """

    at: Point
    mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """A run that does not close.

    Attributes:
        pieces: In order.
        where: Place of its first stroke in the file.
    """

    pieces: tuple[Piece, ...]
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Chained:
    """What strokes make.

    Attributes:
        loops: Closed runs.
        open: Runs that do not close.
        joined: Gaps that were closed, those too small to see left out.
        doubles: Places in the file of strokes that lie on another one.
    """

    loops: tuple[Loop, ...]
    open: tuple[Open, ...]
    joined: tuple[Gap, ...]
    doubles: tuple[str, ...]


#: One end of a stroke: its number, and whether it is the start.
_End = tuple[int, bool]


def chain(strokes: Sequence[Stroke], gap_mm: float, *, file: str) -> Chained:
    """Returns the closed and open runs that strokes make.

    Where more than two ends meet, the way goes on as straight as it can.

    Args:
        strokes: In the file's order. Those that are closed stay as they are.
        gap_mm: How far apart two ends may lie and still be joined.
        file: What to call it in errors.

    Raises:
        InputError: If very many ends lie in one place.
    """
    kept, doubles = _without_doubles(strokes, gap_mm, file)
    loops = [Loop(pieces=_closing(each.pieces), where=each.where) for each in kept if each.closed]
    rest = [each for each in kept if not each.closed]
    partner = _partners(rest, gap_mm, file)
    joined: list[Gap] = []
    loose: list[Open] = []
    for run in _runs(rest, partner):
        pieces = _meeting(
            [rest[index].pieces if forward else _backward(rest[index].pieces) for index, forward in run],
            joined,
        )
        first, last = run[0], run[-1]
        where = rest[first[0]].where
        if partner.get((first[0], first[1])) == (last[0], not last[1]):
            loops.append(Loop(pieces=_meeting_itself(pieces, joined), where=where))
        else:
            loose.append(Open(pieces=pieces, where=where))
    return Chained(loops=tuple(loops), open=tuple(loose), joined=tuple(joined), doubles=tuple(doubles))


def _without_doubles(strokes: Sequence[Stroke], gap: float, file: str) -> tuple[list[Stroke], list[str]]:
    """Returns strokes without those that lie on one before, and the places of these."""
    kept: list[Stroke] = []
    doubles: list[str] = []
    seen: dict[tuple[int, int], list[tuple[Stroke, tuple[Point, ...]]]] = defaultdict(list)
    for stroke in strokes:
        places = _samples(stroke)
        size = max(place.distance(places[0]) for place in places)
        near = min(gap, size / 10.0) / 2.0
        middle = between(places[0], places[-1], 0.5)
        cell = (math.floor(middle.x / gap), math.floor(middle.y / gap))
        others = [other for each in _around(cell) for other in seen.get(each, ())]
        if len(others) > _CROWD:
            _refuse_crowd(middle, file)
        if any(
            len(other.pieces) == len(stroke.pieces) and (_lies_on(places, known, near))
            for other, known in others
        ):
            doubles.append(stroke.where)
            continue
        kept.append(stroke)
        seen[cell].append((stroke, places))
    return kept, doubles


def _around(cell: tuple[int, int]) -> Iterator[tuple[int, int]]:
    column, row = cell
    return ((column + right, row + up) for right in (-1, 0, 1) for up in (-1, 0, 1))


def _samples(stroke: Stroke) -> tuple[Point, ...]:
    """Returns places along a stroke that tell it from others: ends and middles of up to seven of its pieces."""
    count = len(stroke.pieces)
    chosen = sorted({round(step * (count - 1) / 6.0) for step in range(7)})
    places = [stroke.pieces[0].start]
    for index in chosen:
        piece = stroke.pieces[index]
        places += [_middle(piece), piece.end]
    return tuple(places)


def _lies_on(one: Sequence[Point], other: Sequence[Point], near: float) -> bool:
    """Tells whether places lie near others, in their order or the other way round."""
    return any(
        all(here.distance(there) <= near for here, there in zip(one, way, strict=True))
        for way in (other, tuple(reversed(other)))
        if len(one) == len(other)
    )


def _middle(piece: Piece) -> Point:
    return point_on(piece, 0.5) if isinstance(piece, Line | Arc) else piece.point(0.5)


def _refuse_crowd(at: Point, file: str) -> None:
    raise InputError(
        where=file,
        got=f"more than {_CROWD} lines that meet near ({at.x:.2f}, {at.y:.2f}) mm",
        expected="an outline, with two lines at each of its corners",
        mend="Take only the layer of the outline, or allow smaller gaps",
    )


def _partners(strokes: Sequence[Stroke], gap: float, file: str) -> dict[_End, _End]:
    """Returns which end goes on at which: the nearest first, and of those as near the straightest."""
    spots: dict[_End, Point] = {}
    cells: dict[tuple[int, int], list[_End]] = defaultdict(list)
    for index, stroke in enumerate(strokes):
        for is_start, spot in ((True, stroke.pieces[0].start), (False, stroke.pieces[-1].end)):
            end = (index, is_start)
            spots[end] = spot
            cells[math.floor(spot.x / gap), math.floor(spot.y / gap)].append(end)
    pairs = []
    for cell, ends in cells.items():
        near = [other for each in _around(cell) for other in cells.get(each, ())]
        if len(near) > _CROWD:
            _refuse_crowd(spots[ends[0]], file)
        for end in ends:
            for other in near:
                apart = spots[end].distance(spots[other])
                if end < other and apart <= gap:
                    turn = _turn(strokes, end, other)
                    pairs.append((math.floor(apart / _AS_NEAR), turn, end, other))
    partner: dict[_End, _End] = {}
    for _, _, end, other in sorted(pairs):
        if end not in partner and other not in partner:
            partner[end], partner[other] = other, end
    return partner


def _turn(strokes: Sequence[Stroke], end: _End, other: _End) -> float:
    """Returns by how much the way turns from one end into another, radians."""
    arrives, sets_out = -_outward(strokes, end), _outward(strokes, other)
    return abs(math.atan2(arrives.cross(sets_out), arrives.dot(sets_out)))


def _outward(strokes: Sequence[Stroke], end: _End) -> Point:
    """Returns a vector that leads from an end into its stroke."""
    index, is_start = end
    piece = strokes[index].pieces[0 if is_start else -1]
    at = 0.0 if is_start else 1.0
    try:
        heading = heading_on(piece, at) if isinstance(piece, Line | Arc) else piece.direction(at)
    except NoDirectionError:  # a spline may stand still at its end
        heading = _middle(piece) - piece.start if is_start else piece.end - _middle(piece)
    return heading if is_start else -heading


def _runs(strokes: Sequence[Stroke], partner: dict[_End, _End]) -> Iterator[list[tuple[int, bool]]]:
    """Yields runs of strokes, each with whether it is walked forward; open ones first."""
    used: set[int] = set()
    ends = [(index, is_start) for index in range(len(strokes)) for is_start in (True, False)]
    starts = [end for end in ends if end not in partner]
    for index, is_start in (*starts, *((index, True) for index in range(len(strokes)))):
        if index in used:
            continue
        run: list[tuple[int, bool]] = []
        here: _End | None = (index, is_start)
        while here is not None and here[0] not in used:
            used.add(here[0])
            run.append(here)
            here = partner.get((here[0], not here[1]))
        yield run


def _backward(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    return tuple(backward(piece) for piece in reversed(pieces))


def _meeting(parts: Sequence[Sequence[Piece]], joined: list[Gap]) -> tuple[Piece, ...]:
    """Returns parts as one run, their ends brought together."""
    pieces = list(parts[0])
    for part in parts[1:]:
        following = list(part)
        _bring_together(pieces, following, joined)
        pieces += following
    return tuple(pieces)


def _meeting_itself(pieces: Sequence[Piece], joined: list[Gap]) -> tuple[Piece, ...]:
    """Returns a run whose last end is brought to its start."""
    if len(pieces) == 1:
        piece = pieces[0]
        if piece.start == piece.end:
            return tuple(pieces)
        return (piece, Line(piece.end, piece.start)) if not isinstance(piece, Line) else tuple(pieces)
    half = len(pieces) // 2
    head, tail = list(pieces[:half]), list(pieces[half:])
    _bring_together(tail, head, joined)
    return (*head, *tail)


def _closing(pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """Returns the pieces of a stroke that its file calls closed, with the line that closes it if it needs one."""
    if pieces[0].start.distance(pieces[-1].end) <= COINCIDENT:
        return tuple(pieces)
    return (*pieces, Line(pieces[-1].end, pieces[0].start))


def _bring_together(before: list[Piece], after: list[Piece], joined: list[Gap]) -> None:
    """Lets the last of some pieces end where the first of others starts: midway, bent as a whole, or by a short line."""
    one, other = before[-1].end, after[0].start
    apart = one.distance(other)
    if apart == 0.0:
        return
    if apart > COINCIDENT:
        joined.append(Gap(at=between(one, other, 0.5), mm=apart))
    meet = between(one, other, 0.5)
    last, first = before[-1], after[0]
    if all(piece.start.distance(piece.end) > _STIFF * apart for piece in (last, first)):
        before[-1] = with_ends(last, last.start, meet)
        after[0] = with_ends(first, meet, first.end)
    elif apart > COINCIDENT:
        after.insert(0, Line(one, other))


def gaps_of(runs: Sequence[Open], most: int) -> list[Gap]:
    """Returns the gaps at the ends of open runs, each once, the smallest first: how far away the next end is.

    Args:
        runs: All of them.
        most: How many runs are looked at.
    """
    spots = [place for run in runs for place in (run.pieces[0].start, run.pieces[-1].end)]
    found: dict[tuple[float, float], Gap] = {}
    for number, place in enumerate(spots[: 2 * most]):
        others = (other for index, other in enumerate(spots) if index != number)
        nearest = min(others, key=place.distance)
        gap = Gap(at=between(place, nearest, 0.5), mm=place.distance(nearest))
        found.setdefault((round(gap.at.x, 6), round(gap.at.y, 6)), gap)
    return sorted(found.values(), key=lambda gap: gap.mm)

"""Clearing up a closed run of segments that crosses itself: which of its pieces bound what it goes round.

The run is cut where it meets itself, and pieces that lie on each other are taken together. How often the run winds
round the places just left and right of a piece tells whether that piece is a boundary: inside is what it goes round
at least once counter-clockwise.
"""

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import assert_never

from jiggen.geometry.cross import meetings, neighbours
from jiggen.geometry.measure import area, length
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment, reverse_segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import QUARTER, heading_on, length_of, part_of, point_on

#: Places nearer than this, in mm, are one: each is found to within `COINCIDENT` on both segments.
ONE_PLACE = 3.0 * COINCIDENT

Chain = tuple[Segment, ...]


class TangleError(Exception):
    """The pieces do not close into loops: the run is too nearly degenerate to be cleared up exactly."""


def untangle(run: Sequence[Segment]) -> tuple[Path, ...]:
    """Returns the boundary of all that a closed run goes round at least once counter-clockwise.

    Args:
        run: Segments with a length each, every one starting where the one before it ends, the last ending where
            the first starts.

    Returns:
        Closed paths that do not cross and have the inside on their left: outside contours run counter-clockwise,
        holes clockwise. None if the run goes round nothing. Loops thinner than `COINCIDENT` are left out.

    Raises:
        TangleError: If no such loops can be made.
    """
    edges = _edges(_cut(run))
    winding = _Winding(edges)
    kept: list[Chain] = []
    for chain in _chains(edges):
        longest = max(chain, key=lambda edge: length_of(edge.piece))
        right = winding.right_of(longest)
        if right <= 0 < right + longest.times:
            kept.append(tuple(edge.piece for edge in chain))
    return tuple(path for path in map(_merged, _loops(kept)) if _has_width(path))


def _cut(run: Sequence[Segment]) -> list[Segment]:
    """Returns the pieces between the places where the run meets itself, in its order."""
    cuts: list[list[tuple[float, Point]]] = [[(0.0, piece.start), (1.0, piece.end)] for piece in run]
    places = _Places()
    for piece in run:  # joints first: they keep their exact place
        places.settle(piece.start)
    for low, high in neighbours(run):
        for at, first, second in meetings(run[low], run[high]):
            cuts[low].append((first, at))
            cuts[high].append((second, at))
    pieces: list[Segment] = []
    for whole, fractions in zip(run, cuts, strict=True):
        here, passed = places.settle(whole.start), 0.0
        for fraction, at in sorted(fractions, key=lambda cut: cut[0]):
            place = places.settle(at)
            if place != here:
                share = fraction - passed
                pieces.append(part_of(whole, here, place, share) if share > 0.0 else Line(here, place))
                here, passed = place, fraction
    return pieces


class _Places:
    """Points that were met, each standing for all that lie within `ONE_PLACE` of it."""

    def __init__(self) -> None:
        self._cells: dict[tuple[int, int], Point] = {}

    def settle(self, point: Point) -> Point:
        """Returns the place known near a point, or the point itself, known from now on."""
        column, row = round(point.x / ONE_PLACE), round(point.y / ONE_PLACE)
        for cell in ((column + across, row + up) for across in (0, -1, 1) for up in (0, -1, 1)):
            known = self._cells.get(cell)
            if known is not None and known.distance(point) <= ONE_PLACE:
                return known
        self._cells[column, row] = point
        return point


@dataclass(frozen=True, slots=True, eq=False)
class _Edge:
    """A piece of the run, and how many times the run passes along it, less the times it passes back."""

    piece: Segment
    times: int


def _edges(pieces: Sequence[Segment]) -> list[_Edge]:
    """Returns the pieces, those that lie along each other taken together, those that cancel left out."""
    known: defaultdict[frozenset[Point], list[_Edge]] = defaultdict(list)
    for piece in pieces:
        between_the_same = known[frozenset((piece.start, piece.end))]
        middle = point_on(piece, 0.5)
        for index, edge in enumerate(between_the_same):
            if point_on(edge.piece, 0.5).distance(middle) <= ONE_PLACE:
                step = 1 if edge.piece.start == piece.start else -1
                between_the_same[index] = replace(edge, times=edge.times + step)
                break
        else:
            between_the_same.append(_Edge(piece, 1))
    return [
        edge if edge.times > 0 else _Edge(reverse_segment(edge.piece), -edge.times)
        for edges in known.values()
        for edge in edges
        if edge.times != 0
    ]


def _chains(edges: Sequence[_Edge]) -> list[tuple[_Edge, ...]]:
    """Returns the runs of edges between places where more than one begins or ends."""
    leaving: defaultdict[Point, list[_Edge]] = defaultdict(list)
    arriving = Counter(edge.piece.end for edge in edges)
    for edge in edges:
        leaving[edge.piece.start].append(edge)
    done: set[_Edge] = set()
    chains: list[tuple[_Edge, ...]] = []
    for starts_only_at_forks in (True, False):  # loops without a fork come last
        for edge in edges:
            at_fork = len(leaving[edge.piece.start]) != 1 or arriving[edge.piece.start] != 1
            if edge in done or at_fork is not starts_only_at_forks:
                continue
            chain = [edge]
            while (
                len(onward := leaving[chain[-1].piece.end]) == arriving[chain[-1].piece.end] == 1
                and onward[0] is not edge
            ):
                chain.append(onward[0])
            done.update(chain)
            chains.append(tuple(chain))
    return chains


def _loops(chains: Sequence[Chain]) -> Iterator[Chain]:
    """Yields closed loops of chains; where several go on, the leftmost, so that loops touch but never cross."""
    waiting: defaultdict[Point, list[Chain]] = defaultdict(list)
    for chain in chains:
        waiting[chain[0].start].append(chain)
    for chain in chains:
        if chain not in waiting[chain[0].start]:
            continue  # already part of a loop
        waiting[chain[0].start].remove(chain)
        trail = [chain]
        while trail:
            here = trail[-1][-1].end
            back = next((index for index, passed in enumerate(trail) if passed[0].start == here), None)
            if back is not None:
                yield tuple(piece for passed in trail[back:] for piece in passed)
                del trail[back:]
            elif waiting[here]:
                arriving = trail[-1][-1]
                trail.append(max(waiting[here], key=lambda onward: _leftness(arriving, onward[0])))
                waiting[here].remove(trail[-1])
            else:
                raise TangleError(f"no way on from {here}")


def _leftness(arriving: Segment, leaving: Segment) -> tuple[float, float]:
    """Returns how far one turns left from one piece to the next, and, should that be equal, from then on."""
    before, after = heading_on(arriving, 1.0), heading_on(leaving, 0.0)
    turn = math.atan2(before.cross(after), before.dot(after))
    bend = math.copysign(1.0 / leaving.radius, leaving.bulge) if isinstance(leaving, Arc) else 0.0
    return round(turn, 6), bend


def _merged(loop: Chain) -> Path:
    """Returns the loop with pieces of one line or one circle joined up again."""
    merged: list[Segment] = []
    for piece in loop:
        whole = _one_piece(merged[-1], piece) if merged else None
        if whole is None:
            merged.append(piece)
        else:
            merged[-1] = whole
    if len(merged) > 2 and (whole := _one_piece(merged[-1], merged[0])) is not None:
        merged = [whole, *merged[1:-1]]
    return Path(tuple(merged), closed=True)


def _one_piece(before: Segment, after: Segment) -> Segment | None:
    """Returns the line, or the arc of half a turn at most, that two pieces make together, or None."""
    if isinstance(before, Line) and isinstance(after, Line):
        along, onward = (before.end - before.start).unit(), after.end - after.start
        straight = abs(along.cross(onward)) <= COINCIDENT and along.dot(onward) > 0.0
        return Line(before.start, after.end) if straight else None
    if isinstance(before, Arc) and isinstance(after, Arc) and before.start != after.end:
        sweep = before.sweep + after.sweep
        one_circle = (
            before.bulge * after.bulge > 0.0
            and abs(sweep) <= math.pi + 1e-9
            and before.centre.distance(after.centre) <= ONE_PLACE
            and abs(before.radius - after.radius) <= ONE_PLACE
        )
        return Arc(before.start, after.end, math.tan(sweep / 4.0)) if one_circle else None
    return None


def _has_width(path: Path) -> bool:
    return abs(area(path)) > COINCIDENT * length(path)


@dataclass(frozen=True, slots=True)
class _Span:
    """A piece of a run on which y only rises or only falls."""

    from_y: float
    to_y: float
    start: Point
    slope: float  # of x over y, for a line
    radius: float  # signed: positive on the right half of its circle; 0 for a line
    centre: Point

    def x_at(self, y: float) -> float:
        """Returns where the span is at height `y`."""
        if self.radius == 0.0:
            return self.start.x + (y - self.start.y) * self.slope
        half = math.sqrt(max(self.radius**2 - (y - self.centre.y) ** 2, 0.0))
        return self.centre.x + math.copysign(half, self.radius)


class _Winding:
    """How often closed runs of edges go round a place, counter-clockwise counted up."""

    def __init__(self, edges: Sequence[_Edge]) -> None:
        self._level = [(edge, span) for edge in edges for span in _spans(edge.piece)]
        self._upright = [(edge, span) for edge in edges for span in _spans(_transposed(edge.piece))]

    def right_of(self, edge: _Edge) -> int:
        """Returns the number just right of the middle of an edge; left of it there are its `times` more."""
        heading = heading_on(edge.piece, 0.5)
        if abs(heading.y) >= abs(heading.x):
            beyond = self._towards_x(self._level, edge, point_on(edge.piece, 0.5))
            return beyond if heading.y > 0.0 else beyond - edge.times
        # Seen in a mirror that exchanges x and y, counts change their sign and the sides change places.
        beyond = -self._towards_x(self._upright, edge, point_on(_transposed(edge.piece), 0.5))
        return beyond if heading.x < 0.0 else beyond - edge.times

    @staticmethod
    def _towards_x(spans: Sequence[tuple[_Edge, _Span]], own: _Edge, at: Point) -> int:
        """Counts what a ray from `at` along x crosses of all but the edge it starts on: up less down."""
        count = 0
        for edge, span in spans:
            if edge is not own and span.from_y <= at.y < span.to_y:
                count += edge.times if span.x_at(at.y) > at.x else 0
            elif edge is not own and span.to_y <= at.y < span.from_y:
                count -= edge.times if span.x_at(at.y) > at.x else 0
        return count


def _transposed(piece: Segment) -> Segment:
    """Returns the piece with x and y exchanged, which mirrors it."""
    start, end = Point(piece.start.y, piece.start.x), Point(piece.end.y, piece.end.x)
    match piece:
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, -piece.bulge)
        case _:
            assert_never(piece)


def _spans(piece: Segment) -> Iterator[_Span]:
    """Yields the parts of a piece between its highest and lowest points; level lines have none."""
    match piece:
        case Line():
            rise = piece.end.y - piece.start.y
            if rise != 0.0:
                slope = (piece.end.x - piece.start.x) / rise
                yield _Span(piece.start.y, piece.end.y, piece.start, slope, 0.0, piece.start)
        case Arc():
            centre, radius, sweep = piece.centre, piece.radius, piece.sweep
            begin = (piece.start - centre).angle()
            low, high = sorted((begin, begin + sweep))
            turns = [
                odd * QUARTER
                for odd in range(math.ceil(low / QUARTER), math.floor(high / QUARTER) + 1)
                if odd % 2 == 1
            ]
            angles = [begin, *(turns if sweep > 0.0 else reversed(turns)), begin + sweep]
            heights = [
                piece.start.y,
                *(centre.y + radius * math.sin(angle) for angle in angles[1:-1]),
                piece.end.y,
            ]
            for index in range(len(angles) - 1):
                on_right = math.cos((angles[index] + angles[index + 1]) / 2.0) >= 0.0
                signed = radius if on_right else -radius
                yield _Span(heights[index], heights[index + 1], piece.start, 0.0, signed, centre)
        case _:
            assert_never(piece)

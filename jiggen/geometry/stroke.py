"""Stretches of a path, runs of them, and slots that run along one. Exact with arcs. Millimetres."""

from collections.abc import Sequence
from typing import assert_never

from jiggen.geometry.measure import length
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on, length_of, part_of, point_on


def stretch(path: Path, begin_mm: float, end_mm: float) -> Path:
    """Returns the open stretch of a path between two distances along it.

    Args:
        path: If closed, distances may run on past its end.
        begin_mm: Where it begins, from 0 to the path's length.
        end_mm: Where it ends: further on, by no more than the path's length.

    Raises:
        ValueError: If the distances are not in order, or off the path.
    """
    whole = length(path)
    last = begin_mm + whole if path.closed else whole
    if not 0.0 <= begin_mm <= whole or not begin_mm + COINCIDENT < end_mm <= last + COINCIDENT:
        raise ValueError(f"no stretch from {begin_mm} to {end_mm} mm of a path of {whole} mm")
    pieces: list[Segment] = []
    walked = 0.0
    for piece in (*path.segments, *path.segments) if path.closed else path.segments:
        here = length_of(piece)
        low, high = max(begin_mm - walked, 0.0), min(end_mm - walked, here)
        if high - low > COINCIDENT:
            start = pieces[-1].end if pieces else point_on(piece, low / here)
            pieces.append(part_of(piece, start, point_on(piece, high / here), (high - low) / here))
        walked += here
    return Path(tuple(pieces))


def closed_run(pieces: Sequence[Segment]) -> Path:
    """Returns the contour of pieces that meet to within a rounding, joined at the very same points."""
    joined: list[Segment] = []
    for index, piece in enumerate(pieces):
        start = joined[-1].end if joined else piece.start
        end = pieces[0].start if index == len(pieces) - 1 else piece.end
        joined.append(_between(piece, start, end))
    return Path(tuple(joined), closed=True)


def slot_along(path: Path, width_mm: float) -> Path:
    """Returns the closed contour of a slot round an open path, with round ends, counter-clockwise.

    Args:
        path: The slot's middle; smooth, since its pieces are moved sideways without mending corners.
        width_mm: Less than twice the radius of every arc.

    Raises:
        ValueError: If the path is closed or an arc is too tight.
    """
    half = width_mm / 2.0
    if path.closed or any(isinstance(piece, Arc) and piece.radius <= half for piece in path):
        raise ValueError(f"no slot of {width_mm} mm along this path")
    right, left = _moved(path, -half), _moved(path, half)
    back = [_reversed(piece) for piece in reversed(left)]
    ends = (Arc(right[-1].end, back[0].start, 1.0), Arc(back[-1].end, right[0].start, 1.0))
    return Path((*right, ends[0], *back, ends[1]), closed=True)


def _moved(path: Path, aside: float) -> list[Segment]:
    """The pieces of a smooth path moved sideways, + to the left; neighbours share the very same ends."""
    places = [path.start + heading_on(path.segments[0], 0.0).left() * aside]
    places += [piece.end + heading_on(piece, 1.0).left() * aside for piece in path]
    return [_between(piece, start, end) for piece, start, end in zip(path, places, places[1:], strict=False)]


def _between(piece: Segment, start: Point, end: Point) -> Segment:
    match piece:
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, piece.bulge)
        case _:
            assert_never(piece)


def _reversed(piece: Segment) -> Segment:
    match piece:
        case Line():
            return Line(piece.end, piece.start)
        case Arc():
            return Arc(piece.end, piece.start, -piece.bulge)
        case _:
            assert_never(piece)

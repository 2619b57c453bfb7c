"""The search for few arcs along a smooth run: biarcs, each as long as it will go. Millimetres and radians."""

import math
from collections.abc import Sequence

import numpy as np

from jiggen.geometry.fit_error import Piece, piece_error
from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.smooth_run import Run, start_of


def few_arcs(run: Run, ends: tuple[Point, Point], tolerance: float) -> list[Piece]:
    """Returns pieces with common tangents along a run, exact in place and direction at both of its ends."""
    spots = [ends[0], *(Point(x, y) for x, y in run.places[1:-1].tolist()), ends[1]]
    pieces: list[Piece] = []
    begin, last = 0, len(run)
    stretch = 8
    while begin < last:
        reach, found = begin, None
        step = stretch
        while reach < last:
            trial = min(begin + step, last)
            pair = _pair(run, spots, begin, trial, tolerance)
            if pair is None:
                break
            reach, found = trial, pair
            step *= 2
        low, high = reach, min(begin + step, last + 1)
        while high - low > 1:
            middle = (low + high) // 2
            pair = _pair(run, spots, begin, middle, tolerance)
            if pair is None:
                high = middle
            else:
                low, found = middle, pair
        if found is None:
            found = [Piece(Line(spots[begin], spots[begin + 1]), begin, begin + 1)]
            low = begin + 1
        pieces += found
        stretch = max(low - begin, 2)
        begin = low
    return pieces


def _pair(run: Run, spots: Sequence[Point], begin: int, end: int, tolerance: float) -> list[Piece] | None:
    """Returns one or two segments between two places with the run's directions there, or None if none is near."""
    start, stop = spots[begin], spots[end]
    if start == stop:
        return None
    sets_out, arrives = Point(*run.along[begin].tolist()), Point(*run.along[end].tolist())
    segments = biarc(start, sets_out, stop, arrives)
    if segments is None:
        return None
    places = run.places[begin : end + 1]
    if len(segments) == 1:
        pieces = [Piece(segments[0], begin, end)]
    else:
        joint = segments[0].end
        heading = np.array(start_of(segments[1])[0])
        past = (places - (joint.x, joint.y)) @ heading >= 0.0
        cut = int(past.argmax())
        if cut == 0 or not past[cut:].all():
            return None
        pieces = [Piece(segments[0], begin, begin + cut), Piece(segments[1], begin + cut - 1, end)]
    if any(piece_error(run, piece) > tolerance for piece in pieces):
        return None
    return pieces


def biarc(start: Point, sets_out: Point, end: Point, arrives: Point) -> list[Segment] | None:
    """Returns the line, arc or pair of arcs with given ends and directions, or None where it would turn too far.

    Source: the pair whose joint lies equally far along both tangents, e.g. Bolton 1975, "Biarc curves".
    """
    chord = end - start
    first, last = _lean(sets_out, chord), _lean(chord, arrives)
    if max(abs(first), abs(last)) > math.pi / 2.0:
        return None
    if abs(first - last) <= 1e-9:
        return [_turned(start, end, (first + last) / 2.0)]
    both = sets_out + arrives
    square, across = chord.dot(chord), chord.dot(both)
    apart = 2.0 * (1.0 - sets_out.dot(arrives))
    root = math.sqrt(across * across + apart * square)
    reach = square / (across + root) if across > 0.0 else (root - across) / apart
    joint = (start + end + (sets_out - arrives) * reach) * 0.5
    if joint in {start, end}:
        return None
    return [
        _turned(start, joint, _lean(sets_out, joint - start)),
        _turned(joint, end, _lean(end - joint, arrives)),
    ]


def _lean(one: Point, other: Point) -> float:
    return math.atan2(one.cross(other), one.dot(other))


def _turned(start: Point, end: Point, lean: float) -> Segment:
    """Returns the segment whose chord leans by so much from its direction at the start."""
    bulge = math.tan(lean / 2.0)
    return Arc(start, end, bulge) if abs(bulge) > 1e-12 else Line(start, end)

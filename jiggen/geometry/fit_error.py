"""How far a fitted run of arcs lies off its source, and the source off it: bounds, not samples. Millimetres."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from jiggen.geometry.path import Segment
from jiggen.geometry.segment import length_of
from jiggen.geometry.smooth_run import Run, end_of, signed_distance, start_of


@dataclass(frozen=True, slots=True)
class Piece:
    """A fitted segment, and the steps `first` to `last` (not included) of the run that it stands for.

    A step in which two segments meet belongs to both.
    """

    segment: Segment
    first: int
    last: int


def error_of(run: Run, pieces: Sequence[Piece]) -> float:
    """Returns an upper bound of the distance between run and pieces, both ways, in mm.

    Source: each step's chord is compared with the whole circle of its segment. Outside a circle the distance is
    convex along a chord, so that the ends bound it; inside, it may be more in between by the chord's height above
    the circle's own. The foot of the distance moves without jumps from the segment's start to its end, hence no part
    of the segment is farther from the run than that either. The source's own slack off the chord is added.
    """
    return max(piece_error(run, piece) for piece in pieces)


def piece_error(run: Run, piece: Piece) -> float:
    """Returns the same of one piece and its part of the run, in mm."""
    places = run.places[piece.first : piece.last + 1]
    segment = piece.segment
    along, bend = start_of(segment)
    away = np.abs(signed_distance(places, segment.start.x, segment.start.y, along, bend))
    chords = np.hypot(*np.diff(places, axis=0).T)
    nearest = max(1.0 - abs(bend) * float(away.max()), 0.0)  # of all places to the centre, in radii
    if nearest > 0.25:
        dip = np.minimum(chords**2 * (abs(bend) / (8.0 * nearest)), chords / 2.0)
    else:
        dip = chords / 2.0
    error = float((np.maximum(away[:-1], away[1:]) + dip + run.slack[piece.first : piece.last]).max())
    return error + _overhang(run, piece, along)


def _overhang(run: Run, piece: Piece, along: tuple[float, float]) -> float:
    """Returns how far the run strays past the ends of a segment, where the circle is no measure of it."""
    inner = run.places[piece.first + 1 : piece.last]
    if not len(inner):
        return 0.0
    start, end, arriving = piece.segment.start, piece.segment.end, end_of(piece.segment)
    before = -(inner - (start.x, start.y)) @ np.array(along)
    after = (inner - (end.x, end.y)) @ np.array(arriving)
    seen = np.hypot(*(inner - (start.x, start.y)).T)
    # behind the start's normal but far away is the far side of a wide arc, which is no stray
    past = np.maximum(before, after) if abs(_sweep(piece.segment)) <= math.pi else np.minimum(before, after)
    stray = float(past.max())
    return max(stray, 0.0) * 2.0 if stray > 1e-9 * (1.0 + float(seen.max())) else 0.0


def _sweep(segment: Segment) -> float:
    _, bend = start_of(segment)
    return bend * length_of(segment)

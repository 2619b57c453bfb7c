"""The last arc or two of a stretch: from a place and direction to its end, in its own direction. Millimetres, radians."""

from dataclasses import dataclass

import numpy as np

from jiggen.geometry.arcs import STEEPEST, Arcs, biarc_joints
from jiggen.geometry.fit_error import errors_of, glimpses
from jiggen.geometry.smooth_run import Run, angles, dot
from jiggen.geometry.trace import Flags, Floats, Numbers

#: Chords that lean alike from both tangents, to within this in radians, belong to one arc.
_ALIKE = 1e-9
#: Joints of two arcs that are tried: by how much the first one's tangent is longer than for equal tangents.
_SHARES = np.array([1.0, 0.7, 1.4, 0.5, 2.0])
#: Where two arcs are looked at before they are measured, as shares of their places.
_GLIMPSES = np.array([0.5, 0.15, 0.35, 0.65, 0.85])


@dataclass(frozen=True, slots=True)
class Closings:
    """Arcs that lead to the ends of stretches.

    Attributes:
        rows: (m,) from which of the beginnings asked for; some may come more than once.
        chain: One after the other: m arcs, or m first and m second ones.
        error: (m,) mm, how far they lie off the run at most.
    """

    rows: Numbers
    chain: tuple[Arcs, ...]
    error: Floats


def one_arc(run: Run, place: Numbers, along: Floats, end: Numbers, tolerance: float) -> Closings:
    """Returns where a single arc or line leads on from places in given directions to ends in the run's own.

    Args:
        run: To be followed.
        place: (n,) where they begin.
        along: (n, 2) unit vectors: in which direction.
        end: (n,) where they end.
        tolerance: mm, how far arcs and run may lie apart.
    """
    first, last = _leans(run, place, along, end)
    rows = np.flatnonzero((np.abs(first - last) <= _ALIKE) & (np.abs(first) <= STEEPEST))
    place, end = place[rows], end[rows]
    arcs = Arcs.through(place, end, run.places[place], along[rows], run.places[end])
    return _near(rows, (arcs,), errors_of(run, arcs), tolerance)


def two_arcs(run: Run, place: Numbers, along: Floats, end: Numbers, tolerance: float) -> Closings:
    """Returns the same with two arcs that meet with a common tangent."""
    first, last = _leans(run, place, along, end)
    able = np.flatnonzero(np.maximum(np.abs(first), np.abs(last)) <= STEEPEST)
    rows = np.repeat(able, len(_SHARES))
    place, along, end = place[rows], along[rows], end[rows]
    starts, ends, arrives = run.places[place], run.places[end], run.arrives[end]
    joints = biarc_joints(starts, along, ends, arrives, np.tile(_SHARES, len(able)))
    apart = np.isfinite(joints[:, 0]) & (joints != starts).any(axis=1) & (joints != ends).any(axis=1)
    rows, joints = rows[apart], joints[apart]
    heads = Arcs.through(place[apart], end[apart], starts[apart], along[apart], joints)
    tails = Arcs.through(heads.first, heads.last, joints, heads.arrives, ends[apart])
    for shares in (_GLIMPSES[:1], _GLIMPSES[1:]):
        seen = run.places.take(heads.spots(shares), axis=0) - tails.starts[:, None]
        is_past = (seen * tails.sets_out[:, None]).sum(axis=2) >= 0.0
        steepest = np.maximum(np.abs(heads.lean), np.abs(tails.lean))
        off = np.where(is_past, glimpses(run, tails, shares), glimpses(run, heads, shares))
        near = np.flatnonzero((off <= tolerance).all(axis=1) & (steepest <= STEEPEST))
        rows, heads, tails = rows[near], heads.rows(near), tails.rows(near)
    if not len(rows):
        return Closings(rows, (heads, tails), np.zeros(0))
    cut, clean = _cuts(run, tails)
    rows, heads, tails, cut = rows[clean], heads.rows(clean), tails.rows(clean), cut[clean]
    heads, tails = heads.between(heads.first, cut), tails.between(cut - 1, tails.last)
    error = np.maximum(errors_of(run, heads), errors_of(run, tails))
    return _near(rows, (heads, tails), error, tolerance)


def _near(rows: Numbers, chain: tuple[Arcs, ...], error: Floats, tolerance: float) -> Closings:
    near = error <= tolerance
    return Closings(rows[near], tuple(arcs.rows(near) for arcs in chain), error[near])


def _leans(run: Run, place: Numbers, along: Floats, end: Numbers) -> tuple[Floats, Floats]:
    """Returns how much chords lie to the left of where they set out, and to the right of where they arrive."""
    chords = run.places[end] - run.places[place]
    first, last = angles(along, chords), angles(chords, run.arrives[end])
    first[(chords == 0.0).all(axis=1)] = np.inf
    return first, last


def _cuts(run: Run, tails: Arcs) -> tuple[Numbers, Flags]:
    """Returns the first places past the joints, and whether all later ones are and the very first is not."""
    counts = tails.last - tails.first + 1
    begins = counts.cumsum() - counts
    owner = np.repeat(np.arange(len(tails)), counts)
    place = np.arange(len(owner)) + (tails.first - begins)[owner]
    is_past = dot(run.places[place] - tails.starts[owner], tails.sets_out[owner]) >= 0.0
    cut = tails.first + np.add.reduceat(~is_past, begins)
    clean = np.logical_and.reduceat(is_past == (place >= cut[owner]), begins)
    return cut, clean & (cut > tails.first) & (cut <= tails.last)

"""How far arcs lie off the run that they stand for, and the run off them: bounds, not samples. Millimetres."""

import numpy as np

from jiggen.geometry.arcs import Arcs
from jiggen.geometry.smooth_run import Run, dot
from jiggen.geometry.trace import Floats


def errors_of(run: Run, arcs: Arcs) -> Floats:
    """Returns for each arc an upper bound of the distance between it and its part of the run, both ways, in mm.

    Arcs may turn by half a turn at most.

    Source: each step's chord is compared with the whole circle of its arc. Outside a circle the distance is
    convex along a chord, so that the ends bound it; inside, it may be more in between by the chord's height above
    the circle's own. The foot of the distance moves without jumps from the arc's start to its end, hence no part
    of the arc is farther from the run than that either. The source's own slack off the chord is added.
    """
    if not len(arcs):
        return np.zeros(0)
    counts = arcs.last - arcs.first + 1
    tails = counts.cumsum() - 1
    heads = tails - counts + 1
    owner = np.repeat(np.arange(len(arcs)), counts)
    place = np.arange(len(owner)) + (arcs.first - heads)[owner]

    spots, bend = run.places.take(place, axis=0), arcs.bend()
    seen = spots - arcs.starts.take(owner, axis=0)
    away = np.abs(_signed_distance(seen.T, arcs.sets_out.take(owner, axis=0).T, bend[owner]))
    nearest = 1.0 - np.abs(bend) * np.maximum.reduceat(away, heads)  # of all places to the centre, in radii
    height = np.abs(bend) / (8.0 * np.maximum(nearest, 0.25))
    chord = run.chords[place]
    dip = np.where(nearest[owner] > 0.25, np.minimum(chord * chord * height[owner], chord / 2.0), chord / 2.0)
    error = dip + run.slacks[place]
    error[:-1] += np.maximum(away[:-1], away[1:])
    error[tails] = 0.0  # no step begins at the last place

    past = np.maximum(
        -dot(seen, arcs.sets_out.take(owner, axis=0)),
        dot(spots - arcs.ends.take(owner, axis=0), arcs.arrives.take(owner, axis=0)),
    )
    past[heads] = past[tails] = 0.0
    stray = np.maximum.reduceat(past, heads)
    worst: Floats = np.maximum.reduceat(error, heads)
    return worst + np.where(stray > 1e-9 * (1.0 + run.way[arcs.last] - run.way[arcs.first]), 2.0 * stray, 0.0)


def glimpses(run: Run, arcs: Arcs, shares: Floats) -> Floats:
    """Returns how far some places lie off each arc's whole circle: quick, to leave hopeless arcs out.

    Args:
        run: That the arcs stand for.
        arcs: n of them.
        shares: (k,) which places to look at, as shares of the steps.

    Returns:
        (n, k) mm.
    """
    seen = np.moveaxis(run.places.take(arcs.spots(shares), axis=0) - arcs.starts[:, None], 2, 0)
    return np.abs(_signed_distance(seen, arcs.sets_out.T[:, :, None], arcs.bend()[:, None]))


def _signed_distance(seen: Floats, along: Floats, bend: Floats) -> Floats:
    """Returns how far places, seen from a point on a circle or line, lie to its left, in mm.

    Source: with q the place seen from the start, n the left normal and k the bend, 1 - 2k(n·q - k q²/2) is the
    square of the distance from the centre in radii; the root's difference from 1, over k, is written without loss
    for small k.
    """
    qx, qy = seen
    ux, uy = along
    lift = ux * qy - uy * qx - bend * (qx * qx + qy * qy) / 2.0
    found: Floats = 2.0 * lift / (1.0 + np.sqrt(np.maximum(1.0 - 2.0 * bend * lift, 0.0)))
    return found

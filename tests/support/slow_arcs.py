"""The fewest arcs along a smooth curve that a slow search finds, to set ours against.

It shares nothing with the kernel. The curve is a dense row of places. Arcs may meet anywhere within the tolerance, in
any direction: of all chains of so many arcs it keeps the one that came farthest for each small cell of offset from
the curve and deviation from its direction, until two arcs lead to the end. Errors are sampled, which favours it.
"""

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

_SAMPLES = np.linspace(0.0, 1.0, 33)
_OFFSETS = np.array([-0.9, -0.6, -0.3, 0.0, 0.3, 0.6, 0.9])
_PARTS = np.linspace(0.35, 1.45, 28)
_SHARES = np.geomspace(0.3, 3.3, 13)
_UNIT, _UNITS = 1.0, 24
_MOST = 4000


def fewest_arcs(places: Floats, directions: Floats, tolerance: float) -> int:
    """Returns the number of arcs, or 0 if none is found.

    Args:
        places: (n, 2) mm, densely along the curve.
        directions: (n, 2) unit vectors: the curve's there.
        tolerance: mm.
    """
    normals = np.stack([-directions[:, 1], directions[:, 0]], axis=1)
    way = np.append(0.0, np.hypot(*np.diff(places, axis=0).T).cumsum())
    end = len(places) - 1
    index = np.zeros(1, dtype=np.intp)
    at, along = places[:1], directions[:1]
    if _closes_with_one(places, directions, tolerance):
        return 1
    for count in range(2, _MOST):
        if _closes(places, index, at, along, directions[end], tolerance):
            return count
        # how far each goes with a joint on the curve
        growing = np.unique(np.rint(1.3 ** np.arange(80)).astype(np.intp))
        growing = growing[growing < end]
        near = _near(places, index, at, along, growing[None, :], places, tolerance)[0]
        went = np.logical_and.accumulate(near, axis=1).sum(axis=1)
        longest = np.where(went > 0, growing[np.maximum(went - 1, 0)], 1)
        steps = np.rint(longest[:, None] * _PARTS).astype(np.intp)
        fresh: list[tuple[npt.NDArray[np.intp], Floats, Floats, Floats]] = []
        for offset in _OFFSETS * tolerance:
            targets = places + normals * offset
            near, ends, arrives = _near(places, index, at, along, steps, targets, tolerance)
            reached = (index[:, None] + steps)[near]
            fresh.append((reached, ends[near], arrives[near], np.full(len(reached), offset)))
        reached, at, along, offsets = (np.concatenate([each[k] for each in fresh]) for k in range(4))
        if not len(reached):
            return 0
        length = way[reached.max()] - way[index.max()] if reached.max() > index.max() else way[longest.max()]
        to = directions[reached]
        turn = np.arctan2(to[:, 0] * along[:, 1] - to[:, 1] * along[:, 0], (to * along).sum(axis=1))
        cell = np.rint(turn * length / (tolerance * _UNIT))
        keep = (np.abs(cell) <= _UNITS) & (way[reached] > way[reached.max()] - 0.75 * length)
        reached, at, along, offsets, cell = (each[keep] for each in (reached, at, along, offsets, cell))
        key = np.rint(offsets / tolerance * 10) * 1000 + cell
        order = np.lexsort((-reached, key))
        first = np.append(True, key[order][1:] != key[order][:-1])
        best = order[first]
        index, at, along = reached[best], at[best], along[best]
    return 0


def _circle(starts: Floats, along: Floats, ends: Floats) -> tuple[Floats, Floats, Floats]:
    """Bend, direction at the end, and half the turn of arcs with given ends and directions."""
    chord = ends - starts
    square = (chord**2).sum(axis=-1)
    cross = along[..., 0] * chord[..., 1] - along[..., 1] * chord[..., 0]
    dot = (along * chord).sum(axis=-1)
    return 2.0 * cross / square, chord * (2.0 * dot / square)[..., None] - along, np.arctan2(cross, dot)


def _off(starts: Floats, along: Floats, bend: Floats, spots: Floats) -> Floats:
    """Signed distances of spots (..., k, 2) from circles (...)."""
    seen = spots - starts[..., None, :]
    lift = along[..., 0, None] * seen[..., 1] - along[..., 1, None] * seen[..., 0]
    lift = lift - bend[..., None] * (seen**2).sum(axis=-1) / 2.0
    return 2.0 * lift / (1.0 + np.sqrt(np.maximum(1.0 - 2.0 * bend[..., None] * lift, 0.0)))


def _near(places, index, at, along, steps, targets, tolerance):
    """For n states and (n or 1, k) steps: whether an arc to the target there keeps near, its end and direction."""
    steps = np.broadcast_to(steps, (len(index), steps.shape[1]))
    last = len(places) - 1
    to = np.minimum(index[:, None] + steps, last)
    able = (index[:, None] + steps < last) & (steps > 0)
    starts = np.broadcast_to(at[:, None], (*to.shape, 2))
    headed = np.broadcast_to(along[:, None], (*to.shape, 2))
    ends = targets[to]
    with np.errstate(invalid="ignore", divide="ignore"):
        bend, arrives, lean = _circle(starts, headed, ends)
    able &= np.abs(lean) <= np.pi / 2.0
    rows = np.nonzero(able)
    between = np.rint(index[rows[0], None] + (to[rows] - index[rows[0]])[:, None] * _SAMPLES).astype(np.intp)
    off = np.abs(_off(starts[rows], headed[rows], bend[rows], places[between])).max(axis=1)
    near = np.zeros(to.shape, dtype=np.bool_)
    near[rows] = off <= tolerance
    return near, ends, arrives


def _closes_with_one(places, directions, tolerance) -> bool:
    bend, arrives, _ = _circle(places[:1], directions[:1], places[-1:])
    off = np.abs(_off(places[:1], directions[:1], bend, places[None])).max()
    return bool(off <= tolerance and np.hypot(*(arrives[0] - directions[-1])) < 1e-9)


def _closes(places, index, at, along, last_along, tolerance) -> bool:
    """Whether two arcs lead from any of the states to the end."""
    end = len(places) - 1
    keep = index < end
    index, at, along = (np.repeat(each[keep], len(_SHARES), axis=0) for each in (index, at, along))
    share = np.tile(_SHARES, keep.sum())
    chord = places[end] - at
    square, ahead, behind = (chord**2).sum(axis=1), (chord * along).sum(axis=1), chord @ last_along
    apart = 1.0 - along @ last_along
    with np.errstate(invalid="ignore", divide="ignore"):
        both = ahead + behind
        even = square / (both + np.sqrt(both**2 + 2.0 * apart * square))
        one = even * share
        other = (square / 2.0 - one * ahead) / (behind + one * apart)
        part = one / (one + other)
    able = (one > 0.0) & (other > 0.0) & np.isfinite(part)
    if not able.any():
        return False
    index, at, along, one, other, part = (each[able] for each in (index, at, along, one, other, part))
    joint = (at + along * one[:, None]) * (1.0 - part)[:, None] + (
        places[end] - last_along * other[:, None]
    ) * part[:, None]
    bend, heading, lean = _circle(at, along, joint)
    ends = np.broadcast_to(places[end], joint.shape)
    next_bend, _, next_lean = _circle(joint, heading, ends)
    steep = np.maximum(np.abs(lean), np.abs(next_lean)) > np.pi / 2.0
    fine = np.linspace(0.0, 1.0, 65)
    between = np.rint(index[:, None] + (end - index)[:, None] * fine).astype(np.intp)
    spots = places[between]
    past = ((spots - joint[:, None]) * heading[:, None]).sum(axis=2) >= 0.0
    clean = (past[:, 1:] >= past[:, :-1]).all(axis=1)
    off = np.where(past, _off(joint, heading, next_bend, spots), _off(at, along, bend, spots))
    return bool(((np.abs(off).max(axis=1) <= tolerance) & clean & ~steep).any())

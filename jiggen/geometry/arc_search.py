"""The search for few arcs along smooth stretches of a run. Millimetres and radians.

Arcs that meet on the curve, but not in its direction there, follow it half again as far as pairs that take its
direction at every second joint. So the search goes on in many directions at once: layer by layer, one arc more each,
it keeps for each stretch and each deviation from the curve's direction the arc that came farthest, until two arcs
will do from one of them to the stretch's end. All stretches are searched at the same time.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jiggen.geometry.arcs import STEEPEST, Arcs
from jiggen.geometry.fit_error import errors_of, glimpses
from jiggen.geometry.last_arcs import one_arc, two_arcs
from jiggen.geometry.smooth_run import Run, angles
from jiggen.geometry.trace import Flags, Floats, Numbers

#: Each trial of how far an arc will go is longer by this factor than the one before.
_GROWTH = 1.5
#: The trials after it, in parts of the longest that did.
_PARTS = np.append(np.geomspace(0.15, 0.7, 5), np.linspace(0.75, _GROWTH, 13))
#: Deviations from the curve's direction are told apart when one is this many times the other; the smallest and the
#: largest that count, in units of tolerance over length.
_FINER, _LEAST, _LARGEST = 1.25, 0.3, 16.0
#: What lies farther back than this share of an arc from the foremost is given up.
_LAG = 0.8
#: A stretch of more steps is cut, since the search goes on from arc to arc and is quick over many stretches at once.
_MOST = 2000
#: Where arcs are looked at before they are measured, as shares of their places.
_GLIMPSES = np.array([0.5, 0.14, 0.32, 0.68, 0.86])


def few_arcs(run: Run, bounds: Numbers, tolerance: float) -> Arcs:
    """Returns few arcs along the run, in order, with common tangents within each stretch.

    At the ends of a stretch they have the run's own directions. A stretch that no arcs keep to is halved; a single
    step to which none do becomes a line.

    Args:
        run: To lay them along.
        bounds: (n + 1,) the places between which the stretches lie, rising from 0.
        tolerance: How far arcs and run may lie apart, in mm.
    """
    begin = np.concatenate([np.arange(one, other, _MOST) for one, other in pairwise(bounds.tolist())])
    end = np.append(begin[1:], bounds[-1])
    chains: list[Arcs] = []
    with np.errstate(
        invalid="ignore", divide="ignore"
    ):  # arcs back to where they start are no numbers, nor near
        while len(begin):
            chain, done = _search(run, begin, end, tolerance)
            begin, end = begin[~done], end[~done]
            alone = end - begin == 1
            chains += [chain, _lines(run, begin[alone])]
            middle = (begin[~alone] + end[~alone]) // 2
            begin, end = np.append(begin[~alone], middle), np.append(middle, end[~alone])
    arcs = Arcs.joined(chains)
    return arcs.rows(np.argsort(arcs.first, kind="stable"))


def _lines(run: Run, place: Numbers) -> Arcs:
    along = (run.places[place + 1] - run.places[place]) / run.chords[place][:, None]
    return Arcs.through(place, place + 1, run.places[place], along, run.places[place + 1])


@dataclass(frozen=True, slots=True)
class _Layer:
    """What so many arcs reach: n rows.

    Attributes:
        stretch: Number of the stretch.
        place: Of the run.
        along: (n, 2) unit vectors: the direction there.
        parent: The row in the layer before.
        arcs: From there to here; in the first layer there are none.
    """

    stretch: Numbers
    place: Numbers
    along: Floats
    parent: Numbers
    arcs: Arcs


def _search(run: Run, begin: Numbers, end: Numbers, tolerance: float) -> tuple[Arcs, Flags]:
    """Returns arcs for stretches, and for which of them there are some; those of each stretch come in order."""
    done = np.zeros(len(begin), dtype=np.bool_)
    nothing = np.zeros(0, dtype=np.intp)
    none = _lines(run, nothing)
    layers = [_Layer(np.arange(len(begin)), begin, run.sets_out[begin], nothing, none)]
    chains = [none]
    while len(layers[-1].place):
        layer = layers[-1]
        for close in (one_arc, two_arcs):
            rows = np.flatnonzero(~done[layer.stretch])
            stretch = layer.stretch[rows]
            found = close(run, layer.place[rows], layer.along[rows], end[stretch], tolerance)
            if len(found.rows):
                best = _first_of_each(stretch[found.rows], found.error)
                chains += _chain(layers, rows[found.rows[best]], [arcs.rows(best) for arcs in found.chain])
                done[stretch[found.rows]] = True
        rows = np.flatnonzero(~done[layer.stretch])
        layers.append(_next_layer(run, layer, rows, end, tolerance))
    return Arcs.joined(chains), done


def _first_of_each(groups: Numbers, *keys: Floats | Numbers) -> Numbers:
    """Returns a row of each group: where the first key is least, among equals the next."""
    order = np.lexsort((*reversed(keys), groups))
    sorted_groups = groups[order]
    is_first = np.ones(len(order), dtype=np.bool_)
    is_first[1:] = sorted_groups[1:] != sorted_groups[:-1]
    return order[is_first]


def _chain(layers: list[_Layer], rows: Numbers, lasts: list[Arcs]) -> list[Arcs]:
    """Returns the arcs that lead to rows of the last layer, in order, and from there on the last ones."""
    chain = lasts[::-1]
    for layer in reversed(layers[1:]):
        chain.append(layer.arcs.rows(rows))
        rows = layer.parent[rows]
    return chain[::-1]


def _next_layer(run: Run, layer: _Layer, rows: Numbers, end: Numbers, tolerance: float) -> _Layer:
    """Returns what one arc more reaches from some rows of a layer: the farthest for each deviation."""
    room = end[layer.stretch[rows]] - layer.place[rows] - 1
    growing = [1]
    while growing[-1] < room.max(initial=0):
        growing.append(math.ceil(growing[-1] * _GROWTH))
    trials = np.array(growing)
    index, _ = _likely(run, layer, rows, np.where(trials <= room[:, None], trials, 0), tolerance)
    near = np.zeros((len(rows), len(trials)), dtype=np.bool_)
    near.flat[index] = True
    went = np.logical_and.accumulate(near, axis=1).sum(axis=1)
    longest = np.where(went > 0, trials[went - 1], 0)
    steps = np.rint(longest[:, None] * _PARTS).astype(np.intp)
    steps[:, 1:][steps[:, 1:] == steps[:, :-1]] = 0
    index, arcs = _likely(run, layer, rows, np.where(steps <= room[:, None], steps, 0), tolerance)
    parent = rows[index // len(_PARTS)]

    stretch, way = layer.stretch[parent], run.way[arcs.last]
    lengths = _largest(stretch, way - run.way[arcs.first], len(end))[stretch]
    deviation = angles(run.arrives[arcs.last], arcs.arrives) * lengths / tolerance
    level = np.rint(np.log(np.maximum(np.abs(deviation) / _LEAST, 1.0)) / math.log(_FINER))
    group = 100 * stretch + 50 + (level * np.sign(deviation)).astype(np.intp)
    group[np.abs(deviation) > _LARGEST] = -1
    best = _measured(run, arcs, group, tolerance)
    best = best[way[best] >= (_largest(stretch[best], way[best], len(end))[stretch] - _LAG * lengths)[best]]
    arcs = arcs.rows(best)
    return _Layer(stretch[best], arcs.last, arcs.arrives, parent[best], arcs)


def _likely(run: Run, layer: _Layer, rows: Numbers, steps: Numbers, tolerance: float) -> tuple[Numbers, Arcs]:
    """Returns arcs from rows of a layer over (m, k) numbers of steps, 0 for none, that seem to keep to the run.

    With them come their numbers, counted through `steps` row by row.
    """
    index = np.flatnonzero(steps)
    parent = rows[index // steps.shape[1]]
    place = layer.place[parent]
    last = place + steps.ravel()[index]
    arcs = Arcs.through(place, last, run.places[place], layer.along[parent], run.places[last])
    near = np.abs(arcs.lean) <= STEEPEST
    for shares in (_GLIMPSES[:1], _GLIMPSES[1:]):
        near[near] = (glimpses(run, arcs.rows(near), shares) <= tolerance).all(axis=1)
    return index[near], arcs.rows(near)


def _measured(run: Run, arcs: Arcs, group: Numbers, tolerance: float) -> Numbers:
    """Returns a row of each group from 0 on: of those that keep to the run, measured, the one that goes farthest."""
    left = np.flatnonzero(group >= 0)
    found = [left[:0]]
    while len(left):
        first = _first_of_each(group[left], -arcs.last[left])
        near = errors_of(run, arcs.rows(left[first])) <= tolerance
        found.append(left[first[near]])
        open_still = ~np.isin(group[left], group[found[-1]])
        open_still[first] = False
        left = left[open_still]
    return np.concatenate(found)


def _largest(groups: Numbers, values: Floats, count: int) -> Floats:
    """Returns the largest value of each of so many groups, at least 0."""
    found = np.zeros(count)
    np.maximum.at(found, groups, values)
    return found

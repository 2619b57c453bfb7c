"""In which order marks are made, and from which end, so that the head travels little between them. Millimetres.

A mark is entered at one end and left at the other, or at the same place where it is closed. The way is begun at the
nearest mark again and again, then mended: stretches of it are turned round and marks moved elsewhere where that shortens
it, only marks that lie near each other being tried as neighbours. Bounded by steps, and the same on every machine.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]
#: For the numbers of some marks, those that must be made before them.
Before = Mapping[int, frozenset[int]]

NOTHING: Before = MappingProxyType({})

#: How often the whole way is gone over; it hardly becomes shorter after that.
_SWEEPS = 3
#: What is gained less than this, in mm, is not worth a step, and could be rounding.
_GAIN = 1e-6
#: How many of the marks that lie nearest to one may follow it or come before it; more hardly make the way shorter.
_NEIGHBOURS = 10
#: So many marks are looked at in one go, against all others: as many as is quick and takes little memory.
_AT_ONCE = 128


def shortest_way(ends: Sequence[tuple[Point, Point]], at: Point) -> list[tuple[int, bool]]:
    """Returns a short way through marks: the number of each, and whether it is entered at its end.

    Args:
        ends: Where each mark starts and ends.
        at: Where the head is before.
    """
    if not ends:
        return []
    head = np.array([[[at.x, at.y]] * 2])
    marks = np.array([[[one.x, one.y], [other.x, other.y]] for one, other in ends])
    way = _Way(np.concatenate((head, marks)).round(4))
    for _ in range(_SWEEPS):
        if not way.turn_stretches() + way.move_marks():
            break
    return list(zip((way.numbers[1:] - 1).tolist(), way.turned[1:].tolist(), strict=True))


def in_turn(way: Sequence[tuple[int, bool]], before: Before) -> list[tuple[int, bool]]:
    """Returns a way on which no mark is made before those that must be first; one that has to wait follows the last of them.

    Args:
        way: Numbers of marks, and whether each is entered at its end.
        before: For some numbers, those that must be made before; in no circle.
    """
    if not before:
        return list(way)
    waiting = list(way)
    found: list[tuple[int, bool]] = []
    while waiting:
        found.append(waiting.pop(next(_ready(waiting, found, before))))
    return found


def cooled(
    way: Sequence[tuple[int, bool]], boxes: Sequence[Box], rest_mm: float, before: Before = NOTHING
) -> list[tuple[int, bool]]:
    """Returns a way on which marks that follow one another lie apart, where that can be, so that the sheet keeps cool.

    The next mark is the next on the way that lies far enough from the one before it, or else the farthest.

    Args:
        way: Numbers of marks, and whether each is entered at its end.
        boxes: Round the marks, by number.
        rest_mm: How far apart they are to lie.
        before: For some numbers, those that must be made before; in no circle.
    """
    waiting = list(way)
    found: list[tuple[int, bool]] = []
    while waiting:
        ready = list(_ready(waiting, found, before))
        gaps = [apart(boxes[found[-1][0]], boxes[waiting[index][0]]) if found else rest_mm for index in ready]
        far = next((place for place, gap in enumerate(gaps) if gap >= rest_mm), gaps.index(max(gaps)))
        found.append(waiting.pop(ready[far]))
    return found


def _ready(
    waiting: Sequence[tuple[int, bool]], made: Sequence[tuple[int, bool]], before: Before
) -> Iterator[int]:
    """Yields the places in a row of marks of those that need not wait for another."""
    done = {number for number, _ in made} if before else frozenset()
    return (index for index, (number, _) in enumerate(waiting) if before.get(number, frozenset()) <= done)


def apart(one: Box, other: Box) -> float:
    """Returns the distance between two boxes, 0 where they overlap."""
    across = max(one.low.x - other.high.x, other.low.x - one.high.x, 0.0)
    up = max(one.low.y - other.high.y, other.low.y - one.high.y, 0.0)
    return math.hypot(across, up)


def _by_nearest(places: Floats) -> tuple[Ints, Bools]:
    """Returns the way from the first that always goes on to the nearest end, the lower number where two are as near."""
    numbers, turned = np.zeros(len(places), dtype=np.int64), np.zeros(len(places), dtype=np.bool_)
    waiting = np.arange(1, len(places))
    x, y = places[1:, :, 0].copy(), places[1:, :, 1].copy()
    at = places[0, 1]
    for step in range(1, len(places)):
        if step % _AT_ONCE == 0:  # those that have had their turn need not be looked at any longer
            left = np.flatnonzero(np.isfinite(x[:, 0]))
            waiting, x, y = waiting[left], x[left], y[left]
        across, up = x - at[0], y - at[1]
        place, end = divmod(int(np.argmin(across * across + up * up)), 2)
        number = int(waiting[place])
        numbers[step], turned[step], x[place] = number, bool(end), np.inf
        at = places[number, 1 - end]
    return numbers, turned


def _neighbours(places: Floats) -> Ints:
    """Returns, for each mark, those nearest to it, from either end to either end; the first of two as near first."""
    most = min(_NEIGHBOURS, len(places) - 1)
    found = []
    for rows in np.array_split(np.arange(len(places)), len(places) // _AT_ONCE + 1):
        far = np.full((len(rows), len(places)), np.inf)
        for one in (0, 1):
            for other in (0, 1):
                across = places[rows, one, 0][:, None] - places[:, other, 0]
                up = places[rows, one, 1][:, None] - places[:, other, 1]
                np.minimum(far, across * across + up * up, out=far)
        far[np.arange(len(rows)), rows] = np.inf
        enough = np.partition(far, most - 1, axis=1)[:, [most - 1]]
        row, near = np.nonzero(
            far <= enough
        )  # most of each row, and all that are as near as the last of them
        order = np.lexsort((near, far[row, near], row))
        row, near = row[order], near[order]
        rank = np.arange(len(row)) - np.searchsorted(row, row)
        found.append(near[rank < most].reshape(len(rows), most))
    return np.concatenate(found)


class _Way:
    """A way through marks. The first of them is where the head is, and stays the first; the last is left for anywhere."""

    def __init__(self, places: Floats) -> None:
        self.places, self.near = places, _neighbours(places)
        self.numbers, self.turned = _by_nearest(places)
        self._note()

    def _note(self) -> None:
        """Notes where each mark of the way is entered and left, and at which place of the way each mark is."""
        rows = np.arange(len(self.numbers))
        along, end = self.places[self.numbers], self.turned.astype(np.int64)
        self.entered, self.left = along[rows, end], along[rows, 1 - end]
        self.place_of = np.empty_like(self.numbers)
        self.place_of[self.numbers] = rows

    def turn_stretches(self) -> int:
        """Turns each stretch round whose turning shortens the way most; returns how many were."""
        turns = 0
        for before in self._promising(self._best_turns):
            gain, end = (each[0] for each in self._best_turns(np.array([before])))
            if gain > _GAIN:
                self.numbers[before + 1 : end + 1] = self.numbers[before + 1 : end + 1][::-1]
                self.turned[before + 1 : end + 1] = ~self.turned[before + 1 : end + 1][::-1]
                self._note()
                turns += 1
        return turns

    def move_marks(self) -> int:
        """Moves each mark to where it lengthens the way least, either way round; returns how many were moved."""
        moves = 0
        for before in self._promising(self._best_moves):
            gain, to = (each[0] for each in self._best_moves(np.array([before])))
            if gain > _GAIN:
                self._move(before + 1, *divmod(int(to), 2))
                self._note()
                moves += 1
        return moves

    def _promising(self, best: Callable[[Ints], tuple[Floats, Ints]]) -> list[int]:
        """Returns the places of the way from which something is gained as it stands, the first first.

        Few are, so that to look at all of them in one go is quicker than at each on its own.
        """
        places = np.arange(len(self.numbers) - 1)
        gain, _ = best(places)
        return [int(each) for each in places[gain > _GAIN]]

    def _best_turns(self, before: Ints) -> tuple[Floats, Ints]:
        """Returns the most that is gained by turning a stretch that begins after each place, and where it ends."""
        entered, left, last = self.entered, self.left, len(self.numbers) - 1
        first = before + 1
        ends = np.column_stack(
            (
                self.place_of[self.near[self.numbers[before]]],  # followed at once by a mark near it
                self.place_of[self.near[self.numbers[first]]] - 1,  # the first is followed by a mark near it
                np.full(len(before), last),
            )
        )
        after = np.minimum(ends + 1, last)
        # the stretch from `first` to each end, turned round, is entered where it was left
        gain = _far(left[before], entered[first])[:, None] - _far(left[before][:, None], left[ends])
        onward = _far(left[ends], entered[after]) - _far(entered[first][:, None], entered[after])
        gain += np.where(ends < last, onward, 0.0)
        gain[ends < first[:, None]] = -np.inf
        best = np.argmax(gain, axis=1)
        rows = np.arange(len(before))
        return gain[rows, best], ends[rows, best]

    def _best_moves(self, before: Ints) -> tuple[Floats, Ints]:
        """Returns the most that is gained by moving the mark after each place, and where to.

        That is twice the place after which it goes, and one more where it is turned round there.
        """
        entered, left, last = self.entered, self.left, len(self.numbers) - 1
        mark = before + 1
        behind = np.minimum(mark + 1, last)
        beside = self.place_of[self.near[self.numbers[mark]]]
        targets = np.column_stack((beside, np.maximum(beside - 1, 0), np.full(len(before), last)))
        is_last, after = targets == last, np.minimum(targets + 1, last)
        gained = _far(left[before], entered[mark]) + np.where(
            mark < last, _far(left[mark], entered[behind]) - _far(left[before], entered[behind]), 0.0
        )
        between = np.where(is_last, 0.0, _far(left[targets], entered[after]))
        costs = np.stack(
            [
                _far(left[targets], one[mark][:, None])
                + np.where(is_last, 0.0, _far(other[mark][:, None], entered[after]))
                for one, other in ((entered, left), (left, entered))
            ],
            axis=2,
        )
        costs -= between[:, :, None]
        costs[(targets == before[:, None]) | (targets == mark[:, None])] = np.inf
        best = np.argmin(costs.reshape(len(before), -1), axis=1)
        rows = np.arange(len(before))
        return gained - costs[rows, best // 2, best % 2], 2 * targets[rows, best // 2] + best % 2

    def _move(self, mark: int, target: int, turn: int) -> None:
        """Moves the mark at a place of the way to after another place."""
        to = target if target < mark else target - 1
        order = np.insert(np.delete(np.arange(len(self.numbers)), mark), to + 1, mark)
        self.turned[mark] ^= bool(turn)
        self.numbers, self.turned = self.numbers[order], self.turned[order]


def _far(one: Floats, other: Floats) -> Floats:
    gap = one - other
    return np.asarray(np.hypot(gap[..., 0], gap[..., 1]))

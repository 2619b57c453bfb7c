"""In which order marks are made, and from which end, so that the head travels little between them. Millimetres.

A mark is entered at one end and left at the other, or at the same place where it is closed. The way is begun at the
nearest mark again and again, then mended: stretches of it are turned round and marks moved elsewhere where that shortens it. Bounded by steps, and the same on every machine.
"""

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from jiggen.geometry.point import Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: How often the whole way is gone over; it hardly becomes shorter after that.
_SWEEPS = 2
#: What is gained less than this, in mm, is not worth a step, and could be rounding.
_GAIN = 1e-6


def shortest_way(ends: Sequence[tuple[Point, Point]], at: Point) -> list[tuple[int, bool]]:
    """Returns a short way through marks: the number of each, and whether it is entered at its end.

    Args:
        ends: Where each mark starts and ends.
        at: Where the head is before.
    """
    if not ends:
        return []
    places = np.array([[[one.x, one.y], [other.x, other.y]] for one, other in ends]).round(4)
    numbers, turned = _by_nearest(places, np.array([at.x, at.y]).round(4))
    way = _Way(places, numbers, turned, np.array([at.x, at.y]).round(4))
    for _ in range(_SWEEPS):
        if not way.turn_stretches() + way.move_marks():
            break
    return list(zip(way.numbers.tolist(), way.turned.tolist(), strict=True))


def _by_nearest(places: Floats, at: Floats) -> tuple[Ints, npt.NDArray[np.bool_]]:
    """Returns the way that always goes on to the nearest end, the lower number where two are as near."""
    waiting = np.ones(len(places), dtype=np.bool_)
    numbers, turned = np.zeros(len(places), dtype=np.int64), np.zeros(len(places), dtype=np.bool_)
    for step in range(len(places)):
        far = np.hypot(places[:, :, 0] - at[0], places[:, :, 1] - at[1])
        far[~waiting] = np.inf
        number, end = divmod(int(np.argmin(far)), 2)
        numbers[step], turned[step], waiting[number] = number, bool(end), False
        at = places[number, 1 - end]
    return numbers, turned


class _Way:
    """A way through marks. Its first mark is reached from where the head is, its last is left for anywhere."""

    def __init__(self, places: Floats, numbers: Ints, turned: npt.NDArray[np.bool_], at: Floats) -> None:
        self.places, self.at = places, at
        self.numbers, self.turned = numbers, turned

    def _ends(self) -> tuple[Floats, Floats]:
        """Where each mark of the way is entered and left, with the head's own place before the first."""
        rows = np.arange(len(self.numbers))
        along = self.places[self.numbers]
        entered, left = along[rows, self.turned.astype(int)], along[rows, 1 - self.turned.astype(int)]
        return np.vstack((self.at, entered)), np.vstack((self.at, left))

    def turn_stretches(self) -> int:
        """Turns each stretch round whose turning shortens the way most; returns how many were."""
        turns = 0
        entered, left = self._ends()
        last = len(entered) - 1
        for before in range(last):
            # the stretch from before + 1 to each end, turned round, is entered where it was left
            first = before + 1
            ends = np.arange(first, last + 1)
            now, then = _far(left[before], entered[first]), _far(left[before], left[ends])
            after = np.minimum(ends + 1, last)
            gain = now - then + np.where(ends < last, _far(left[ends], entered[after]), 0.0)
            gain -= np.where(ends < last, _far(entered[first], entered[after]), 0.0)
            best = int(np.argmax(gain))
            if gain[best] > _GAIN:
                end = int(ends[best])
                self.numbers[before:end] = self.numbers[before:end][::-1]
                self.turned[before:end] = ~self.turned[before:end][::-1]
                entered, left = self._ends()
                turns += 1
        return turns

    def move_marks(self) -> int:
        """Moves each mark to where it lengthens the way least, either way round; returns how many were moved."""
        moves = 0
        entered, left = self._ends()
        for mark in range(1, len(entered)):
            target, turn = self._better_place(entered, left, mark)
            if target is not None:
                self._move(mark - 1, target if target < mark else target - 1, turn=turn)
                entered, left = self._ends()
                moves += 1
        return moves

    def _better_place(self, entered: Floats, left: Floats, mark: int) -> tuple[int | None, bool]:
        """Returns after which mark of the way a mark is better, if any, and whether turned round."""
        last = len(entered) - 1
        gained = _far(left[mark - 1], entered[mark])
        if mark < last:
            gained += _far(left[mark], entered[mark + 1]) - _far(left[mark - 1], entered[mark + 1])
        targets = np.delete(np.arange(last + 1), [mark - 1, mark])
        if not len(targets):
            return None, False
        after, is_last = np.minimum(targets + 1, last), targets == last
        between = np.where(is_last, 0.0, _far(left[targets], entered[after]))
        ahead = _far(left[targets], entered[mark]) + np.where(is_last, 0.0, _far(left[mark], entered[after]))
        turned = _far(left[targets], left[mark]) + np.where(is_last, 0.0, _far(entered[mark], entered[after]))
        costs = np.minimum(ahead, turned) - between
        best = int(np.argmin(costs))
        if gained - costs[best] <= _GAIN:
            return None, False
        return int(targets[best]), bool(turned[best] < ahead[best])

    def _move(self, mark: int, to: int, *, turn: bool) -> None:
        order = np.insert(np.delete(np.arange(len(self.numbers)), mark), to, mark)
        self.turned[mark] ^= turn
        self.numbers, self.turned = self.numbers[order], self.turned[order]


def _far(one: Floats, other: Floats) -> Floats:
    gap = one - other
    return np.asarray(np.hypot(gap[..., 0], gap[..., 1]))

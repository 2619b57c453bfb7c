"""In which order marks are made, and from which end, so that the head travels little between them. Millimetres.

A mark is entered at one end and left at the other, or at the same place where it is closed. The way is begun at the
nearest mark again and again, then mended: stretches of it are turned round and marks moved elsewhere where that shortens it. Bounded by steps, and the same on every machine.
"""

import math
from collections.abc import Callable, Iterator, Sequence

import numpy as np
import numpy.typing as npt

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

#: How often the whole way is gone over; it hardly becomes shorter after that.
_SWEEPS = 3
#: What is gained less than this, in mm, is not worth a step, and could be rounding.
_GAIN = 1e-6
#: So many places of the way are looked at in one go, against all others: as many as is quick and takes little memory.
_AT_ONCE = 128


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


def cooled(way: Sequence[tuple[int, bool]], boxes: Sequence[Box], rest_mm: float) -> list[tuple[int, bool]]:
    """Returns a way on which marks that follow one another lie apart, where that can be, so that the sheet keeps cool.

    The next mark is the next on the way that lies far enough from the one before it, or else the farthest.

    Args:
        way: Numbers of marks, and whether each is entered at its end.
        boxes: Round the marks, by number.
        rest_mm: How far apart they are to lie.
    """
    waiting = list(way)
    found: list[tuple[int, bool]] = []
    while waiting:
        gaps = [apart(boxes[found[-1][0]], boxes[number]) if found else rest_mm for number, _ in waiting]
        far = next((index for index, gap in enumerate(gaps) if gap >= rest_mm), None)
        found.append(waiting.pop(gaps.index(max(gaps)) if far is None else far))
    return found


def apart(one: Box, other: Box) -> float:
    """Returns the distance between two boxes, 0 where they overlap."""
    across = max(one.low.x - other.high.x, other.low.x - one.high.x, 0.0)
    up = max(one.low.y - other.high.y, other.low.y - one.high.y, 0.0)
    return math.hypot(across, up)


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
        for before in self._promising(self._best_turns, entered, left):
            gain, end = (each[0] for each in self._best_turns(entered, left, np.array([before])))
            if gain > _GAIN:
                self.numbers[before:end] = self.numbers[before:end][::-1]
                self.turned[before:end] = ~self.turned[before:end][::-1]
                entered, left = self._ends()
                turns += 1
        return turns

    def move_marks(self) -> int:
        """Moves each mark to where it lengthens the way least, either way round; returns how many were moved."""
        moves = 0
        entered, left = self._ends()
        for before in self._promising(self._best_moves, entered, left):
            gain, to = (each[0] for each in self._best_moves(entered, left, np.array([before])))
            if gain > _GAIN:
                self._move(before, *divmod(int(to), 2))
                entered, left = self._ends()
                moves += 1
        return moves

    @staticmethod
    def _promising(
        best: Callable[[Floats, Floats, Ints], tuple[Floats, Ints]], entered: Floats, left: Floats
    ) -> Iterator[int]:
        """Yields the places of the way from which something is gained as it stands, the first first.

        Few are, so that to look at all of them in one go is quicker than at each on its own.
        """
        places = np.arange(len(entered) - 1)
        for rows in np.array_split(places, len(places) // _AT_ONCE + 1):
            gain, _ = best(entered, left, rows)
            yield from rows[gain > _GAIN].tolist()

    @staticmethod
    def _best_turns(entered: Floats, left: Floats, before: Ints) -> tuple[Floats, Ints]:
        """Returns the most that is gained by turning a stretch that begins after each place, and where it ends."""
        last = len(entered) - 1
        ends = np.arange(1, last + 1)
        first, after = before + 1, np.minimum(ends + 1, last)
        # the stretch from `first` to each end, turned round, is entered where it was left
        gain = _far(left[before], entered[first])[:, None] - _far(left[before][:, None], left[ends])
        onward = _far(left[ends], entered[after]) - _far(entered[first][:, None], entered[after])
        gain += np.where(ends < last, onward, 0.0)
        gain[ends < first[:, None]] = -np.inf
        best = np.argmax(gain, axis=1)
        return gain[np.arange(len(before)), best], ends[best]

    @staticmethod
    def _best_moves(entered: Floats, left: Floats, before: Ints) -> tuple[Floats, Ints]:
        """Returns the most that is gained by moving the mark after each place, and where to.

        That is twice the place after which it goes, and one more where it is turned round there.
        """
        last = len(entered) - 1
        mark = before + 1
        targets = np.arange(last + 1)
        is_last, after, behind = targets == last, np.minimum(targets + 1, last), np.minimum(mark + 1, last)
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
        costs -= between[:, None]
        costs[(targets == before[:, None]) | (targets == mark[:, None])] = np.inf
        flat = costs.reshape(len(before), -1)
        best = np.argmin(flat, axis=1)
        return gained - flat[np.arange(len(before)), best], best

    def _move(self, mark: int, target: int, turn: int) -> None:
        """Moves a mark to after a place of the way, where place 0 is where the head is."""
        to = target if target <= mark else target - 1
        order = np.insert(np.delete(np.arange(len(self.numbers)), mark), to, mark)
        self.turned[mark] ^= bool(turn)
        self.numbers, self.turned = self.numbers[order], self.turned[order]


def _far(one: Floats, other: Floats) -> Floats:
    gap = one - other
    return np.asarray(np.hypot(gap[..., 0], gap[..., 1]))

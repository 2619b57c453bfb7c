"""Lays parts close together by their true shapes, on one sheet after another. Whole numbers throughout.

What is free of a sheet is kept as pockets: runs of columns, each with a roof and a floor. A part is tried at every place
along a pocket and every way round, as near to the roof as it goes; what it leaves free above it becomes a pocket of its
own. So tapers lie head to tail, and small parts find room between large ones. Many orders of the parts are tried, each
one a small change of the best so far, in a sequence that is always the same; how long is bounded by steps, not seconds.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from jiggen.sheets.profile import Ints, Profile

#: What it takes to compare at all, in comparisons.
_CALL = 10_000
#: How many orders are tried at most for each part there is.
_ORDERS_A_PART = 40


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a part lies on a sheet: `column` of its left side, `depth` of its top, in steps down from the sheet's."""

    part: int
    profile: Profile
    column: int
    depth: int


class Ground:
    """What of a sheet may be used, and how parts may lie on it; sheets of one size share theirs.

    Args:
        columns: Of it, half a gap on either side included.
        depth: Steps from top to bottom, the same.
        ways: In which each part may lie on it; none where it does not fit.
        shape: (columns,) where it begins and where it ends in each column, for one that is not a rectangle.
    """

    def __init__(
        self,
        columns: int,
        depth: int,
        ways: Sequence[Sequence[Profile]],
        shape: tuple[Ints, Ints] | None = None,
    ) -> None:
        self.columns, self.depth, self.ways = columns, depth, ways
        self.roof, self.floor = shape or (np.zeros(columns, np.int32), np.full(columns, depth, np.int32))
        self.size = int((self.floor - self.roof).sum())
        never = self.size + 1
        self.least = [min((each.depth for each in mine), default=never) for mine in ways]
        self.shortest = [min((each.columns for each in mine), default=never) for mine in ways]
        self.filled = [min((each.filled for each in mine), default=never) for mine in ways]


@dataclass(frozen=True, slots=True)
class Packing:
    """Parts laid on sheets.

    Attributes:
        sheets: What lies on each sheet, from the first that was offered to the last that was needed.
        left: Parts that found no room.
        score: How much it takes; less is better.
    """

    sheets: tuple[tuple[Spot, ...], ...]
    left: tuple[int, ...]
    score: tuple[int, int, int]


class _Pocket:
    """What is free between two runs of parts: columns from `column` on, from `roof` down to `floor`."""

    __slots__ = ("column", "deepest", "floor", "level", "roof")

    def __init__(self, column: int, roof: Ints, floor: Ints) -> None:
        self.column, self.roof, self.floor = column, roof, floor
        self.deepest = int((floor - roof).max())
        self.level = bool((floor == floor[0]).all())  # then only how low a part reaches at all matters


class _Sheet:
    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.pockets = [_Pocket(0, ground.roof, ground.floor)]
        self.spots: list[Spot] = []
        self.free = ground.size


class Nester:
    """Tries orders of parts on a row of sheets.

    Args:
        sheets: In the order in which they are to be filled; all know of the same parts.
    """

    def __init__(self, sheets: Sequence[Ground]) -> None:
        self.sheets = sheets
        self.steps = 0

    def best(self, steps: int) -> Packing:
        """Returns the best packing found within so many comparisons of a column, and one order more."""
        count = len(self.sheets[0].ways)
        best, order = min(
            ((self.pack(order), order) for order in self.first_orders()), key=lambda found: found[0].score
        )
        chance = _numbers(count)
        for _ in range(_ORDERS_A_PART * count if count > 1 else 0):
            if self.steps > steps:
                break
            changed = _changed(order, next(chance), next(chance), next(chance))
            found = self.pack(changed)
            if found.score <= best.score:
                best, order = found, changed
        return best

    def first_orders(self) -> Iterator[list[int]]:
        """Yields large ones first, by what is large about them."""
        ground = max(self.sheets, key=lambda ground: ground.size)
        least, filled = ground.least, ground.filled
        longest = [max((each.columns for each in mine), default=0) for mine in ground.ways]
        numbers = range(len(least))
        yield sorted(numbers, key=lambda part: (-least[part], -filled[part]))
        yield sorted(numbers, key=lambda part: (-filled[part], -least[part]))
        yield sorted(numbers, key=lambda part: (-longest[part], -least[part]))

    def pack(self, order: Sequence[int]) -> Packing:
        """Returns parts laid in an order, each on the first sheet with room for it."""
        waiting, sheets = list(order), []
        for ground in self.sheets:
            if not waiting:
                break
            sheet = _Sheet(ground)
            waiting = [part for part in waiting if not self._put(sheet, part)]
            sheets.append(tuple(sheet.spots))
        used = [number for number, spots in enumerate(sheets) if spots]
        taken = sum(self.sheets[number].size for number in used)
        last = sheets[used[-1]] if used else ()
        deep = max((spot.depth + spot.profile.depth for spot in last), default=0)
        return Packing(tuple(sheets), tuple(sorted(waiting)), (len(waiting), taken, deep))

    def fitting(self) -> list[int]:
        """Returns the parts that find room on the first sheet when nothing lies there yet."""
        ground = self.sheets[0]
        return [part for part in range(len(ground.ways)) if self._put(_Sheet(ground), part)]

    def _put(self, sheet: _Sheet, part: int) -> bool:
        ground = sheet.ground
        if ground.filled[part] > sheet.free:
            return False
        best: tuple[tuple[int, int, int], _Pocket, Spot] | None = None
        for pocket in sheet.pockets:
            if ground.least[part] > pocket.deepest or ground.shortest[part] > len(pocket.roof):
                continue
            for profile in ground.ways[part]:
                found = self._highest(pocket, profile)
                if found is None:
                    continue
                column, depth = found
                key = (depth + profile.depth, pocket.column + column, depth)
                if best is None or key < best[0]:
                    best = key, pocket, Spot(part, profile, pocket.column + column, depth)
        if best is None:
            return False
        _, pocket, spot = best
        sheet.spots.append(spot)
        sheet.free -= spot.profile.filled
        sheet.pockets.remove(pocket)
        sheet.pockets += _without(pocket, spot)
        return True

    def _highest(self, pocket: _Pocket, profile: Profile) -> tuple[int, int] | None:
        """Returns where a part comes to lie highest in a pocket, and farthest left of equal places."""
        count = profile.columns
        if count > len(pocket.roof) or profile.depth > pocket.deepest:
            return None
        depths = self._most(pocket.roof, profile.high, count)
        if pocket.level:
            column = int(np.argmin(depths))
            depth = int(depths[column])
            return (column, depth) if depth + profile.depth <= int(pocket.floor[0]) else None
        lowest = -self._most(-pocket.floor, -profile.low, count)
        fits = depths <= lowest
        if not fits.any():
            return None
        column = int(np.argmin(np.where(fits, depths, np.iinfo(np.int32).max)))
        return column, int(depths[column])

    def _most(self, roof: Ints, high: Ints, count: int) -> Ints:
        """Returns the most by which a roof exceeds a profile, for every place along it."""
        if high[0] == high[count // 2] and (high == high[0]).all():  # then the roof alone counts
            self.steps += _CALL + len(roof) * count.bit_length()
            most: Ints = roof
            width = 1
            while 2 * width <= count:
                most = np.maximum(most[:-width], most[width:])
                width *= 2
            rest = count - width
            if rest:
                most = np.maximum(most[:-rest], most[rest:])
            return np.asarray(most - high[0], np.int32)
        self.steps += _CALL + (len(roof) - count + 1) * count
        return np.asarray((sliding_window_view(roof, count) - high).max(axis=1), np.int32)


def _without(pocket: _Pocket, spot: Spot) -> list[_Pocket]:
    """Returns what is left of a pocket once a part lies in it: above the part, and all the rest."""
    first = spot.column - pocket.column
    here = slice(first, first + spot.profile.columns)
    above = _Pocket(spot.column, pocket.roof[here].copy(), spot.profile.high + spot.depth)
    roof = pocket.roof.copy()
    roof[here] = spot.profile.low + spot.depth
    return [*([above] if above.deepest > 0 else []), _Pocket(pocket.column, roof, pocket.floor)]


def _changed(order: Sequence[int], kind: int, one: int, other: int) -> list[int]:
    """Returns an order in which two parts have changed places, or one has been moved."""
    count, changed = len(order), list(order)
    one, other = one % count, other % count
    if kind % 2:
        changed[one], changed[other] = changed[other], changed[one]
    else:
        changed.insert(other, changed.pop(one))
    return changed


def _numbers(start: int) -> Iterator[int]:
    """Yields numbers that look like chance and are the same every time.

    Source: the "minimal standard" generator, S. K. Park and K. W. Miller, Comm. ACM 31(10), 1988, with the multiplier
    48271 of 1993.
    """
    number = start % 2147483646 + 1
    while True:
        number = number * 48271 % 2147483647
        yield number // 7

"""Bolts and dowels through a stack of equal layers: in a row along its wall, or round inside its edge. Millimetres.

Every hole keeps the same web to the edge and to other holes. Where a place in the row does not leave it, the nearest one
that does is taken.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from jiggen.errors import LimitError
from jiggen.geometry.measure import distance_to, length, point_at
from jiggen.geometry.offset import shrink
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR
from jiggen.units import format_mm

_STEP = 0.5  # along a row, from one place that is tried to the next
_ROUNDING = 1e-6


class HoleFor(StrEnum):
    """What goes through a hole."""

    BOLT = "bolt"
    DOWEL = "dowel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A hole through all layers.

    Attributes:
        use: What goes through it.
        centre: In the layout's coordinates.
        diameter: Clear.
    """

    use: HoleFor
    centre: Point
    diameter: float

    def mirrored(self) -> "Hole":
        """Returns the same hole on the other side of the centre line."""
        return replace(self, centre=MIRROR.point(self.centre))


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleSizes:
    """What holes of a stack must be like.

    Attributes:
        bolt: Clear diameter of a bolt's hole.
        dowel: The same of a dowel's.
        web: From a hole to an edge or another hole, at least.
        spacing: From bolt to bolt along a row, at most, where the web lets them stand evenly.
        where: The table to name in an error.
    """

    bolt: float
    dowel: float
    web: float
    spacing: float
    where: str

    def of(self, use: HoleFor) -> float:
        """Returns the clear diameter of a hole."""
        return self.bolt if use is HoleFor.BOLT else self.dowel


def holes_along(row: Path, contour: Path, sizes: HoleSizes) -> tuple[Hole, ...]:
    """Returns holes along a row from end to end: a bolt and a dowel next to either end, and bolts in between.

    Args:
        row: Open, within the contour.
        contour: Of the layers, closed.
        sizes: Of the holes.

    Raises:
        LimitError: If there is no room.
    """
    placing = _Placing(row, contour, sizes)
    whole = length(row)
    first = placing.put(HoleFor.BOLT, _steps(0.0, whole))
    placing.put(HoleFor.DOWEL, _steps(first, whole))
    last = placing.put(HoleFor.BOLT, _steps(whole, 0.0))
    placing.put(HoleFor.DOWEL, _steps(last, 0.0))
    pieces = math.ceil((last - first) / sizes.spacing)
    for number in range(1, pieces):
        placing.put(HoleFor.BOLT, _around(first + (last - first) * number / pieces, whole, whole))
    return tuple(hole for _, hole in sorted(placing.found, key=lambda each: each[0]))


def holes_round(contour: Path, sizes: HoleSizes) -> tuple[Hole, ...]:
    """Returns holes round inside an edge: bolts as near to it as the web allows, and two dowels far from each other.

    Args:
        contour: Of the layers, closed.
        sizes: Of the holes.

    Raises:
        LimitError: If there is no room.
    """
    try:
        rows = shrink(contour, sizes.web + max(sizes.bolt, sizes.dowel) / 2.0)
    except LimitError as error:
        raise _no_room(sizes, HoleFor.BOLT, contour.start.x) from error
    found: list[Hole] = []
    for number, row in enumerate(rows):
        whole = length(row)
        count = max(1 if number else 2, math.ceil(whole / sizes.spacing))
        placing = _Placing(row, contour, sizes, taken=found)
        pitch = whole / count
        dowels = {0} if number == 0 else set()
        if number == len(rows) - 1:
            dowels.add(count // 2)
        for place in range(count):
            placing.put(HoleFor.BOLT, _around(place * pitch, pitch / 2.0, whole, closed=True))
        for place in sorted(dowels):
            placing.put(HoleFor.DOWEL, _around((place + 0.5) * pitch, pitch / 2.0, whole, closed=True))
        found += [hole for _, hole in sorted(placing.found, key=lambda each: each[0])]
    return tuple(found)


class _Placing:
    """Puts holes on a row one by one."""

    def __init__(self, row: Path, contour: Path, sizes: HoleSizes, taken: Iterable[Hole] = ()) -> None:
        self._row, self._contour, self._sizes = row, contour, sizes
        self._taken = list(taken)
        self.found: list[tuple[float, Hole]] = []  # how far along, hole

    def put(self, use: HoleFor, places: Iterator[float]) -> float:
        """Puts a hole at the first of some places along the row that leaves the web, and returns it.

        Raises:
            LimitError: If none does.
        """
        begin = None
        for along in places:
            begin = along if begin is None else begin
            hole = Hole(use=use, centre=point_at(self._row, along), diameter=self._sizes.of(use))
            if self._is_clear(hole):
                self.found.append((along, hole))
                self._taken.append(hole)
                return along
        raise _no_room(self._sizes, use, point_at(self._row, begin or 0.0).x)

    def _is_clear(self, hole: Hole) -> bool:
        free = self._sizes.web + hole.diameter / 2.0 - _ROUNDING
        return (
            all(each.centre.distance(hole.centre) >= free + each.diameter / 2.0 for each in self._taken)
            and distance_to(self._contour, hole.centre) >= free
        )


def _steps(begin: float, end: float) -> Iterator[float]:
    """Yields places from one to another."""
    count = int(abs(end - begin) / _STEP)
    yield from (begin + math.copysign(number * _STEP, end - begin) for number in range(count + 1))


def _around(middle: float, reach: float, whole: float, *, closed: bool = False) -> Iterator[float]:
    """Yields places from the middle outward to both sides; round and round on a closed row."""
    for number in range(int(reach / _STEP) + 1):
        for place in (middle + number * _STEP, middle - number * _STEP)[: 2 if number else 1]:
            if closed:
                yield place % whole
            elif 0.0 <= place <= whole:
                yield place


def _no_room(sizes: HoleSizes, use: HoleFor, x: float) -> LimitError:
    return LimitError(
        where=sizes.where,
        got=f"no room for a {use}'s hole of {format_mm(sizes.of(use))}, {format_mm(x)} from the nut",
        expected=f"room for it and a web of {format_mm(sizes.web)} to the edge and to other holes",
        mend="Make mould.web smaller, or use smaller bolts and dowels",
    )

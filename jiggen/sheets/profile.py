"""How far a part reaches toward both sides of each column of a sheet: what nesting knows of its shape. Whole numbers.

A sheet is thought of as columns about 2 mm wide, a whole number of them; a part that is laid on it takes a run of columns, and in each all
from `low` to `high`, half the gap round it included. Both are rounded outward, so that two parts whose columns do not
overlap keep the gap, and are whole numbers, so that the result is the same on every machine. An opening is seen the
same way from within: in each column as a stretch of room, rounded inward.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, inf

import numpy as np
import numpy.typing as npt

from jiggen.geometry.box import Box
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path
from jiggen.geometry.similarity import Similarity
from jiggen.parts.model import Role
from jiggen.sheets.room import Lie
from jiggen.shop.model import CutPart

Ints = npt.NDArray[np.int32]
Floats = npt.NDArray[np.float64]

#: Least width of a column, in mm.
LEAST_COLUMN = 2.0
#: Steps across the columns in a millimetre.
STEPS_PER_MM = 100
#: How far chords lie off their arcs here, in mm; the gap is widened by as much.
CHORDS = 0.02
#: Two profiles that differ nowhere by more are one, in steps: a part that looks the same the other way round.
_ALIKE = 30
#: A side that lies back from its farthest place by less than this on average, in mm, is taken as straight.
_NOTCHED = 0.25


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """A part as it lies, in columns from its left side and steps down from its top, half the gap included.

    Attributes:
        lie: How it lies.
        high: (columns,) where it begins in each column; 0 in the highest.
        low: (columns,) where it ends.
        depth: Of the whole, in steps.
    """

    lie: Lie
    high: Ints
    low: Ints
    depth: int

    @property
    def columns(self) -> int:
        """How many it takes."""
        return len(self.high)

    @property
    def filled(self) -> int:
        """What it takes of the sheet, in columns times steps."""
        return int((self.low - self.high).sum())

    def is_like(self, other: "Profile") -> bool:
        """Tells whether the two take up the same room."""
        return (
            self.columns == other.columns
            and bool(np.all(np.abs(self.high - other.high) <= _ALIKE))
            and bool(np.all(np.abs(self.low - other.low) <= _ALIKE))
        )


def profiles_of(
    cut_part: CutPart, lies: Sequence[Lie], *, gap_mm: float, column_mm: float
) -> tuple[Profile, ...]:
    """Returns the profile of each way in which a part may lie, but those that take up the same room as one before."""
    outline = [
        np.array([(point.x, point.y) for point in flatten(path, CHORDS)])
        for cut in cut_part.features
        if cut.feature.role is Role.EDGE
        for path in cut.paths
    ]
    found: list[Profile] = []
    for lie in lies:
        profile = _profile(outline, lie, gap_mm, column_mm)
        if not any(profile.is_like(other) for other in found):
            found.append(profile)
    return tuple(found)


def _profile(outline: Sequence[Floats], lie: Lie, gap_mm: float, column_mm: float) -> Profile:
    """Returns how a part lies; of each column the part's reach within half a gap of it counts, and half a gap more."""
    half = gap_mm / 2.0 + CHORDS
    count = -int(-round((lie.box.width + 2.0 * half) / column_mm, 6) // 1)
    begins: Floats = lie.box.low.x - half + column_mm * np.arange(count, dtype=np.float64)
    reach = half + CHORDS  # chords may end short of an arc's farthest place
    left, right = begins - reach, begins + column_mm + reach
    top, bottom = np.full(count, -np.inf), np.full(count, np.inf)
    for chain in outline:
        _reach(_turned(chain, lie.turn), left, right, top, bottom)
    # what hangs over the edge, and is refused as soon as the part is checked, takes all of its columns
    top[np.isinf(top)], bottom[np.isinf(bottom)] = lie.box.high.y, lie.box.low.y
    high = np.floor(((lie.box.high.y - top) * STEPS_PER_MM).round(4))
    low = np.ceil(((lie.box.high.y - bottom + 2.0 * half) * STEPS_PER_MM).round(4))
    # where the part stands highest, chords and rounding may leave it a step off its box
    high -= high.min()
    high, low = _plain(high, 0.0), _plain(low, low.max())
    return Profile(lie=lie, high=high.astype(np.int32), low=low.astype(np.int32), depth=int(low.max()))


def _plain(reach: Floats, farthest: float) -> Floats:
    """Returns how far a side reaches, taken as straight where it is all but that: notches and round corners filled in."""
    if abs(reach - farthest).mean() > _NOTCHED * STEPS_PER_MM:
        return reach
    return np.full_like(reach, farthest)


def _turned(points: Floats, turn: Similarity) -> Floats:
    x, y = points[:, 0], -points[:, 1] if turn.mirrored else points[:, 1]
    return np.stack((turn.cosine * x - turn.sine * y, turn.sine * x + turn.cosine * y), axis=1)


def _reach(
    points: Floats,
    left: Floats,
    right: Floats,
    top: Floats,
    bottom: Floats,
) -> None:
    """Widens `top` and `bottom` to what a chain of lines reaches between `left` and `right` of each column."""
    clips = _clipped(points, left, right)
    np.maximum.at(top, clips.column, np.maximum(clips.enters, clips.leaves))
    np.minimum.at(bottom, clips.column, np.minimum(clips.enters, clips.leaves))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Clips:
    """The lines of a chain, clipped to the columns that they come into; where a line stands upright, both ends count.

    Attributes:
        column: (k,) which column.
        x: (k, 2) where the line itself begins and ends across the columns.
        enters: (k,) where it enters the column, along it.
        leaves: (k,) where it leaves it.
    """

    column: npt.NDArray[np.int64]
    x: Floats
    enters: Floats
    leaves: Floats


def _clipped(points: Floats, left: Floats, right: Floats) -> _Clips:
    """Returns the lines of a chain in the order of the chain, each in the columns from left to right."""
    start, end = points[:-1], points[1:]
    swapped = (start[:, 0] > end[:, 0])[:, None]
    one, other = np.where(swapped, end, start), np.where(swapped, start, end)
    wide = other[:, 0] - one[:, 0]
    upright = wide <= 1e-9
    slope = np.divide(other[:, 1] - one[:, 1], wide, out=np.zeros_like(wide), where=~upright)
    first = np.searchsorted(right, one[:, 0], side="left")
    counts = np.maximum(np.searchsorted(left, other[:, 0], side="right") - first, 0)
    line = np.repeat(np.arange(len(counts)), counts)
    column = np.arange(len(line)) + np.repeat(first + counts - np.cumsum(counts), counts)
    (x, y), (x_end, y_end), climb = one[line].T, other[line].T, slope[line]
    leaves = y + climb * (np.minimum(right[column], x_end) - x)
    return _Clips(
        column=column,
        x=np.stack((x, x_end), axis=1),
        enters=y + climb * (np.maximum(left[column], x) - x),
        leaves=np.where(upright[line], y_end, leaves),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hollow:
    """The room in an opening, in columns from its left side and steps down from its top, half the gap taken off.

    Attributes:
        box: Of the opening's contour, as it lies.
        roof: (columns,) where the room begins in each column.
        floor: (columns,) where it ends, which is where it begins in a column without any. Where a column crosses the
            opening more than once, the longest stretch counts.
    """

    box: Box
    roof: Ints
    floor: Ints


def hollow_of(contour: Path, turn: Similarity, *, gap_mm: float, column_mm: float) -> Hollow:
    """Returns the room in a closed contour; of each column what is free within half a gap of it as well.

    Args:
        contour: What the beam's middle follows.
        turn: How it lies, unturned or mirrored, without a shift.
        gap_mm: To be kept to it; the half of it that is not taken off here belongs to what is laid in the opening.
        column_mm: Width of a column.
    """
    half = gap_mm / 2.0 + CHORDS
    reach = half + CHORDS  # chords may end short of an arc's farthest place
    box = Box.spanning(turn.point(contour.box.low), turn.point(contour.box.high))
    count = int(round(box.width / column_mm, 6))
    begins: Floats = box.low.x + column_mm * np.arange(count, dtype=np.float64)
    points = _turned(np.array([(point.x, point.y) for point in flatten(contour, CHORDS)]), turn)
    walls: list[list[tuple[float, float, bool]]] = [[] for _ in range(count)]
    clips = _clipped(points, begins - reach, begins + column_mm + reach)
    middles = begins[clips.column] + column_mm / 2.0
    crosses = (clips.x[:, 0] <= middles) & (middles < clips.x[:, 1])
    lows, highs = np.minimum(clips.enters, clips.leaves), np.maximum(clips.enters, clips.leaves)
    for column, low, high, cross in zip(
        clips.column.tolist(), lows.tolist(), highs.tolist(), crosses.tolist(), strict=True
    ):
        walls[column].append((low, high, cross))
    roof, floor = np.zeros(count, np.int32), np.zeros(count, np.int32)
    for column, mine in enumerate(walls):
        for low, high in _free(mine):
            begin = ceil(round((box.high.y - high + half) * STEPS_PER_MM, 4))
            end = int(round((box.high.y - low - half) * STEPS_PER_MM, 4))
            if end - begin > floor[column] - roof[column]:
                roof[column], floor[column] = begin, end
    return Hollow(box=box, roof=roof, floor=floor)


def _free(walls: Sequence[tuple[float, float, bool]]) -> Iterator[tuple[float, float]]:
    """Yields the stretches of a column that no wall reaches and that lie within the contour, by the even-odd rule.

    Args:
        walls: From where to where each line of the contour reaches, and whether it crosses the column's middle.
    """
    reached, crossed = -inf, 0
    for low, high, crosses in sorted(walls):
        if low > reached and crossed % 2:
            yield reached, low
        reached = max(reached, high)
        crossed += crosses

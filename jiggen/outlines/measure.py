"""Measures an outline that lies along y = 0: where it is widest and narrowest, its smallest bend. Millimetres."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Arc, Path
from jiggen.geometry.point import Point
from jiggen.geometry.segment import point_on
from jiggen.geometry.trace import Floats

#: How far chords may lie off the outline, and how far apart its width is looked at.
_CHORDS, _APART = 0.001, 0.25
#: A width is a widest or narrowest place if it differs from its neighbours' by so great a share of the whole width.
_SHARE = 0.005


@dataclass(frozen=True, slots=True)
class Waist:
    """A widest or narrowest place.

    Attributes:
        x_mm: Along the centre line.
        width_mm: There.
        kind: Which of both it is.
    """

    x_mm: float
    width_mm: float
    kind: Literal["widest", "narrowest"]


@dataclass(frozen=True, slots=True)
class Bend:
    """The smallest bend.

    Attributes:
        radius_mm: Of the arc.
        at: Its middle.
    """

    radius_mm: float
    at: Point


def waists(outline: Path) -> tuple[Waist, ...]:
    """Returns the widest and narrowest places in turn, from the neck end on. The first and last are widest.

    Args:
        outline: Along y = 0.
    """
    x, width = _widths(outline)
    least = float(width.max()) * _SHARE
    found: list[Waist] = []
    for index, kind in _turns(width, least):
        found.append(Waist(*_peak(x, width, index), kind))
    return tuple(found)


def smallest_bend(outline: Path) -> Bend | None:
    """Returns the arc of the smallest radius, None if there is no arc."""
    arcs = [piece for piece in outline if isinstance(piece, Arc)]
    if not arcs:
        return None
    tightest = min(arcs, key=lambda arc: arc.radius)
    return Bend(tightest.radius, point_on(tightest, 0.5))


def _widths(outline: Path) -> tuple[Floats, Floats]:
    """Returns places evenly along x, and how far apart the outline's sides are there at most."""
    corners = np.array([(point.x, point.y) for point in flatten(outline, _CHORDS)])
    low, high = float(corners[:, 0].min()), float(corners[:, 0].max())
    count = max(64, min(4000, int((high - low) / _APART)))
    x = low + (high - low) * (np.arange(count) + 0.5) / count
    top, bottom = np.full(count, -np.inf), np.full(count, np.inf)
    rising = (corners[:-1, 0] <= corners[1:, 0])[:, None]
    left, right = np.where(rising, corners[:-1], corners[1:]), np.where(rising, corners[1:], corners[:-1])
    first, last = np.searchsorted(x, left[:, 0]), np.searchsorted(x, right[:, 0])
    crossed = np.repeat(np.arange(len(left)), last - first)  # each chord as often as it passes a place
    before = np.repeat(np.cumsum(last - first) - (last - first), last - first)
    at = first[crossed] + np.arange(len(crossed)) - before
    one, other = left[crossed], right[crossed]
    y = one[:, 1] + (other[:, 1] - one[:, 1]) * (x[at] - one[:, 0]) / (other[:, 0] - one[:, 0])
    np.maximum.at(top, at, y)
    np.minimum.at(bottom, at, y)
    return x, top - bottom


def _turns(width: Floats, least: float) -> Iterator[tuple[int, Literal["widest", "narrowest"]]]:
    """Yields where a row of numbers turns from rising to falling or back, by `least` or more."""
    rising = True
    best = 0
    for index, value in enumerate(width.tolist()):
        if (value > width[best]) == rising and value != width[best]:
            best = index
        elif abs(value - float(width[best])) >= least:
            yield best, "widest" if rising else "narrowest"
            rising, best = not rising, index
    if rising:
        yield best, "widest"


def _peak(x: Floats, width: Floats, index: int) -> tuple[float, float]:
    """Returns place and height of the parabola through a turning place and its neighbours."""
    if not 0 < index < len(x) - 1:
        return float(x[index]), float(width[index])
    before, here, after = (float(each) for each in width[index - 1 : index + 2])
    bend = before - 2.0 * here + after
    if bend == 0.0 or not np.isfinite(bend):
        return float(x[index]), here
    share = max(-0.5, min(0.5, (before - after) / (2.0 * bend)))
    return float(x[index]) + share * float(x[1] - x[0]), here - (before - after) * share / 4.0

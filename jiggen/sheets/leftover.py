"""What is left of a sheet once its parts are cut: the largest rectangle, to keep as an offcut. Millimetres."""

from collections.abc import Iterator
from itertools import pairwise
from math import floor

from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import area, bounds, flatten
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.sheets.estimate import share_used
from jiggen.sheets.model import Sheet
from jiggen.sheets.once import once

#: A part that fills less of its box than this is looked at in slices, so many of them.
_FULL, _SLICES = 0.9, 12
#: How far chords may lie off arcs here, in mm.
_CHORDS = 0.1


@once
def leftover(sheet: Sheet) -> Box | None:
    """Returns the largest upright rectangle that keeps the gap to all parts, up to the sheet's own edges; None for none."""
    whole = Box.of_size(sheet.width_mm, sheet.height_mm)
    gap = sheet.machine.gap_mm
    taken = [
        box.grown(gap)
        for placement in sheet.placements
        if placement.within is None
        for cut in placement.cut_part.features
        if cut.feature.role is Role.EDGE
        for path in cut.paths
        for box in _boxes(placement.written(path))
    ]
    return largest_free(whole, taken)


def usage_line(sheet: Sheet) -> str:
    """Returns how much of a sheet is used and what is left of it, in words: `45% used, 1000 × 312 mm left`."""
    return f"{share_used(sheet):.0%} used, {size_left(sheet)} left"


def size_left(sheet: Sheet) -> str:
    """Returns the size of what is left of a sheet, rounded down, in words."""
    rest = leftover(sheet)
    return f"{floor(rest.width)} × {floor(rest.height)} mm" if rest else "nothing"


def largest_free(whole: Box, taken: list[Box]) -> Box | None:
    """Returns the largest upright rectangle of a box that shares no area with any of some others; None for none.

    Its left side lies on that of the whole or on the right of a box that is taken, its right side likewise: between any
    two such lines it is the widest gap between what is taken there.
    """
    lefts = sorted({whole.low.x, *(box.high.x for box in taken if whole.low.x < box.high.x < whole.high.x)})
    rights = sorted({whole.high.x, *(box.low.x for box in taken if whole.low.x < box.low.x < whole.high.x)})
    best: Box | None = None
    most = 0.0
    by_depth = sorted(taken, key=lambda box: (box.low.y, box.high.y))
    for left in lefts:
        for right in reversed(rights):
            if (right - left) * whole.height <= most:
                break
            reached = whole.low.y
            for box in by_depth:
                if box.low.x < right and left < box.high.x:
                    if (right - left) * (box.low.y - reached) > most + 1e-6:
                        best = Box(Point(left, reached), Point(right, box.low.y))
                        most = best.width * best.height
                    reached = max(reached, box.high.y)
            if (right - left) * (whole.high.y - reached) > most + 1e-6:
                best = Box(Point(left, reached), Point(right, whole.high.y))
                most = best.width * best.height
    return best


def _boxes(path: Path) -> Iterator[Box]:
    """Yields boxes that cover what a closed path bounds: one, or slices of a shape that leaves much of its box free."""
    box = bounds(path)
    if abs(area(path)) >= _FULL * box.width * box.height:
        yield box
        return
    points = flatten(path, _CHORDS)
    along = box.width >= box.height
    start, size = (box.low.x, box.width) if along else (box.low.y, box.height)
    for number in range(_SLICES):
        low, high = start + size * number / _SLICES, start + size * (number + 1) / _SLICES
        found = [point for pair in pairwise(points) for point in _between(*pair, low, high, along=along)]
        if found:
            yield around(Box(point, point) for point in found).grown(_CHORDS)


def _between(start: Point, end: Point, low: float, high: float, *, along: bool) -> Iterator[Point]:
    """Yields the ends of what of a line lies between two upright lines, or two level ones."""
    one, other = (start.x, end.x) if along else (start.y, end.y)
    if max(one, other) < low or min(one, other) > high:
        return
    for at in (one, other):
        share = 0.0 if one == other else (min(max(at, low), high) - one) / (other - one)
        yield start + (end - start) * share
    if one == other:
        yield end

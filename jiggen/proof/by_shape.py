"""Finds by its shape and place what makes a feature, where a file has lost the names.

Software that saves a file anew often drops names, takes polylines apart and turns arcs into chords. So each stroke is
asked for itself: which feature's finished contour does it follow, half a beam away, all along? Lettering, of which the
manifest knows only the box, takes what lies in that box and follows nothing else.
"""

from collections.abc import Collection, Sequence

import numpy as np
import shapely

from jiggen.proof.curves import Curves, Flags, Floats, Ints
from jiggen.proof.maps import to_finished
from jiggen.proof.nominal import SHARES, Item, Nominal
from jiggen.proof.wanted import WantedPart

#: A stroke follows a contour when it is nowhere farther off than this, in mm: less than any two lines lie apart.
NEAR_MM = 0.25
#: To lie on another layer counts like so many mm.
_WRONG_LAYER = 0.2
#: Lettering may reach so far out of its box, in mm.
_OUT_OF_BOX_MM = 0.05
#: What is farther from all of a part than this, in mm, makes nothing of it.
_ABOUT_MM = 1.0
#: A feature that lies elsewhere is known by its length and the size of its box, to this, in mm...
_SAME_SIZE_MM = 0.02
#: ...and is looked for no farther away than this.
_STRAYED_MM = 60.0


def adopt(
    nominal: Nominal, curves: Curves, operations: Sequence[str], missing: Collection[int], strays: Ints
) -> dict[int, int]:
    """Returns for strokes without a name the number of the item that they make; those of none are left out.

    Args:
        nominal: Of the sheet.
        curves: All that the file holds, as written.
        operations: Of each stroke.
        missing: Numbers of the items that nothing in the file makes by name.
        strays: (s,) numbers of the strokes without a name, in ascending order.
    """
    mine = curves.take(np.isin(curves.stroke, strays))
    numbers, group = np.unique(mine.stroke, return_inverse=True)
    boxes = mine.bounds(group, len(numbers))
    adopted: dict[int, int] = {}
    for part in {nominal.items[number].part.name: nominal.items[number].part for number in missing}.values():
        wanted = [number for number in sorted(missing) if nominal.items[number].part is part]
        stroke = _Strokes(mine.take(_about(part, boxes)[group]), part)
        adopted |= _followers(nominal, wanted, stroke, operations)
        adopted |= _letters(nominal.items, wanted, stroke, adopted)
    left = [number for number in missing if number not in adopted.values()]
    return adopted | _strayed(nominal.items, left, mine, adopted)


def _about(part: WantedPart, boxes: Floats) -> Flags:
    """Tells of the boxes (n, 4) of strokes which come near the place where a part is to lie; only these can make it."""
    cut = [each for each in part.features if each.operation is not None]
    places = [each.cut_bounds for each in cut if each.cut_bounds is not None]
    if not places or len(places) < len(cut):  # where the manifest does not tell, it may lie anywhere
        return np.ones(len(boxes), dtype=np.bool_)
    low = np.min(places, axis=0)[:2] - _ABOUT_MM
    high = np.max(places, axis=0)[2:] + _ABOUT_MM
    return np.asarray((boxes[:, :2] <= high).all(axis=1) & (boxes[:, 2:] >= low).all(axis=1))


class _Strokes:
    """Strokes on the axes of one part, finished size."""

    def __init__(self, curves: Curves, part: WantedPart) -> None:
        shift, matrix = to_finished(part)
        self.numbers, self.group = np.unique(curves.stroke, return_inverse=True)
        self.places = (curves.at(SHARES).reshape(-1, 2) - shift) @ matrix.T
        self.group_of_place = np.repeat(self.group, len(SHARES))


def _followers(
    nominal: Nominal, wanted: Sequence[int], strokes: _Strokes, operations: Sequence[str]
) -> dict[int, int]:
    """Returns the strokes that follow a contour, and whose."""
    items = nominal.items
    column = {number: index for index, number in enumerate(n for n in wanted if items[n].feature.finished)}
    if not column or not len(strokes.places):
        return {}
    contours = nominal.curves.take(np.isin(nominal.curves.owner, list(column)))
    chords, piece = contours.flattened()
    columns = np.array([column[owner] for owner in contours.owner[piece].tolist()])
    half = np.array([nominal.half_beam[number] for number in column])
    lines, points = np.asarray(shapely.linestrings(chords)), np.asarray(shapely.points(strokes.places))
    place, chord = shapely.STRtree(lines).query(
        points, predicate="dwithin", distance=float(half.max()) + NEAR_MM
    )
    nearest = np.full((len(points), len(column)), np.inf)
    np.minimum.at(nearest, (place, columns[chord]), shapely.distance(points[place], lines[chord]))
    off = np.zeros((len(strokes.numbers), len(column)))
    np.maximum.at(off, strokes.group_of_place, np.abs(nearest - half))
    by_number = list(column)
    on_layer = [items[number].feature.operation for number in by_number]
    known = {item.feature.operation for item in items}
    found: dict[int, int] = {}
    for stroke, row in zip(strokes.numbers.tolist(), off, strict=True):
        layer = operations[stroke]
        cost = row + np.array(
            [_WRONG_LAYER if layer in known and layer != each else 0.0 for each in on_layer]
        )
        best = int(np.argmin(cost))
        if cost[best] <= NEAR_MM:
            found[stroke] = by_number[best]
    return found


def _letters(
    items: Sequence[Item], wanted: Sequence[int], strokes: _Strokes, adopted: Collection[int]
) -> dict[int, int]:
    """Returns the strokes that lie in the box of some lettering, the smallest that holds them."""
    boxes = {
        number: np.array(items[number].feature.finished_bounds)
        for number in wanted
        if items[number].feature.role == "lettering" and items[number].feature.finished_bounds is not None
    }
    by_size = sorted(boxes, key=lambda number: (np.prod(boxes[number][2:] - boxes[number][:2]), number))
    low, high = np.full((len(strokes.numbers), 2), np.inf), np.full((len(strokes.numbers), 2), -np.inf)
    np.minimum.at(low, strokes.group_of_place, strokes.places)
    np.maximum.at(high, strokes.group_of_place, strokes.places)
    free: Flags = ~np.isin(strokes.numbers, list(adopted))
    found: dict[int, int] = {}
    for number in by_size:
        inside = free & (low >= boxes[number][:2] - _OUT_OF_BOX_MM).all(axis=1)
        inside &= (high <= boxes[number][2:] + _OUT_OF_BOX_MM).all(axis=1)
        found |= dict.fromkeys(strokes.numbers[inside].tolist(), number)
        free &= ~inside
    return found


def _strayed(
    items: Sequence[Item], missing: Sequence[int], curves: Curves, adopted: Collection[int]
) -> dict[int, int]:
    """Returns strokes that have the length and the box of a missing feature of one stroke, but lie elsewhere."""
    numbers, group = np.unique(curves.stroke, return_inverse=True)
    lengths = np.bincount(group, weights=curves.lengths(), minlength=len(numbers))
    boxes = curves.bounds(group, len(numbers))
    free: Flags = ~np.isin(numbers, list(adopted))
    found: dict[int, int] = {}
    for number in missing:
        feature = items[number].feature
        if feature.cut_bounds is None or feature.cut_length_mm is None or not free.any():
            continue
        box = np.array(feature.cut_bounds)
        away: Floats = np.abs(boxes - box)
        size = np.abs((boxes[:, 2:] - boxes[:, :2]) - (box[2:] - box[:2])).max(axis=1)
        alike = free & (size <= _SAME_SIZE_MM) & (np.abs(lengths - feature.cut_length_mm) <= _SAME_SIZE_MM)
        distance = np.where(alike, away.max(axis=1), np.inf)
        best = int(np.argmin(distance))
        if distance[best] <= _STRAYED_MM:
            found[int(numbers[best])] = number
            free[best] = False
    return found

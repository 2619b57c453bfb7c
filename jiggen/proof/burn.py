"""The virtual cut: a beam runs along every cut path, and what then falls out of the sheet is the set of parts.

What a file says are commands. Told to go to c, the machine goes to c divided by the scale that its profile has for
each axis (`shop.compensate`, step 4); there the beam takes away a disc as wide as the kerf. So the paths are put where
the beam truly runs, swept with half the kerf, and taken out of the stock. A piece that lies within the path of a part's
edge and within no opening's is that part. Put back on the part's own axes, its growth undone, it is the finished part.

It is not quite the drawing: a round beam leaves a fillet of its own radius in every sharp inside corner. So it is set
against the drawing as far as a disc can make it.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from jiggen.proof.curves import Curves, Floats, Nearest
from jiggen.proof.maps import growth, machine_scale, to_finished
from jiggen.proof.nominal import CUT_THROUGH, STRAY, Item, Nominal
from jiggen.proof.wanted import WantedPart, WantedSheet

#: Stock left round everything that is cut, so that the rest of the sheet is one piece.
_SPARE_MM = 10.0
#: A beam without width still parts the sheet.
_THINNEST_MM = 1e-4
#: Chords of paths and of the beam's disc lie no farther off their arcs.
_CHORD_ERROR_MM = 1e-3
#: A piece or a hole smaller than this, in mm², is rounding.
_CRUMB_MM2 = 1e-3
#: The disc that is asked what it can reach is smaller than the beam by this, so that rounding closes nothing to it.
_EASE_MM = 5e-4
#: Corners sharper than this reach are not drawn out to their tip.
_MITRE_LIMIT = 20.0


@dataclass(frozen=True, slots=True)
class Fallen:
    """What falls out where a part should.

    Attributes:
        part: Its name.
        plates: The pieces, finished size, in the part's own coordinates; the largest first, none when it stays in
            the sheet.
    """

    part: str
    plates: tuple[shapely.Polygon, ...]


def burn(sheet: WantedSheet, items: Sequence[Item], paths: Curves) -> tuple[Fallen, ...]:
    """Returns what falls out of a sheet, part by part.

    Args:
        sheet: Of which.
        items: Its features, by number.
        paths: All that is cut through, in sheet coordinates as written; owners are the numbers of the items, or
            `STRAY`, which come first.
    """
    scale = machine_scale(sheet)
    widest = max((part.kerf_mm for part in sheet.parts), default=0.0)
    owners, runs = _runs(paths, scale)
    cuts = [
        _swept(run, widest if number == STRAY else items[number].part.kerf_mm)
        for number, run in zip(owners, runs, strict=True)
    ]
    pieces = _pieces(cuts, np.array(sheet.size_mm) / scale)
    tree = shapely.STRtree(shapely.point_on_surface(pieces))
    inside: dict[tuple[str, str], set[int]] = {}
    for number, cut in zip(owners, cuts, strict=True):
        if number != STRAY:
            key = (items[number].part.name, items[number].feature.role)
            for loop in _enclosed(cut):
                inside.setdefault(key, set()).update(tree.query(loop, predicate="contains").tolist())
    fallen = []
    for part in sheet.parts:
        within = inside.get((part.name, "edge"), set()) - inside.get((part.name, "opening"), set())
        plates = [_finished(pieces[index], part, scale) for index in sorted(within)]
        whole = sorted((plate for plate in plates if plate.area > _CRUMB_MM2), key=lambda plate: -plate.area)
        fallen.append(Fallen(part.name, tuple(whole)))
    return tuple(fallen)


def _runs(paths: Curves, scale: Floats) -> tuple[list[int], Sequence[shapely.MultiLineString]]:
    """Returns the owners of paths, and where the beam runs for each."""
    chords, piece = paths.flattened(_CHORD_ERROR_MM)
    if not len(chords):
        return [], []
    stroke, owner = paths.stroke[piece], paths.owner[piece]
    last = np.flatnonzero(np.concatenate([np.diff(stroke) != 0, [True]]))
    first = np.concatenate([[0], last[:-1] + 1])
    counts = last - first + 2  # corners of each stroke: its chords' starts and the last one's end
    places = np.insert(chords[:, 0], last + 1, chords[last, 1], axis=0) / scale
    lines: Any = shapely.linestrings(places, indices=np.repeat(np.arange(len(counts)), counts))
    owners, group = np.unique(owner[first], return_inverse=True)
    runs: Any = shapely.multilinestrings(lines, indices=group)
    return owners.tolist(), list(runs)


def _swept(run: shapely.MultiLineString, kerf_mm: float) -> shapely.Geometry:
    """Returns what the beam takes away."""
    half = max(kerf_mm / 2.0, _THINNEST_MM)
    return run.buffer(half, quad_segs=_quarter(half))


def _quarter(radius: float) -> int:
    """Returns how many chords make a quarter of a disc."""
    return math.ceil(math.pi / 4.0 / math.acos(1.0 - min(_CHORD_ERROR_MM / radius, 0.5)))


def _pieces(cuts: Sequence[shapely.Geometry], size: Floats) -> Sequence[shapely.Polygon]:
    """Returns what falls out of the stock: all but the piece that holds its border."""
    burnt = shapely.union_all(cuts)
    low, high = np.zeros(2), size
    if not burnt.is_empty:
        bounds = np.array(burnt.bounds)
        low, high = np.minimum(low, bounds[:2]), np.maximum(high, bounds[2:])
    corner = shapely.Point(low - _SPARE_MM)
    stock = shapely.box(*(low - _SPARE_MM), *(high + _SPARE_MM))
    return [piece for piece in shapely.get_parts(stock.difference(burnt)) if not piece.intersects(corner)]


def _enclosed(cut: shapely.Geometry) -> Iterator[shapely.Polygon]:
    """Yields the areas that a cut goes all round."""
    for ring in shapely.get_parts(cut):
        yield from map(shapely.Polygon, ring.interiors)


def _finished(piece: shapely.Polygon, part: WantedPart, scale: Floats) -> shapely.Polygon:
    """Returns a piece in its part's own coordinates, its growth undone."""
    shift, matrix = to_finished(part)
    return shapely.transform(piece, lambda places: (places * scale - shift) @ matrix.T)


@dataclass(frozen=True, slots=True)
class _Contour:
    """A finished contour as far as the beam can make it: the area within, and the number of its item."""

    number: int
    area: shapely.Polygon


class Reach:
    """What a beam can make of the drawing at best: every sharp inside corner with a fillet of the beam's radius."""

    def __init__(self, nominal: Nominal) -> None:
        self.contours: dict[str, list[_Contour]] = {part.name: [] for part in nominal.sheet.parts}
        self.is_edge = [item.feature.role == "edge" for item in nominal.items]
        for number, item in enumerate(nominal.items):
            if item.target == number and item.feature.role in CUT_THROUGH:
                self.contours[item.part.name] += [
                    _Contour(number, area) for area in _reached(nominal, number)
                ]

    def departures(
        self, fallen: Sequence[Fallen]
    ) -> tuple[Mapping[int, float], Sequence[tuple[str, shapely.Polygon]]]:
        """Returns how far what fell out departs from what was wanted.

        Args:
            fallen: Of the same sheet.

        Returns:
            By item, the largest distance in mm between the contour wanted and the one that is there, either way; and
            the holes that no feature asks for, with their parts.
        """
        pairs: list[tuple[_Contour, shapely.Polygon]] = []
        holes: list[tuple[str, shapely.Polygon]] = []
        for each in fallen:
            if each.plates:
                found, others = self._paired(self.contours[each.part], each.plates[0])
                pairs += found
                holes += [(each.part, hole) for hole in others]
        worst: dict[int, float] = {}
        apart = _apart([contour.area for contour, _ in pairs], [area for _, area in pairs])
        for (contour, _), distance in zip(pairs, apart, strict=True):
            worst[contour.number] = max(worst.get(contour.number, 0.0), distance)
        return worst, holes

    def _paired(
        self, contours: Sequence[_Contour], plate: shapely.Polygon
    ) -> tuple[list[tuple[_Contour, shapely.Polygon]], list[shapely.Polygon]]:
        """Returns the contours of a plate with those that they should be, and those that should not be."""
        edges = [each for each in contours if self.is_edge[each.number]]
        openings = [each for each in contours if not self.is_edge[each.number]]
        pairs = [(edge, shapely.Polygon(plate.exterior)) for edge in edges[:1]]
        holes = [hole for hole in map(shapely.Polygon, plate.interiors) if hole.area > _CRUMB_MM2]
        tree = shapely.STRtree([each.area for each in openings])
        over: dict[int, list[int]] = {}
        for hole, opening in tree.query(np.array(holes, dtype=object), predicate="intersects").T.tolist():
            over.setdefault(hole, []).append(opening)
        taken: set[int] = set()
        strange: list[shapely.Polygon] = []
        for index, hole in enumerate(holes):
            free = [opening for opening in over.get(index, ()) if opening not in taken]
            if free:
                best = free[0]
                if len(free) > 1:
                    best = max(free, key=lambda opening: openings[opening].area.intersection(hole).area)
                taken.add(best)
                pairs.append((openings[best], hole))
            else:
                strange.append(hole)
        return pairs, strange


def _reached(nominal: Nominal, number: int) -> Iterator[shapely.Polygon]:
    """Yields the areas within an item's finished contours as far as the beam can make them."""
    item = nominal.items[number]
    grown = growth(item.part)
    curves = nominal.curves.of(number)
    reach = item.part.kerf_mm / 2.0 - _EASE_MM
    for stroke in np.unique(curves.stroke).tolist():
        chords, _ = curves.take(curves.stroke == stroke).flattened(_CHORD_ERROR_MM)
        area = shapely.Polygon(chords[:, 0] * grown)
        if (
            reach > 0.0 and not item.feature.single_pass
        ):  # a slot of one pass is what the beam leaves as it is
            side = 1.0 if item.feature.role == "edge" else -1.0
            swollen = area.buffer(side * reach, join_style="mitre", mitre_limit=_MITRE_LIMIT)
            area = swollen.buffer(-side * reach, quad_segs=_quarter(reach))
        if not area.is_empty:  # else no beam gets into it
            yield shapely.transform(area, lambda places: places / grown)


def _apart(wanted: Sequence[shapely.Polygon], found: Sequence[shapely.Polygon]) -> list[float]:
    """Returns for each pair the largest distance from a corner of either contour to the other contour, in mm."""
    one, other = _contours(wanted), _contours(found)
    worst = np.zeros(len(wanted))
    for corners, contours in ((one, other), (other, one)):
        np.maximum.at(worst, corners.owner, Nearest(contours).distance(corners.start, corners.owner))
    return [float(each) for each in worst]


def _contours(areas: Sequence[shapely.Polygon]) -> Curves:
    """Returns the sides of areas, each owned by the number of its area."""
    rings, owner = shapely.get_parts(shapely.boundary(np.array(areas, dtype=object)), return_index=True)
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    side = np.flatnonzero(np.diff(ring) == 0)  # to the next corner of the same ring
    return Curves(corners[side], corners[side + 1], np.zeros(len(side)), owner[ring[side]], ring[side])

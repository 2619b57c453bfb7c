"""Many lines and arcs at once, as arrays: lengths, bounds, places on them, distances to them, where a line meets them.

All pieces of all features of a sheet stand in one set of arrays, each with the number of the feature that it belongs
to, its owner. Exact for lines and arcs, save for distances, which are taken to chords within CHORD_ERROR_MM.
Millimetres and radians.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LinearRing, LineString

from jiggen.proof.trace import FARTHEST_MM, Stroke

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]

#: Largest distance between an arc and the chords that stand for it.
CHORD_ERROR_MM = 0.0001
#: Pieces shorter than this are one point.
_SHORTEST = 1e-7
#: A bulge below this leaves its chord by less than a tenth of a nanometre on any piece of wood.
_STRAIGHT = 1e-10
#: What an arc that passes each quarter turn reaches there, from that along x on: 0 low or 1 high, of x or y, which way.
_FARTHEST = ((1, 0, 1.0), (1, 1, 1.0), (0, 0, -1.0), (0, 1, -1.0))
#: How much farther off than expected a place may be to be found by the quicker search.
_AT_HAND_MM = 0.05
#: Owners are set this far apart for one common search, farther than any two things on one sheet can be.
_ISLAND = 10.0 * FARTHEST_MM


@dataclass(frozen=True, slots=True)
class Curves:
    """Pieces of lines and arcs, in the order of their owners.

    Attributes:
        start: (n, 2) where each piece starts.
        end: (n, 2) where it ends.
        bulge: (n,) tan(sweep / 4), 0 for a line.
        owner: (n,) number of the feature it belongs to, never falling.
        stroke: (n,) number of the stroke it belongs to; its pieces stand together.
    """

    start: Floats
    end: Floats
    bulge: Floats
    owner: Ints
    stroke: Ints

    @property
    def sweep(self) -> Floats:
        """(n,) angle turned through, + is left."""
        return 4.0 * np.arctan(self.bulge)

    @property
    def curved(self) -> Flags:
        """(n,) whether a piece is an arc."""
        return np.abs(self.bulge) > _STRAIGHT

    def centre(self) -> Floats:
        """(n, 2) centres of the arcs; meaningless for lines."""
        bulge = np.where(self.curved, self.bulge, 1.0)
        chord = self.end - self.start
        along = ((1.0 - bulge**2) / (4.0 * bulge))[:, None]
        return (self.start + self.end) / 2.0 + _left(chord) * along

    def radius(self) -> Floats:
        """(n,) radii of the arcs; meaningless for lines."""
        return _length(self.start - self.centre())

    def lengths(self) -> Floats:
        """(n,) lengths of the pieces."""
        chord = _length(self.end - self.start)
        half = np.where(self.curved, np.abs(self.sweep) / 2.0, 1.0)
        return np.where(self.curved, chord * half / np.sin(np.where(self.curved, half, 1.0)), chord)

    def of(self, owner: int) -> "Curves":
        """Returns one owner's pieces."""
        first, last = np.searchsorted(self.owner, [owner, owner + 1])
        return self.take(slice(int(first), int(last)))

    def take(self, which: slice | Flags) -> "Curves":
        """Returns some of the pieces."""
        return Curves(
            self.start[which], self.end[which], self.bulge[which], self.owner[which], self.stroke[which]
        )

    def owned(self, owner: Ints) -> "Curves":
        """Returns the pieces under other owners, in their order; those with an owner below 0 are left out."""
        order = np.argsort(owner, kind="stable")
        order = order[np.count_nonzero(owner < 0) :]
        return Curves(self.start[order], self.end[order], self.bulge[order], owner[order], self.stroke[order])

    def with_bulge(self, bulge: Floats) -> "Curves":
        """Returns the pieces with other bulges."""
        return Curves(self.start, self.end, bulge, self.owner, self.stroke)

    def at(self, fraction: Floats) -> Floats:
        """Returns (n, k, 2) the places at fractions (k,), or (n, k) one row for each piece, of each piece's way."""
        shares = np.broadcast_to(np.atleast_2d(fraction), (len(self.bulge), fraction.shape[-1]))[:, :, None]
        straight = self.start[:, None, :] * (1.0 - shares) + self.end[:, None, :] * shares
        if not self.curved.any():
            return straight
        centre = self.centre()
        from_centre = (self.start - centre)[:, None, :]
        turn = shares * self.sweep[:, None, None]
        around = centre[:, None, :] + from_centre * np.cos(turn) + _left(from_centre) * np.sin(turn)
        return np.where(self.curved[:, None, None], around, straight)

    def places(self) -> tuple[Floats, Ints]:
        """Returns (k, 2) start, middle and end of all pieces, those where one goes on into the next once, and owners."""
        last = np.concatenate([np.diff(self.stroke) != 0, [True]])[: len(self.stroke)]
        halves = self.at(np.array([0.0, 0.5])).reshape(-1, 2)
        return np.concatenate([halves, self.end[last]]), np.concatenate(
            [np.repeat(self.owner, 2), self.owner[last]]
        )

    def normals(self, fraction: Floats) -> Floats:
        """Returns (n, k, 2) unit vectors to the left of travel at fractions (k,)."""
        chord = _unit(self.end - self.start)[:, None, :]
        turn = (fraction[None, :] - 0.5)[:, :, None] * self.sweep[:, None, None]
        return _left(chord * np.cos(turn) + _left(chord) * np.sin(turn))

    def bounds(self, groups: Ints, count: int) -> Floats:
        """Returns (count, 4) exact least and greatest x and y of each group; NaN for a group without pieces.

        Args:
            groups: (n,) the group of each piece, `owner` or `stroke`: those of one group stand together.
            count: Number of groups.
        """
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        arcs = self.curved
        if arcs.any():
            bent, here = self.take(arcs), np.flatnonzero(arcs)
            centre, radius, sweep = bent.centre(), bent.radius(), bent.sweep
            first = np.arctan2(*(bent.start - centre).T[::-1])
            for quarter, (edge, axis, side) in enumerate(_FARTHEST):
                angle = quarter * math.pi / 2.0
                way = np.where(sweep > 0.0, angle - first, first - angle) % math.tau
                passes = way < np.abs(sweep)
                (low, high)[edge][here[passes], axis] = centre[passes, axis] + side * radius[passes]
        return united(np.concatenate([low, high], axis=1), groups, count)

    def stroke_areas(self) -> Floats:
        """Returns what each stroke encloses when closed, in mm²; positive when it turns left."""
        (x0, y0), (x1, y1) = self.start.T, self.end.T
        sweep = np.where(self.curved, self.sweep, 0.0)
        caps = np.where(self.curved, self.radius() ** 2 * (sweep - np.sin(sweep)) / 2.0, 0.0)
        return np.asarray(
            np.bincount(self.stroke, weights=(x0 * y1 - x1 * y0) / 2.0 + caps), dtype=np.float64
        )

    def flattened(self, error_mm: float = CHORD_ERROR_MM) -> tuple[Floats, Ints]:
        """Returns the chords (m, 2, 2) within an error of the pieces, and the piece (m,) of each."""
        radius = np.where(self.curved, np.maximum(self.radius(), error_mm), 1.0)
        step = 2.0 * np.arccos(1.0 - error_mm / radius)
        counts = np.where(self.curved, np.ceil(np.abs(self.sweep) / step), 1.0).astype(np.int64)
        piece = np.repeat(np.arange(len(counts)), counts)
        number = np.arange(len(piece)) - np.repeat(np.cumsum(counts) - counts, counts)
        spread = Curves(
            self.start[piece], self.end[piece], self.bulge[piece], self.owner[piece], self.stroke[piece]
        )
        shares = np.stack([number, number + 1], axis=1) / counts[piece][:, None]
        return spread.at(shares), piece

    def straightened(self) -> "Curves":
        """Returns the chords within CHORD_ERROR_MM as pieces of their own."""
        chords, piece = self.flattened()
        return Curves(chords[:, 0], chords[:, 1], np.zeros(len(piece)), self.owner[piece], self.stroke[piece])

    def ends_without_partner(self, within_mm: float) -> Ints:
        """Returns the owners (k,) of which some piece's end meets no other piece's end."""
        ends = np.concatenate([self.start, self.end])
        owners = np.concatenate([self.owner, self.owner])
        apart = ends + np.stack([owners * _ISLAND, np.zeros(len(owners))], axis=1)
        points = np.asarray(shapely.points(apart))
        own, _ = shapely.STRtree(points).query(points, predicate="dwithin", distance=within_mm)
        partners = np.bincount(own, minlength=len(ends)) - 1
        return np.unique(owners[partners % 2 == 0])


def united(boxes: Floats, groups: Ints, count: int) -> Floats:
    """Returns (count, 4) the box round those of each group; NaN for a group without any.

    Args:
        boxes: (n, 4) least and greatest x and y.
        groups: (n,) the group of each; those of one group stand together.
        count: Number of groups.
    """
    result = np.full((count, 4), np.nan)
    if len(groups):
        first = np.flatnonzero(np.concatenate([[True], np.diff(groups) != 0]))
        result[groups[first], :2] = np.minimum.reduceat(boxes[:, :2], first)
        result[groups[first], 2:] = np.maximum.reduceat(boxes[:, 2:], first)
    return result


def gather(groups: Sequence[Sequence[Stroke]]) -> Curves:
    """Returns the pieces of strokes; each group is one owner, numbered from 0."""
    strokes = [stroke for group in groups for stroke in group]
    owner = np.repeat(np.arange(len(groups)), [len(group) for group in groups])
    points = np.array([*chain.from_iterable(stroke.points for stroke in strokes)]).reshape(-1, 2)
    bulges = np.array([*chain.from_iterable(stroke.bulges for stroke in strokes)])
    point_counts = np.array([len(stroke.points) for stroke in strokes], dtype=np.int64)
    counts = np.array([len(stroke.bulges) for stroke in strokes], dtype=np.int64)
    number = np.repeat(np.arange(len(strokes)), counts)
    along = np.arange(len(number)) - np.repeat(np.cumsum(counts) - counts, counts)
    first = (np.cumsum(point_counts) - point_counts)[number]
    start, end = points[first + along], points[first + (along + 1) % point_counts[number]]
    return Curves(start, end, bulges, owner[number], number).take(_length(end - start) > _SHORTEST)


def mapped(curves: Curves, matrix: Floats, shift: Floats, mirrored: Flags) -> Curves:
    """Returns the pieces under one map for each piece, which keeps circles round.

    Args:
        curves: n pieces.
        matrix: (n, 2, 2) linear part.
        shift: (n, 2) taken off before the linear part.
        mirrored: (n,) whether left and right change places.
    """

    def moved(places: Floats) -> Floats:
        return np.asarray(np.einsum("nij,nj->ni", matrix, places - shift))

    bulge = np.where(mirrored, -curves.bulge, curves.bulge)
    return Curves(moved(curves.start), moved(curves.end), bulge, curves.owner, curves.stroke)


def geometry(stroke: Stroke) -> LineString | LinearRing:
    """Returns a stroke as shapely has it, its arcs as chords within CHORD_ERROR_MM.

    A closed stroke is a ring, save one that runs straight out and back; one of no length is an empty line.
    """
    chords, _ = gather([[stroke]]).flattened()
    if not len(chords):
        return LineString()
    points = np.concatenate([chords[:, 0], chords[-1:, 1]])
    return LinearRing(points[:-1]) if stroke.closed and len(points) > 3 else LineString(points)


class Nearest:
    """Finds the distance from places to the nearest piece of the same owner, with one tree for all owners."""

    def __init__(self, curves: Curves) -> None:
        chords, piece = curves.flattened()
        islands = _on_islands(chords, curves.owner[piece])
        self.tree = shapely.STRtree(np.asarray(shapely.linestrings(islands)))

    def distance(self, places: Floats, owner: Ints, expected_mm: Floats | float = 0.0) -> Floats:
        """Returns (m,) distances in mm from places (m, 2) to the pieces of owners (m,), which must have some.

        Args:
            places: (m, 2) in mm.
            owner: (m,) whose pieces.
            expected_mm: (m,) or one for all: how far off they are when all is well. What is so near is found in a
                fifth of the time.
        """
        points = np.asarray(shapely.points(_on_islands(places[:, None, :], owner)[:, 0, :]))
        near, chord = self.tree.query(points, predicate="dwithin", distance=expected_mm + _AT_HAND_MM)
        result = np.full(len(places), np.inf)
        np.minimum.at(result, near, shapely.distance(points[near], self.tree.geometries[chord]))
        far = np.flatnonzero(np.isinf(result))
        if len(far):
            (given, _), distances = self.tree.query_nearest(
                points[far], return_distance=True, all_matches=False
            )
            result[far[given]] = distances
        return result


def nearest_start(curves: Curves, places: Floats, owner: Ints) -> tuple[Floats, Ints]:
    """Returns the distances (m,) from places (m, 2) to the nearest start of a piece of owners (m,), and which (m,)."""
    corners, points = (
        np.asarray(shapely.points(_on_islands(each[:, None, :], owners)[:, 0, :]))
        for each, owners in ((curves.start, curves.owner), (places, owner))
    )
    (_, piece), distances = shapely.STRtree(corners).query_nearest(
        points, return_distance=True, all_matches=False
    )
    return distances, piece


def _on_islands(places: Floats, owner: Ints) -> Floats:
    apart = places.copy()
    apart[:, :, 0] += owner[:, None] * _ISLAND
    return apart


@dataclass(frozen=True, slots=True)
class Crossings:
    """Where straight probes meet curves. Distances run along the probe from its origin, in mm.

    Attributes:
        probe: (c,) number of the probe, never falling, and within a probe in the order of `at`.
        at: (c,) where the curve is met.
        lowered: (c,) where it would be, were the curve moved by the beam's half width to the probe's low side.
        raised: (c,) the same to the high side.
    """

    probe: Ints
    at: Floats
    lowered: Floats
    raised: Floats


def cross(curves: Curves, origin: Floats, direction: Floats, target: Ints, half_beam: Floats) -> Crossings:
    """Returns where probes meet the pieces of their targets, and where they would meet them moved by half a beam.

    Args:
        curves: What is met.
        origin: (m, 2) of each probe, an endless line.
        direction: (m, 2) unit vectors.
        target: (m,) owner to be met.
        half_beam: (m,) in mm.
    """
    first, last = np.searchsorted(curves.owner, target), np.searchsorted(curves.owner, target + 1)
    counts = last - first
    probe = np.repeat(np.arange(len(target)), counts)
    piece = np.arange(len(probe)) - np.repeat(np.cumsum(counts) - counts, counts) + np.repeat(first, counts)
    start = _turned(curves.start[piece] - origin[probe], direction[probe])
    end = _turned(curves.end[piece] - origin[probe], direction[probe])
    half = half_beam[probe]
    bent = curves.curved[piece]
    found = [_cross_lines(start, end, half, ~bent)]
    if bent.any():
        arcs = curves.take(curves.curved)
        own = (np.cumsum(curves.curved) - 1)[piece]  # number among the arcs; of no use, nor used, for lines
        centre = _turned(arcs.centre()[own] - origin[probe], direction[probe])
        shape = (arcs.radius()[own], arcs.sweep[own])
        found += [_cross_arcs(start, centre, shape, half, use=bent, side=side) for side in (-1, 1)]
    rows = np.concatenate([np.concatenate([probe[each[0]][:, None], each[1]], axis=1) for each in found])
    rows = rows[np.lexsort((rows[:, 1], rows[:, 0]))]
    same = (np.diff(rows[:, 0]) == 0) & (np.diff(rows[:, 1]) < 1e-6)  # a shared end, met by both its pieces
    rows = rows[np.concatenate([[True], ~same])] if len(rows) else rows
    return Crossings(rows[:, 0].astype(np.int64), rows[:, 1], rows[:, 2], rows[:, 3])


def _cross_lines(start: Floats, end: Floats, half: Floats, use: Flags) -> tuple[Flags, Floats]:
    """In the probe's own axes (it runs along x): which lines are met, and (c, 3) where, lowered, raised."""
    met = use & ((start[:, 1] > 0.0) != (end[:, 1] > 0.0))
    (x0, y0), (x1, y1) = start[met].T, end[met].T
    at = x0 - y0 * (x1 - x0) / (y1 - y0)
    reach = half[met] * np.hypot(x1 - x0, y1 - y0) / np.abs(y1 - y0)
    return met, np.stack([at, at - reach, at + reach], axis=1)


def _cross_arcs(
    start: Floats, centre: Floats, arcs: tuple[Floats, Floats], half: Floats, *, use: Flags, side: int
) -> tuple[Flags, Floats]:
    """The same for arcs, on the low (side -1) or high (side 1) half of their circles."""
    (x, y), (radius, sweep) = centre.T, arcs
    root = np.sqrt(np.maximum(radius**2 - y**2, 0.0))
    first = np.arctan2(start[:, 1] - y, start[:, 0] - x)
    way = np.arctan2(-y, side * root) - first
    way = np.where(sweep > 0.0, way, -way)
    slack = 1e-9
    met = use & (np.abs(y) < radius) & ((way + slack) % math.tau <= np.abs(sweep) + 2.0 * slack)
    x, y, radius, half = x[met], y[met], radius[met], half[met]
    beyond = [
        x + side * np.sqrt(np.maximum((radius + side * move) ** 2 - y**2, 0.0))
        for move in (0.0 * half, -half, half)
    ]
    return met, np.stack(beyond, axis=1)


def _turned(places: Floats, direction: Floats) -> Floats:
    """Returns (m, 2) the places in axes of which x runs along the direction (m, 2)."""
    along = np.sum(places * direction, axis=1)
    across = np.sum(places * _left(direction), axis=1)
    return np.stack([along, across], axis=1)


def _left(vectors: Floats) -> Floats:
    return np.stack([-vectors[..., 1], vectors[..., 0]], axis=-1)


def _length(vectors: Floats) -> Floats:
    return np.asarray(np.hypot(vectors[..., 0], vectors[..., 1]))


def _unit(vectors: Floats) -> Floats:
    return np.asarray(vectors / _length(vectors)[..., None])

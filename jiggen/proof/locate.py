"""Finds where a part lies that is not where the manifest has it: shifted, turned or mirrored as a whole.

The outline tells: its centre and the axis about which it turns most easily give a first guess, fitting it to the
finished contour, half a beam away, makes it exact, and all that lies on the part says which way round it is. Where a
file has lost its names, the outline is looked for among all closed contours by its area and length.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from jiggen.proof.curves import Curves, Flags, Floats
from jiggen.proof.maps import Motion, growth, machine_scale
from jiggen.proof.nominal import SHARES, Nominal
from jiggen.proof.report import Fault
from jiggen.proof.scoring import TOLERANCE_MM
from jiggen.proof.wanted import WantedPart

#: Contours are one another's likeness when area and length differ by less than this share.
_ALIKE = 2e-3
#: An outline fits when most of it lies nearer than this, in mm.
_FITS_MM = 0.02
#: Share of an outline that must fit; the rest may have been edited.
_MOST = 0.8
#: Moments of an area that differ by less than this share tell no axis, and directions all round are tried.
_ROUND = 0.02
_DIRECTIONS = 24
_ROUNDS_OF_FIT = 12
#: Places along an outline at which it is fitted.
_PLACES = 400
#: How far the chords that it is fitted to may lie off its arcs, in mm.
_CHORD_ERROR_MM = 3e-4
#: An outline by its name that has another area by this share is another shape, or another scale.
_SAME_SIZE = 0.05
#: A fit that is this far off after so many rounds goes nowhere.
_HOPELESS_MM, _HOPELESS_ROUND = 1.0, 4
#: A gap that still counts as closed, in mm.
_CLOSED_MM = 0.02


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed contour in a file, where the beam runs.

    Attributes:
        strokes: Numbers of the strokes that make it.
        area: What it encloses.
    """

    strokes: frozenset[int]
    area: shapely.Polygon


def outlines(curves: Curves, scale: Floats) -> tuple[Outline, ...]:
    """Returns the closed contours of a file: of one stroke each, or of several that meet end to end.

    Args:
        curves: As written.
        scale: Of the machine's axes.
    """
    if not len(curves.stroke):
        return ()
    chords, piece = curves.flattened()
    numbers, firsts = np.unique(curves.stroke[piece], return_index=True)  # a stroke's pieces stand together
    runs = dict(zip(numbers.tolist(), np.split(chords / scale, np.sort(firsts)[1:]), strict=True))
    found: list[Outline] = []
    loose: list[int] = []
    for number, mine in runs.items():
        if len(mine) > 2 and math.dist(mine[0, 0], mine[-1, 1]) <= _CLOSED_MM:
            found.append(Outline(frozenset({number}), shapely.Polygon(mine[:, 0])))
        else:
            loose.append(number)
    return (*found, *_chained({number: runs[number] for number in loose}))


def _chained(runs: Mapping[int, Floats]) -> Iterator[Outline]:
    """Yields the contours that open strokes make together: each end meets one other."""
    ends = [(number, end) for number in runs for end in (0, 1)]
    places = np.array([runs[number][-1, 1] if end else runs[number][0, 0] for number, end in ends]).reshape(
        -1, 2
    )
    points = np.asarray(shapely.points(places))
    partners: dict[int, list[int]] = {}
    for one, other in (
        shapely.STRtree(points).query(points, predicate="dwithin", distance=_CLOSED_MM).T.tolist()
    ):
        if one != other:
            partners.setdefault(one, []).append(other)
    left = set(runs)
    index = {end: number for number, end in enumerate(ends)}
    for first in runs:
        if first not in left:
            continue
        chain: list[tuple[int, int]] = [(first, 1)]
        left.discard(first)
        while True:
            number, leaving = chain[-1]
            met = partners.get(index[number, leaving], [])
            if len(met) != 1:
                break
            following, end = ends[met[0]]
            if following == first:
                corners = np.concatenate(
                    [runs[each][:, 0] if leave else runs[each][::-1, 1] for each, leave in chain]
                )
                if len(chain) > 1 and len(corners) > 2:
                    yield Outline(frozenset(each for each, _ in chain), shapely.Polygon(corners))
                break
            if following not in left:
                break
            left.discard(following)
            chain.append((following, 1 - end))


def locate(
    nominal: Nominal,
    curves: Curves,
    made: Mapping[int, int],
    wrong: Sequence[WantedPart],
) -> dict[str, tuple[Motion, frozenset[int]]]:
    """Returns the parts that lie elsewhere: how, and the strokes that went with them.

    Args:
        nominal: Of the sheet.
        curves: All that the file holds, as written.
        made: The item that each stroke makes, as far as names say.
        wrong: The parts that are to be looked for.
    """
    scale = machine_scale(nominal.sheet)
    found = outlines(curves, scale)
    taken: set[frozenset[int]] = set()
    located: dict[str, tuple[Motion, frozenset[int]]] = {}
    for part in wrong:
        search = _Search(nominal, part, curves, made, scale)
        best: tuple[float, Motion, frozenset[int], frozenset[int]] | None = None
        for outline in found:
            if outline.strokes in taken or not search.may_be(outline):
                continue
            for motion, share in search.motions(outline):
                if best is None or share > best[0] + 1e-9:
                    best = (share, motion, search.strokes_within(outline), outline.strokes)
        if best is not None and best[0] > search.share_in_place() + 1e-9:
            located[part.name] = best[1:3]
            taken.add(best[3])
    return located


def scaled_by(nominal: Nominal, curves: Curves, lost: Sequence[WantedPart]) -> float | None:
    """Returns the one factor by which the outlines of all lost parts are too large, or None.

    Args:
        nominal: Of the sheet.
        curves: All that the file holds, as written.
        lost: Parts of which nothing was found.
    """
    scale = machine_scale(nominal.sheet)
    found = [outline.area for outline in outlines(curves, scale) if outline.area.area > 0.0]
    factors: set[float] | None = None
    for part in lost:
        path = _Search(nominal, part, curves, {}, scale).path
        shape = path.area / path.length**2
        alike = [area for area in found if abs(area.area / area.length**2 - shape) < _ALIKE * shape]
        mine = {round(math.sqrt(area.area / path.area), 3) for area in alike}
        factors = mine if factors is None else factors & mine
    return max(factors) if factors else None


def name_motion(motion: Motion, about: Floats) -> tuple[Fault, str]:
    """Returns what to call a motion, and it in words.

    Args:
        motion: Of a part.
        about: (2,) the middle of the part where it should lie, in mm on the sheet.
    """
    x, y = (motion.moved(about) - about).tolist()
    degrees = math.degrees(motion.turn_rad)
    turned = abs(degrees) * math.radians(1.0) * 1000.0 > TOLERANCE_MM  # what it comes to over a metre
    words = [f"turned by {degrees:+.3f}°"] if turned else []
    if max(abs(x), abs(y)) > TOLERANCE_MM:
        words.append(f"off by ({x:+.3f}, {y:+.3f}) mm as a whole")
    if motion.mirrored:
        return Fault.MIRRORED, f"is mirrored, and lies {' and '.join(words)}" if words else "is mirrored"
    return Fault.TURNED if turned else Fault.DISPLACED, f"lies {' and '.join(words)}"


class _Search:
    """Looks for one part."""

    def __init__(
        self, nominal: Nominal, part: WantedPart, curves: Curves, made: Mapping[int, int], scale: Floats
    ) -> None:
        self.nominal = nominal
        self.part = part
        self.growth = growth(part)
        self.scale = scale
        self.half = part.kerf_mm / 2.0
        self.numbers = [number for number, item in enumerate(nominal.items) if item.part is part]
        edges = [n for n in self.numbers if nominal.items[n].feature.role == "edge"]
        self.edge = edges[0] if edges else None
        self.by_name = {stroke for stroke, number in made.items() if number == self.edge}
        self.foreign = {s for s, number in made.items() if nominal.items[number].part is not part}
        place = part.place
        turn = math.atan2(place.sine, place.cosine)
        shift = np.array([place.x_mm, place.y_mm]) / scale
        self.place = Motion(turn, shift, place.mirrored)
        self.curves = curves
        self.places = curves.at(SHARES) / scale
        own = [number for number in self.numbers if nominal.items[number].target == number]
        contours = nominal.curves.take(np.isin(nominal.curves.owner, own))
        chords, piece = contours.flattened()
        self.contours = self._laid(chords)
        self.contour_half = nominal.half_beam[contours.owner[piece]] * float(self.growth.mean())
        self.plate = shapely.Polygon()
        if self.edge is not None:
            chords, _ = nominal.curves.of(self.edge).flattened(_CHORD_ERROR_MM)
            self.plate = shapely.Polygon(self._laid(chords)[:, 0])
        self.path = self.plate.buffer(self.half, join_style="mitre")

    def _laid(self, places: Floats) -> Floats:
        """Returns where places of the finished part lie when it is cut, on the manifest's word."""
        return self.place.moved(places * self.growth)

    def may_be(self, outline: Outline) -> bool:
        """Tells whether a contour may be the part's outline: by its name, or else by its area and length."""
        if self.edge is None or not outline.area.is_valid:
            return False
        if self.by_name:
            size = outline.area.area / self.path.area
            return outline.strokes <= self.by_name and abs(size - 1.0) < _SAME_SIZE
        if outline.strokes & self.foreign:
            return False
        area, length = self.path.area, self.path.length
        return (
            abs(outline.area.area - area) < _ALIKE * area
            and abs(outline.area.length - length) < _ALIKE * length
        )

    def motions(self, outline: Outline) -> Iterator[tuple[Motion, float]]:
        """Yields how the part may lie there, and which share of what lies on it then is in place."""
        for mirrored in (False, True):
            for angle in self._angles(outline.area, mirrored=mirrored):
                motion = self._fitted(outline.area, Motion(angle, np.zeros(2), mirrored))
                if motion is not None:
                    yield motion, self._share(motion, self._within(outline.area))

    def _angles(self, area: shapely.Polygon, *, mirrored: bool) -> Iterator[float]:
        (angle, is_round), (wanted, _) = _axis(area), _axis(self.path)
        first = angle + wanted if mirrored else angle - wanted
        count = _DIRECTIONS if is_round else 2
        yield from (first + number * math.tau / count for number in range(count))

    def _fitted(self, area: shapely.Polygon, motion: Motion) -> Motion | None:
        """Returns the motion that takes the finished outline to half a beam within the path; None if none does."""
        shares = (np.arange(_PLACES) + 0.5) / _PLACES
        path = shapely.get_coordinates(shapely.line_interpolate_point(area.exterior, shares, normalized=True))
        centre = np.array(self.path.centroid.coords[0])
        shift = np.array(area.centroid.coords[0]) - Motion(
            motion.turn_rad, np.zeros(2), motion.mirrored
        ).moved(centre)
        motion = Motion(motion.turn_rad, shift, motion.mirrored)
        contour = self.plate.exterior
        shapely.prepare(self.plate)
        off = np.full(len(path), np.inf)
        for round_ in range(_ROUNDS_OF_FIT):
            places = motion.undone(path)
            away = places - _nearest_on(contour, places)
            distance = np.hypot(away[:, 0], away[:, 1])
            side = np.where(shapely.contains_xy(self.plate, places[:, 0], places[:, 1]), -1.0, 1.0)
            off = side * distance - self.half
            if round_ >= _HOPELESS_ROUND and float(np.median(np.abs(off))) > _HOPELESS_MM:
                return None
            most = max(3.0 * float(np.median(np.abs(off))), _FITS_MM) if round_ else math.inf
            use = (distance > 1e-9) & (np.abs(off) <= most)
            if use.sum() < 3:
                return None
            normal = away[use] * (side[use] / distance[use])[:, None]
            about = places[use] - centre
            lever = normal[:, 1] * about[:, 0] - normal[:, 0] * about[:, 1]
            rows = np.stack([normal[:, 0], normal[:, 1], lever], axis=1)
            (x, y, turn), *_ = np.linalg.lstsq(rows, -off[use], rcond=None)
            motion = _after(motion, float(turn), np.array([x, y]), centre)
            if max(abs(x), abs(y), abs(turn) * 1000.0) < 1e-7:
                break
        fits = np.abs(off) <= _FITS_MM
        return motion if fits.mean() >= _MOST else None

    def share_in_place(self) -> float:
        """Returns which share of what bears the part's name is in place where the manifest has the part."""
        mine: Flags = np.isin(self.curves.stroke, list(self.by_name))
        if not mine.any():
            return 0.0
        corners = self.places[mine].reshape(-1, 2)
        return self._share(
            Motion(0.0, np.zeros(2), mirrored=False),
            self._within(shapely.MultiPoint(corners).convex_hull),
        )

    def _within(self, area: BaseGeometry) -> Flags:
        """Returns (n,) which pieces lie within an area or on its border, and bear no other part's name."""
        area = area.buffer(_CLOSED_MM)
        shapely.prepare(area)
        middle = self.places[:, 1]
        inside = np.asarray(shapely.contains_xy(area, middle[:, 0], middle[:, 1]))
        return inside & ~np.isin(self.curves.stroke, list(self.foreign))

    def strokes_within(self, outline: Outline) -> frozenset[int]:
        """Returns the strokes that go with an outline."""
        return frozenset(np.unique(self.curves.stroke[self._within(outline.area)]).tolist())

    def _share(self, motion: Motion, which: Flags) -> float:
        """Returns which share of pieces follows some finished contour, or lies in some lettering's box."""
        places = motion.undone(self.places[which].reshape(-1, 2))
        lines = np.asarray(shapely.linestrings(self.contours))
        points = np.asarray(shapely.points(places))
        reach = float(self.contour_half.max(initial=0.0)) + TOLERANCE_MM
        place, chord = shapely.STRtree(lines).query(points, predicate="dwithin", distance=reach)
        apart: Floats = np.asarray(shapely.distance(points[place], lines[chord]))
        off = np.abs(apart - self.contour_half[chord])
        good = np.zeros(len(points), dtype=np.bool_)
        good[place[off <= TOLERANCE_MM]] = True
        for number in self.numbers:
            feature = self.nominal.items[number].feature
            if feature.role == "lettering" and feature.finished_bounds is not None:
                box = np.array(feature.finished_bounds).reshape(2, 2) * self.growth
                flat = self.place.undone(places)
                good |= ((flat >= box[0] - TOLERANCE_MM) & (flat <= box[1] + TOLERANCE_MM)).all(axis=1)
        pieces = good.reshape(-1, len(SHARES))
        return float(pieces.all(axis=1).mean()) if len(pieces) else 0.0


def _after(motion: Motion, turn: float, shift: Floats, about: Floats) -> Motion:
    """Returns the motion whose undoing is followed by a small turn about a place, and a shift."""
    small = Motion(turn, np.zeros(2), mirrored=False)
    # undone = small(motion⁻¹(p) - about) + about + shift, so motion = motion ∘ small⁻¹
    angle = motion.turn_rad - (-turn if motion.mirrored else turn)
    moved = motion.shift + motion.matrix @ (about - small.matrix.T @ (about + shift))
    return Motion(math.remainder(angle, math.tau), moved, motion.mirrored)


def _nearest_on(contour: shapely.LinearRing, places: Floats) -> Floats:
    """Returns (n, 2) the nearest places on a contour."""
    along = shapely.line_locate_point(contour, shapely.points(places))
    return shapely.get_coordinates(shapely.line_interpolate_point(contour, along))


def _axis(area: shapely.Polygon) -> tuple[float, bool]:
    """Returns the direction of an area's long axis in radians, and whether it has none to speak of.

    Source: second moments of a polygon's area from its corners, any handbook of mechanics.
    """
    places = shapely.get_coordinates(area.exterior) - np.array(area.centroid.coords[0])
    (x0, y0), (x1, y1) = places[:-1].T, places[1:].T
    cross = x0 * y1 - x1 * y0
    sign = 1.0 if cross.sum() > 0.0 else -1.0
    xx = sign * float((cross * (x0 * x0 + x0 * x1 + x1 * x1)).sum()) / 12.0
    yy = sign * float((cross * (y0 * y0 + y0 * y1 + y1 * y1)).sum()) / 12.0
    xy = sign * float((cross * (x0 * y1 + 2.0 * x0 * y0 + 2.0 * x1 * y1 + x1 * y0)).sum()) / 24.0
    half = math.hypot((xx - yy) / 2.0, xy)
    return 0.5 * math.atan2(2.0 * xy, xx - yy), half < _ROUND * (xx + yy) / 2.0

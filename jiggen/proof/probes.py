"""Measures as one does with a caliper: straight across slots and notches, along lines, over the whole part.

Part coordinates, mm. A slot's wall is not where its path runs but half a beam farther, square to the wall; `cross`
gives both.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from jiggen.proof.curves import Crossings, Curves, Flags, Floats, cross
from jiggen.proof.nominal import CUT_THROUGH, Nominal

#: Where along a slot or notch it is measured, as shares of its extent.
_STATIONS = (0.1, 0.3, 0.5, 0.7, 0.9)
#: Only there where it is at least this share of its greatest width: the point of a V tells little.
_WIDE_ENOUGH = 0.5
#: Where along a line, or the first, middle and last dash of a broken one, it is measured.
_ON_DASHES = (0.05, 0.5, 0.95)
#: A line counts as lying on its datum within this, mm.
_ON_DATUM = 1e-4
#: Where across a part its length and width are taken: the share that keeps farthest from any corner.
_CROSSWISE = np.array([0.5, 0.4, 0.6, 0.45, 0.55, 0.35, 0.65, 0.3, 0.7])
#: An arc is the one that is wanted when their centres lie no farther apart than this, mm.
_SAME_ARC = 0.5
#: Radians. An arc that turns through less does not tell its radius.
_LEAST_SWEEP = 0.3
#: What a file has of such an arc may turn through less, where its ends meet others elsewhere beside a broad beam.
_LEAST_FOUND = 0.1
#: What the places of a file are rounded by, mm: an arc's radius is rounded by that times radius over height.
_ROUNDING = 1.5e-4
#: Arcs are one circle when their centres and radii agree to this, mm.
_ROUND = 1e-3

RowNumbers = tuple[int, str, float, float, float]  #: item, what, nominal, measured, and what rounding adds
_Gaps = tuple[float, float, float, float]  #: low and high wall wanted, low and high wall found


@dataclass(frozen=True, slots=True)
class _Met:
    """Where one probe meets a curve, in order; and where, were it moved by the beam to the low and the high side."""

    at: list[float]
    lowered: list[float]
    raised: list[float]


@dataclass(frozen=True, slots=True)
class _Arc:
    """An arc's centre, radius, and its height over its chord."""

    x: float
    y: float
    radius: float
    sagitta: float


class Caliper:
    """Knows where on a sheet's parts to measure.

    Args:
        nominal: Of the sheet.
    """

    def __init__(self, nominal: Nominal) -> None:
        self.nominal = nominal
        count = len(nominal.items)
        self.start, self.along = np.zeros((count, 2)), np.tile([1.0, 0.0], (count, 1))
        for number, item in enumerate(nominal.items):
            if len(item.feature.datum) == 2:
                start, end = np.array(item.feature.datum)
                self.start[number], self.along[number] = start, (end - start) / np.hypot(*(end - start))
        self.reach = self._reach(nominal.curves)
        self.round = _rounds(nominal.curves, count)
        own = [
            item.target == number
            and item.feature.role in CUT_THROUGH
            and bool(np.isnan(self.round[number]).any())
            for number, item in enumerate(nominal.items)
        ]
        self.arcs = _arcs(
            nominal.curves.take(np.array(own, dtype=np.bool_)[nominal.curves.owner]), _LEAST_SWEEP
        )
        #: Of each probe, in the order of their items: item, kind, origin and direction. The kind is `across` or
        #: `along` a slot or notch, `line`, or `length` and `width` of a part.
        self.probes = list(self._probes())
        self.numbers = np.array([probe[0] for probe in self.probes], dtype=np.int64)
        self.origin = np.array([probe[2] for probe in self.probes]).reshape(-1, 2)
        self.direction = np.array([probe[3] for probe in self.probes]).reshape(-1, 2)
        wanted = cross(nominal.curves, self.origin, self.direction, self.numbers, np.zeros(len(self.probes)))
        self.wanted = _split(wanted, len(self.probes))

    def rows(self, paths: Curves, bounds: Floats, present: Flags) -> Iterator[RowNumbers]:
        """Yields positions, widths and lengths.

        Args:
            paths: Of one file, in part coordinates.
            bounds: (n, 4) of each item's paths.
            present: (n,) whether an item has any.
        """
        half_beam, target = self.nominal.half_beam[self.numbers], self.nominal.target[self.numbers]
        found = _split(cross(paths, self.origin, self.direction, target, half_beam), len(self.probes))
        slots: dict[int, list[_Gaps]] = {}
        lines: dict[int, list[float]] = {}
        for (number, kind, _, _), wanted, met, half in zip(
            self.probes, self.wanted, found, half_beam.tolist(), strict=True
        ):
            if kind == "line":
                if met.at:
                    lines.setdefault(number, []).append(min(met.at, key=abs))
            elif kind in {"length", "width"}:
                if len(wanted.at) > 1 and len(met.at) > 1:
                    yield number, kind, wanted.at[-1] - wanted.at[0], met.lowered[-1] - met.raised[0], 0.0
            else:
                walls = self._gaps(number, wanted, met, half)
                if walls and kind == "along":
                    yield number, "length", walls[1] - walls[0], walls[3] - walls[2], 0.0
                elif walls:
                    slots.setdefault(number, []).append(walls)
        for number, gaps in slots.items():
            yield from self._slot_rows(number, gaps)
        reach = self._reach(paths)
        for number, offsets in lines.items():
            yield self._position(number, max(offsets, key=abs))
            yield number, "length", float(np.ptp(self.reach[number])), float(np.ptp(reach[number])), 0.0
        round_ = _rounds(paths, len(bounds))
        for number, item in enumerate(self.nominal.items):
            if present[number] and item.feature.finished and len(item.feature.datum) == 1:
                yield from self._about_a_point(number, round_[number], bounds[number])
        yield from self._radii(_arcs(paths, _LEAST_FOUND))

    def _gaps(self, number: int, wanted: _Met, met: _Met, half_beam: float) -> _Gaps | None:
        """Returns the walls that are wanted at a place of a slot or notch, and those found; None where it has none.

        Where a notch is narrower than the beam, as a pointed one is near its tip, the beam rounds it.
        """
        gap = _nearest_gap(wanted, 0.0, None)
        passes = 1 if self.nominal.items[number].feature.single_pass else 2
        if gap is None or (passes == 2 and gap[1] - gap[0] < 2.0 * half_beam):
            return None
        got = _nearest_gap(met, (gap[0] + gap[1]) / 2.0, gap[1] - gap[0], passes)
        return (*gap, *got) if got else None

    def _probes(self) -> Iterator[tuple[int, str, Floats, Floats]]:
        on_datum = self._on_datum()
        across = np.stack([-self.along[:, 1], self.along[:, 0]], axis=1)
        for number, item in enumerate(self.nominal.items):
            feature, along, (low, high) = item.feature, self.along[number], self.reach[number].tolist()
            if not feature.finished:
                continue
            if feature.role == "edge":
                yield from self._whole(number)
            elif len(feature.datum) != 2:
                continue
            elif feature.role == "opening":
                for place in self._stations(number, low, high):
                    yield number, "across", self.start[number] + along * place, across[number]
                if item.target == number:
                    yield number, "along", self.start[number] + along * ((low + high) / 2.0), along
            elif feature.role == "line" and on_datum[number]:
                dashes = sorted(self._dashes(number))
                for (left, right), share in zip(
                    (dashes[0], dashes[len(dashes) // 2], dashes[-1]), _ON_DASHES, strict=True
                ):
                    yield (
                        number,
                        "line",
                        self.start[number] + along * (left + share * (right - left)),
                        across[number],
                    )

    def _stations(self, number: int, low: float, high: float) -> Iterator[float]:
        """Yields where along a slot or notch it is measured: clear of its ends by the beam, which rounds them."""
        beam = min(2.0 * float(self.nominal.half_beam[number]), (high - low) / 2.0)
        for share in _STATIONS:
            yield min(max(low + share * (high - low), low + beam), high - beam)

    def _whole(self, number: int) -> Iterator[tuple[int, str, Floats, Floats]]:
        low, high = np.split(self.nominal.bounds[number], 2)
        corners = self.nominal.curves.of(number).start
        for kind, axis in (("length", 1), ("width", 0)):
            places = low[axis] + _CROSSWISE * (high[axis] - low[axis])
            clear = np.abs(corners[:, axis][:, None] - places).min(axis=0)
            best = int(np.argmax(clear))
            if clear[best] > 2.0 * self.nominal.half_beam[number]:
                origin, direction = np.zeros(2), np.zeros(2)
                origin[axis], direction[1 - axis] = places[best], 1.0
                yield number, kind, origin, direction

    def _dashes(self, number: int) -> Iterator[tuple[float, float]]:
        """Yields where each piece of a line begins and ends, along its datum from that one's start."""
        (x, y), (along_x, along_y) = self.start[number].tolist(), self.along[number].tolist()
        for stroke in self.nominal.items[number].feature.finished:
            ends = [(px - x) * along_x + (py - y) * along_y for px, py in stroke.points]
            yield min(ends), max(ends)

    def _reach(self, curves: Curves) -> Floats:
        """Returns (n, 2) from where to where each item's key points reach along its datum; infinities for none."""
        reach = np.tile([np.inf, -np.inf], (len(self.start), 1))
        for ends in (curves.start, curves.end):
            along = np.sum((ends - self.start[curves.owner]) * self.along[curves.owner], axis=1)
            np.minimum.at(reach[:, 0], curves.owner, along)
            np.maximum.at(reach[:, 1], curves.owner, along)
        return reach

    def _on_datum(self) -> Flags:
        """Returns (n,) whether all of an item lies straight on its datum line."""
        curves = self.nominal.curves
        off = np.zeros(len(self.start))
        for ends in (curves.start, curves.end):
            away, along = ends - self.start[curves.owner], self.along[curves.owner]
            np.maximum.at(off, curves.owner, np.abs(along[:, 0] * away[:, 1] - along[:, 1] * away[:, 0]))
        off[curves.owner[curves.curved]] = np.inf
        return np.asarray(off <= _ON_DATUM)

    def _slot_rows(self, number: int, gaps: list[_Gaps]) -> Iterator[RowNumbers]:
        widest = max(high - low for low, high, _, _ in gaps)
        gaps = [gap for gap in gaps if gap[1] - gap[0] >= _WIDE_ENOUGH * widest]
        clear = self.nominal.items[number].feature.width_mm
        offsets = [
            (found_low + found_high) / 2.0 - (0.0 if clear is not None else (low + high) / 2.0)
            for low, high, found_low, found_high in gaps
        ]
        yield self._position(number, max(offsets, key=abs))
        excess = max(((found[1] - found[0]) - (high - low) for low, high, *found in gaps), key=abs)
        wanted = widest if clear is None else clear
        yield number, "width", wanted, wanted + excess, 0.0

    def _position(self, number: int, offset: float) -> RowNumbers:
        """Returns the row of a datum line that lies off by `offset` to its left, along the axis it crosses."""
        along_x, along_y = self.along[number].tolist()
        (x0, y0), (x1, y1) = self.nominal.items[number].feature.datum
        if abs(along_y) >= abs(along_x):
            return number, "position x", (x0 + x1) / 2.0, (x0 + x1) / 2.0 - offset / along_y, 0.0
        return number, "position y", (y0 + y1) / 2.0, (y0 + y1) / 2.0 + offset / along_x, 0.0

    def _about_a_point(self, number: int, found: Floats, box: Floats) -> Iterator[RowNumbers]:
        """A hole about its centre, or a mark about its middle."""
        feature, wanted = self.nominal.items[number].feature, self.round[number]
        x, y = feature.datum[0]
        if np.isnan(wanted).any() or np.isnan(found).any():
            wanted_box = self.nominal.bounds[number]
            shift = (box[:2] + box[2:] - wanted_box[:2] - wanted_box[2:]) / 2.0
            yield number, "position x", x, x + float(shift[0]), 0.0
            yield number, "position y", y, y + float(shift[1]), 0.0
            return
        yield number, "position x", x, float(found[0]), 0.0
        yield number, "position y", y, float(found[1]), 0.0
        clear = 2.0 * float(wanted[2]) if feature.width_mm is None else feature.width_mm
        yield number, "width", clear, 2.0 * (float(found[2]) + float(self.nominal.half_beam[number])), 0.0

    def _radii(self, found: dict[int, list[_Arc]]) -> Iterator[RowNumbers]:
        """The radii of rounded corners and hollows: of those of one size, the one that is farthest off."""
        for number, arcs in self.arcs.items():
            half = float(self.nominal.half_beam[number])
            worst: dict[float, RowNumbers] = {}
            for wanted in arcs:
                about = [arc for arc in found.get(number, ()) if _apart(arc, wanted) <= _SAME_ARC]
                if not about:
                    continue
                # both sides of a ring have a centre, and neighbours on a fitted curve nearly
                at = min(
                    about,
                    key=lambda arc: _apart(arc, wanted) + abs(_nearest(arc, half, wanted) - wanted.radius),
                )
                got = _nearest(at, half, wanted)
                rounding = _ROUNDING * wanted.radius / min(wanted.sagitta, at.sagitta)
                row = (number, "radius", wanted.radius, got, rounding)
                key = round(wanted.radius, 3)
                if key not in worst or abs(got - wanted.radius) > abs(worst[key][3] - worst[key][2]):
                    worst[key] = row
            yield from worst.values()


def _nearest(arc: _Arc, half: float, wanted: _Arc) -> float:
    """The radius that an arc of the beam's middle leaves on one of its sides, the one nearer to what is wanted."""
    return min((arc.radius - half, arc.radius + half), key=lambda radius: abs(radius - wanted.radius))


def _arcs(curves: Curves, least: float) -> dict[int, list[_Arc]]:
    """Returns the arcs by owner, but for those that turn too little to tell their radius."""
    bent = curves.take(curves.curved & (np.abs(curves.sweep) > least))
    result: dict[int, list[_Arc]] = {}
    radii = bent.radius()
    sagittas = radii * (1.0 - np.cos(np.abs(bent.sweep) / 2.0))
    for owner, (x, y), radius, sagitta in zip(
        bent.owner.tolist(), bent.centre().tolist(), radii.tolist(), sagittas.tolist(), strict=True
    ):
        result.setdefault(owner, []).append(_Arc(x, y, radius, sagitta))
    return result


def _apart(one: _Arc, other: _Arc) -> float:
    return math.hypot(one.x - other.x, one.y - other.y)


def _split(crossings: Crossings, count: int) -> list[_Met]:
    """Returns what each of so many probes met."""
    limits = np.searchsorted(crossings.probe, np.arange(count + 1)).tolist()
    at, lowered, raised = crossings.at.tolist(), crossings.lowered.tolist(), crossings.raised.tolist()
    return [_Met(at[first:last], lowered[first:last], raised[first:last]) for first, last in pairwise(limits)]


def _nearest_gap(
    met: _Met, middle: float, width: float | None, passes: int = 2
) -> tuple[float, float] | None:
    """Returns the two neighbouring walls about the place that is wanted, moved apart by the beam; None for none.

    Args:
        met: The walls.
        middle: Where the gap's middle is wanted.
        width: How wide it is wanted; None does not care.
        passes: How many passes of the beam make it: with one, the same pass makes both walls.
    """
    best, least = None, float("inf")
    for low, high in zip(met.lowered, met.raised[passes - 1 :], strict=False):
        off = abs((low + high) / 2.0 - middle) + (0.0 if width is None else abs(high - low - width))
        if off < least:
            best, least = (low, high), off
    return best


def _rounds(curves: Curves, count: int) -> Floats:
    """Returns (count, 3) centre and radius of each owner that is one circle throughout; NaN for all others."""
    result = np.full((count, 3), np.nan)
    if not len(curves.bulge):
        return result
    circles = np.concatenate([curves.centre(), curves.radius()[:, None]], axis=1)
    least, greatest = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    np.minimum.at(least, curves.owner, circles)
    np.maximum.at(greatest, curves.owner, circles)
    straight = np.bincount(curves.owner, weights=~curves.curved, minlength=count) > 0
    with np.errstate(invalid="ignore"):  # owners without pieces: infinity less infinity
        round_ = ~straight & (np.abs(greatest - least) < _ROUND).all(axis=1)
    result[round_] = (least[round_] + greatest[round_]) / 2.0
    return result

"""Measures what a file would make: undoes place, machine scale, kerf and growth, and sets it against the manifest.

All lengths are of finished parts in mm, in the part's own coordinates, save the rows `bounds` and `run`, which are
taken on the sheet as the machine runs it.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from jiggen.proof.curves import Curves, Flags, Floats, Ints, Nearest, nearest_start
from jiggen.proof.maps import finished
from jiggen.proof.match import Matched
from jiggen.proof.nominal import CUT_THROUGH, SHARES, Item, Nominal, Samples, corner_limits
from jiggen.proof.probes import Caliper
from jiggen.proof.report import Row
from jiggen.proof.scoring import TOLERANCE_MM, Scoring

#: What rounding can add to the length of one piece: its two ends by half of the last digit in x and in y. Files are
#: written to 0.0001 mm, lettering to 0.001 mm.
_ROUNDING_MM, _LETTERING_ROUNDING_MM = 0.00015, 0.0015


@dataclass(frozen=True, slots=True)
class Measured:
    """One file, measured.

    Attributes:
        rows: The numbers.
        curves: The paths on their finished parts' coordinates, owners numbered as the items.
        nearest: Distances to them.
        sheet_bounds: (n, 4) of each item's path on the sheet; NaN where it has none.
        outside: (n,) whether some of an item's lettering runs off its part.
    """

    rows: tuple[Row, ...]
    curves: Curves
    nearest: Nearest
    sheet_bounds: Floats
    outside: Flags

    def open_items(self, items: Sequence[Item], within_mm: float) -> frozenset[int]:
        """Returns the items cut through whose path has an end that no other end comes within so many mm of.

        Slots of a single pass are meant to have two.
        """
        through = np.array(
            [item.feature.role in CUT_THROUGH and not item.feature.single_pass for item in items],
            dtype=np.bool_,
        )
        return frozenset(
            self.curves.take(through[self.curves.owner]).ends_without_partner(within_mm).tolist()
        )


def measure(caliper: Caliper, matched: Matched, scoring: Scoring) -> Measured:
    """Measures one file of a sheet.

    Args:
        caliper: Laid out for what the sheet is to hold.
        matched: What of the file makes each feature.
        scoring: What turns numbers into rows.
    """
    return _Measuring(caliper, matched, scoring).run()


class _Measuring:
    def __init__(self, caliper: Caliper, matched: Matched, scoring: Scoring) -> None:
        self.caliper = caliper
        self.nominal = nominal = caliper.nominal
        self.scoring = scoring
        count = len(nominal.items)
        self.matched = matched
        self.pieces = np.bincount(matched.curves.owner, minlength=count)
        self.present = self.pieces > 0
        self.curves = finished(matched.curves, [item.part for item in nominal.items])
        drawn = np.array([bool(item.feature.finished) for item in nominal.items], dtype=np.bool_)
        self.shaped = self.curves.take(drawn[self.curves.owner])
        self.nearest = Nearest(self.shaped)
        self.bounds = self.curves.bounds(self.curves.owner, count)
        self.rows: list[list[Row]] = [[] for _ in range(count)]

    def run(self) -> Measured:
        self._contours()
        for number, what, wanted, got, rounding in self.caliper.rows(self.shaped, self.bounds, self.present):
            self._row(number, what, wanted, got, TOLERANCE_MM + rounding)
        outside = self._outside()
        for number, item in enumerate(self.nominal.items):
            if self.present[number]:
                self._on_the_sheet(number, item)
        return Measured(
            tuple(row for rows in self.rows for row in rows),
            self.curves,
            self.nearest,
            self.matched.bounds,
            outside,
        )

    def _row(
        self, number: int, what: str, wanted: float, got: float, tolerance: float = TOLERANCE_MM
    ) -> None:
        row = self.scoring.row(self.nominal.items[number], what, wanted, got, tolerance=tolerance)
        self.rows[number].append(row)

    def _contours(self) -> None:
        """The largest departure of each contour: where it should be and is not, and where it is and should not be."""
        worst = np.full(len(self.nominal.items), -1.0)
        samples = self.nominal.reachable()
        samples = samples.where(self.present[self.nominal.target[samples.owner]])
        np.maximum.at(worst, samples.owner, departures(self.nominal, self.nearest, samples))
        places, owner = self.shaped.places()
        np.maximum.at(worst, owner, self._strayed(places, owner))
        for number in np.flatnonzero(worst >= 0.0).tolist():
            self._row(number, "contour", 0.0, float(worst[number]))

    def _strayed(self, places: Floats, owner: Ints) -> Floats:
        """Returns by how much places on the paths are nearer to or farther from the contour than half a beam."""
        half = self.nominal.half_beam[owner]
        distance = self.nominal.nearest.distance(places, owner, half)
        away = distance - half
        far = np.flatnonzero((away > TOLERANCE_MM / 10.0) & (half > 0.0))
        if len(far):
            curves = self.nominal.curves
            nearest, corner = nearest_start(curves, places[far], owner[far])
            limits = corner_limits(curves, self.nominal.half_beam[curves.owner])[corner]
            at_corner = np.abs(nearest - distance[far]) < 1e-6
            away[far] = np.where(at_corner, np.maximum(nearest - limits, 0.0), away[far])
        return np.asarray(np.abs(away))

    def _outside(self) -> Flags:
        outside = np.zeros(len(self.nominal.items), dtype=np.bool_)
        roles = np.array([item.feature.role for item in self.nominal.items])
        parts = np.array([item.part.name for item in self.nominal.items])
        for part, plate in self.nominal.plates.items():
            mine = self.curves.take(((roles == "lettering") & (parts == part))[self.curves.owner])
            if plate is not None and len(mine.bulge):
                ink = mine.at(SHARES)
                inside = shapely.contains_xy(plate, ink[..., 0], ink[..., 1]).all(axis=1)
                outside[mine.owner[~inside]] = True
        return outside

    def _on_the_sheet(self, number: int, item: Item) -> None:
        feature = item.feature
        if feature.cut_bounds is not None and feature.role == "lettering":
            found = self.matched.bounds[number]
            side = int(np.argmax(np.abs(found - np.array(feature.cut_bounds))))
            self._row(number, "bounds", feature.cut_bounds[side], float(found[side]))
        if feature.cut_length_mm is not None:
            rounding = _LETTERING_ROUNDING_MM if feature.role == "lettering" else _ROUNDING_MM
            slack = TOLERANCE_MM + rounding * float(self.pieces[number])
            self._row(number, "run", feature.cut_length_mm, float(self.matched.run_mm[number]), slack)


def departures(nominal: Nominal, nearest: Nearest, samples: Samples, side: int = 1) -> Floats:
    """Returns (k,) how far the path runs from where samples of the contour want it.

    Args:
        nominal: Of the sheet.
        nearest: Distances to its paths.
        samples: Whose targets all have a path.
        side: 1 for half a beam to the waste side, -1 to the part's, 0 for on the contour.
    """
    half = nominal.half_beam[samples.owner] * side
    return nearest.distance(samples.place + samples.outward * half[:, None], nominal.target[samples.owner])

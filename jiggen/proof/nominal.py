"""Where the manifest wants things, put so that a file can be measured against it. Part coordinates, mm.

The finished contour is what the beam, a disc as wide as the kerf, leaves of the part. So at each place of the wanted
contour the path must run half a kerf to the waste side along the normal, wherever the disc can get at all: into a
sharp inside corner it cannot. That asks nothing of how the path was made, and undoes the kerf exactly.
"""

from dataclasses import dataclass

import numpy as np
import shapely

from jiggen.proof.curves import CHORD_ERROR_MM, Curves, Flags, Floats, Ints, Nearest, gather
from jiggen.proof.wanted import Wanted, WantedPart, WantedSheet

#: Shares of a piece's way at which it is compared: three places fix a line and an arc.
SHARES = np.array([0.0, 0.5, 1.0])
#: Roles that are cut through, so that their paths keep half the kerf away.
CUT_THROUGH = frozenset({"edge", "opening"})
#: Number of the item that something makes which no feature asks for.
STRAY = -1
#: How far to each side of a notch's contour to look for the part.
_LOOK_MM = 0.005
#: Where an arc ends at a corner, the two sides moved out by half a beam meet this much farther out than lines would.
_CORNER_SLACK = 1.1


@dataclass(frozen=True, slots=True)
class Item:
    """A feature that is measured.

    Attributes:
        part: Its part.
        feature: What the manifest says of it.
        target: Number of the item whose path makes it: its own, or for a notch that of its edge.
    """

    part: WantedPart
    feature: Wanted
    target: int

    @property
    def key(self) -> tuple[str, str]:
        """Names of the part and the feature."""
        return self.part.name, self.feature.id


def items(sheet: WantedSheet) -> tuple[Item, ...]:
    """Returns the features of a sheet: first those cut on their own, in the order of the manifest, then the notches."""
    own = [(part, each) for part in sheet.parts for each in part.features if each.operation is not None]
    numbers = {(part.name, each.id): number for number, (part, each) in enumerate(own)}
    notches = [
        (part, each)
        for part in sheet.parts
        for each in part.features
        if each.operation is None and (part.name, each.cut_in) in numbers
    ]
    return (
        *(Item(part, each, number) for number, (part, each) in enumerate(own)),
        *(Item(part, each, numbers[part.name, each.cut_in or ""]) for part, each in notches),
    )


@dataclass(frozen=True, slots=True)
class Samples:
    """Places of finished contours.

    Attributes:
        place: (k, 2) on the contour.
        outward: (k, 2) unit normals to the waste side; nought for lines that are not cut through.
        owner: (k,) item.
    """

    place: Floats
    outward: Floats
    owner: Ints

    def where(self, which: Flags) -> "Samples":
        """Returns some of them."""
        return Samples(self.place[which], self.outward[which], self.owner[which])


class Nominal:
    """The finished contours of one sheet, ready to be measured against.

    Attributes:
        sheet: Of which.
        items: What is measured; their numbers are the owners of all curves.
        target: (n,) whose path makes each item.
        half_beam: (n,) half the kerf, in part coordinates at finished size; nought for what is not cut through.
        curves: Finished contours.
        nearest: Distances to them.
        bounds: (n, 4) of them.
        samples: Places on them, all.
    """

    def __init__(self, sheet: WantedSheet) -> None:
        self.sheet = sheet
        self.items = items(sheet)
        self.target = np.array([item.target for item in self.items], dtype=np.int64)
        self.half_beam = np.array([_half_beam(item) for item in self.items])
        self.curves = gather([item.feature.finished for item in self.items])
        self.nearest = Nearest(self.curves)
        self.bounds = self.curves.bounds(self.curves.owner, len(self.items))
        self.plates = {part.name: _plate(part) for part in sheet.parts}
        owner = self.curves.owner
        normals = self.curves.normals(SHARES) * self._waste_side()[:, None, None]
        self.samples = Samples(
            self.curves.at(SHARES).reshape(-1, 2), normals.reshape(-1, 2), np.repeat(owner, len(SHARES))
        )
        self._reachable: dict[int, Samples] = {}

    def _waste_side(self) -> Floats:
        """Returns (pieces,) 1 where the waste lies to the left of travel, -1 to the right, 0 where there is none."""
        if not len(self.curves.bulge):
            return np.zeros(0)
        turns_left = self.curves.stroke_areas()[self.curves.stroke] > 0.0
        side = np.where(turns_left, 1.0, -1.0)
        roles = np.array([item.feature.role for item in self.items])[self.curves.owner]
        side = np.where(roles == "edge", -side, side)
        side[~np.isin(roles, sorted(CUT_THROUGH))] = 0.0
        for number, item in enumerate(self.items):
            plate = self.plates[item.part.name]
            if item.target != number and plate is not None:
                mine = self.curves.owner == number
                notch = self.curves.take(mine)
                middle = np.array([0.5])
                look = (notch.at(middle) + notch.normals(middle) * _LOOK_MM)[:, 0, :]
                side[mine] = np.where(shapely.contains_xy(plate, look[:, 0], look[:, 1]), -1.0, 1.0)
        return side

    def reachable(self, side: int = 1) -> Samples:
        """Returns the samples that a beam running on one side of the contour can get at.

        Args:
            side: 1 for the waste side, where it should run; -1 for the part's; 0 for on the contour itself.
        """
        if side not in self._reachable:
            samples = self.samples
            half = self.half_beam[samples.owner] * abs(side)
            wide = half > 0.0  # a line has no width to keep clear of anything
            centres = samples.place[wide] + samples.outward[wide] * (side * half[wide])[:, None]
            clear = np.full(len(half), np.inf)
            clear[wide] = self.nearest.distance(centres, self.target[samples.owner[wide]], half[wide])
            self._reachable[side] = samples.where(clear >= half - 2.0 * CHORD_ERROR_MM)
        return self._reachable[side]


def _half_beam(item: Item) -> float:
    """Returns half the kerf at finished size; a beam seen through uneven growth is taken as round all the same.

    That is out by half the kerf times half the difference of the two growths: a tenth of a micron for veneer.
    """
    mean_growth = (item.part.growth + item.part.growth_across) / 2.0
    return item.part.kerf_mm / 2.0 / mean_growth if item.feature.role in CUT_THROUGH else 0.0


def _plate(part: WantedPart) -> shapely.Polygon | None:
    """Returns the finished part without its openings, None when the manifest gives it no closed edge."""
    edges = [
        stroke for each in part.features if each.role == "edge" for stroke in each.finished if stroke.closed
    ]
    if not edges:
        return None
    chords, _ = gather([edges[:1]]).flattened()
    plate = shapely.Polygon(chords[:, 0, :])
    shapely.prepare(plate)
    return plate


def corner_limits(curves: Curves, half_beam: Floats) -> Floats:
    """Returns (n,) how far a mitred path may stand from the corner at each piece's start, in mm.

    Round a corner of the part a path may follow its two sides until they meet; it then stands farther from the
    corner than half a beam, to no harm: half the beam over the cosine of half the turn.

    Args:
        curves: Finished contours, n pieces.
        half_beam: (n,) for each piece.
    """
    if not len(curves.bulge):
        return np.zeros(0)
    ends = curves.normals(np.array([0.0, 1.0]))
    before = np.arange(len(curves.bulge)) - 1
    first = np.concatenate([[True], np.diff(curves.stroke) != 0])
    last_of_stroke = np.flatnonzero(np.concatenate([np.diff(curves.stroke) != 0, [True]]))
    before[first] = last_of_stroke
    cosine = np.clip(np.sum(ends[before, 1, :] * ends[:, 0, :], axis=1), -1.0, 1.0)
    half_turn = np.sqrt((1.0 + cosine) / 2.0)  # cosine of half the turn
    return np.asarray(_CORNER_SLACK * half_beam / np.maximum(half_turn, 1e-3))

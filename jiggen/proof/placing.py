"""How parts lie: each once, on its sheet, clear of the others."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from types import MappingProxyType

import numpy as np
import shapely

from jiggen.proof.curves import Floats, gather
from jiggen.proof.manifest import NAME
from jiggen.proof.maps import Motion, growth
from jiggen.proof.nominal import Item, Nominal
from jiggen.proof.report import Fault, Finding
from jiggen.proof.wanted import WantedPart, WantedSheet

#: Beyond the edge of the sheet, or into one another, by less than this is rounding.
_SLACK_MM = 0.001
NO_MOTIONS: Mapping[str, Motion] = MappingProxyType({})


def placed_twice(sheets: Sequence[WantedSheet]) -> Iterator[Finding]:
    """Yields a finding for each part that the manifest itself places more than once."""
    names = [part.name for sheet in sheets for part in sheet.parts]
    for name in sorted({each for each in names if names.count(each) > 1}):
        message = f"the manifest places it {names.count(name)} times"
        yield Finding(fault=Fault.PART_CUT_TWICE, message=message, file=NAME, part=name)


@dataclass(frozen=True, slots=True)
class Lying:
    """A part as it lies on the sheet.

    Attributes:
        part: Which.
        plate: The finished part, its openings filled.
        motion: From where the manifest has it to where it lies; None where that is the same.
    """

    part: WantedPart
    plate: shapely.Polygon
    motion: Motion | None

    def openings(self) -> Iterator[tuple[str, shapely.Polygon]]:
        """Yields id and area of each opening that is cut on its own and leaves a piece of waste."""
        for feature in self.part.features:
            if feature.role == "opening" and feature.operation is not None and not feature.single_pass:
                for stroke in feature.finished:
                    if stroke.closed:
                        chords, _ = gather([[stroke]]).flattened()
                        area = shapely.Polygon(chords[:, 0, :])
                        yield feature.id, _on_sheet(self.part, area, self.motion)


def meeting(
    sheet: WantedSheet, nominal: Nominal, motions: Mapping[str, Motion] = NO_MOTIONS
) -> tuple[tuple[Lying, Lying], ...]:
    """Returns the pairs of parts that share some place, if only one in an opening of the other.

    Args:
        sheet: Of which.
        nominal: Of the sheet.
        motions: Of parts that lie elsewhere than the manifest says.
    """
    plates = [(part, plate) for part in sheet.parts if (plate := nominal.plates[part.name]) is not None]
    lying = [
        Lying(part, _on_sheet(part, plate, motion), motion)
        for part, plate in plates
        for motion in (motions.get(part.name),)
    ]
    return tuple((one, other) for one, other in combinations(lying, 2) if one.plate.intersects(other.plate))


def overlapping(
    meetings: Sequence[tuple[Lying, Lying]], sheet: WantedSheet, *, file: str = NAME
) -> Iterator[Finding]:
    """Yields a finding for each two parts of which the finished plates lie on one another.

    Args:
        meetings: Of the sheet.
        sheet: Of which.
        file: Where they lie so.
    """
    for one, other in meetings:
        shared = one.plate.intersection(other.plate)
        shared = shared.difference(
            shapely.union_all([area for each in (one, other) for _, area in each.openings()])
        )
        shared = shared.buffer(-_SLACK_MM, quad_segs=4)
        if not shared.is_empty:
            x, y = shared.representative_point().coords[0]
            message = f"lies on {other.part.name}, at ({x:.1f}, {y:.1f}) on sheet {sheet.number}"
            yield Finding(fault=Fault.PARTS_OVERLAP, message=message, file=file, part=one.part.name)


@dataclass(frozen=True, slots=True)
class Nested:
    """A part that lies in an opening of another.

    Attributes:
        part: Its name.
        host: Name of the part that the opening is in.
        opening: Id of the opening.
    """

    part: str
    host: str
    opening: str


def nested(meetings: Sequence[tuple[Lying, Lying]]) -> tuple[Nested, ...]:
    """Returns the parts that lie in openings of others, whatever the manifest says of that."""
    return tuple(
        Nested(inner.part.name, host.part.name, id)
        for pair in meetings
        for inner, host in (pair, pair[::-1])
        for id, area in host.openings()
        if area.contains(inner.plate)
    )


def beyond_the_sheet(
    sheet: WantedSheet, items: Sequence[Item], bounds: Floats, file: str
) -> Iterator[Finding]:
    """Yields a finding for each feature that is drawn beyond the sheet's edge.

    Args:
        sheet: Of which.
        items: n features.
        bounds: (n, 4) of what is drawn of them, on the sheet; NaN for nothing.
        file: Where it is drawn.
    """
    width, height = sheet.size_mm
    over = np.stack([-bounds[:, 0], -bounds[:, 1], bounds[:, 2] - width, bounds[:, 3] - height], axis=1)
    for number in np.flatnonzero((over > _SLACK_MM).any(axis=1)).tolist():
        item = items[number]
        message = f"lies beyond the edge of sheet {sheet.number}"
        yield Finding(
            fault=Fault.OUTSIDE_SHEET,
            message=message,
            file=file,
            part=item.part.name,
            features=(item.feature.id,),
        )


def _on_sheet(part: WantedPart, plate: shapely.Polygon, motion: Motion | None) -> shapely.Polygon:
    """Returns a finished plate where it truly lies."""
    place = part.place
    shift = np.array([place.x_mm / part.machine_x, place.y_mm / part.machine_y])
    laid = Motion(math.atan2(place.sine, place.cosine), shift, place.mirrored)

    def moved(places: Floats) -> Floats:
        on_sheet = laid.moved(places * growth(part))
        return on_sheet if motion is None else motion.moved(on_sheet)

    return shapely.transform(plate, moved)

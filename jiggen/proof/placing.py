"""How parts lie: each once, on its sheet, clear of the others."""

import math
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

import numpy as np
import shapely

from jiggen.proof.curves import Floats
from jiggen.proof.manifest import NAME
from jiggen.proof.maps import Motion, growth
from jiggen.proof.nominal import Item, Nominal
from jiggen.proof.report import Fault, Finding
from jiggen.proof.wanted import WantedPart, WantedSheet

#: Beyond the edge of the sheet, or into one another, by less than this is rounding.
_SLACK_MM = 0.001


def placed_twice(sheets: Sequence[WantedSheet]) -> Iterator[Finding]:
    """Yields a finding for each part that the manifest itself places more than once."""
    names = [part.name for sheet in sheets for part in sheet.parts]
    for name in sorted({each for each in names if names.count(each) > 1}):
        message = f"the manifest places it {names.count(name)} times"
        yield Finding(fault=Fault.PART_CUT_TWICE, message=message, file=NAME, part=name)


def overlapping(
    sheet: WantedSheet,
    nominal: Nominal,
    motions: Mapping[str, Motion] | None = None,
    *,
    file: str = NAME,
) -> Iterator[Finding]:
    """Yields a finding for each two parts of which the finished plates lie on one another.

    Args:
        sheet: Of which.
        nominal: Of the sheet.
        motions: Parts that lie elsewhere than the manifest says; only what these do is told. None: none does.
        file: Where they lie so.
    """
    plates = [(part, plate) for part in sheet.parts if (plate := nominal.plates[part.name]) is not None]
    placed = [(part.name, _on_sheet(part, plate, (motions or {}).get(part.name))) for part, plate in plates]
    for (name, plate), (other_name, other) in combinations(placed, 2):
        if motions is not None and not {name, other_name} & set(motions):
            continue
        shared = (
            plate.intersection(other).buffer(-_SLACK_MM, quad_segs=4) if plate.intersects(other) else None
        )
        if shared is not None and not shared.is_empty:
            x, y = shared.representative_point().coords[0]
            message = f"lies on {other_name}, at ({x:.1f}, {y:.1f}) on sheet {sheet.number}"
            yield Finding(fault=Fault.PARTS_OVERLAP, message=message, file=file, part=name)


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

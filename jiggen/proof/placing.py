"""How parts lie: each once, on its sheet, clear of the others."""

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
import shapely
from shapely.affinity import affine_transform

from jiggen.proof.curves import Floats
from jiggen.proof.manifest import NAME, WantedPart, WantedSheet
from jiggen.proof.nominal import Item, Nominal
from jiggen.proof.report import Fault, Finding

#: Beyond the edge of the sheet, or into one another, by less than this is rounding.
_SLACK_MM = 0.001


def placed_twice(sheets: Sequence[WantedSheet]) -> Iterator[Finding]:
    """Yields a finding for each part that the manifest itself places more than once."""
    names = [part.name for sheet in sheets for part in sheet.parts]
    for name in sorted({each for each in names if names.count(each) > 1}):
        message = f"the manifest places it {names.count(name)} times"
        yield Finding(fault=Fault.PART_CUT_TWICE, message=message, file=NAME, part=name)


def overlapping(sheet: WantedSheet, nominal: Nominal) -> Iterator[Finding]:
    """Yields a finding for each two parts of which the finished plates lie on one another."""
    plates = [(part, plate) for part in sheet.parts if (plate := nominal.plates[part.name]) is not None]
    placed = [(part.name, _on_sheet(part, plate)) for part, plate in plates]
    for (name, plate), (other_name, other) in combinations(placed, 2):
        shared = (
            plate.intersection(other).buffer(-_SLACK_MM, quad_segs=4) if plate.intersects(other) else None
        )
        if shared is not None and not shared.is_empty:
            x, y = shared.representative_point().coords[0]
            message = f"lies on {other_name}, at ({x:.1f}, {y:.1f}) on sheet {sheet.number}"
            yield Finding(fault=Fault.PARTS_OVERLAP, message=message, file=NAME, part=name)


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


def _on_sheet(part: WantedPart, plate: shapely.Polygon) -> shapely.Polygon:
    place = part.place
    across = -1.0 if place.mirrored else 1.0
    return affine_transform(
        plate,
        [place.cosine, -place.sine * across, place.sine, place.cosine * across, place.x_mm, place.y_mm],
    )

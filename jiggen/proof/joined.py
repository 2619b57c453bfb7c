"""Puts the pieces of a part together again, as they fall out of the sheets, and measures across the joints.

All pieces have the coordinates of the whole, so that together they lie as they are. Along each joint the pieces may not
overlap, and a key must have its clearance all round. What lies on different pieces must be as far apart as the whole
part has it: `across x` and `across y` go from a feature of the first piece to those of the others; `step` tells by how
much a line that crosses a joint is off on one side against the other. Length and width are those of all together.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from jiggen.proof.curves import Floats
from jiggen.proof.look import Seen
from jiggen.proof.pieces import WantedSeam, WantedWhole
from jiggen.proof.report import Row
from jiggen.proof.scoring import TOLERANCE_MM
from jiggen.proof.wanted import Manifest, WantedPart, WantedSheet

#: Contours are looked at in steps of this, mm.
_STEP_MM = 0.2
#: Beyond this share of its depth a key's flanks and head run parallel to its pocket: its corners are left behind.
_PAST_CORNERS = 0.5
_AXES = {"x": 0, "y": 1}

#: Feature, what, nominal and measured, mm.
_Numbers = tuple[str, str, float, float]


@dataclass(frozen=True, slots=True)
class Look:
    """One file, looked at.

    Attributes:
        name: Of the file.
        sheet: That it holds.
        seen: What was found.
    """

    name: str
    sheet: WantedSheet
    seen: Seen


@dataclass(frozen=True, slots=True)
class _Found:
    """A piece as it falls out."""

    part: WantedPart
    file: str
    plate: shapely.Polygon | None
    rows: Mapping[tuple[str, str], Row]  # by feature and what


def put_together(manifest: Manifest, looks: Sequence[Look]) -> Iterator[Row]:
    """Yields what is measured of parts put together from their pieces.

    Args:
        manifest: Of the job.
        looks: At all files of one format, sheet by sheet.
    """
    for whole in manifest.wholes:
        pieces = sorted(_pieces(whole, looks), key=lambda each: _number(each.part))
        count = pieces[0].part.piece.count if pieces and pieces[0].part.piece else 0
        if len(pieces) != count:
            continue  # a file is missing, which has been said
        file = ", ".join(dict.fromkeys(each.file for each in pieces))
        for feature, what, wanted, got in (*_seams(pieces), *_across(whole, pieces), *_size(whole, pieces)):
            yield Row(
                part=whole.name,
                feature=feature,
                what=what,
                nominal_mm=wanted,
                measured_mm=got,
                tolerance_mm=TOLERANCE_MM,
                file=file,
            )


def _number(part: WantedPart) -> int:
    return part.piece.number if part.piece is not None else 0


def _pieces(whole: WantedWhole, looks: Sequence[Look]) -> Iterator[_Found]:
    for look in looks:
        plates = {each.part: each.plates for each in look.seen.fallen}
        for part in look.sheet.parts:
            if part.piece is not None and part.piece.of == whole.name:
                mine = {(row.feature, row.what): row for row in look.seen.rows if row.part == part.name}
                fallen = plates.get(part.name, ())
                yield _Found(part, look.name, fallen[0] if fallen else None, mine)


def _seams(pieces: Sequence[_Found]) -> Iterator[_Numbers]:
    for one, other in pairwise(pieces):
        shared = _shared(one.part, other.part)
        if shared is None or one.plate is None or other.plate is None:
            continue
        for what, wanted, got in (
            ("overlap", 0.0, _overlap(one.plate, other.plate)),
            ("clearance", shared.clearance_mm, _clearance(one.plate, other.plate, shared)),
        ):
            yield f"joint.{shared.mark.lower()}", what, wanted, got


def _shared(one: WantedPart, other: WantedPart) -> WantedSeam | None:
    if one.piece is None or other.piece is None:
        return None
    marks = {seam.mark for seam in other.piece.seams}
    return next((seam for seam in one.piece.seams if seam.mark in marks), None)


def _places(plate: shapely.Polygon) -> Floats:
    """Returns (n, 2) places close together along a plate's outside."""
    return np.asarray(shapely.get_coordinates(shapely.segmentize(plate.exterior, _STEP_MM)))


def _overlap(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """Returns how deep one plate lies in the other, at the deepest, mm."""
    deepest = 0.0
    for plate, into in ((one, other), (other, one)):
        places = _places(plate)
        inside = places[shapely.contains_xy(into, places[:, 0], places[:, 1])]
        if len(inside):
            deepest = max(deepest, float(shapely.distance(shapely.points(inside), into.exterior).max()))
    return deepest


def _clearance(one: shapely.Polygon, other: shapely.Polygon, seam: WantedSeam) -> float:
    """Returns the clearance between keys and pockets where it is farthest from what it should be, mm."""
    start, end = np.array(seam.line[0]), np.array(seam.line[1])
    along = (end - start) / np.linalg.norm(end - start)
    across = np.array([along[1], -along[0]])
    found: list[Floats] = []
    for plate, against in ((one, other), (other, one)):
        middle = np.asarray(shapely.get_coordinates(plate.centroid))[0]
        away = -np.sign((middle - start) @ across)  # a key reaches to the other side of the joint
        places = _places(plate)
        keys = places[(places - start) @ across * away > _PAST_CORNERS * seam.depth_mm]
        if len(keys):
            found.append(np.asarray(shapely.distance(shapely.points(keys), against)))
    if not found:
        return 0.0
    gaps = np.concatenate(found)
    return float(gaps[np.argmax(np.abs(gaps - seam.clearance_mm))])


def _across(whole: WantedWhole, pieces: Sequence[_Found]) -> Iterator[_Numbers]:
    for axis, index in _AXES.items():
        what = f"position {axis}"
        placed = [
            {
                feature: row
                for (feature, named), row in piece.rows.items()
                if named == what and feature in whole.datums
            }
            for piece in pieces
        ]
        everywhere = [feature for rows in placed for feature in rows]
        first = next((id for id in placed[0] if everywhere.count(id) == 1), None)
        for rows in placed[1:]:
            for feature, row in rows.items():
                if first is not None and everywhere.count(feature) == 1:
                    wanted = _middle(whole, feature, index) - _middle(whole, first, index)
                    got = row.measured_mm - placed[0][first].measured_mm
                    yield f"{first}..{feature}", f"across {axis}", wanted, got
        for one, other in pairwise(placed):
            for feature in one:
                if feature in other:
                    got = other[feature].difference_mm - one[feature].difference_mm
                    yield feature, "step", 0.0, got


def _middle(whole: WantedWhole, feature: str, axis: int) -> float:
    ends = [place[axis] for place in whole.datums[feature]]
    return sum(ends) / len(ends)


def _size(whole: WantedWhole, pieces: Sequence[_Found]) -> Iterator[_Numbers]:
    plates = [each.plate for each in pieces if each.plate is not None]
    if len(plates) < len(pieces):
        return
    low_x, low_y, high_x, high_y = shapely.total_bounds(plates).tolist()
    wanted = whole.bounds
    yield "outline", "length", wanted[2] - wanted[0], high_x - low_x
    yield "outline", "width", wanted[3] - wanted[1], high_y - low_y

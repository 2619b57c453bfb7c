"""Checks how parts lie on a sheet, whoever laid them there: inside its margins and clear of each other."""

from collections.abc import Iterator

from jiggen.geometry.box import Box, around
from jiggen.geometry.nearness import near_pairs
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet, Within
from jiggen.shop.limits import Finding

#: Rounding may bring a part nearer by this, in mm.
_SLACK = 0.01


def check_sheet_room(sheet: Sheet) -> tuple[Finding, ...]:
    """Returns where parts lie too near the sheet's edge or one another; places are those on the sheet."""
    return (*_edges(sheet), *_gaps(sheet))


def _edges(sheet: Sheet) -> Iterator[Finding]:
    margin = sheet.machine.margin_mm
    room = Box.of_size(sheet.width_mm, sheet.height_mm)
    for placement in sheet.placements:
        part = placement.cut_part.part
        box = around(mark.box for mark in sheet.marks_of_part(part.name))
        nearest = min(
            box.low.x - room.low.x, box.low.y - room.low.y, room.high.x - box.high.x, room.high.y - box.high.y
        )
        if nearest < margin - _SLACK:
            yield _found("sheet-edge", part.name, box.centre, measured=nearest, limit=margin)


def _gaps(sheet: Sheet) -> Iterator[Finding]:
    gap, placed = sheet.machine.gap_mm, sheet.placements
    holding = {placement.within for placement in placed}
    cuts = [  # edges, and openings in which others lie
        [
            placement.place.path(path)
            for cut in placement.cut_part.features
            if cut.feature.role is Role.EDGE
            or Within(placement.cut_part.part.name, cut.feature.id) in holding
            for path in cut.paths
        ]
        for placement in placed
    ]
    for near in near_pairs(cuts, gap - _SLACK):
        one, other = (placed[index].cut_part.part.name for index in (near.first, near.second))
        yield _found("part-gap", one, near.at, measured=near.distance, limit=gap, other=f"part {other}")


def _found(name: str, part: str, at: Point, *, measured: float, limit: float, other: str = "") -> Finding:
    return Finding(
        name=name, part=part, feature="outline", other=other, measured_mm=measured, limit_mm=limit, at=at
    )

"""Lead-ins in the proof: that they run in the waste, and that the contour is the right one without them."""

from collections.abc import Sequence
from dataclasses import replace

import shapely

from jiggen.proof.curves import geometry
from jiggen.proof.rejoin import near, rejoined
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Reading, Stroke, Traced
from jiggen.proof.wanted import Wanted, WantedPart, WantedSheet


def without_leads(sheet: WantedSheet, reading: Reading, name: str) -> tuple[Reading, tuple[Finding, ...]]:
    """Returns a reading whose contours start where they close, and which lead-ins cut into what is wanted.

    A lead-in that the file does not have is not missed.

    Args:
        sheet: What the file is to hold.
        reading: Of the file.
        name: Of the file.
    """
    traced = list(reading.traced)
    led = [
        (part, feature, lead) for part in sheet.parts for feature in part.features for lead in feature.leads
    ]
    if not led:
        return reading, ()
    taken: list[tuple[WantedPart, Wanted, Stroke, int | None]] = []
    for part, feature, lead in led:
        index = _starting_with(lead, traced, (part.name, feature.id))
        if index is not None:
            rest = _rest(traced[index].stroke)
            taken.append((part, feature, lead, index if rest else None))
            traced[index] = replace(traced[index], stroke=rest or Stroke((), (), closed=False))
    findings = [
        Finding(fault=Fault.CUT_INTO, message=message, file=name, part=part.name, features=(feature.id,))
        for part, feature, lead, index in taken
        if (message := _harm(part, feature, lead, index, traced))
    ]
    kept = tuple(each for each in traced if each.stroke.points)
    return replace(reading, traced=kept), tuple(findings)


def _starting_with(lead: Stroke, traced: Sequence[Traced], key: tuple[str, str]) -> int | None:
    """Returns which stroke of a feature begins with a lead-in."""
    for index, each in enumerate(traced):
        points = each.stroke.points
        if (each.part, each.feature) != key or len(points) < 2 or each.stroke.closed:
            continue
        if near(points[0], lead.points[0]) and near(points[1], lead.points[1]):
            return index
    return None


def _rest(stroke: Stroke) -> Stroke | None:
    """Returns a stroke without its first piece, closed if it ends where that piece did; None if there is no more."""
    points, bulges = stroke.points[1:], stroke.bulges[1:]
    if not bulges:
        return None
    closed = len(bulges) > 1 and near(points[0], points[-1])
    whole = Stroke(points[:-1] if closed else points, bulges, closed=closed)
    return rejoined(whole, points[:1]) if closed else whole


def _harm(part: WantedPart, feature: Wanted, lead: Stroke, own: int | None, traced: Sequence[Traced]) -> str:
    """Tells what a lead-in cuts into; empty for waste."""
    line = geometry(lead)
    if own is not None and traced[own].stroke.closed:
        inside = shapely.Polygon(geometry(traced[own].stroke).coords).contains(shapely.Point(lead.points[0]))
        if inside == (feature.role == "edge"):
            return "its lead-in starts on the part's side of the contour"
    others = [
        geometry(each.stroke)
        for index, each in enumerate(traced)
        if index != own
        and each.stroke.points
        and each.operation == feature.operation
        and (each.part, each.feature) != (part.name, feature.id)
    ]
    if others and shapely.distance(line, shapely.union_all(others)) < part.kerf_mm / 2.0:
        return "its lead-in runs into another cut"
    return ""

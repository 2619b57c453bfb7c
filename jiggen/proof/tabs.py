"""Tabs in the proof: that the file leaves them uncut, and that the part is whole once they are broken."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import shapely
from shapely.ops import substring

from jiggen.proof.curves import geometry
from jiggen.proof.rejoin import joined, near, rejoined, turned_round
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Place, Reading, Stroke, Traced
from jiggen.proof.wanted import Wanted, WantedPart, WantedSheet

#: A cut that comes nearer to the middle of a tab than this share of its length along it, and than this in mm across it,
#: has gone through it.
_NEAR, _NEAR_MM = 0.25, 0.5


def broken_free(sheet: WantedSheet, reading: Reading, name: str) -> tuple[Reading, tuple[Finding, ...]]:
    """Returns a reading with the tabs cut through as well, as they will be by hand, and which were so already.

    Args:
        sheet: What the file is to hold.
        reading: Of the file.
        name: Of the file.
    """
    findings: list[Finding] = []
    added: list[Traced] = []
    cuts: dict[str | None, shapely.Geometry] = {}
    for part in sheet.parts:
        for feature in part.features:
            if feature.tabs:
                if feature.operation not in cuts:
                    cuts[feature.operation] = _cut_by(reading, feature.operation)
                whole, through = _parted(part, feature, cuts[feature.operation])
                added += whole
                if through:
                    findings.append(
                        Finding(
                            fault=Fault.TAB_CUT,
                            message=f"{through} of {len(feature.tabs)} tabs, which are to hold the part, are cut through",
                            file=name,
                            part=part.name,
                            features=(feature.id,),
                        )
                    )
    return replace(reading, traced=_joined(reading.traced, added)), tuple(findings)


def _joined(traced: Sequence[Traced], tabs: Sequence[Traced]) -> tuple[Traced, ...]:
    """Returns what was traced with tabs in their places between the runs that they part, or beside them if there are none.

    A run keeps its names and its place in the file.
    """
    things = dict(enumerate(traced))
    runs: dict[str, list[int]] = {}  # of each operation the open ones, in the file's order
    for number, each in things.items():
        if not each.stroke.closed:
            runs.setdefault(each.operation, []).append(number)
    for number, tab in enumerate(tabs, start=len(things)):
        mine = runs.setdefault(tab.operation, [])
        start, end = tab.stroke.points[0], tab.stroke.points[-1]
        before, after = (_ending_at(things, mine, place) for place in (start, end))
        if before is None or after is None:
            things[number] = tab
            mine.append(number)
            continue
        first, last = things[before].stroke, things[after].stroke
        whole = joined(first if near(first.points[-1], start) else turned_round(first), tab.stroke)
        turns = things[before].turns
        if before != after:
            whole = joined(whole, last if near(last.points[0], end) else turned_round(last))
            turns += things.pop(after).turns
            mine.remove(after)
        parted_at = (start, end, *_half_way(first), *_half_way(last))
        things[before] = replace(things[before], stroke=rejoined(whole, parted_at), turns=turns)
        if things[before].stroke.closed:
            mine.remove(before)
    return tuple(things.values())


def _half_way(run: Stroke) -> tuple[Place, ...]:
    """Returns where an arc that is a run by itself was halved when it was read."""
    return run.points[1:2] if len(run.bulges) == 2 and run.bulges[0] == run.bulges[1] else ()


def _ending_at(things: Mapping[int, Traced], numbers: Iterable[int], place: Place) -> int | None:
    """Returns which of some open strokes starts or ends at a place."""
    for number in numbers:
        points = things[number].stroke.points
        if near(points[0], place) or near(points[-1], place):
            return number
    return None


def _cut_by(reading: Reading, operation: str | None) -> shapely.Geometry:
    """Returns what an operation follows."""
    return shapely.union_all(
        [geometry(each.stroke) for each in reading.traced if each.operation == operation]
    )


def _parted(part: WantedPart, feature: Wanted, cut: shapely.Geometry) -> tuple[list[Traced], int]:
    """Returns the tabs of a feature that the file leaves uncut, as if they were cut, and how many it does not leave.

    Args:
        part: That it is of.
        feature: An edge with tabs.
        cut: What the file has the machine follow in the feature's operation.
    """
    left: list[Traced] = []
    for stroke in feature.tabs:
        line = geometry(stroke)
        across = min(_NEAR * line.length, _NEAR_MM)
        along, middle = _NEAR * line.length - across, line.length / 2.0
        if shapely.distance(substring(line, middle - along, middle + along), cut) < across:
            continue
        left.append(
            Traced(
                operation=feature.operation or "",
                part=part.name,
                feature=feature.id,
                stroke=stroke,
                where=f"a tab of {part.name}",
            )
        )
    return left, len(feature.tabs) - len(left)

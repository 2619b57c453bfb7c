"""Tabs in the proof: that the file leaves them uncut, and that the part is whole once they are broken."""

from dataclasses import replace

import shapely

from jiggen.proof.curves import geometry
from jiggen.proof.manifest import Wanted, WantedPart, WantedSheet
from jiggen.proof.report import Fault, Finding
from jiggen.proof.trace import Reading, Traced

#: A cut that comes nearer to the middle of a tab than this share of its length has gone through it.
_NEAR = 0.25


def broken_free(sheet: WantedSheet, reading: Reading, name: str) -> tuple[Reading, tuple[Finding, ...]]:
    """Returns a reading with the tabs cut through as well, as they will be by hand, and which were so already.

    Args:
        sheet: What the file is to hold.
        reading: Of the file.
        name: Of the file.
    """
    findings: list[Finding] = []
    added: list[Traced] = []
    for part in sheet.parts:
        for feature in part.features:
            if feature.tabs:
                whole, through = _parted(part, feature, reading)
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
    return replace(reading, traced=(*reading.traced, *added)), tuple(findings)


def _parted(part: WantedPart, feature: Wanted, reading: Reading) -> tuple[list[Traced], int]:
    """Returns the tabs of a feature that the file leaves uncut, as if they were cut, and how many it does not leave."""
    cut = shapely.union_all(
        [geometry(each.stroke) for each in reading.traced if each.operation == feature.operation]
    )
    left: list[Traced] = []
    for stroke in feature.tabs:
        line = geometry(stroke)
        if (
            shapely.distance(shapely.line_interpolate_point(line, 0.5, normalized=True), cut)
            < _NEAR * line.length
        ):
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

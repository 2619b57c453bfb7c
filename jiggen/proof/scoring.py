"""Turns a measured number into a row: how exact a file must be, how far a part may be off, and cents for frets."""

import re
from dataclasses import dataclass

from jiggen.design.accuracy import Kind, cents_off
from jiggen.proof.nominal import Item
from jiggen.proof.report import Row

#: Largest difference that passes, in mm: a tenth of what a good laser repeats to (0.05 mm, common practice).
TOLERANCE_MM = 0.005
_FRET = re.compile(r"fret\.\d+")
#: Rows whose nominal value is no size: the extent of the whole feature stands for it.
_OF_ALL = frozenset({"contour", "as cut", "bounds"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Scoring:
    """What turns a measured number into a row.

    Attributes:
        file: Name of the file that it was measured in.
    """

    file: str

    def row(
        self, item: Item, what: str, wanted: float, got: float, *, tolerance: float = TOLERANCE_MM
    ) -> Row:
        """Returns the row of one number.

        Args:
            item: What was measured.
            what: Which of its numbers.
            wanted: What it should be, mm.
            got: What it is.
            tolerance: Largest difference that the file may have.
        """
        scale = item.part.scale_mm
        left = scale - wanted if scale is not None else None
        is_fret = what == "position x" and left is not None and _FRET.fullmatch(item.feature.id) is not None
        return Row(
            part=item.part.name,
            feature=item.feature.id,
            what=what,
            nominal_mm=wanted,
            measured_mm=got,
            tolerance_mm=tolerance,
            limit_mm=self._limit(item, what, wanted, left if is_fret else None),
            file=self.file,
            cents=cents_off(left, got - wanted) if is_fret and left is not None else None,
        )

    def _limit(self, item: Item, what: str, wanted: float, string_left: float | None) -> float | None:
        if what == "run":
            return None
        if string_left is not None:
            return item.part.limits.limit_mm(Kind.FRET, wanted, string_left_mm=string_left)
        box = item.feature.finished_bounds
        extent = max(box[2] - box[0], box[3] - box[1]) if box is not None else 0.0
        return item.part.limits.limit_mm(_kind(item, what), extent if what in _OF_ALL else wanted)


def _kind(item: Item, what: str) -> Kind:
    if what == "radius":
        return Kind.RADIUS
    if item.feature.id.startswith("string."):
        return Kind.STRING
    return {"edge": Kind.OUTLINE, "opening": Kind.OPENING, "lettering": Kind.LETTERING}.get(
        item.feature.role, Kind.LINE
    )

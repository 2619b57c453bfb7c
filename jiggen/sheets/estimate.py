"""What a sheet asks of the machine: how far each operation runs, how long it takes, and how much stock is used."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.geometry.measure import area, length
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet
from jiggen.shop.machine import Operation


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """One operation on one sheet.

    Attributes:
        operation: Which.
        marks: How many features it makes.
        length_mm: Along all its paths.
        travel_mm: Between them, in the order in which they are written.
        seconds: At the speeds of the machine's profile; None when a speed is not known.
    """

    operation: Operation
    marks: int
    length_mm: float
    travel_mm: float
    seconds: float | None


def work_of(sheet: Sheet) -> tuple[Work, ...]:
    """Returns the work of each operation of the machine, in the order in which they are run.

    Time is length over speed, and nothing for starting, stopping and passes beyond the first: less than it will take.
    """
    return tuple(_work(sheet, operation) for operation in sheet.machine.operations)


def _work(sheet: Sheet, operation: Operation) -> Work:
    marks = list(sheet.marks(operation.name))
    paths = [path for mark in marks for path in mark.paths]
    along = sum(map(length, paths))
    between = sum(before.end.distance(after.start) for before, after in pairwise(paths))
    return Work(
        operation=operation,
        marks=len(marks),
        length_mm=along,
        travel_mm=between,
        seconds=_seconds(along, between, operation, sheet),
    )


def _seconds(along: float, between: float, operation: Operation, sheet: Sheet) -> float | None:
    if along == 0.0:
        return 0.0
    if operation.speed_mm_per_s is None:
        return None
    travel = sheet.machine.travel_mm_per_s
    return along / operation.speed_mm_per_s + (between / travel if travel else 0.0)


def total_seconds(works: Sequence[Work]) -> float | None:
    """Returns the time of all operations; None when that of one is not known."""
    known = [work.seconds for work in works if work.seconds is not None]
    return sum(known) if len(known) == len(works) else None


def share_used(sheet: Sheet) -> float:
    """Returns how much of the sheet's area its parts take up, their openings not taken off: 0 to 1."""
    edges = [
        path
        for operation in sheet.machine.operations
        if operation.role is Role.EDGE
        for mark in sheet.marks(operation.name)
        for path in mark.paths
    ]
    return sum(abs(area(path)) for path in edges) / (sheet.width_mm * sheet.height_mm)

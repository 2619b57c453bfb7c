"""What a sheet asks of the machine: how far each operation runs, how long it takes, and how much stock is used."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.geometry.measure import area, length
from jiggen.geometry.path import Path, Segment
from jiggen.geometry.segment import heading_on, length_of
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet
from jiggen.shop.machine import Machine, Operation

#: The head stops where a path turns by more than this (common practice: controllers hardly slow down for less).
CORNER = math.radians(15.0)


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

    Where the machine's profile names an acceleration, the head starts each path from rest, stops where it turns by more
    than `CORNER`, and gains and loses speed on the way: less than it will take where a controller slows down in curves.
    Else time is length over speed. Passes and the time to pierce come on top, as far as the profile names them.
    """
    return tuple(_work(sheet, operation) for operation in sheet.machine.operations)


def seconds_of_run(length_mm: float, speed_mm_per_s: float, acceleration_mm_per_s2: float | None) -> float:
    """Returns how long a straight run takes from rest to rest, or at full speed all along without an acceleration.

    Source: kinematics of uniform acceleration. Speed over way is a trapezoid: v/a to gain speed, as long to lose it, on
    v²/2a each; where the way is shorter than both, a triangle of two times √(l/a).
    """
    if acceleration_mm_per_s2 is None:
        return length_mm / speed_mm_per_s
    if length_mm < speed_mm_per_s**2 / acceleration_mm_per_s2:
        return 2.0 * math.sqrt(length_mm / acceleration_mm_per_s2)
    return length_mm / speed_mm_per_s + speed_mm_per_s / acceleration_mm_per_s2


def _work(sheet: Sheet, operation: Operation) -> Work:
    marks = list(sheet.marks(operation.name))
    paths = [path for mark in marks for path in mark.paths]
    ways = [before.end.distance(after.start) for before, after in pairwise(paths)]
    return Work(
        operation=operation,
        marks=len(marks),
        length_mm=sum(map(length, paths)),
        travel_mm=sum(ways),
        seconds=_seconds(paths, ways, operation, sheet.machine),
    )


def _seconds(
    paths: Sequence[Path], ways: Sequence[float], operation: Operation, machine: Machine
) -> float | None:
    if not paths:
        return 0.0
    speed, acceleration = operation.speed_mm_per_s, machine.acceleration_mm_per_s2
    if speed is None:
        return None
    if acceleration is None:  # then it does not matter where the head stops
        working = sum(map(length, paths)) / speed
    else:
        working = sum(seconds_of_run(run, speed, acceleration) for path in paths for run in _runs(path))
    once = working + operation.pierce_seconds * len(paths)
    travel = machine.travel_mm_per_s
    between = sum(seconds_of_run(way, travel, acceleration) for way in ways) if travel else 0.0
    return operation.passes * once + between


def seconds_of_part(sheet: Sheet, name: str) -> float | None:
    """Returns the time of what is done for one part, without travel; None when the speed of an operation is not known."""
    seconds = 0.0
    for operation in sheet.machine.operations:
        paths = [
            path
            for mark in sheet.marks_of_part(name)
            if mark.operation == operation.name
            for path in mark.paths
        ]
        here = _seconds(paths, (), operation, sheet.machine)
        if here is None:
            return None
        seconds += here
    return seconds


def _runs(path: Path) -> Iterator[float]:
    """Yields the lengths between the corners at which the head stops."""
    run = 0.0
    for piece, after in zip(path.segments, (*path.segments[1:], None), strict=True):
        run += length_of(piece)
        if after is None or _turn(piece, after) > CORNER:
            yield run
            run = 0.0


def _turn(before: Segment, after: Segment) -> float:
    one, other = heading_on(before, 1.0), heading_on(after, 0.0)
    return abs(math.atan2(one.cross(other), one.dot(other)))


def total_seconds(works: Sequence[Work]) -> float | None:
    """Returns the time of all operations; None when that of one is not known."""
    known = [work.seconds for work in works if work.seconds is not None]
    return sum(known) if len(known) == len(works) else None


def share_used(sheet: Sheet) -> float:
    """Returns how much of the sheet's area its parts take up, their openings not taken off: 0 to 1."""
    edges = [
        path
        for placement in sheet.placements
        for cut in placement.cut_part.features
        if cut.feature.role is Role.EDGE
        for path in cut.paths
    ]
    return sum(abs(area(path)) for path in edges) / (sheet.width_mm * sheet.height_mm)

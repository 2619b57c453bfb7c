"""What a sheet asks of the machine: how far each operation runs, how long it takes, and how much stock is used."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from jiggen.geometry.measure import area, length
from jiggen.geometry.path import Path, Segment
from jiggen.geometry.segment import heading_on, length_of
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet
from jiggen.sheets.once import once
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


@once
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
    runs = [_runs_by_mark(sheet)[mark.id] for mark in marks]
    paths = [path for mark in marks for path in mark.paths]
    ways = [before.end.distance(after.start) for before, after in pairwise(paths)]
    machine = sheet.machine
    speed, acceleration = machine.travel_mm_per_s, machine.acceleration_mm_per_s2
    travel = sum(seconds_of_run(way, speed, acceleration) for way in ways) if speed else 0.0
    working = _total(run.seconds for run in runs)
    return Work(
        operation=operation,
        marks=len(marks),
        length_mm=sum(run.length_mm for run in runs),
        travel_mm=sum(ways),
        seconds=None if working is None else working + travel,
    )


@dataclass(frozen=True, slots=True)
class _Run:
    """What one mark asks for, all passes together but for the way to it: None where a speed is not known."""

    length_mm: float
    seconds: float | None


@once
def lengths_by_mark(sheet: Sheet) -> Mapping[str, float]:
    """Returns how long the paths of each mark are together, mm, by the mark's id."""
    return {
        mark.id: sum(map(length, mark.paths))
        for operation in sheet.machine.operations
        for mark in sheet.marks(operation.name)
    }


@once
def _runs_by_mark(sheet: Sheet) -> Mapping[str, _Run]:
    lengths = lengths_by_mark(sheet)
    return {
        mark.id: _Run(lengths[mark.id], _seconds(mark.paths, lengths[mark.id], operation, sheet.machine))
        for operation in sheet.machine.operations
        for mark in sheet.marks(operation.name)
    }


def _seconds(paths: Sequence[Path], length_mm: float, operation: Operation, machine: Machine) -> float | None:
    speed, acceleration = operation.speed_mm_per_s, machine.acceleration_mm_per_s2
    if speed is None:
        return None
    if acceleration is None:  # then it does not matter where the head stops
        working = length_mm / speed
    else:
        working = sum(seconds_of_run(run, speed, acceleration) for path in paths for run in _runs(path))
    return operation.passes * (working + operation.pierce_seconds * len(paths))


def seconds_of_part(sheet: Sheet, name: str) -> float | None:
    """Returns the time of what is done for one part, without travel; None when the speed of an operation is not known."""
    return _total(_runs_by_mark(sheet)[mark.id].seconds for mark in sheet.marks_of_part(name))


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
    return _total(work.seconds for work in works)


def _total(seconds: Iterable[float | None]) -> float | None:
    """Returns the sum of what is known in each case, None when it is not in one."""
    each = list(seconds)
    known = [one for one in each if one is not None]
    return sum(known) if len(known) == len(each) else None


@once
def share_used(sheet: Sheet) -> float:
    """Returns how much of the sheet's area its parts take up: 0 to 1.

    Their openings are not taken off, nor is what lies in these counted again.
    """
    edges = [
        path
        for placement in sheet.placements
        if placement.within is None
        for cut in placement.cut_part.features
        if cut.feature.role is Role.EDGE
        for path in cut.paths
    ]
    return sum(abs(area(path)) for path in edges) / (sheet.width_mm * sheet.height_mm)

"""The last look at a sheet before any writer sees it: what no format and no machine may be given. Millimetres.

The libraries that write and check files let zero lengths, doubled cuts and marks off the sheet pass, so this
is where they stop.
"""

from collections.abc import Iterator, Sequence

from jiggen.errors import InputError, JiggenError, LimitError, raise_all
from jiggen.export.numbers import DECIMALS, snapped
from jiggen.export.tags import tag_fields
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds, midpoint
from jiggen.geometry.path import Path, as_circle
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.sheets.model import Mark, Sheet

#: Two cuts nearer than this all along, in mm, are one cut made twice: a hundredth of a fine beam's width.
SAME_CUT = 1e-3
#: The last digit that is written, in mm.
_LAST_DIGIT = 10.0**-DECIMALS
#: How far a mark may leave the sheet, in mm: what is lost when it is written.
SLACK = 0.5 * _LAST_DIGIT
#: Roles that are cut through.
CUT_ROLES = (Role.EDGE, Role.OPENING)


def check_sheet(sheet: Sheet) -> None:
    """Checks that a sheet can be written and cut.

    Every mark must lie on the sheet, have no segment that vanishes when written, and belong to an operation of the
    machine; cuts must close, save slots that the shop made single passes, edges with tabs and what has a lead-in, and none may be cut twice, in whichever
    direction. That numbers are finite is seen to by the types of paths, which hold no others.

    Raises:
        LimitError: For each mark that breaks a rule, naming part and feature.
        InputError: For a word in a tag that no file can hold.
        ValueError: If two marks share an id, which is a mistake of the stages before.
    """
    marks = [mark for operation in sheet.machine.operations for mark in sheet.marks(operation.name)]
    ids = [mark.id for mark in marks]
    if len(set(ids)) != len(ids):
        raise ValueError(f"sheet {sheet.number} has marks of the same id")
    cut_through = {each.name for each in sheet.machine.operations if each.role in CUT_ROLES}
    room = Box(Point(0.0, 0.0), Point(sheet.width_mm, sheet.height_mm))
    cuts: list[tuple[Box, Mark, Path]] = []
    errors: list[JiggenError] = [*_tag_errors(sheet), *_operation_errors(sheet)]
    for mark in marks:
        where = _where(sheet, mark)
        must_close = mark.operation in cut_through and not (mark.single_pass or mark.tabs or mark.leads)
        errors.extend(_path_errors(where, mark, room, must_close=must_close))
        if mark.operation in cut_through:
            cuts.extend((bounds(path), mark, path) for path in mark.paths)
    errors.extend(_doubled(sheet, cuts))
    raise_all(errors)


def _where(sheet: Sheet, mark: Mark) -> str:
    return f"sheet {sheet.number}, part {mark.part}, feature {mark.feature.id}"


def _tag_errors(sheet: Sheet) -> Iterator[InputError]:
    for placement in sheet.placements:
        for name, value in tag_fields(placement.cut_part.tag).items():
            if isinstance(value, str) and not value.isprintable():
                yield InputError(
                    where=f"sheet {sheet.number}, part {placement.cut_part.part.name}, tag, {name}",
                    got=ascii(value),
                    expected="letters, digits, signs and spaces only",
                    mend="Take line breaks and control characters out of it",
                )


def _operation_errors(sheet: Sheet) -> Iterator[LimitError]:
    known = [operation.name for operation in sheet.machine.operations]
    for placement in sheet.placements:
        for cut in placement.cut_part.features:
            if cut.operation not in known:
                yield LimitError(
                    where=f"sheet {sheet.number}, part {placement.cut_part.part.name}, feature {cut.feature.id}",
                    got=f"operation {cut.operation}",
                    expected=f"one of machine {sheet.machine.name}: {', '.join(known)}",
                    mend="Add the operation to the machine's profile",
                )


def _path_errors(where: str, mark: Mark, room: Box, *, must_close: bool) -> Iterator[LimitError]:
    if not room.contains(mark.box, SLACK):
        yield LimitError(
            where=where,
            got=f"a mark from {_place(mark.box.low)} to {_place(mark.box.high)}",
            expected=f"all of it on the sheet of {room.width:g} × {room.height:g} mm",
            mend="Use a larger sheet or make the part smaller",
        )
    for path in mark.paths:
        if must_close and not path.closed:
            yield LimitError(
                where=where,
                got=f"an open cut from {_place(path.start)} to {_place(path.end)}",
                expected="a contour that closes, since it is cut through",
                mend="Join its ends",
            )
        vanishing = next((each for each in path.segments if _vanishes(each.start, each.end)), None)
        if vanishing:
            yield LimitError(
                where=where,
                got=f"a segment of no length at {_place(vanishing.start)}",
                expected=f"segments longer than {_LAST_DIGIT:.{DECIMALS}f} mm",
                mend="Take out the doubled point",
            )


def _vanishes(start: Point, end: Point) -> bool:
    """Tells whether two places are written as one; most need not be rounded to see that they are not."""
    return (
        abs(start.x - end.x) < _LAST_DIGIT
        and abs(start.y - end.y) < _LAST_DIGIT
        and (snapped(start.x), snapped(start.y)) == (snapped(end.x), snapped(end.y))
    )


def _place(point: Point) -> str:
    return f"({point.x:.3f}, {point.y:.3f}) mm"


def _doubled(sheet: Sheet, cuts: Sequence[tuple[Box, Mark, Path]]) -> Iterator[LimitError]:
    """Yields an error for each cut that lies on an earlier one; sorted by their left ends, twins are near."""
    order = sorted(range(len(cuts)), key=lambda index: cuts[index][0].low.x)
    for rank, index in enumerate(order):
        box, mark, path = cuts[index]
        for other_index in order[rank + 1 :]:
            other_box, other_mark, other_path = cuts[other_index]
            if other_box.low.x - box.low.x > SAME_CUT:
                break
            if _near(box.low, other_box.low) and _near(box.high, other_box.high) and _same(path, other_path):
                first, second = (mark, other_mark) if index < other_index else (other_mark, mark)
                yield LimitError(
                    where=_where(sheet, second),
                    got=f"the same cut as part {first.part}, feature {first.feature.id}, at {_place(box.centre)}",
                    expected="every cut made once",
                    mend="Take one of the two out",
                )


def _near(one: Point, other: Point) -> bool:
    return abs(one.x - other.x) <= SAME_CUT and abs(one.y - other.y) <= SAME_CUT


def _same(one: Path, other: Path) -> bool:
    """Tells whether two paths of equal bounds follow the same line, wherever they start and whichever way."""
    circle, other_circle = as_circle(one), as_circle(other)
    if circle and other_circle:
        return True  # the bounds of a circle say all
    if circle or other_circle or len(one) != len(other):
        return False
    places = _ends_and_middles(other)
    return all(any(_near(each, place) for place in places) for each in _ends_and_middles(one))


def _ends_and_middles(path: Path) -> list[Point]:
    return [place for piece in path for place in (piece.start, piece.end, midpoint(piece))]

"""What is worth saying of sheets before they are cut."""

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

from jiggen.parts.model import Role
from jiggen.sheets.model import CUT_THROUGH, Mark, Sheet, Within
from jiggen.sheets.order import apart
from jiggen.shop.machine import Operation


def cutting_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields how far what the machine's profile asks of cuts could be had: tabs, lead-ins, and rest between cuts."""
    yield from tab_lines(sheets)
    yield from lead_lines(sheets)
    yield from rest_lines(sheets)


def lead_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields how many closed cuts start with a lead-in, of those that were to."""
    marks = [
        mark for each in _cuts(sheets, lambda operation: operation.lead_in_mm is not None) for mark in each
    ]
    if marks:
        led = sum(bool(mark.leads) for mark in marks)
        rest = "" if led == len(marks) else "; the others have no room for one, are open or have tabs"
        yield f"{led} of {len(marks)} cuts start with a lead-in{rest}"


def rest_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields how many cuts follow one nearby, where they were to lie apart."""
    rest = sheets[0].machine.rest_mm
    if rest is None:
        return
    ways = [
        apart(one.box, other.box)
        for marks in _cuts(sheets, lambda operation: operation.role in CUT_THROUGH)
        for one, other in pairwise(marks)
    ]
    near = sum(way < rest for way in ways)
    yield f"cuts that follow one another lie {rest:.0f} mm apart or more, but for {near} of {len(ways)}"


def _cuts(sheets: Sequence[Sheet], which: Callable[[Operation], bool]) -> Iterator[list[Mark]]:
    """Yields the marks of some operations in their order, sheet by sheet."""
    for sheet in sheets:
        for operation in sheet.machine.operations:
            if which(operation):
                yield list(sheet.marks(operation.name))


def tab_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields which parts tabs hold in the sheet, and which fall out since there is no room for any."""
    width = sheets[0].machine.tab_width_mm
    if width is None:
        return
    edges = [
        mark
        for each in _cuts(sheets, lambda operation: operation.role is Role.EDGE)
        for mark in each
        if mark.feature.role is Role.EDGE
    ]
    held = [f"{mark.part} ({len(mark.tabs)})" for mark in edges if mark.tabs]
    if held:
        yield (
            f"tabs of {width:.2f} mm hold {', '.join(held)} in the sheet:"
            " cut or break them when all is done, then file the edge flush"
        )
    loose = [mark.part for mark in edges if not mark.tabs]
    if loose:
        yield f"no room for two tabs, so that they fall out: {', '.join(loose)}"


def nested_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields which parts lie in openings of others, and what that asks of whoever cuts them."""
    machine = sheets[0].machine
    edges = machine.operation_for(Role.EDGE).name
    held: dict[tuple[int, Within], list[str]] = {}
    for sheet in sheets:
        for placement in sheet.placements:
            if placement.within is not None:
                held.setdefault((sheet.number, placement.within), []).append(placement.cut_part.part.name)
    for (number, within), names in held.items():
        lie, are = ("lies", "is") if len(names) == 1 else ("lie", "are")
        yield (
            f"{', '.join(names)} {lie} in the opening {within.feature} of {within.part} on sheet {number} and {are} cut"
            f" out before it: that opening is therefore cut in {edges}"
        )
    if held:
        yield (
            f"keep the order of the file within {edges}, or let the machine's software cut from the inside outward:"
            " else a part in an opening drops or shifts with the waste before it is cut"
        )
        if machine.tab_width_mm is not None:
            yield "tabs hold a part that lies in an opening in the waste, which comes out of the sheet with it"


def piece_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields which parts are made in pieces, and where those join."""
    parts = (placement.cut_part.part for sheet in sheets for placement in sheet.placements)
    pieces = [part.piece for part in parts if part.piece is not None]
    for whole in {piece.whole.name: piece.whole for piece in pieces}.values():
        mine = [piece for piece in pieces if piece.whole.name == whole.name]
        seams = sorted({seam.mark: seam for piece in mine for seam in piece.seams}.items())
        places = ", ".join(
            f"{mark} at {(seam.line.start.x + seam.line.end.x) / 2.0:.1f} mm" for mark, seam in seams
        )
        box = whole.outline.box
        yield (
            f"{whole.name}, {box.width:.0f} × {box.height:.0f} mm, is made in {mine[0].count} pieces, joined {places}:"
            f" push them together until the faces touch; the keys have {seams[0][1].clearance_mm:.2f} mm clearance"
        )

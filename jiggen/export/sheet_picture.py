"""A sheet as a picture: parts tinted, what the machine does in the colours of its operations. For eyes, not machines."""

from collections.abc import Iterator

from jiggen.export.numbers import number
from jiggen.export.path_data import path_data
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet
from jiggen.sheets.once import once

SHEET_OUTLINE, PART_TINT = "#c4ccd0", "#e3eff2"
#: Decimals of places, mm: finer than any pixel.
_DECIMALS = 2


def sheet_picture(sheet: Sheet, *, thinnest_mm: float) -> Iterator[str]:
    """Yields SVG elements, one user unit a millimetre, y down from the sheet's top.

    Args:
        sheet: Whose marks are drawn.
        thinnest_mm: Of any line, so that it is seen.
    """
    width = number(max(sheet.machine.line_width_mm, thinnest_mm))
    yield (
        f'<rect width="{number(sheet.width_mm)}" height="{number(sheet.height_mm)}" fill="none"'
        f' stroke="{SHEET_OUTLINE}" stroke-width="{number(thinnest_mm)}"/>'
    )
    yield f'<path fill="{PART_TINT}" fill-rule="evenodd" d="{_contours(sheet)}"/>'
    for operation, data in zip(sheet.machine.operations, _marks(sheet), strict=True):
        paint = (
            f'fill="{operation.colour}" fill-rule="evenodd"'
            if operation.filled
            else f'fill="none" stroke="{operation.colour}" stroke-width="{width}"'
        )
        yield f'<path {paint} d="{data}"/>'


@once
def _marks(sheet: Sheet) -> tuple[str, ...]:
    """Returns the path data of each operation's marks."""
    return tuple(
        path_data(
            [path for mark in sheet.marks(operation.name) for path in mark.paths],
            flip_at=sheet.height_mm,
            decimals=_DECIMALS,
        )
        for operation in sheet.machine.operations
    )


@once
def _contours(sheet: Sheet) -> str:
    """Returns the parts as areas; by the even-odd rule openings stay white, and parts within them do not."""
    contours = [
        placement.written(path)
        for placement in sheet.placements
        for cut in placement.cut_part.features
        if cut.feature.role in {Role.EDGE, Role.OPENING}
        for path in cut.paths
        if path.closed
    ]
    return path_data(contours, flip_at=sheet.height_mm, decimals=_DECIMALS)

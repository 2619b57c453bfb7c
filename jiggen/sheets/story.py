"""What is worth saying of sheets before they are cut."""

from collections.abc import Iterator, Sequence

from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet


def tab_lines(sheets: Sequence[Sheet]) -> Iterator[str]:
    """Yields which parts tabs hold in the sheet, and which fall out since there is no room for any."""
    width = sheets[0].machine.tab_width_mm
    if width is None:
        return
    edges = [
        mark
        for sheet in sheets
        for operation in sheet.machine.operations
        if operation.role is Role.EDGE
        for mark in sheet.marks(operation.name)
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

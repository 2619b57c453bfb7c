"""SVG: one user unit is one millimetre, nothing is transformed, one group per operation."""

from collections.abc import Iterable, Iterator
from html import escape

from jiggen.export.json_text import json_text
from jiggen.export.numbers import number
from jiggen.export.options import DEFAULTS, Options
from jiggen.export.path_data import path_data
from jiggen.export.tags import tag_fields
from jiggen.export.writer import Job, sheet_file_name
from jiggen.geometry.path import as_circle
from jiggen.sheets.check_line import CHECK, CHECK_ID, check_line
from jiggen.sheets.model import Mark, Sheet
from jiggen.shop.machine import Operation

NAMESPACE = "http://www.w3.org/2000/svg"


def sheets_as_svg(job: Job) -> Iterator[tuple[str, bytes]]:
    """Yields the sheets of a job."""
    for sheet in job.sheet_set.sheets:
        yield sheet_file_name(sheet.number, "svg"), encode_svg(sheet, job.options)


def encode_svg(sheet: Sheet, options: Options = DEFAULTS) -> bytes:
    """Returns a sheet as SVG 1.1, y flipped in the numbers: UTF-8, line feeds, a line feed at the end.

    There is no background: machine drivers cut every rectangle they find, so that what shows on light and on
    dark is the choice of colours in the machine's profile.
    """
    tags = {each.cut_part.part.name: tag_fields(each.cut_part.tag) for each in sheet.placements}
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        _root(sheet),
        f"<title>{escape(_title(sheet))}</title>",
        f"<desc>{escape(_description(sheet))}</desc>",
        f"<metadata>{escape(json_text(tags), quote=False)}</metadata>",
        *operation_groups(sheet, line_width_mm=sheet.machine.line_width_mm),
        *(_check_group(sheet) if options.check_line else ()),
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode("utf-8")


def _root(sheet: Sheet) -> str:
    width, height = number(sheet.width_mm), number(sheet.height_mm)
    return (
        f'<svg xmlns="{NAMESPACE}" version="1.1" width="{width}mm" height="{height}mm"'
        f' viewBox="0 0 {width} {height}">'
    )


def operation_groups(sheet: Sheet, *, line_width_mm: float) -> Iterator[str]:
    """Yields the lines of one `<g>` per operation, in the order in which the machine runs them.

    Args:
        sheet: Whose marks are drawn, one element each.
        line_width_mm: Of every stroke; what the machine fills has none.
    """
    for operation in sheet.machine.operations:
        yield f'<g id="{escape(operation.name)}" {_paint(operation, line_width_mm)}>'
        for mark in sheet.marks(operation.name):
            yield _element(mark, flip_at=sheet.height_mm)
        yield "</g>"


def _check_group(sheet: Sheet) -> Iterator[str]:
    data = path_data([check_line(sheet)], flip_at=sheet.height_mm)
    yield f'<g id="{CHECK.name}" {_paint(CHECK, sheet.machine.line_width_mm)}>'
    yield f'<path id="{CHECK_ID}" d="{data}"/>'
    yield "</g>"


def _paint(operation: Operation, line_width_mm: float) -> str:
    if operation.filled:
        return f'fill="{operation.colour}" fill-rule="evenodd" stroke="none"'
    return (
        f'fill="none" stroke="{operation.colour}"'
        f' stroke-width="{number(line_width_mm)}" stroke-linecap="round" stroke-linejoin="round"'
    )


def _element(mark: Mark, *, flip_at: float) -> str:
    names = f'id="{escape(mark.id)}" data-part="{escape(mark.part)}" data-feature="{escape(mark.feature.id)}"'
    circle = as_circle(mark.paths[0]) if len(mark.paths) == 1 else None
    if circle:
        centre, radius = circle
        place = f'cx="{number(centre.x)}" cy="{number(flip_at - centre.y)}" r="{number(radius)}"'
        return f"<circle {names} {place}/>"
    return f'<path {names} d="{path_data(mark.paths, flip_at=flip_at)}"/>'


def _title(sheet: Sheet) -> str:
    return ", ".join([*_design_names(sheet), f"sheet {sheet.number}"])


def _description(sheet: Sheet) -> str:
    """Returns the tags as people read them, after what every reader of the file should know."""
    scale = (
        f"{number(sheet.width_mm)} × {number(sheet.height_mm)} mm. One user unit is 1 mm: cut it at 100 %,"
        " do not fit it to the page."
    )
    return "\n".join([scale, *(each.cut_part.tag.line() for each in sheet.placements)])


def _design_names(sheet: Sheet) -> Iterable[str]:
    return dict.fromkeys(each.cut_part.tag.design_name for each in sheet.placements)

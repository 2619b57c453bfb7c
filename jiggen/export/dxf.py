"""DXF: millimetres, one layer per operation, nothing but LINE, ARC, CIRCLE and polylines.

Written by ourselves, since the file is small and plain: a library would take longer to import than the whole job
takes to write. Libraries read it back in the tests.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import count
from textwrap import wrap

from jiggen.errors import LimitError
from jiggen.export.dxf_entities import DxfEntities, Pen
from jiggen.export.dxf_frame import APPLICATION, FIRST_HANDLE, frame
from jiggen.export.numbers import DECIMALS, LETTERING_DECIMALS, number
from jiggen.export.options import DEFAULTS, Options
from jiggen.export.tags import tag_fields
from jiggen.export.writer import Job, sheet_file_name
from jiggen.parts.model import Role
from jiggen.sheets.check_line import CHECK, CHECK_ID, check_line
from jiggen.sheets.model import Mark, Sheet
from jiggen.shop.machine import Operation

#: Longest string in extended data, bytes (DXF reference, extended data).
LONGEST_STRING = 255
#: How far chords may leave their arc, mm, where arcs are not to be had: far below what a laser can show.
CHORD_ERROR = 0.001
#: What is drawn with many strokes to one meaning.
_MANY_STROKES = frozenset({Role.LETTERING, Role.LINE})
#: Longest line of a remark, bytes: well below what any reader takes.
_REMARK = 200
#: Decimals of numbers in a tag.
_TAG_DECIMALS = 10


def sheets_as_dxf(job: Job) -> Iterator[tuple[str, bytes]]:
    """Yields the sheets of a job, as the job's options ask for them."""
    for sheet in job.sheet_set.sheets:
        yield sheet_file_name(sheet.number, "dxf"), encode_dxf(sheet, job.options)


def encode_dxf(sheet: Sheet, options: Options = DEFAULTS) -> bytes:
    r"""Returns a sheet in model space, sheet coordinates, y up.

    Args:
        sheet: Has passed `lint.check_sheet`.
        options: Release of the format, and which entities to use.

    Returns:
        ANSI code page 1252 with `\U+xxxx` for what lies beyond, line feeds.

    Raises:
        LimitError: If a tag holds more than the format can.
    """
    handles = count(FIRST_HANDLE)
    drawn = [
        entity
        for operation in sheet.machine.operations
        for mark in sheet.marks(operation.name)
        for entity in _drawn(mark, _pen_of(operation, _meaning(sheet, mark), options), handles)
    ]
    operations = sheet.machine.operations
    if options.check_line:
        pen = _pen_of(CHECK, f"1001\n{APPLICATION}\n1000\n{CHECK_ID}\n", options)
        drawn += pen.draw(check_line(sheet), handles)
        operations = (*operations, CHECK)
    before, after = frame(
        options.dxf_version,
        size_mm=(sheet.width_mm, sheet.height_mm),
        operations=operations,
        remarks=_remarks(sheet),
        handles=next(handles) - FIRST_HANDLE,
    )
    return "".join((before, *drawn, after)).encode("cp1252")


def _drawn(mark: Mark, pen: Pen, handles: Iterator[int]) -> Iterator[str]:
    """Yields the entities of one mark.

    Each carries the mark's meaning, but for those of lettering and broken lines, which have so many strokes that saying it again with
    each would make up a fifth of the file. There the first carries it, with the number of entities that it is true
    of: this one and those right after it.
    """
    if len(mark.paths) == 1 or mark.feature.role not in _MANY_STROKES or pen.style is DxfEntities.PRIMITIVES:
        for path in mark.paths:
            yield from pen.draw(path, handles)
        return
    first, *others = mark.paths
    yield from replace(pen, meaning=f"{pen.meaning}1071\n{len(mark.paths)}\n").draw(first, handles)
    plain = replace(pen, meaning="")
    for path in others:
        yield from plain.draw(path, handles)


def _pen_of(operation: Operation, meaning: str, options: Options) -> Pen:
    return Pen(
        version=options.dxf_version,
        style=options.dxf_entities,
        layer=operation.name,
        aci=operation.aci,
        decimals=LETTERING_DECIMALS if operation.role is Role.LETTERING else DECIMALS,
        chord_error_mm=CHORD_ERROR,
        meaning=meaning,
    )


def _remarks(sheet: Sheet) -> Iterator[str]:
    yield f"sheet {sheet.number}, {number(sheet.width_mm)} x {number(sheet.height_mm)} mm, one unit is 1 mm"
    for placement in sheet.placements:
        cut = placement.cut_part
        yield from wrap("".join(map(_spelt, f"{cut.part.name}: {cut.tag.line()}")), _REMARK)


def _meaning(sheet: Sheet, mark: Mark) -> str:
    """Returns the extended data of one mark: its id, and on an edge the part's tag."""
    words = [mark.id]
    if mark.feature.role is Role.EDGE:
        tag = next(each.cut_part.tag for each in sheet.placements if each.cut_part.part.name == mark.part)
        for name, value in tag_fields(tag).items():
            word = f"tag.{name}={value if isinstance(value, str) else number(value, _TAG_DECIMALS)}"
            words.append(_checked(word, f"sheet {sheet.number}, part {mark.part}, tag, {name}"))
    return f"1001\n{APPLICATION}\n" + "".join(f"1000\n{word}\n" for word in words)


def _checked(text: str, where: str) -> str:
    r"""Returns a text as the format spells it: what the code page lacks as the `\U+xxxx` of its UTF-16 halves.

    Raises:
        LimitError: If it is too long.
    """
    spelt = "".join(map(_spelt, text))
    size = len(spelt)
    if size > LONGEST_STRING:
        raise LimitError(
            where=where,
            got=f"{size} bytes",
            expected=f"at most {LONGEST_STRING}, the longest text that DXF can carry",
            mend="Shorten the name",
        )
    return spelt


def _spelt(character: str) -> str:
    try:
        character.encode("cp1252")
    except UnicodeEncodeError:
        halves = character.encode("utf-16-be", "surrogatepass").hex()
        return "".join(f"\\U+{halves[at : at + 4]}" for at in range(0, len(halves), 4))
    return character

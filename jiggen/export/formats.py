"""The list of formats, and the one call that turns a job into files. A new format is one module and one row."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from jiggen.errors import InputError, JiggenError, raise_all
from jiggen.export import manifest
from jiggen.export.dxf import DxfWriter
from jiggen.export.lint import check_sheet
from jiggen.export.png import PreviewWriter
from jiggen.export.svg import SvgWriter
from jiggen.export.writer import JobWriter, SheetWriter, sheet_file_name
from jiggen.sheets.model import SheetSet

#: What writes one file per sheet, by the word for the format.
SHEET_WRITERS: Mapping[str, SheetWriter] = MappingProxyType(
    {writer.suffix: writer for writer in (DxfWriter(), SvgWriter())}
)
#: What writes one file per job.
JOB_WRITERS: Mapping[str, JobWriter] = MappingProxyType(
    {writer.suffix: writer for writer in (PreviewWriter(),)}
)
#: All words for formats, in the order in which files are listed.
FORMATS: tuple[str, ...] = (*SHEET_WRITERS, *JOB_WRITERS)


def encode_job(sheet_set: SheetSet, formats: Sequence[str] = ()) -> dict[str, bytes]:
    """Returns the files of a job by name, `manifest.json`, which lists the others, last.

    Args:
        sheet_set: What is to be made.
        formats: Words from `FORMATS`, in any order; empty: all of them.

    Raises:
        InputError: If a format is not known.
        LimitError: If a sheet holds what no machine should be given; see `lint.check_sheet`.
    """
    unknown = [each for each in formats if each not in FORMATS]
    errors: list[JiggenError] = [
        InputError(where="format", got=repr(each), expected=f"one of {', '.join(FORMATS)}")
        for each in unknown
    ]
    for sheet in sheet_set.sheets:
        try:
            check_sheet(sheet)
        except JiggenError as error:
            errors.append(error)
    raise_all(errors)
    wanted = [each for each in FORMATS if not formats or each in formats]
    files = {
        sheet_file_name(sheet.number, each): SHEET_WRITERS[each].encode(sheet)
        for sheet in sheet_set.sheets
        for each in wanted
        if each in SHEET_WRITERS
    }
    files |= {
        JOB_WRITERS[each].file_name: JOB_WRITERS[each].encode(sheet_set)
        for each in wanted
        if each in JOB_WRITERS
    }
    files[manifest.FILE_NAME] = manifest.encode_manifest(sheet_set, files)
    return files

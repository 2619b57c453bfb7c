"""The list of formats, and the one call that turns a job into files. A new format is one module and one row."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from jiggen.errors import InputError, JiggenError, raise_all
from jiggen.export import manifest
from jiggen.export.dxf import sheets_as_dxf
from jiggen.export.lint import check_sheet
from jiggen.export.page_svg import plan_as_svg
from jiggen.export.pdf import plan_as_pdf, sheets_as_pdf, tiles_as_pdf
from jiggen.export.png import plan_as_png, preview_as_png
from jiggen.export.svg import sheets_as_svg
from jiggen.export.ticket import ticket_as_html
from jiggen.export.writer import Content, Job, ProofTold, Writer

#: What writes each format, in the order in which files are listed.
WRITERS: Mapping[str, tuple[Writer, ...]] = MappingProxyType(
    {
        "dxf": (sheets_as_dxf,),
        "svg": (sheets_as_svg, plan_as_svg),
        "pdf": (sheets_as_pdf, plan_as_pdf, tiles_as_pdf),
        "png": (preview_as_png, plan_as_png),
        "ticket": (ticket_as_html,),
    }
)
#: Those that draw the instrument itself.
PLAN_WRITERS: tuple[Writer, ...] = (plan_as_svg, plan_as_pdf, tiles_as_pdf, plan_as_png)
#: All words for formats.
FORMATS: tuple[str, ...] = tuple(WRITERS)


#: Those that are begun first, since others may draw them while this process writes on.
BEGUN_FIRST: tuple[Writer, ...] = (preview_as_png, plan_as_png)
#: Those that are written last, since they tell what the proof found in the others.
AFTER_PROOF: tuple[Writer, ...] = (ticket_as_html,)

#: Looks at the files of sheets while others are written, given all of the manifest but its list of files. What it
#: returns is called with all files, the manifest among them, and tells what was found.
Judge = Callable[[bytes, Mapping[str, bytes]], Callable[[Mapping[str, bytes]], ProofTold]]


def encode_job(job: Job, formats: Sequence[str] = (), *, judge: Judge | None = None) -> dict[str, bytes]:
    """Returns the files of a job by name, `manifest.json`, which lists the others, last.

    Args:
        job: What is to be written.
        formats: Words from `FORMATS`, in any order; empty: all of them.
        judge: Looks at the files; what it tells goes into those that are written last.

    Raises:
        InputError: If a format is not known.
        LimitError: If a sheet holds what no machine should be given; see `lint.check_sheet`.
    """
    errors: list[JiggenError] = [
        InputError(where="format", got=repr(each), expected=f"one of {', '.join(FORMATS)}")
        for each in formats
        if each not in FORMATS
    ]
    for sheet in job.sheet_set.sheets:
        try:
            check_sheet(sheet)
        except JiggenError as error:
            errors.append(error)
    raise_all(errors)
    wanted = [each for each in FORMATS if not formats or each in formats]
    writers = [writer for each in wanted for writer in WRITERS[each]]
    if not job.options.plan:
        writers = [each for each in writers if each not in PLAN_WRITERS]
    early = [writer for writer in writers if writer not in AFTER_PROOF]
    contents = _contents_of(early, job)
    described = manifest.describe(job.sheet_set, contents)
    there = {name: content for name, content in contents.items() if isinstance(content, bytes)}
    judged = judge(manifest.with_files(described, {}), there) if judge else None
    files = _whole(contents)
    if judged is not None:
        told = judged({**files, manifest.FILE_NAME: manifest.with_files(described, files)})
        job = replace(job, proof=told)
    files |= _whole(_contents_of([writer for writer in writers if writer in AFTER_PROOF], job))
    files[manifest.FILE_NAME] = manifest.with_files(described, files)
    return files


def _contents_of(writers: Sequence[Writer], job: Job) -> dict[str, Content]:
    """Returns what writers yield, in their order, whichever of them was begun first."""
    begun = {
        writer: list(writer(job)) for writer in sorted(writers, key=lambda each: each not in BEGUN_FIRST)
    }
    return {name: content for writer in writers for name, content in begun[writer]}


def _whole(contents: Mapping[str, Content]) -> dict[str, bytes]:
    return {name: content if isinstance(content, bytes) else content() for name, content in contents.items()}

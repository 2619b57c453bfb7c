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
from jiggen.export.writer import ByFormat, Content, Job, PlanJob, PlanWriter, ProofTold, Writer

#: What writes the sheets in each format, in the order in which files are listed.
SHEET_WRITERS: Mapping[str, Writer] = MappingProxyType(
    {
        "dxf": sheets_as_dxf,
        "svg": sheets_as_svg,
        "pdf": sheets_as_pdf,
        "png": preview_as_png,
        "ticket": ticket_as_html,
    }
)
#: What draws the instrument itself; its files follow those of the sheets in the same format.
PLAN_WRITERS: Mapping[str, tuple[PlanWriter, ...]] = MappingProxyType(
    {"svg": (plan_as_svg,), "pdf": (plan_as_pdf, tiles_as_pdf), "png": (plan_as_png,)}
)
#: All words for formats.
FORMATS: tuple[str, ...] = tuple(SHEET_WRITERS)
#: Those whose sheets are begun first, since others may draw them while this process writes on.
BEGUN_FIRST = frozenset({"png"})
#: Those that are written last, since they tell what the proof found in the others.
AFTER_PROOF = frozenset({"ticket"})

#: Looks at the files of sheets while others are written, given all of the manifest but its list of files. What it
#: returns is called with all files, the manifest among them, and tells what was found.
Judge = Callable[[bytes, Mapping[str, bytes]], Callable[[Mapping[str, bytes]], ProofTold]]


def encode_plan(plan: PlanJob, formats: Sequence[str] = ()) -> ByFormat:
    """Returns the files that show the instrument itself.

    Args:
        plan: What is to be written.
        formats: Words from `FORMATS`, in any order; empty: all of them.

    Raises:
        JiggenError: If the plan cannot be drawn as it was asked for.
    """
    return {
        word: {name: data for writer in writers for name, data in writer(plan)}
        for word, writers in PLAN_WRITERS.items()
        if not formats or word in formats
    }


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
    _check(job, formats)
    wanted = [each for each in FORMATS if not formats or each in formats]
    plan = _begun_plan(job, wanted)
    early = [word for word in wanted if word not in AFTER_PROOF]
    late = [word for word in wanted if word in AFTER_PROOF]
    begun = {
        word: dict(SHEET_WRITERS[word](job))
        for word in sorted(early, key=lambda word: word not in BEGUN_FIRST)
    }
    contents = {name: content for word in early for name, content in begun[word].items()}
    described = manifest.describe(job.sheet_set, contents)
    there = {name: content for name, content in contents.items() if isinstance(content, bytes)}
    judged = judge(manifest.with_files(described, {}), there) if judge else None
    written = {word: _whole(begun[word]) for word in early}
    shown = plan()
    files: dict[str, bytes] = {}
    for word in early:
        files |= {**written[word], **shown.get(word, {})}
    if judged is not None:
        told = judged({**files, manifest.FILE_NAME: manifest.with_files(described, files)})
        job = replace(job, proof=told)
    for word in late:
        files |= _whole(dict(SHEET_WRITERS[word](job)))
    files[manifest.FILE_NAME] = manifest.with_files(described, files)
    return files


def _check(job: Job, formats: Sequence[str]) -> None:
    """Raises what is wrong with what is asked for."""
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


def _begun_plan(job: Job, formats: Sequence[str]) -> Callable[[], ByFormat]:
    """Returns what gives the files of the plan, none where it is not wanted."""
    if not job.options.plan:
        return dict
    return job.begun_plan or job.hands.take(encode_plan, job.plan, formats)


def _whole(contents: Mapping[str, Content]) -> dict[str, bytes]:
    return {name: content if isinstance(content, bytes) else content() for name, content in contents.items()}

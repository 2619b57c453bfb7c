"""From a design to proven files: sheets written, read back and saved. The command line and scripts call this."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

from jiggen.design.model import Design
from jiggen.export.save import Saved, foresee_job, save_job
from jiggen.export.slug import slug
from jiggen.hands import ALONE, Hands
from jiggen.layout.worked_neck import Neck
from jiggen.prepare import Order, draw_up
from jiggen.proof.report import Report
from jiggen.reckon import work_out
from jiggen.sheets.cost import cost_of_sheet
from jiggen.sheets.leftover import usage_line
from jiggen.sheets.model import SheetSet
from jiggen.sheets.story import cutting_lines, nested_lines, piece_lines
from jiggen.shop.story import growth_lines, mirrored_line

if TYPE_CHECKING:
    from jiggen.export.writer import ByFormat

#: What is said of files that were not proved.
NOT_PROVED = "not proved: nobody has read these files back and measured them"
#: Words for the formats that the proof can read back.
PROVED_FORMATS = frozenset({"dxf", "svg"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What a run made.

    Attributes:
        neck: What it was made for.
        sheet_set: The sheets.
        files: Sizes in bytes by file name, in the order in which they were written.
        saved: What was done to the folder, or would be.
        dry_run: Whether nothing was written.
        report: What the proof found; None when it was left out.
    """

    neck: Neck
    sheet_set: SheetSet
    files: Mapping[str, int]
    saved: Saved
    dry_run: bool
    report: Report | None

    @property
    def folder(self) -> Path:
        """Where the files are, or would be."""
        return self.saved.folder

    def lines(self) -> Iterator[str]:
        """Yields what was made and how the proof went, for people."""
        for sheet in self.sheet_set.sheets:
            parts = ", ".join(placement.cut_part.part.name for placement in sheet.placements)
            cost = cost_of_sheet(sheet, self.sheet_set.material).total
            price = f", {cost}" if cost else ""
            size = f"{sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm"
            yield f"sheet {sheet.number}, {size}, {usage_line(sheet)}{price}: {parts}"
        placements = [each for sheet in self.sheet_set.sheets for each in sheet.placements]
        yield from piece_lines(self.sheet_set.sheets)
        yield from mirrored_line([each.cut_part for each in placements])
        yield from cutting_lines(self.sheet_set.sheets)
        yield from nested_lines(self.sheet_set.sheets)
        yield from growth_lines(
            self.sheet_set.workshop, self.neck.spec.scale.value, self.neck.telling_frets()
        )
        yield from (
            self._dry_lines() if self.dry_run else (f"wrote {', '.join(self.files)} to {self.folder}",)
        )
        yield self.report.verdict() if self.report else NOT_PROVED

    def _dry_lines(self) -> Iterator[str]:
        from jiggen.proof.known import is_earlier

        yield f"would write to {self.folder}:"
        for name, size in self.files.items():
            yield f"  {name}, {size} bytes, {'replaces one' if name in self.saved.replaced else 'new'}"
        yield from (f"  {name} would go" for name in self.saved.removed)
        yield from (f"  {name} is yours and would stay" for name in self.saved.kept if not is_earlier(name))


def ready_to_help() -> None:
    """Imports what writing and proof take, so that a process that is to help need not begin with it."""
    for name in ("jiggen.export.formats", "jiggen.proof.prove", "resvg_py"):
        import_module(name)


class UnprovenError(Exception):
    """The files do not say what the layout says: a mistake of ours, so nothing was saved."""


def make(
    design: Design,
    order: Order,
    out: Path,
    *,
    replace_edited: bool = False,
    dry_run: bool = False,
    hands: Hands = ALONE,
) -> Made:
    """Makes the files of a design and saves them, whole or not at all, once they have passed the proof.

    Args:
        design: What the maker said.
        order: What is asked beyond it.
        out: Folder in which the set gets a folder of its own.
        replace_edited: Whether files changed by hand since may be written over.
        dry_run: Whether to do all but write.
        hands: Who may help.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    neck = work_out(design)
    plan = _begin_plan(neck, order, hands)
    sheet_set, folder = draw_up(neck, order), out / slug(design.name)
    return make_of(
        neck,
        sheet_set,
        order,
        folder,
        replace_edited=replace_edited,
        dry_run=dry_run,
        hands=hands,
        plan=plan,
    )


def _begin_plan(neck: Neck, order: Order, hands: Hands) -> "Callable[[], ByFormat]":
    """Has others write the files of the plan while the sheets are drawn up here; returns what gives them."""
    from jiggen.export.formats import encode_plan
    from jiggen.export.writer import PlanJob

    job = PlanJob(layout=neck.layout, setup=neck.setup, design_id=neck.id, options=order.options)
    return hands.take(encode_plan, job, order.formats)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The files of a run, not saved yet.

    Attributes:
        neck: What they are for.
        sheet_set: The sheets.
        files: Bytes by name, as `make` saves them in a new folder.
        report: What the proof found; None when it was left out.
    """

    neck: Neck
    sheet_set: SheetSet
    files: Mapping[str, bytes]
    report: Report | None


def write_up(design: Design, order: Order) -> Written:
    """Returns the files that `make` would save, proven, and touches no disk.

    Args:
        design: What the maker said.
        order: What is asked beyond it.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    neck = work_out(design)
    return _written(neck, draw_up(neck, order), order)


def make_of(
    neck: Neck,
    sheet_set: SheetSet,
    order: Order,
    folder: Path,
    *,
    replace_edited: bool,
    dry_run: bool = False,
    hands: Hands = ALONE,
    plan: "Callable[[], ByFormat] | None" = None,
) -> Made:
    """Writes sheets, proves what was written and saves it, unless it is a dry run.

    Args:
        neck: That the sheets are for; of a class, the first.
        sheet_set: What is cut.
        order: How it is written.
        folder: Of the set.
        replace_edited: Whether files changed by hand since may be written over.
        dry_run: Whether to do all but write.
        hands: Who may help.
        plan: Gives the files of the plan where somebody is at them already.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    from jiggen.proof.known import earlier_file

    written = _written(neck, sheet_set, order, hands, plan)
    files = dict(written.files)
    earlier = earlier_file(folder, sheet_set.design_id)
    if earlier is not None:
        files[earlier[0]] = earlier[1]
    save = foresee_job if dry_run else save_job
    saved = save(folder, files, replace_edited=replace_edited)
    sizes = {name: len(data) for name, data in files.items()}
    return Made(
        neck=neck, sheet_set=sheet_set, files=sizes, saved=saved, dry_run=dry_run, report=written.report
    )


def _written(
    neck: Neck,
    sheet_set: SheetSet,
    order: Order,
    hands: Hands = ALONE,
    plan: "Callable[[], ByFormat] | None" = None,
) -> Written:
    """Writes sheets and proves what was written.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    # Late, since writers and proof take twice as long to import as a layout takes to print.
    from jiggen.export.formats import encode_job
    from jiggen.export.manifest import FILE_NAME as MANIFEST
    from jiggen.export.writer import Job, ProofTold
    from jiggen.proof.manifest import read_hashes, read_manifest
    from jiggen.proof.prove import Proving

    reports: list[Report] = []

    def judge(described: bytes, files: Mapping[str, bytes]) -> Callable[[Mapping[str, bytes]], ProofTold]:
        if not order.proof:
            return lambda _: ProofTold(verdict=NOT_PROVED)
        alone: Mapping[str, bytes] = {}
        if order.formats and PROVED_FORMATS.isdisjoint(order.formats):
            # The proof reads DXF and SVG. Where neither is wanted, the sheets are written once more for it alone.
            files = alone = encode_job(replace(job, options=replace(job.options, plan=False)), ("svg",))
            described = alone[MANIFEST]
        proving = Proving(read_manifest(described), files, hands)

        def told(written: Mapping[str, bytes]) -> ProofTold:
            final = alone or written
            others = {name: data for name, data in final.items() if name != MANIFEST}
            report = proving.report(read_hashes(final[MANIFEST]), others)
            if not report.ok:
                raise UnprovenError(f"the written files failed the proof; nothing was saved\n{report.text()}")
            reports.append(report)
            head, rows = report.summary()
            return ProofTold(verdict=report.verdict(), head=head, rows=rows)

        return told

    job = Job(
        sheet_set=sheet_set,
        layout=neck.layout,
        setup=neck.setup,
        options=order.options,
        hands=hands,
        begun_plan=plan,
    )
    files = encode_job(job, order.formats, judge=judge)
    return Written(neck=neck, sheet_set=sheet_set, files=files, report=reports[0] if reports else None)

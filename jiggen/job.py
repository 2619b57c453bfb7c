"""From a worked-out neck to proven files, as named steps. The command line and scripts call these."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from importlib import import_module
from pathlib import Path

from jiggen import __version__
from jiggen.design.model import Design, Make, Stock
from jiggen.design.spec import Spec
from jiggen.errors import JiggenError, raise_all
from jiggen.export.options import DEFAULTS, Options
from jiggen.export.save import Saved, foresee_job, save_job
from jiggen.export.slug import slug
from jiggen.hands import ALONE, Hands
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import choose
from jiggen.parts.model import Bench, Part
from jiggen.profiles import find
from jiggen.proof.report import Report
from jiggen.reckon import work_out
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.cost import cost_of_sheet
from jiggen.sheets.in_pieces import in_pieces
from jiggen.sheets.leftover import usage_line
from jiggen.sheets.model import Member, SheetSet
from jiggen.sheets.nest import nest
from jiggen.sheets.story import cutting_lines, nested_lines, piece_lines
from jiggen.shop.check import check_part
from jiggen.shop.compensate import compensate
from jiggen.shop.limits import allowed, errors_of
from jiggen.shop.model import CutPart
from jiggen.shop.read import machine_from_profile, material_from_profile
from jiggen.shop.story import growth_lines, mirrored_line
from jiggen.shop.tag import tag_of
from jiggen.shop.workshop import Workshop, fit_out
from jiggen.splitting.split import IN_ONE, Wish, check_names

__all__ = [
    "NOT_PROVED",
    "Made",
    "Order",
    "UnprovenError",
    "Written",
    "cut_parts_of",
    "draw_parts",
    "draw_up",
    "fit_out_workshop",
    "laid",
    "lay_on_sheets",
    "make",
    "make_of",
    "ready_to_help",
    "write_up",
]

DEFAULT_MATERIAL, DEFAULT_MACHINE = "cast-acrylic-3", "large-laser"
#: What is said of files that were not proved.
NOT_PROVED = "not proved: nobody has read these files back and measured them"
#: Words for the formats that the proof can read back.
PROVED_FORMATS = frozenset({"dxf", "svg"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is asked of a run beyond the design itself; what is empty is taken from the design, then the defaults.

    Attributes:
        parts: Names of parts.
        material: Name of a material profile.
        machine: Name of a machine profile.
        stock: Sheets at hand.
        allow: Names of warnings that the maker has seen.
        formats: Words for formats, such as `dxf` and `svg`; empty: all.
        options: How the files are written.
        proof: Whether the files are read back and measured before they are saved.
        tab_width_mm: Of tabs that hold parts in the sheet; None: as the machine's profile says.
        pieces: How parts are divided that are too large for the bed.
    """

    parts: tuple[str, ...] = ()
    material: str = ""
    machine: str = ""
    stock: tuple[Stock, ...] = ()
    formats: tuple[str, ...] = ()
    allow: tuple[str, ...] = ()
    options: Options = DEFAULTS
    proof: bool = True
    tab_width_mm: float | None = None
    pieces: Wish = field(default_factory=Wish)


def fit_out_workshop(make: Make, order: Order) -> Workshop:
    """Returns the workshop that a design and an order ask for.

    Raises:
        JiggenError: If a material or a machine is not known, or the one must not go on the other.
    """
    material = material_from_profile(find("materials", order.material or make.material or DEFAULT_MATERIAL))
    machine = machine_from_profile(find("machines", order.machine or make.machine or DEFAULT_MACHINE))
    if order.tab_width_mm is not None:
        machine = replace(machine, tab_width_mm=order.tab_width_mm or None)
    return fit_out(material, machine, replace(make, stock=order.stock or make.stock))


def draw_up(neck: Neck, order: Order) -> SheetSet:
    """Returns the sheets to cut: parts drawn, made the right size for machine and material, and laid on stock.

    Raises:
        JiggenError: If a part, a material or a machine is not known, or a part cannot be made or does not fit.
    """
    workshop = fit_out_workshop(neck.spec.make, order)
    parts = draw_parts(neck, order, workshop)
    return lay_on_sheets(parts, neck, workshop, allow=order.allow, pieces=order.pieces)


def bench_of(workshop: Workshop) -> Bench:
    """Returns what a part must know of where it is made and used."""
    return Bench(
        smallest_lettering_mm=workshop.machine.smallest_lettering_mm,
        thickness_mm=workshop.material.thickness_mm,
    )


def draw_parts(neck: Neck, order: Order, workshop: Workshop) -> list[Part]:
    """Returns the parts that are asked for, at finished size.

    Raises:
        JiggenError: If a part is not known, or cannot be drawn for this neck.
    """
    bench = bench_of(workshop)
    where = "--only" if order.parts else "make.parts"
    entries = choose(order.parts or neck.spec.make.parts, neck, where=where)
    return [part for entry in entries for part in entry.build(neck, bench)]


def lay_on_sheets(
    parts: Sequence[Part],
    neck: Neck,
    workshop: Workshop,
    *,
    allow: Sequence[str] = (),
    pieces: Wish = IN_ONE,
) -> SheetSet:
    """Returns parts as they must be cut, laid on sheets and checked against what machine and sheet can take.

    Args:
        parts: At finished size.
        neck: That they were drawn from.
        workshop: How they are made.
        allow: Names of warnings that the maker has seen.
        pieces: How parts are divided that are too large for the bed; when left out, they are not.

    Raises:
        JiggenError: If a part cannot be made, does not fit or breaks a limit; all that is wrong with all parts.
    """
    cut_parts = cut_parts_of(parts, neck, workshop, pieces)
    return laid(cut_parts, neck.spec, neck.id, workshop, allow=allow)


def cut_parts_of(parts: Sequence[Part], neck: Neck, workshop: Workshop, pieces: Wish) -> list[CutPart]:
    """Returns parts as they must be cut, each with its tag; those that are too large for the bed in pieces.

    Args:
        parts: At finished size.
        neck: That they were drawn from.
        workshop: How they are made.
        pieces: How parts are divided.

    Raises:
        JiggenError: If a part cannot be made; all that is wrong with all parts.
    """

    def cut(part: Part) -> CutPart:
        tag = tag_of(part, workshop, spec=neck.spec, identity=neck.id, version=__version__)
        return compensate(part, workshop, tag)

    check_names(pieces, [part.name for part in parts])
    errors: list[JiggenError] = []
    cut_parts: list[CutPart] = []
    for part in parts:
        try:
            cut_parts += in_pieces(part, neck.spec, workshop, pieces, cut)
        except JiggenError as error:
            errors.append(error)
    raise_all(errors)
    return cut_parts


def laid(
    cut_parts: Sequence[CutPart],
    spec: Spec,
    identity: str,
    workshop: Workshop,
    *,
    allow: Sequence[str] = (),
    members: Sequence[Member] = (),
) -> SheetSet:
    """Returns parts laid on sheets, and checked against what machine and sheet can take.

    Args:
        cut_parts: As they must be cut.
        spec: What the whole is called, and how accurate it is to be.
        identity: Id of the design, or of a class of them.
        workshop: How they are made.
        allow: Names of warnings that the maker has seen.
        members: The designs of a class, when the parts are those of several.

    Raises:
        JiggenError: If a part does not fit or breaks a limit; all that is wrong with all parts.
    """
    sheets = nest(cut_parts, workshop.machine, workshop.stock)
    findings = allowed(
        (
            *(finding for part in cut_parts for finding in check_part(part, workshop)),
            *(finding for sheet in sheets for finding in check_sheet_room(sheet)),
        ),
        allow,
        where="--allow",
    )
    raise_all(errors_of(findings))
    return SheetSet(
        spec=spec,
        design_id=identity,
        workshop=workshop,
        sheets=sheets,
        findings=findings,
        members=tuple(members),
    )


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
    sheet_set, folder = draw_up(neck, order), out / slug(design.name)
    return make_of(
        neck, sheet_set, order, folder, replace_edited=replace_edited, dry_run=dry_run, hands=hands
    )


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

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    from jiggen.proof.known import earlier_file

    written = _written(neck, sheet_set, order, hands)
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


def _written(neck: Neck, sheet_set: SheetSet, order: Order, hands: Hands = ALONE) -> Written:
    """Writes sheets and proves what was written.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    # Late, since writers and proof take twice as long to import as a layout takes to print.
    from jiggen.export.formats import encode_job
    from jiggen.export.manifest import FILE_NAME as MANIFEST
    from jiggen.export.writer import Job, ProofTold
    from jiggen.proof.manifest import read_manifest
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
            report = proving.report(read_manifest(final[MANIFEST]).hashes, others)
            if not report.ok:
                raise UnprovenError(f"the written files failed the proof; nothing was saved\n{report.text()}")
            reports.append(report)
            head, rows = report.summary()
            return ProofTold(verdict=report.verdict(), head=head, rows=rows)

        return told

    job = Job(sheet_set=sheet_set, layout=neck.layout, setup=neck.setup, options=order.options, hands=hands)
    files = encode_job(job, order.formats, judge=judge)
    return Written(neck=neck, sheet_set=sheet_set, files=files, report=reports[0] if reports else None)

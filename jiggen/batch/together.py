"""The parts of several designs on the same sheets: each lettered with its owner, proven, and saved as a set."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from jiggen import __version__
from jiggen.batch.model import ClassSheet, State, Together
from jiggen.batch.record import Kept, manifest_checksum, mark_of
from jiggen.design.model import Design
from jiggen.errors import JiggenError, raise_all
from jiggen.export.slug import slug
from jiggen.job import UnprovenError, make_of
from jiggen.layout.worked_neck import Neck
from jiggen.prepare import Order, cut_parts_of, draw_parts, fit_out_workshop, laid
from jiggen.reckon import work_out
from jiggen.sheets.estimate import share_used, total_seconds, work_of
from jiggen.sheets.leftover import size_left
from jiggen.sheets.model import Member, SheetSet
from jiggen.sheets.story import cutting_lines, nested_lines, piece_lines
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop

#: What is written of sheets that hold several designs: they have no plan and no ticket of their own.
FORMATS = ("dxf", "svg", "pdf", "png")


@dataclass(frozen=True, slots=True, kw_only=True)
class GroupTask:
    """What one process is asked to do.

    Attributes:
        title: Of the set, as written into its files.
        folder: Name of its folder.
        designs: Whose parts lie together; all are made in the same workshop.
        order: What is asked beyond them.
        out: The output folder.
        kept: What was made before; None makes it again whatever was.
        replace_edited: Whether files changed by hand since may be written over.
    """

    title: str
    folder: str
    designs: tuple[Design, ...]
    order: Order
    out: Path
    kept: Kept | None
    replace_edited: bool


def make_together(task: GroupTask) -> Together:
    """Returns what became of a group; whatever the maker can mend is told in it and not raised."""
    necks = [work_out(_with_owner(design)) for design in task.designs]
    workshop = fit_out_workshop(necks[0].spec.make, task.order)
    order = _order_of_group(task.order)
    group = Together(
        folder=task.folder,
        material=workshop.material.title,
        state=State.FAILED,
        cautions=workshop.cautions,
        mark=mark_of(task.title, [(neck.spec, neck.setup) for neck in necks], workshop, order, __version__),
    )
    folder = task.out / task.folder
    if task.kept is not None and task.kept.holds(folder, group.mark):
        sheets = tuple(replace(each, folder=task.folder) for each in task.kept.sheets)
        kept = task.kept
        return replace(
            group,
            state=State.KEPT,
            manifest=kept.manifest,
            sheets=sheets,
            verdict=kept.verdict,
            told=kept.told,
        )
    try:
        sheet_set = lay_together(necks, workshop, order, title=task.title)
        made = make_of(necks[0], sheet_set, order, folder, replace_edited=task.replace_edited)
    except JiggenError as error:
        return replace(group, fault=str(error))
    except UnprovenError as error:
        return replace(group, fault=str(error), is_ours=True)
    except OSError as error:
        return replace(group, fault=f"{error.filename or 'file'}: {error.strerror or error}")
    return replace(
        group,
        state=State.MADE,
        manifest=manifest_checksum(folder),
        sheets=tuple(_sheets(sheet_set, task.folder)),
        verdict=made.report.verdict() if made.report else "",
        told=(
            *piece_lines(sheet_set.sheets),
            *cutting_lines(sheet_set.sheets),
            *nested_lines(sheet_set.sheets),
        ),
    )


def lay_together(necks: Sequence[Neck], workshop: Workshop, order: Order, *, title: str) -> SheetSet:
    """Returns the parts of several designs on the same sheets.

    Args:
        necks: Worked out from designs whose names tell them apart.
        workshop: In which all are made.
        order: Which parts, and what may be.
        title: Of the whole.

    Raises:
        JiggenError: If a part cannot be made or does not fit; all that is wrong with all of them.
    """
    parts: list[CutPart] = []
    faults: list[JiggenError] = []
    for neck in necks:
        try:
            drawn = draw_parts(neck, order, workshop)
            for cut in cut_parts_of(drawn, neck, workshop, order.pieces):
                name = f"{slug(neck.spec.design.name)}-{cut.part.name}"
                parts.append(replace(cut, part=cut.part.renamed(name)))
        except JiggenError as fault:
            faults.append(fault)
    raise_all(faults)
    members = tuple(Member(spec=neck.spec, design_id=neck.id) for neck in necks)
    design = replace(necks[0].spec.design, name=title, owner="", date="", revision="", note="")
    return laid(
        parts,
        replace(necks[0].spec, design=design),
        _class_id(members),
        workshop,
        allow=order.allow,
        members=members,
    )


def _with_owner(design: Design) -> Design:
    """Returns the design under a name that tells whose it is, since parts are lettered with the name."""
    return replace(design, name=lettered_name(design.name, design.owner))


def lettered_name(name: str, owner: str) -> str:
    """Returns what a design is called on sheets that hold several: its name, and whose it is."""
    return name if not owner or owner in name else f"{name} · {owner}"


def _class_id(members: Sequence[Member]) -> str:
    digits = mark_of([(each.spec.design.name, each.design_id) for each in members])[:8].upper()
    return f"{digits[:4]}-{digits[4:]}"


def _order_of_group(order: Order) -> Order:
    formats = tuple(each for each in order.formats or FORMATS if each in FORMATS)
    return replace(order, formats=formats or ("svg",), options=replace(order.options, plan=False))


def _sheets(sheet_set: SheetSet, folder: str) -> list[ClassSheet]:
    return [
        ClassSheet(
            folder=folder,
            number=sheet.number,
            size=f"{sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm",
            used=share_used(sheet),
            left=size_left(sheet),
            seconds=total_seconds(work_of(sheet)),
            parts=tuple(
                (placement.cut_part.tag.design_name, placement.cut_part.part.title)
                for placement in sheet.placements
            ),
        )
        for sheet in sheet_set.sheets
    ]

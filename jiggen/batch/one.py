"""One design of many: made into its own folder, or kept where nothing has changed."""

from dataclasses import dataclass, replace
from pathlib import Path

from jiggen import __version__
from jiggen.batch.model import Outcome, State
from jiggen.batch.record import Kept, manifest_checksum, mark_of
from jiggen.design.model import Design
from jiggen.errors import JiggenError
from jiggen.export.slug import slug
from jiggen.job import NOT_PROVED, UnprovenError, make_of
from jiggen.prepare import Order, draw_up, fit_out_workshop
from jiggen.reckon import work_out
from jiggen.shop.limits import told


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What one process is asked to do.

    Attributes:
        where: As in the source.
        design: To make.
        order: What is asked beyond it.
        out: The output folder.
        kept: What was made before; None makes it again whatever was.
        replace_edited: Whether files changed by hand since may be written over.
    """

    where: str
    design: Design
    order: Order
    out: Path
    kept: Kept | None
    replace_edited: bool


def make_one(task: Task) -> Outcome:
    """Returns what became of a design; whatever the maker can mend is told in the outcome and not raised."""
    design = task.design
    outcome = Outcome(
        where=task.where,
        name=design.name,
        owner=design.owner,
        folder=slug(design.name),
        state=State.FAILED,
    )
    try:
        return _made(task, outcome)
    except JiggenError as error:
        return replace(outcome, fault=str(error))
    except UnprovenError as error:
        return replace(outcome, fault=str(error), is_ours=True)
    except OSError as error:
        return replace(outcome, fault=f"{error.filename or 'file'}: {error.strerror or error}")


def _made(task: Task, outcome: Outcome) -> Outcome:
    neck = work_out(task.design)
    workshop = fit_out_workshop(neck.spec.make, task.order)
    outcome = replace(
        outcome,
        id=neck.id,
        shop=mark_of(workshop),
        material=workshop.material.title,
        mark=mark_of(neck.spec, neck.setup, workshop, task.order, __version__),
        doubts=tuple(doubt.text for doubt in neck.doubts),
    )
    folder = task.out / outcome.folder
    if task.kept is not None and task.kept.holds(folder, outcome.mark):
        return replace(outcome, state=State.KEPT, manifest=task.kept.manifest, told=task.kept.told)
    sheet_set = draw_up(neck, task.order)
    made = make_of(neck, sheet_set, task.order, folder, replace_edited=task.replace_edited)
    findings = told([each for each in sheet_set.findings if not each.allowed])
    unproved = () if made.report else (NOT_PROVED,)
    return replace(outcome, state=State.MADE, manifest=manifest_checksum(folder), told=(*findings, *unproved))

"""A run over many designs: spread over processes, in the order of the sources whatever their number."""

import re
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, Future
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path
from typing import TypeVar

from jiggen.batch.model import Outcome, Source, State, Together
from jiggen.batch.one import Task, make_one
from jiggen.batch.record import Kept, known_of, read_record, record_bytes
from jiggen.batch.together import GroupTask, lettered_name, make_together
from jiggen.design.model import Design
from jiggen.errors import InputError
from jiggen.export.class_page import ClassRow, SheetRow, class_page
from jiggen.export.save import write_file
from jiggen.export.slug import slug
from jiggen.hands import processes
from jiggen.job import ready_to_help
from jiggen.prepare import Order

T = TypeVar("T")
R = TypeVar("R")

#: How many designs lie together in one set at most: a class, and little enough to be held in memory.
MOST_TOGETHER = 24
#: What the sheets of one design cannot know of those of another.
_WHOLE_STOCK = (
    "each design's own set, and each set of shared sheets, is laid on the whole stock, as if nothing else were cut from it:"
    " cut one or the other, and see that there are sheets for all"
)
#: Tasks handed out ahead for each process, so that none waits and few lie about.
_AHEAD = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """What is asked of a run.

    Attributes:
        order: What is asked beyond each design.
        out: The output folder.
        name: Of the class.
        jobs: How many processes work; 1: this one alone.
        again: Whether all is made again, whatever has changed.
        apart: Whether only each design's own set is made.
        replace_edited: Whether files changed by hand since may be written over.
    """

    order: Order
    out: Path
    name: str
    jobs: int = 1
    again: bool = False
    apart: bool = False
    replace_edited: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """What a run did.

    Attributes:
        outcomes: Of each design, in the order of the sources.
        together: The sets that hold several designs.
        page: The summary.
        notes: What to know before anything is cut.
    """

    outcomes: tuple[Outcome, ...]
    together: tuple[Together, ...]
    page: Path
    notes: tuple[str, ...] = ()


def make_many(sources: Iterable[Source], run: Run, *, tick: Callable[[], None]) -> Done:
    """Makes the sets of many designs, then the sheets on which their parts lie together, then the summary.

    Args:
        sources: Read one by one.
        run: What is asked.
        tick: Called after each design.

    Raises:
        JiggenError: If the record of an earlier run cannot be read, or a file of the maker's own is in the way.
    """
    stem = slug(run.name)
    record_path, page_path = run.out / f"{stem}.json", run.out / f"{stem}.html"
    record = {} if run.again else read_record(record_path)
    _refuse_other_page(page_path)
    run.out.mkdir(parents=True, exist_ok=True)
    outcomes: list[Outcome] = []
    together: list[Together] = []
    designs: dict[str, Design] = {}
    try:
        with _processes(run.jobs) as pool:
            for outcome in _spread(pool, _one, _tasks(sources, run, record, designs), run.jobs):
                outcomes.append(outcome)
                tick()
        # In this process, a class at a time: two at once, or one in each of several processes, take too much memory.
        groups = [] if run.apart else _groups(outcomes, designs, run, record)
        together.extend(make_together(group) for group in groups)
    except BaseException:  # what stops a run, Ctrl-C above all, must not make the next one do all anew
        write_file(record_path, record_bytes({**record, **known_of(outcomes, together)}), overwrite=True)
        raise
    write_file(record_path, record_bytes(known_of(outcomes, together)), overwrite=True)
    counted = run.order.stock or any(design.make.stock for design in designs.values())
    notes = (_WHOLE_STOCK,) if counted else ()
    write_file(page_path, _page(run.name, outcomes, together, notes), overwrite=True)
    return Done(outcomes=tuple(outcomes), together=tuple(together), page=page_path, notes=notes)


def _tasks(
    sources: Iterable[Source], run: Run, record: Mapping[str, Kept], designs: dict[str, Design]
) -> Iterator[Task | Outcome]:
    """Yields a task for each source, or what became of it where there is nothing to do; notes the designs."""
    taken: dict[str, str] = {}
    for source in sources:
        design = source.design
        if not isinstance(design, Design):
            yield Outcome(where=source.where, state=State.FAILED, fault=str(design))
            continue
        folder = slug(design.name)
        if re.fullmatch(f"{re.escape(slug(run.name))}(-[0-9]+)?", folder):
            taken[folder] = "the class"
        if folder in taken:
            fault = InputError(
                where=source.where,
                got=f'the name "{design.name}", whose folder {folder} is that of {taken[folder]} too',
                expected="a name of its own for each design",
                mend="Change the name",
            )
            yield Outcome(
                where=source.where, name=design.name, owner=design.owner, state=State.FAILED, fault=str(fault)
            )
            continue
        taken[folder] = source.where
        designs[folder] = design
        yield Task(
            where=source.where,
            design=design,
            order=run.order,
            out=run.out,
            kept=record.get(folder),
            replace_edited=run.replace_edited,
        )


def _one(task: Task | Outcome) -> Outcome:
    return task if isinstance(task, Outcome) else make_one(task)


def _groups(
    outcomes: Sequence[Outcome], designs: Mapping[str, Design], run: Run, record: Mapping[str, Kept]
) -> list[GroupTask]:
    """Returns the sets of designs that can lie on the same sheets, none of more than a class."""
    by_shop: dict[str, list[Outcome]] = {}
    for each in outcomes:
        if each.state is not State.FAILED:
            by_shop.setdefault(each.shop, []).append(each)
    groups = [
        mine[at : at + MOST_TOGETHER]
        for mine in by_shop.values()
        for at in range(0, len(mine), MOST_TOGETHER)
    ]
    tasks: list[GroupTask] = []
    for number, group in enumerate(groups, start=1):
        title = run.name if len(groups) == 1 else f"{run.name} {number}"
        tasks.append(
            GroupTask(
                title=title,
                folder=slug(title),
                designs=tuple(designs[each.folder] for each in group),
                order=run.order,
                out=run.out,
                kept=record.get(slug(title)),
                replace_edited=run.replace_edited,
            )
        )
    return tasks


def _processes(jobs: int) -> AbstractContextManager[Executor | None]:
    """Gives the processes that do the work, none when this one does it all."""
    return nullcontext() if jobs == 1 else processes(jobs, ready=ready_to_help)


def _spread(pool: Executor | None, work: Callable[[T], R], tasks: Iterable[T], jobs: int) -> Iterator[R]:
    """Yields what each task comes to, in their order, with no more of them under way than keeps all busy."""
    if pool is None:
        yield from map(work, tasks)
        return
    waiting: deque[Future[R]] = deque()
    for task in tasks:
        waiting.append(pool.submit(work, task))
        if len(waiting) >= _AHEAD * jobs:
            yield waiting.popleft().result()
    while waiting:
        yield waiting.popleft().result()


def _refuse_other_page(path: Path) -> None:
    """Refuses to write over a page that is not the summary of an earlier run."""
    if path.exists() and b'name="generator" content="jiggen' not in path.read_bytes()[:2000]:
        raise InputError(
            where=str(path),
            got="a file that jiggen did not write",
            expected="none there, or the summary of an earlier run",
            mend="Give the run another name with --class-name, or move the file",
        )


def _page(
    name: str, outcomes: Sequence[Outcome], together: Sequence[Together], notes: Sequence[str]
) -> bytes:
    numbers: dict[str, list[str]] = {}
    folders: dict[str, str] = {}
    for group in together:
        for sheet in group.sheets:
            for design in dict.fromkeys(design for design, _ in sheet.parts):
                folders[design] = group.folder
                numbers.setdefault(design, []).append(str(sheet.number))
    lies_on = {design: f"{folders[design]} {', '.join(mine)}" for design, mine in numbers.items()}
    return class_page(
        name,
        rows=[
            ClassRow(
                name=each.name or each.where,
                owner=each.owner,
                id=each.id,
                folder=each.folder if not each.fault else "",
                material=each.material,
                sheets=lies_on.get(lettered_name(each.name, each.owner), ""),
                state=each.state.value,
                remarks=(*each.doubts, *each.told),
                fault=each.fault,
            )
            for each in outcomes
        ],
        sheets=[
            SheetRow(
                folder=group.folder,
                number=sheet.number,
                material=group.material,
                size=sheet.size,
                used=sheet.used,
                left=sheet.left,
                seconds=sheet.seconds,
                parts=sheet.parts,
            )
            for group in together
            for sheet in group.sheets
        ],
        faults=[each.fault for each in together if each.fault],
        verdicts=[f"{each.folder}: {each.verdict}" for each in together if each.verdict],
        told=[f"{each.folder}: {sentence}" for each in together for sentence in each.told],
        cautions=tuple(dict.fromkeys(caution for each in together for caution in each.cautions)),
        notes=notes,
    )

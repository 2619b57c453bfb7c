"""`jiggen make` for more than one design: a class, or a family of one design."""

import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from jiggen.batch.model import Outcome, Source, State, Together
from jiggen.errors import InputError, JiggenError
from jiggen.prepare import Order


def make_class(
    designs: Sequence[Path],
    order: Order,
    out: Path,
    *,
    base: Path | None,
    name: str,
    jobs: int,
    again: bool,
    apart: bool,
    replace_edited: bool,
) -> None:
    """Makes the sets of many designs and prints what became of each; ends the program with 1 or 2 if one failed."""
    from jiggen.batch.run import Run, make_many

    sources = list(_sources(designs, _tables(base)))
    run = Run(
        order=order,
        out=out,
        name=name or _name_of(designs),
        jobs=jobs or min(os.cpu_count() or 1, max(len(sources), 1)),
        again=again,
        apart=apart,
        replace_edited=replace_edited,
    )
    with click.progressbar(
        length=len(sources), label="designs", file=sys.stderr, hidden=not sys.stderr.isatty()
    ) as bar:
        done = make_many(sources, run, tick=lambda: bar.update(1))
    for outcome in done.outcomes:
        _tell(outcome)
    for group in done.together:
        _tell_group(group)
    count = {state: sum(each.state is state for each in done.outcomes) for state in State}
    click.echo(", ".join(f"{number} {state}" for state, number in count.items() if number))
    click.echo(f"summary: {done.page}")
    for note in done.notes:
        click.echo(f"note: {note}", err=True)
    _tell_cautions(done.together)
    ours = [each.is_ours for each in done.outcomes if each.fault]
    ours += [each.is_ours for each in done.together if each.fault]
    if ours:
        sys.exit(1 if any(ours) else 2)


def make_family(design: Path, text: str, order: Order, out: Path, *, name: str, replace_edited: bool) -> None:
    """Makes the parts of a design for each value of one of its keys, on the same sheets."""
    from jiggen.batch.together import GroupTask, make_together
    from jiggen.design.vary import members, read_family
    from jiggen.export.slug import slug

    if not order.parts:
        raise InputError(
            where="--vary",
            got="no parts named",
            expected="those that are wanted for each value",
            mend="Name them, such as --only nut-rule",
        )
    tables = _tables(design)
    family = read_family(text)
    title = name or f"{tables.get('name', design.stem)} by {family.word}"
    group = make_together(
        GroupTask(
            title=title,
            folder=slug(title),
            designs=tuple(members(tables, family)),
            order=order,
            out=out,
            kept=None,
            replace_edited=replace_edited,
        )
    )
    _tell_group(group)
    _tell_cautions([group])
    if group.fault:
        sys.exit(1 if group.is_ours else 2)
    click.echo(f"wrote {out / group.folder}: {', '.join(family.values)}")


def _sources(designs: Sequence[Path], tables: Mapping[str, Any]) -> Iterator[Source]:
    from jiggen import reckon
    from jiggen.design.class_list import read_class_list
    from jiggen.profiles import read_text

    for path in designs:
        if path.suffix.lower() == ".csv":
            text = read_text(path, what="a class list")
            for listed in read_class_list(text, file=str(path), tables=tables):
                yield Source(where=listed.where, design=listed.design)
        else:
            try:
                yield Source(where=str(path), design=reckon.load(path))
            except JiggenError as error:
                yield Source(where=str(path), design=error)


def _tables(base: Path | None) -> Mapping[str, Any]:
    """Returns what a design file says; it is read as one too, so that its own mistakes are told by their lines."""
    if base is None:
        return {}
    from jiggen.design.named_files import with_full_names
    from jiggen.design.read import design_of
    from jiggen.profiles import read_text
    from jiggen.tables.document import parse_toml

    document = parse_toml(read_text(base), file=str(base))
    design_of(document)
    return with_full_names(document)


def _name_of(designs: Sequence[Path]) -> str:
    first = designs[0]
    folder = first.resolve().parent.name
    return first.stem if first.suffix.lower() == ".csv" else folder or "class"


def _tell(outcome: Outcome) -> None:
    if outcome.fault:
        who = " · ".join(filter(None, (outcome.name, outcome.owner)))
        for line in outcome.fault.splitlines():
            click.echo(f"{click.style('jiggen:', bold=True)} {who}{': ' if who else ''}{line}", err=True)
        return
    what = {State.MADE: "made", State.KEPT: "kept, since nothing changed"}[outcome.state]
    click.echo(f"{outcome.name} {outcome.id}: {what}")
    for sentence in (*outcome.doubts, *outcome.told):
        click.echo(f"{outcome.name}: {sentence}", err=True)


def _tell_group(group: Together) -> None:
    if group.fault:
        for line in group.fault.splitlines():
            click.echo(f"{click.style('jiggen:', bold=True)} {group.folder}: {line}", err=True)
        return
    for sheet in group.sheets:
        names = ", ".join(dict.fromkeys(design for design, _ in sheet.parts))
        click.echo(
            f"{group.folder}, sheet {sheet.number}, {sheet.size}, {sheet.used:.0%} used, {sheet.left} left: {names}"
        )
    for sentence in group.told:
        click.echo(f"{group.folder}: {sentence}")
    if group.verdict:
        click.echo(f"{group.folder}: {group.verdict}")


def _tell_cautions(groups: Sequence[Together]) -> None:
    for caution in dict.fromkeys(caution for group in groups for caution in group.cautions):
        click.echo(f"caution: {caution}", err=True)

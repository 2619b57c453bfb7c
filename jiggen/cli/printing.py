"""Numbers for people: tables on standard output, remarks on standard error."""

from collections.abc import Sequence
from typing import Any

import click

from jiggen.cli.columns import table
from jiggen.layout.body_rows import BodyRow, body_rows
from jiggen.layout.explain import derivation
from jiggen.layout.outline_story import ignored_lines, took_lines
from jiggen.layout.tables import layout_tables
from jiggen.layout.worked_neck import Neck
from jiggen.units import format_inch, format_mm

_NAMES = {
    "scale": "scale length",
    "scale-bass": "scale, bass",
    "scale-treble": "scale, treble",
    "straight-fret": "straight fret",
    "nut-width": "nut width",
    "spread-at-nut": "spread at nut",
    "spread-at-bridge": "spread at bridge",
    "setback-bass": "setback, bass, to centre",
    "setback-treble": "setback, treble, to centre",
    "width-at-saddle": "projected width at saddle",
    "overhang": "overhang past last fret",
}
_WITHOUT_UNIT = {"straight-fret"}


def neck_tables(neck: Neck) -> dict[str, Any]:
    """Returns the tables of a neck, as JSON prints them."""
    tables = layout_tables(neck.layout, neck.setup, neck.id)
    return tables | {"warnings": [{"name": doubt.name, "text": doubt.text} for doubt in neck.doubts]}


def print_layout(neck: Neck) -> None:
    """Prints the spec with its sources, then frets, widths and strings; remarks and cautions go to standard error."""
    tables = neck_tables(neck)
    design = tables["design"]
    click.echo(click.style(f"{design['name']}  {design['id']}", bold=True) + f"  {design['date']}")
    for block in (_numbers(tables), _frets(tables), _strings(tables)):
        click.echo()
        click.echo(block)
    click.echo(_legend(neck))
    if rows := body_rows(neck.layout):
        click.echo()
        click.echo(_body(rows))
    for line in took_lines(neck.spec):
        click.echo(line)
    saddle = tables["saddle"]
    if saddle:
        click.echo(
            f"saddle {saddle['setback-at-centre']:.2f} mm behind its line on the centre line, "
            f"slanted {saddle['slant-degrees']:+.2f}° (+ is the bass side further back), by {saddle['by']}"
        )
    if tables["tension"]:
        click.echo(
            f"all strings together {tables['tension']['total-newtons']:.0f} N, set {tables['tension']['set']}"
        )
    print_doubts(neck)
    for remark in tables["remarks"]:
        click.echo(f"note: {remark}", err=True)
    for caution in [saddle["caution"]] if saddle else []:
        click.echo(f"caution: {caution}", err=True)
    for caution in tables["tension"]["cautions"] if tables["tension"] else []:
        click.echo(f"caution: {caution}", err=True)


def print_doubts(neck: Neck) -> None:
    """Prints what was left out of files that were brought along, and what is not usual, on standard error."""
    for line in ignored_lines(neck.spec):
        click.echo(f"note: {line}", err=True)
    for doubt in neck.doubts:
        click.echo(f"warning: {doubt.text}", err=True)


def _numbers(tables: dict[str, Any]) -> str:
    numbers = []
    for name, given in tables["numbers"].items():
        value, source = given["value"], given["source"]
        if given["note"] and source == "assumed":
            source = f"assumed, {given['note']}"
        if isinstance(value, float) and name not in _WITHOUT_UNIT:
            numbers.append([_NAMES.get(name, name), format_mm(value), format_inch(value), source])
        else:
            numbers.append([_NAMES.get(name, name), f"{value:g}", "", source])
    board = tables["board"]
    for name, key in (("board end width", "width-at-end"), ("nut to board end", "length")):
        numbers.append([name, format_mm(board[key]), format_inch(board[key]), "solved"])
    if board["radius-at-nut"]:
        for name, key in (("board radius, nut", "radius-at-nut"), ("board radius, end", "radius-at-end")):
            numbers.append([name, format_mm(board[key]), format_inch(board[key]), ""])
    width = max(len(row[3]) for row in numbers)
    rows = [[*row[:3], row[3].ljust(width)] for row in numbers]
    return table(["number", "mm", "inch", "source".ljust(width)], rows)


def _frets(tables: dict[str, Any]) -> str:
    frets = tables["frets"]
    if not frets:
        return "fretless"
    columns = [
        ("from nut", "from-nut", ".3f"),
        ("from previous", "from-previous", ".3f"),
        ("to saddle", "to-saddle", ".3f"),
        ("board width", "board-width", ".3f"),
        ("string spread", "string-spread", ".3f"),
    ]
    if any(abs(fret["skew-degrees"]) > 1e-9 for fret in frets):
        columns.append(("skew °", "skew-degrees", "+.3f"))
    if any(fret["bend"] for fret in frets):
        columns.append(("bend", "bend", ".3f"))
    columns.append(("wire", "wire-length", ".1f"))
    if "slot-depth" in frets[0]:
        columns.append(("slot depth", "slot-depth", ".2f"))
    return table(
        ["fret", *(head for head, _, _ in columns)],
        [[fret["label"], *(format(fret[key], form) for _, key, form in columns)] for fret in frets],
        left=0,
    )


def _strings(tables: dict[str, Any]) -> str:
    strings = tables["strings"]
    rows = [
        [
            str(string["string"]),
            f"{string['at-nut']:+.3f}",
            f"{string['at-saddle']:+.3f}",
            f"{string['scale']:.3f}",
            "–" if string["gauge"] is None else f"{string['gauge']:.3f}",
        ]
        for string in strings
    ]
    head = ["string", "at nut", "at saddle", "length", "gauge"]
    if any(string["course"] != string["string"] for string in strings):
        head.append("course")
        for row, string in zip(rows, strings, strict=True):
            row.append(str(string["course"]))
    if tables["tension"]:
        head += ["note", "pull N", "of strength"]
        for row, pull in zip(rows, tables["tension"]["strings"], strict=True):
            share = pull["share-of-strength"]
            row += [pull["pitch"], f"{pull['newtons']:.1f}", "–" if share is None else f"{share:.0%}"]
    if tables["saddle"]:
        head.append("saddle back")
        for row, saddle in zip(rows, tables["saddle"]["strings"], strict=True):
            row.append(f"{saddle['setback']:.2f}")
        if tables["saddle"]["strings"][0]["residual-cents"]:
            head.append("cents left")
            for row, saddle in zip(rows, tables["saddle"]["strings"], strict=True):
                cents = saddle["residual-cents"]
                row.append(f"{min(cents):+.1f} to {max(cents):+.1f}")
    return table(head, rows, left=0)


def _body(rows: Sequence[BodyRow]) -> str:
    """What follows from the body's outline."""
    return table(["body", "mm", "inch"], [[row.name, row.value, row.inches] for row in rows])


def _legend(neck: Neck) -> str:
    side = "left-handed: + is the bass side" if neck.spec.left_handed.value else "+ is the treble side"
    fan = "; fret distances are those on the centre line" if neck.spec.fanned else ""
    return f"all in mm; strings from the centre line, {side}{fan}"


def print_derivation(neck: Neck) -> None:
    """Prints how every number follows, as one would write it on a board."""
    click.echo(click.style(f"{neck.spec.design.name}  {neck.id}", bold=True))
    for section in derivation(neck.layout, neck.setup):
        click.echo()
        click.echo(click.style(section.title, bold=True))
        for step in section.steps:
            parts = [part for part in (step.formula, step.figures, step.result) if part]
            click.echo(f"  {step.name} = {' = '.join(parts)}  ({step.source})")

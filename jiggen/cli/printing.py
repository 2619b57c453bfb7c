"""Numbers for people: tables on standard output."""

import json
from collections.abc import Sequence
from typing import Any

import click

from jiggen.design.identity import design_id
from jiggen.layout.model import Layout
from jiggen.layout.tables import layout_tables
from jiggen.units import format_inch, format_mm

_NAMES = {
    "scale": "scale length",
    "nut-width": "nut width",
    "spread-at-nut": "spread at nut",
    "spread-at-bridge": "spread at bridge",
    "setback-bass": "setback, bass, to centre",
    "setback-treble": "setback, treble, to centre",
    "width-at-saddle": "projected width at saddle",
    "overhang": "overhang past last fret",
}


def print_json(data: dict[str, Any]) -> None:
    """Prints JSON and nothing else."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


def table(head: Sequence[str], rows: Sequence[Sequence[str]], *, left: int = 1) -> str:
    """Returns rows as columns of equal width: the first `left` flush left, the rest flush right."""
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]

    def line(row: Sequence[str]) -> str:
        cells = [
            text.ljust(width) if column < left else text.rjust(width)
            for column, (text, width) in enumerate(zip(row, widths, strict=True))
        ]
        return "  ".join(cells).rstrip()

    return "\n".join(line(row) for row in (head, *rows))


def print_layout(layout: Layout) -> None:
    """Prints the spec with its sources, then frets, widths and strings."""
    tables = layout_tables(layout, design_id(layout.spec))
    design = tables["design"]
    click.echo(click.style(f"{design['name']}  {design['id']}", bold=True) + f"  {design['date']}")
    click.echo()
    numbers = [
        [_NAMES.get(name, name), format_mm(given["value"]), format_inch(given["value"]), given["source"]]
        if isinstance(given["value"], float)
        else [name, str(given["value"]), "", given["source"]]
        for name, given in tables["numbers"].items()
    ]
    board = tables["board"]
    numbers.append(
        ["board end width", format_mm(board["width-at-end"]), format_inch(board["width-at-end"]), "solved"]
    )
    numbers.append(["nut to board end", format_mm(board["length"]), format_inch(board["length"]), "solved"])
    width = max(len(row[3]) for row in numbers)
    rows = [[*row[:3], row[3].ljust(width)] for row in numbers]
    click.echo(table(["number", "mm", "inch", "source".ljust(width)], rows))
    click.echo()
    click.echo(
        table(
            ["fret", "from nut", "from previous", "to saddle", "board width", "string spread"],
            [
                [str(fret["fret"]), *(f"{fret[key]:.3f}" for key in list(fret)[1:])]
                for fret in tables["frets"]
            ],
            left=0,
        )
    )
    click.echo()
    click.echo(
        table(
            ["string", "at nut", "at saddle", "gauge"],
            [
                [
                    str(string["string"]),
                    f"{string['at-nut']:+.3f}",
                    f"{string['at-saddle']:+.3f}",
                    "–" if string["gauge"] is None else f"{string['gauge']:.3f}",
                ]
                for string in tables["strings"]
            ],
            left=0,
        )
    )
    click.echo("all in mm; strings from the centre line, + is the treble side")

"""How numbers are set out on standard output: as JSON, or in columns."""

import json
from collections.abc import Sequence
from typing import Any

import click


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

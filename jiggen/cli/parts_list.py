"""The list of all shop aids, for people."""

from collections.abc import Iterator, Sequence

import click

from jiggen.parts.catalogue import ALL, Entry


def print_parts(entries: Sequence[Entry]) -> None:
    """Prints every part's name, what it is for, and which numbers it needs beyond those of every design."""
    for line in _lines(entries):
        click.echo(line)


def _lines(entries: Sequence[Entry]) -> Iterator[str]:
    indent = max(len(entry.name) for entry in entries) + 2
    for standard in (True, False):
        yield "the standard set:" if standard else "more, with --only or [make] parts:"
        for entry in entries:
            if entry.standard is standard:
                yield f"  {entry.name:<{indent}}{entry.about}"
                if entry.needs:
                    yield f"  {'':<{indent}}needs {', '.join(entry.needed_keys)}"
    yield f"  {ALL:<{indent}}every one that the neck can have"

"""The files that a design names beside itself, which are meant from the folder of the file that names them."""

import copy
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from jiggen.tables.document import Document

#: Keys whose value names a file: the way to it in the tables.
_NAMING = (
    ("neck", "fret-rule", "scl"),
    ("neck", "fret-rule", "value", "scl"),
    *(
        (table, "outline", *steps)
        for table in ("body", "head")
        for steps in ((), ("value",), ("file",), ("value", "file"))
    ),
)


def files_named(tables: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yields the keys of a design that name a file, with its name."""
    for steps in _NAMING:
        name = _at(tables, steps)
        if isinstance(name, str):
            yield ".".join(step for step in steps if step not in {"value", "file"}), name


def with_full_names(document: Document) -> dict[str, Any]:
    """Returns what a design file says, with whole ways to the files that it names, for designs that start from it.

    Args:
        document: That is in a folder of its own.
    """
    tables = copy.deepcopy(document.tables)
    beside = Path(document.file).absolute().parent
    for steps in _NAMING:
        name = _at(tables, steps)
        if isinstance(name, str):
            _at(tables, steps[:-1])[steps[-1]] = str(beside / name)
    return tables


def _at(tables: Mapping[str, Any], steps: tuple[str, ...]) -> Any:
    here: Any = tables
    for step in steps:
        here = here.get(step) if isinstance(here, Mapping) else None
    return here

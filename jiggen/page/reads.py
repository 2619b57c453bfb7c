"""What a text from a browser may have read: nothing on the disk, save what the file that the page was started with names.

Two locks. `refuse_files` looks for keys that name a file, and answers with a sentence. `only_read` holds for whatever
key comes to name a file later: the process that answers the page opens nothing but the library and python itself.
"""

import os
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from jiggen.design.named_files import files_named
from jiggen.errors import InputError, JiggenError, quoted, raise_all
from jiggen.tables.document import Document, parse_toml


def named_in(text: str, file: str) -> Iterator[str]:
    """Yields the files that the text of a design names; none when it is no TOML."""
    try:
        tables = parse_toml(text, file=file).tables if text else {}
    except JiggenError:
        return
    yield from (name for _, name in files_named(tables))


def refuse_files(document: Document, may: Iterable[str]) -> None:
    """Refuses a design that names a file which the page was not started with.

    Args:
        document: The design.
        may: Names that are all right.

    Raises:
        InputError: If there are others.
    """
    allowed = frozenset(may)
    raise_all(
        [
            InputError(
                where=f"{document.file}, {key}",
                got=quoted(name),
                expected="no file but one that the page was started with",
                mend="Start the page with a design file that names it: jiggen page DESIGN",
            )
            for key, name in files_named(document.tables)
            if name not in allowed
        ]
    )


def only_read(roots: Iterable[Path], files: Iterable[Path]) -> None:
    """Has this process, from now on, open no file and list no folder but these. It cannot be undone.

    Args:
        roots: Folders with all that is in them.
        files: Single files.
    """
    inside = tuple(os.path.join(os.path.realpath(root), "") for root in roots)  # noqa: PTH118 - as realpath has it
    single = frozenset(os.path.realpath(file) for file in files)

    def hook(event: str, arguments: tuple[Any, ...]) -> None:
        if event not in {"open", "os.listdir", "os.scandir"} or isinstance(arguments[0], int):
            return
        path = os.path.realpath(os.fsdecode(arguments[0] or "."))
        if path not in single and not os.path.join(path, "").startswith(inside):  # noqa: PTH118
            raise InputError(
                where="the page",
                got=f"a design that names {quoted(Path(path).name)}",
                expected="one that reads no file of its own",
                mend="Start the page with a design file that names it: jiggen page DESIGN",
            )

    sys.addaudithook(hook)

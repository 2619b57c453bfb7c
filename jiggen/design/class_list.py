"""A class list: one row a student, with the name and the numbers that differ from the design that all start from.

    owner, nut, scale, neck.frets
    Ana,   45mm, 628mm, 19
    Bo,    46mm, ,      20

The head says which key each column is. An empty cell leaves what the design to start from says. Blank lines and lines
that start with # are passed over. Where no column is called `name`, a design is called after the one it starts from and
its owner.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jiggen.design.change import Change, changed, row_of_key
from jiggen.design.model import Design
from jiggen.errors import InputError, JiggenError, quoted, raise_all
from jiggen.tables.csv_line import cells_of
from jiggen.tables.rows import Row

MOST_ROWS = 10_000  #: more than any school has students
LONGEST_LINE = 2000  #: characters


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A row of a class list.

    Attributes:
        where: Its place, for messages.
        design: What it says, or what is wrong with it.
    """

    where: str
    design: Design | JiggenError


@dataclass(frozen=True, slots=True)
class _Column:
    row: Row
    number: int
    word: str


def read_class_list(text: str, *, file: str, tables: Mapping[str, Any]) -> Iterator[Listed]:
    """Yields the designs of a class list, row by row; a row that cannot be read does not keep the others from it.

    Args:
        text: Comma-separated values.
        file: What to call it in errors.
        tables: Of the design file that all start from, as `tomllib` returns them; empty: from nothing.

    Raises:
        JiggenError: If the head cannot be read, or there is no row below it.
    """
    lines = _lines(text)
    number, head = next(lines, (1, ""))
    place = f"{file}, line {number}"
    columns = _columns(_cells(head, place) if head else [], place)
    empty = True
    for count, (number, line) in enumerate(lines, start=1):
        empty = False
        where = f"{file}, line {number}"
        if count > MOST_ROWS:
            raise InputError(where=where, got="one more row", expected=f"at most {MOST_ROWS}")
        try:
            yield Listed(where=where, design=_design(_cells(line, where), columns, where, tables))
        except JiggenError as error:
            yield Listed(where=where, design=error)
    if empty:
        raise InputError(where=file, got="no row below the head", expected="a row for each design")


def _lines(text: str) -> Iterator[tuple[int, str]]:
    """Yields number and text of each line that says something."""
    for number, line in enumerate(text.removeprefix("\ufeff").splitlines(), start=1):
        if re.search(r"[^\s,]", line) and not line.lstrip().startswith("#"):
            yield number, line


def _cells(line: str, where: str) -> list[str]:
    return cells_of(
        line,
        where=where,
        longest=LONGEST_LINE,
        mend='An inch mark in a cell is doubled, and the cell quoted: "1 11/16""". Or write 1 11/16 in.',
    )


def _columns(head: Sequence[str], where: str) -> list[_Column]:
    """Returns what the columns are."""
    if len(head) == 1 and re.search(r"[;\t]", head[0]):
        raise InputError(
            where=where,
            got=quoted(head[0]),
            expected="the keys of a design file, one a column",
            mend="Put commas between the columns; decimals stand after a point.",
        )
    columns: list[_Column] = []
    faults: list[JiggenError] = []
    for number, word in enumerate(head, start=1):
        place = f"{where}, column {number}"
        try:
            column = _Column(row_of_key(word, where=place), number, word)
            twice = next((each for each in columns if each.row.key == column.row.key), None)
            if twice:
                raise InputError(
                    where=place, got=quoted(word), expected=f"each key once; column {twice.number} has it"
                )
            columns.append(column)
        except JiggenError as fault:
            faults.append(fault)
    raise_all(faults)
    if not {"name", "owner"} & {each.row.key for each in columns}:
        raise InputError(
            where=where,
            got=", ".join(map(quoted, head)) or "nothing",
            expected="a column name or owner, that tells the rows apart",
            mend="Add a column owner.",
        )
    return columns


def _design(
    cells: Sequence[str], columns: Sequence[_Column], where: str, tables: Mapping[str, Any]
) -> Design:
    if len(cells) > len(columns):
        raise InputError(
            where=where,
            got=f"{len(cells)} columns",
            expected=f"{len(columns)}, as the head has",
            mend="Decimals stand after a point; put a cell with a comma in it in double quotes.",
        )
    changes = [
        Change(row=column.row, text=cell, where=f"{where}, column {column.number} ({column.word})")
        for column, cell in zip(columns, cells, strict=False)
        if cell
    ]
    said = {change.row.key: change.text for change in changes}
    if "name" not in said:
        if "owner" not in said:
            raise InputError(where=where, got="neither name nor owner", expected="one of them, to tell it by")
        base = str(tables.get("name", ""))
        row = row_of_key("name", where=where)
        name = f"{base} · {said['owner']}" if base else said["owner"]
        changes.append(Change(row=row, text=name, where=where))
    return changed(tables, changes, file=where)

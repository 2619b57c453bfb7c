"""Tables of readings as comma-separated values: what was measured, what was read, its unit.

    fret, distance, unit
    12, 314.1, mm
    12, 31.39 cm

The unit may stand behind the number itself. The head, blank lines, lines that start with # and rows without a reading,
as a table to be filled in has them, are passed over. Decimals stand after a point.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.errors import InputError, JiggenError, quoted, raise_all
from jiggen.tables.csv_line import cells_of
from jiggen.units import Allow, parse_length, parse_unit

MOST_READINGS = 2000  #: more than anyone reads off one thing
LONGEST_LINE = 300  #: characters
MOST_FAULTS = 20  #: reported one by one
_POINT = "Decimals stand after a point: 314.1, not 314,1."


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """A line that says something.

    Attributes:
        where: Its place, for messages.
        cells: What was measured, what was read, and its unit unless that stands behind the number; further columns
            where the table has them.
        head: What the columns are called.
    """

    where: str
    cells: Sequence[str]
    head: Sequence[str]

    @property
    def place(self) -> str:
        """What was measured, as it was typed."""
        return self.cells[0]

    def cell_where(self, column: int) -> str:
        """Returns the place of a cell, counted from 1."""
        return f"{self.where}, column {column} ({self.head[column - 1]})"

    def length(self, allow: Allow = "positive") -> float:
        """Returns what was read, mm.

        Raises:
            InputError: If it is no length, or its unit is missing, not known or there twice.
        """
        text = self.cells[1]
        if len(self.cells) < 3 or not self.cells[2]:
            return parse_length(text, where=self.cell_where(2), allow=allow).mm
        if re.fullmatch("[0-9]+", self.cells[2]):
            raise InputError(
                where=self.cell_where(3),
                got=quoted(self.cells[2]),
                expected="a unit, such as mm",
                mend=_POINT,
            )
        unit = parse_unit(self.cells[2], where=self.cell_where(3))
        if re.search(r"""[^\W\d_]|["'″′]""", text):
            raise InputError(
                where=self.cell_where(2),
                got=f"{quoted(text)} beside the unit {unit}",
                expected="a number alone",
                mend="Leave out one of the two units.",
            )
        return parse_length(text, where=self.cell_where(2), unit=unit, allow=allow).mm


def reading_rows(
    text: str, *, file: str, head: Sequence[str], example: str, faults: list[JiggenError]
) -> Iterator[ReadingRow]:
    """Yields the lines that hold readings.

    Args:
        text: Of the table.
        file: What to call it in errors.
        head: What its columns are called: three, or more where a table has them.
        example: A row, for errors.
        faults: What is wrong with lines that are no rows of the table is added to these.
    """
    lines = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    count = 0
    for number, line in enumerate(lines, start=1):
        where = f"{file}, line {number}"
        if not re.search(r"[^\s,]", line) or line.lstrip().startswith("#"):
            continue
        count += 1
        if count > MOST_READINGS:
            faults.append(
                InputError(where=where, got="one more reading", expected=f"at most {MOST_READINGS}")
            )
            return
        try:
            row = ReadingRow(where, _cells(line, where, head, example), head)
            if count == 1 and row.place.lower() == head[0]:
                _check_head(row)
            elif row.cells[1]:
                yield row
        except JiggenError as fault:
            faults.append(fault)


def raise_faults(faults: list[JiggenError], *, file: str) -> None:
    """Raises all faults of a table, or the first of very many and how many more there are.

    Raises:
        JiggenError: If there are any.
    """
    more = len(faults) - MOST_FAULTS
    if more > 0:
        rest = InputError(where=file, got=f"{more} more rows that cannot be read", expected="known ones")
        raise_all([*faults[:MOST_FAULTS], rest])
    raise_all(faults)


def _cells(line: str, where: str, head: Sequence[str], example: str) -> list[str]:
    """Returns the cells of a line, two at least, without those that a spreadsheet leaves empty at its end."""
    cells = cells_of(
        line,
        where=where,
        longest=LONGEST_LINE,
        mend="Leave the double quotes out, or close them." if '"' in line else "",
    )
    while len(cells) > 2 and not cells[-1]:
        cells.pop()
    mend = "Put commas between the columns." if re.search("[;\t]", line) else ""
    if len(cells) < 2:
        expected = f"{', '.join(head)}, such as {example}"
        raise InputError(where=where, got=quoted(line.strip()), expected=expected, mend=mend)
    if len(cells) > len(head):
        raise InputError(
            where=where, got=f"{len(cells)} columns", expected=", ".join(head), mend=mend or _POINT
        )
    return cells


def _check_head(row: ReadingRow) -> None:
    for column, (cell, name) in enumerate(zip(row.cells, row.head, strict=False), start=1):
        if cell.lower() != name:
            raise InputError(
                where=row.cell_where(column), got=quoted(cell), expected=f"the head {', '.join(row.head)}"
            )

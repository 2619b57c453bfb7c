"""Tables of keys: each row says how a key is spelt, what kind of value it has and what it is called here.

A file format is a list of rows. The same rows read a file, tell which keys are not known, and write a file.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from jiggen.errors import InputError, JiggenError, SeveralErrors, did_you_mean, raise_all
from jiggen.tables.document import Entry, spelt
from jiggen.tables.scan import Steps

MOST_UNKNOWN = (
    20  #: unknown keys that are reported one by one; a file with more of them is another kind of file
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """A kind of value.

    Attributes:
        read: Returns the value of an entry and the words in which it was given. Raises JiggenError.
        write: Returns the TOML for a value and the words in which it was given, which may be empty.
        example: TOML of such a value.
        schema: JSON Schema of such a value, for editors; empty: anything.
    """

    read: Callable[[Entry], tuple[Any, str]]
    write: Callable[[Any, str], str]
    example: str
    schema: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One key of a file format.

    Attributes:
        key: As it stands in the file, dotted below tables: `neck.nut-width`.
        field: The name under which its value is returned; empty: read and checked, but not returned.
        kind: What value it has.
        about: What it means, as a phrase for the maker.
        required: Whether it must be there.
        example: TOML of a value that fits this key better than the kind's own example.
        rare: Whether a file that we write passes it over when nothing was said, for brevity.
    """

    key: str
    field: str
    kind: Kind
    about: str
    required: bool = False
    example: str = ""
    rare: bool = False


def read_rows(table: Entry, rows: Sequence[Row]) -> dict[str, Any]:
    """Reads a table by its rows.

    Returns:
        The values of the keys that are there, by field.

    Raises:
        InputError: If a value is wrong, a required key is missing or a key is not known.
        SeveralErrors: If more than one thing is wrong; all of it, in the order of the file.
    """
    values: dict[str, Any] = {}
    found: list[tuple[int, JiggenError]] = []
    for row in rows:
        entry = table.find(row.key)
        if entry is None:
            if row.required:
                found.append((0, _missing(table, row)))
            continue
        try:
            value, _ = row.kind.read(entry)
        except SeveralErrors as several:
            found += [(entry.line, error) for error in several.errors]
        except JiggenError as error:
            found.append((entry.line, error))
        else:
            if row.field:
                values[row.field] = value
    found += [(entry.line, error) for entry, error in _strangers(table, rows)]
    raise_all([error for _, error in sorted(found, key=lambda pair: pair[0])])
    return values


def _missing(table: Entry, row: Row) -> InputError:
    """Returns the error for a key that should be there."""
    return InputError(
        where=table.where if table.steps else f"{table.where}, {row.key}",
        got="nothing",
        expected=row.about,
        mend=f"Add {row.key} = {row.example or row.kind.example}",
    )


def _strangers(table: Entry, rows: Sequence[Row]) -> list[tuple[Entry, InputError]]:
    """Returns an error for each key that no row knows, and for each table that is something else."""
    keys = {tuple(row.key.split(".")) for row in rows}
    folders = {key[:-1] for key in keys} | {key[:1] for key in keys if len(key) > 2}
    found: list[tuple[Entry, InputError]] = []
    unknown: list[Entry] = []
    to_visit = [table]
    while to_visit:
        for entry in to_visit.pop(0).children():
            key = entry.steps[len(table.steps) :]
            if key in keys:
                continue
            if key not in folders:
                unknown.append(entry)
            elif isinstance(entry.value, dict):
                to_visit.append(entry)
            else:
                found.append((entry, entry.wrong(f"a table, [{spelt(key)}]")))
    found += [(entry, _unknown(entry, len(table.steps), keys | folders)) for entry in unknown[:MOST_UNKNOWN]]
    if rest := unknown[MOST_UNKNOWN:]:
        got = f"{len(rest)} more unknown keys"
        found.append((rest[0], InputError(where=rest[0].where, got=got, expected="known ones")))
    return found


def _unknown(entry: Entry, depth: int, known: set[Steps]) -> InputError:
    """Returns the error for a key that no row knows, with the nearest that one does."""
    key = entry.steps[depth:]
    here = sorted(str(each[-1]) for each in known if each[:-1] == key[:-1] and each)
    elsewhere = sorted(each[:-1] for each in known if each[-1:] == key[-1:])
    if not elsewhere:
        mend = did_you_mean(str(key[-1]), here)
    elif elsewhere[0]:
        mend = f"It belongs under [{spelt(elsewhere[0])}]."
    else:
        mend = "It belongs at the top, before the first [table]."
    return InputError(
        where=entry.where, got="an unknown key", expected=f"one of {', '.join(here)}", mend=mend
    )

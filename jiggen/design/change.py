"""A design with some of its keys changed: what a row of a class list or a run over values of one key asks for.

Keys are those of a design file, or the short words that `jiggen start` has for the commonest, or their last part where
that is enough to tell which is meant: `neck.nut-width`, `nut`, `nut-width`.
"""

import copy
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from jiggen.design.keys import ROWS, SCHEMA
from jiggen.design.model import Design
from jiggen.design.read import design_of
from jiggen.errors import InputError, JiggenError, did_you_mean, quoted, raise_all
from jiggen.tables.document import parse_toml
from jiggen.tables.emit import toml_of
from jiggen.tables.rows import Row

#: Short words for the commonest keys, as `jiggen start` has them.
SHORT: Mapping[str, str] = MappingProxyType(
    {
        "nut": "neck.nut-width",
        "spread": "strings.spread-at-bridge",
        "scale": "neck.scale",
        "setback": "strings.setback",
        "frets": "neck.frets",
        "strings": "strings.count",
    }
)
_BY_KEY: Mapping[str, Row] = MappingProxyType({row.key: row for row in ROWS})


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A key and what it shall say.

    Attributes:
        row: Of the key.
        text: As it was typed.
        where: Its place, for errors.
    """

    row: Row
    text: str
    where: str


def row_of_key(word: str, *, where: str) -> Row:
    """Returns the row of a key by the word for it.

    Args:
        word: A key, a short word for one, or the last part of one.
        where: Its place, for errors.

    Raises:
        InputError: If no key is meant by it, or more than one.
    """
    key = SHORT.get(word, word)
    if key in _BY_KEY and key != "schema":
        return _BY_KEY[key]
    alike = [each for each in _BY_KEY if each.rpartition(".")[2] == word]
    if len(alike) == 1:
        return _BY_KEY[alike[0]]
    if alike:
        raise InputError(where=where, got=quoted(word), expected=f"one of {', '.join(alike)}")
    raise InputError(
        where=where,
        got=quoted(word),
        expected="a key of a design file, such as nut, neck.scale or name",
        mend=did_you_mean(word, [*SHORT, *_BY_KEY]),
    )


def changed(tables: Mapping[str, Any], changes: Sequence[Change], *, file: str) -> Design:
    """Returns the design that tables and changes make.

    Args:
        tables: Of the design file to start from, as `tomllib` returns them; empty: from nothing.
        changes: What is different.
        file: What to call the whole in errors.

    Raises:
        JiggenError: If anything in it is wrong; all that is, in one go.
    """
    whole: dict[str, Any] = copy.deepcopy(dict(tables))
    whole.setdefault("schema", SCHEMA)
    units = toml_of({"units": whole["units"]}) if isinstance(whole.get("units"), str) else ""
    faults: list[JiggenError] = []
    for change in changes:
        try:
            _put(whole, change.row.key, _read(change, units), change.where)
        except JiggenError as fault:
            faults.append(fault)
    raise_all(faults)
    return design_of(parse_toml(toml_of(whole), file=file, has_lines=False))


def _put(tables: dict[str, Any], key: str, value: Any, where: str) -> None:
    *folders, name = key.split(".")
    table = tables
    for folder in folders:
        inside = table.setdefault(folder, {})
        if not isinstance(inside, dict):
            raise InputError(
                where=where, got=f"a key in {folder}, which is no table", expected="a table there"
            )
        table = inside
    table[name] = value


def _read(change: Change, units: str) -> Any:
    """Returns what was typed as TOML has it: as it stands if that serves, such as 19 or true, or else as words.

    Args:
        change: Whose text it is.
        units: The line that says what bare numbers are; empty when nothing does.
    """
    fault: JiggenError | None = None
    for text in (change.text, json.dumps(change.text)):
        try:
            document = parse_toml(f"{units}value = {text}\n", file=change.where)
        except JiggenError:
            continue  # no TOML: words, then
        entry = document.root.find("value")
        if entry is None or len(document.tables) > 1 + bool(units):
            continue
        try:
            change.row.kind.read(entry)
        except JiggenError as found:
            fault = fault or found
        else:
            return entry.value
    if fault is None:
        raise InputError(where=change.where, got=quoted(change.text), expected=change.row.about)
    raise InputError(where=change.where, got=quoted(change.text), expected=fault.expected, mend=fault.mend)

"""Writes tables as TOML: what was read, with some of it changed, to be read again."""

import datetime as dt
import json
from collections.abc import Iterator, Mapping
from typing import Any


def toml_of(tables: Mapping[str, Any]) -> str:
    """Returns a TOML text that says what the tables say, one dotted key on a line.

    Args:
        tables: As `tomllib` returns them.

    Raises:
        TypeError: If a value is none that TOML has.
    """
    return "".join(f"{key} = {_value(value)}\n" for key, value in _leaves(tables, ""))


def _leaves(table: Mapping[str, Any], start: str) -> Iterator[tuple[str, Any]]:
    for name, value in table.items():
        key = f"{start}{_quoted(name)}"
        if isinstance(value, dict) and value:
            yield from _leaves(value, f"{key}.")
        else:
            yield key, value


def _value(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int() | float():
            return repr(value)
        case str():
            return _quoted(value)
        case dt.date() | dt.time():
            return value.isoformat()
        case list():
            return f"[{', '.join(map(_value, value))}]"
        case dict():
            return f"{{ {', '.join(f'{_quoted(name)} = {_value(each)}' for name, each in value.items())} }}"
        case _:
            raise TypeError(f"no TOML for {value!r}")


def _quoted(text: str) -> str:
    """Returns a text as a basic string, whose escapes are those of JSON, and one more."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")

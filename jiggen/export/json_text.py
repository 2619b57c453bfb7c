"""JSON as text that is the same every time: keys as given, fixed decimals, no exponent, lists of numbers in a row."""

import json
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType, NoneType
from typing import Any, TypeAlias

from jiggen.export.numbers import number

Json: TypeAlias = "str | int | float | bool | Sequence[Json] | Mapping[str, Json] | None"

#: Of every float: a nanometre, or a part in a million of a factor.
JSON_DECIMALS = 6


def json_text(value: Json, *, indent: int = 0) -> str:
    """Returns a value as JSON, two spaces deeper per level; floats always carry a decimal point.

    Args:
        value: Of mappings, sequences and plain values.
        indent: Of the lines after the first, in spaces.

    Raises:
        ValueError: If a float is infinite or not a number, which JSON cannot say.
    """
    plain = _PLAIN.get(type(value))
    if plain is not None:
        return plain(value)
    match value:
        case dict() | Mapping():
            lines = [f"{_quoted(key)}: {json_text(each, indent=indent + 2)}" for key, each in value.items()]
            return _block("{", lines, "}", indent)
        case str() | float() | int() | None:  # of a type derived from one of these
            return next(write for kind, write in _PLAIN.items() if isinstance(value, kind))(value)
        case _:
            lines = [json_text(each, indent=indent + 2) for each in value]
            if all(isinstance(each, int | float) for each in value):
                return f"[{', '.join(lines)}]"
            return _block("[", lines, "]", indent)


#: A string as JSON: made once, since `json.dumps` would make a writer for each.
_quoted = json.JSONEncoder(ensure_ascii=False).encode


def _decimal(value: float) -> str:
    text = number(value, JSON_DECIMALS)
    return text if "." in text else f"{text}.0"


#: What writes a plain value, looked up by its type, since a manifest has some ten thousand.
_PLAIN: Mapping[type, Callable[[Any], str]] = MappingProxyType(
    {
        str: _quoted,
        float: _decimal,
        int: str,
        bool: lambda value: "true" if value else "false",
        NoneType: lambda _: "null",
    }
)


def _block(opening: str, lines: list[str], closing: str, indent: int) -> str:
    if not lines:
        return opening + closing
    pad = " " * (indent + 2)
    return f"{opening}\n" + ",\n".join(pad + line for line in lines) + f"\n{' ' * indent}{closing}"

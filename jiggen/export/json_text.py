"""JSON as text that is the same every time: keys as given, fixed decimals, no exponent, lists of numbers in a row."""

import json
from collections.abc import Mapping, Sequence
from typing import TypeAlias

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
    match value:
        case str():
            return _quoted(value)
        case float():
            text = number(value, JSON_DECIMALS)
            return text if "." in text else f"{text}.0"
        case bool() | None | int():
            return json.dumps(value)
        case list() | tuple():
            lines = [json_text(each, indent=indent + 2) for each in value]
            if all(isinstance(each, int | float) for each in value):
                return f"[{', '.join(lines)}]"
            return _block("[", lines, "]", indent)
        case Mapping():
            lines = [f"{_quoted(key)}: {json_text(each, indent=indent + 2)}" for key, each in value.items()]
            return _block("{", lines, "}", indent)
        case _:
            return json_text(list(value), indent=indent)


#: A string as JSON: made once, since `json.dumps` would make a writer for each.
_quoted = json.JSONEncoder(ensure_ascii=False).encode


def _block(opening: str, lines: list[str], closing: str, indent: int) -> str:
    if not lines:
        return opening + closing
    pad = " " * (indent + 2)
    return f"{opening}\n" + ",\n".join(pad + line for line in lines) + f"\n{' ' * indent}{closing}"

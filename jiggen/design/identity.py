"""What makes two designs the same instrument: a canonical form of the numbers, and a short id of it."""

import hashlib
import json
from dataclasses import fields
from typing import Any

from jiggen.design.model import Given, Spec, ToolSpec


def canonical(spec: Spec) -> str:
    """Returns the numbers of a spec as JSON with sorted keys, lengths in mm to 0.0001 mm.

    Names, notes, sources, dates and what to make are left out, so the same instrument has the same form whether it
    was typed in inches or in mm. Numbers that are None are left out too: a key that is new to jiggen and not used by
    a design does not change its form.
    """
    return json.dumps(_numbers(spec), sort_keys=True, separators=(",", ":"))


def design_id(spec: Spec) -> str:
    """Returns the id of a design, `7F2A-91C3`: the first eight hexadecimal digits of its form's SHA-256."""
    digits = hashlib.sha256(canonical(spec).encode("ascii")).hexdigest()[:8].upper()
    return f"{digits[:4]}-{digits[4:]}"


def _numbers(part: Spec | ToolSpec) -> dict[str, Any]:
    """Returns the numbers of a spec by field."""
    values = {each.name: getattr(part, each.name) for each in fields(part)}
    numbers: dict[str, Any] = {
        name: _number(each.value) for name, each in values.items() if isinstance(each, Given)
    }
    return numbers | {name: _numbers(each) for name, each in values.items() if isinstance(each, ToolSpec)}


def _number(value: Any) -> Any:
    """Returns a value as it goes into the canonical form."""
    match value:
        case tuple():
            return [_number(each) for each in value]
        case float():
            # In two steps, so that the last bits of a sum cannot tip what lies halfway; + 0.0 makes -0.0 plain.
            return round(round(value, 9), 4) + 0.0
        case _:
            return value

"""What makes two designs the same instrument: a canonical form of the numbers, and a short id of it."""

import hashlib
import json
from dataclasses import fields
from typing import Any

from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, RatioSteps
from jiggen.design.fret_rule_text import fret_rule_text
from jiggen.design.model import Given, Inlays, PartialFret, Setup, Spec, ToolSpec
from jiggen.design.usual import USUAL


def canonical(spec: Spec) -> str:
    """Returns the numbers of a spec as JSON with sorted keys, lengths in mm to 0.0001 mm.

    Names, notes, sources, dates and what to make are left out, so the same instrument has the same form whether it
    was typed in inches or in mm. What goes without saying is left out too: a key that is new to jiggen and not used by
    a design does not change its form.
    """
    return json.dumps(_numbers(spec), sort_keys=True, separators=(",", ":"))


def design_id(spec: Spec) -> str:
    """Returns the id of a design, `7F2A-91C3`: the first eight hexadecimal digits of its form's SHA-256."""
    digits = hashlib.sha256(canonical(spec).encode("ascii")).hexdigest()[:8].upper()
    return f"{digits[:4]}-{digits[4:]}"


def _numbers(part: Spec | ToolSpec | Setup | Inlays) -> dict[str, Any]:
    """Returns the numbers of a spec by field, without those that say nothing."""
    values = {each.name: getattr(part, each.name) for each in fields(part)}
    if isinstance(part, Spec):
        values = {name: each for name, each in values.items() if not _goes_without_saying(name, each, part)}
    numbers: dict[str, Any] = {
        name: _number(each.value) for name, each in values.items() if isinstance(each, Given)
    }
    groups = {
        name: _numbers(each) for name, each in values.items() if isinstance(each, ToolSpec | Setup | Inlays)
    }
    return numbers | {name: group for name, group in groups.items() if group}


def _goes_without_saying(name: str, value: Any, spec: Spec) -> bool:
    match name:
        case "scale_bass" | "scale_treble" | "straight_fret":
            return not spec.fanned
        case "nut_behind":
            return not spec.zero_fret.value
        case "courses":
            return set(spec.courses.value) == {1}
        case _:
            return name in USUAL and value.value == USUAL[name].value


def _number(value: Any) -> Any:
    """Returns a value as it goes into the canonical form."""
    match value:
        case tuple():
            return [_number(each) for each in value]
        case float():
            # In two steps, so that the last bits of a sum cannot tip what lies halfway; + 0.0 makes -0.0 plain.
            return round(round(value, 9), 4) + 0.0
        case EqualSteps() | CentsSteps() | RatioSteps() | DivisorSteps():
            return fret_rule_text(value)
        case PartialFret():
            return [value.fret, sorted(value.strings)]
        case _:
            return value

"""What makes two designs the same instrument: a canonical form of the numbers, and a short id of it."""

import hashlib
import json
from dataclasses import fields, is_dataclass
from typing import Any

from jiggen.design.by_outline import of_no_effect
from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps, RatioSteps
from jiggen.design.fret_rule_text import fret_rule_text
from jiggen.design.model import Given, PartialFret
from jiggen.design.outline import Outline
from jiggen.design.spec import Spec, groups_of
from jiggen.design.usual import USUAL, USUAL_IN_GROUPS


def canonical(spec: Spec) -> str:
    """Returns the numbers of a spec as JSON with sorted keys, lengths in mm to 0.0001 mm.

    Names, notes, sources, dates and what to make are left out, so the same instrument has the same form whether it
    was typed in inches or in mm. What goes without saying is left out too: a key that is new to jiggen and not used by
    a design does not change its form.
    """
    groups = {
        name: {field: each for field, each in _numbers(group, f"{name}.").items() if field not in idle}
        for name, group in groups_of(spec)
        for idle in [of_no_effect(name, group)]
    }
    numbers = {name: each for name, each in _numbers(spec).items() if name not in _of_no_effect(spec)}
    form = numbers | {name: group for name, group in groups.items() if group}
    return json.dumps(form, sort_keys=True, separators=(",", ":"))


def design_id(spec: Spec) -> str:
    """Returns the id of a design, `7F2A-91C3`: the first eight hexadecimal digits of its form's SHA-256."""
    digits = hashlib.sha256(canonical(spec).encode("ascii")).hexdigest()[:8].upper()
    return f"{digits[:4]}-{digits[4:]}"


def _numbers(part: Any, start: str = "") -> dict[str, Any]:
    """Returns the numbers of a spec, or of one of its groups, by field, without those that go without saying."""
    values = {each.name: getattr(part, each.name) for each in fields(part)}
    usual = {**USUAL, **USUAL_IN_GROUPS}
    return {
        name: _number(each.value)
        for name, each in values.items()
        if isinstance(each, Given)
        and not (f"{start}{name}" in usual and each.value == usual[f"{start}{name}"].value)
    }


def _of_no_effect(spec: Spec) -> set[str]:
    """Returns the numbers that a spec has, but that do nothing in it."""
    names = set() if spec.fanned else {"scale_bass", "scale_treble", "straight_fret"}
    if not spec.zero_fret.value:
        names.add("nut_behind")
    return names | ({"courses"} if set(spec.courses.value) == {1} else set())


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
        case Outline():
            return _outline(value)
        case _ if is_dataclass(value):
            return {each.name: _number(getattr(value, each.name)) for each in fields(value)}
        case _:
            return value


def _outline(outline: Outline) -> dict[str, Any]:
    """What makes two outlines the same: what is in the file and what is asked of it, not what it is called."""
    scale_to = outline.wish.scale_to
    form = {each.name: _number(getattr(outline.wish, each.name)) for each in fields(outline.wish)}
    form["scale_to"] = scale_to and [scale_to.known, _number(scale_to.mm)]
    return form | {"sha256": outline.brought.sha256, "inner": outline.inner}

"""How each number of a design stands: given, assumed, solved, or open, and what was understood."""

import math
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from jiggen.design.by_outline import measured
from jiggen.design.fill import fill_design
from jiggen.design.keys import value_of
from jiggen.design.model import ASSUMED, SOLVED, Design, Given
from jiggen.design.usual import USUAL, with_usual
from jiggen.errors import JiggenError
from jiggen.page.fields import FIELDS, Field, Sort
from jiggen.tables.document import Document
from jiggen.units import format_both, parse_length

#: Numbers of the layout's tables by the key of a design file that would give them.
_SOLVED_FOR: Mapping[str, str] = MappingProxyType(
    {
        "neck.scale": "scale",
        "neck.scale-bass": "scale-bass",
        "neck.scale-treble": "scale-treble",
        "neck.nut-width": "nut-width",
        "strings.spread-at-nut": "spread-at-nut",
        "strings.spread-at-bridge": "spread-at-bridge",
        "strings.setback-bass": "setback-bass",
        "strings.setback-treble": "setback-treble",
        "neck.frets": "frets",
        "neck.overhang": "overhang",
        "strings.count": "strings",
    }
)


def typed_in(document: Document) -> dict[str, dict[str, str]]:
    """Returns what a design file says itself, by key: as typed, and its source where it names one."""
    said = {}
    for field in FIELDS:
        entry = document.root.find(field.row.key)
        if entry is None:
            continue
        inner = entry.find("value") if isinstance(entry.value, dict) else None
        source = entry.find("source") if inner else None
        shown = inner or entry
        typed = shown.value if isinstance(shown.value, str) else " ".join(shown.text.split())
        said[field.row.key] = {
            "typed": typed.removeprefix("[").removesuffix("]") if _is_plain_list(shown.value) else typed,
            "source": str(source.value) if source else "",
        }
        if field.sort is Sort.LENGTH and isinstance(shown.value, str):
            said[field.row.key] |= _understood(shown.value, document)
    return said


def _understood(typed: str, document: Document) -> dict[str, str]:
    try:
        return {"said": format_both(parse_length(typed, where="", unit=document.unit, allow="any").mm)}
    except JiggenError:
        return {}


def _is_plain_list(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(each, str | int | float) for each in value)


def standing(
    document: Document, design: Design, defaults: Design | None, numbers: Mapping[str, Any]
) -> dict[str, dict[str, str]]:
    """Returns how each key stands that has a value: `state`, `value`, `said`, `source` and `note`.

    Args:
        document: The design's file.
        design: The same, read.
        defaults: The instrument profile that fills it.
        numbers: Of the layout's tables.
    """
    full = with_usual(fill_design(design, defaults) if defaults else design)
    full = measured(full, tolerance=math.inf)  # what is given too was checked when the numbers were solved
    own = typed_in(document)
    found: dict[str, dict[str, str]] = {}
    for field in FIELDS:
        key = field.row.key
        if key in own:
            given = value_of(field.row, full) if field.row.field else None
            source = own[key]["source"] or (given.source if isinstance(given, Given) else "")
            note = given.note if isinstance(given, Given) else ""
            found[key] = {"state": "given", "said": "", **own[key], "source": source, "note": note}
        elif (solved := numbers.get(_SOLVED_FOR.get(key, ""))) is not None:
            state = "solved" if solved["source"] == SOLVED else "assumed"
            found[key] = _told(
                field, Given(solved["value"], solved["source"], solved["text"], solved["note"])
            )
            found[key]["state"] = state
        elif field.row.field and (value := value_of(field.row, full) or USUAL.get(field.row.field)):
            read_off = isinstance(value, Given) and value.source != ASSUMED
            found[key] = _told(field, value) | {"state": "solved" if read_off else "assumed"}
    return found


def _told(field: Field, value: Any) -> dict[str, str]:
    bare = value.value if isinstance(value, Given) else value
    if field.sort is Sort.LENGTH:
        shown = said = format_both(bare)
    elif isinstance(bare, float):
        shown, said = f"{bare:g}", ""
    else:
        given = Given(bare, text=value.text) if isinstance(value, Given) else value
        shown, said = field.row.kind.write(given, "").strip("\"'"), ""
    note = value.note if isinstance(value, Given) else ""
    source = value.source if isinstance(value, Given) else ""
    return {"value": shown, "said": said, "source": source, "note": note}

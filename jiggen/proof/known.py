"""Which state of a design a part was made from: the ids and numbers that manifests know.

A part carries the id of the design as it was when the part was made. A manifest knows one id and its numbers. When a
set is made anew from a design that has changed, the ids before it are kept beside it, each in a small file of its own.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

from jiggen.errors import InputError, quoted
from jiggen.proof.manifest import NAME, SCHEMA

SCHEMA_EARLIER = "jiggen-earlier/1"
_EARLIER = re.compile(r"earlier-[0-9A-F]{4}-[0-9A-F]{4}\.json")
_ID = re.compile(r"[0-9A-F]{4}(-?[0-9A-F]{0,4})")
#: Numbers that differ by less than this, in their unit, are the same: what an id tells apart.
_SAME = 0.5e-4


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of one id.

    Attributes:
        id: Of the design as it was.
        name: Of the design.
        date: Of its revision, empty when it has none.
        revision: The maker's mark for it.
        numbers: Every number by name, with `value`, `unit` and `text`.
        parts: Names of the parts that were made.
        place: Where this is told.
    """

    id: str
    name: str
    date: str
    revision: str
    numbers: Mapping[str, Mapping[str, Any]]
    parts: tuple[str, ...]
    place: str


class Standing(StrEnum):
    """Whether a part was made from the design as it is now."""

    CURRENT = "current"
    STALE = "stale"  #: from an earlier state, of which the numbers are known
    UNKNOWN = "unknown"  #: from another state, or another design: no manifest knows its id


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A number that is not what it was.

    Attributes:
        name: Of the number.
        was: When the part was made; None: there was none.
        now: In the design; None: there is none any more.
        unit: Of both, empty for none.
    """

    name: str
    was: Any
    now: Any
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Currency:
    """How a part stands to a design.

    Attributes:
        id: That the part carries.
        current_id: Of the design as it is now.
        standing: What that comes to.
        known: What is known of the part's id; None for nothing.
        changes: Numbers that changed since.
    """

    id: str
    current_id: str
    standing: Standing
    known: Known | None
    changes: tuple[Change, ...] = ()


def is_earlier(name: str) -> bool:
    """Tells whether a file of that name is one that keeps an earlier id."""
    return _EARLIER.fullmatch(name) is not None


def earlier_file(folder: Path, design_id: str) -> tuple[str, bytes] | None:
    """Returns the name and bytes of the file that shall keep what a folder's manifest knows, or None.

    Args:
        folder: In which a set is about to be made anew.
        design_id: Of the design that it is made from.

    """
    path = folder / NAME
    if not path.is_file():
        return None
    try:
        document = _read(path)
        known = _of_manifest(document, str(path)) if document is not None else None
    except InputError:
        return None  # whoever writes the folder says what is wrong with it
    if document is None or known is None:
        return None
    name = f"earlier-{known.id}.json"
    if known.id == design_id or not is_earlier(name) or (folder / name).exists():
        return None
    design = document["design"]
    data = {"schema": SCHEMA_EARLIER, "design": design, "parts": list(known.parts)}
    return name, (json.dumps(data, indent=2, ensure_ascii=False) + "\n").encode()


def read_known(out: Path) -> tuple[Known, ...]:
    """Returns all that is known in a folder of sets, and in the folder itself.

    Args:
        out: Where sets are made, each in a folder of its own.

    Raises:
        InputError: If a manifest cannot be read.
    """
    if not out.is_dir():
        return ()
    folders = [
        out,
        *sorted(each for each in out.iterdir() if each.is_dir() and not each.name.startswith(".")),
    ]
    return tuple(known for folder in folders for known in _of_folder(folder))


def _of_folder(folder: Path) -> Iterator[Known]:
    for path in sorted(folder.glob("*.json")):
        if path.name == NAME or is_earlier(path.name):
            document = _read(path)
            if document is not None:
                yield _of_manifest(document, str(path))


def _read(path: Path) -> dict[str, Any] | None:
    """Returns a document of ours, None for one of somebody else's."""
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
    except (ValueError, RecursionError) as error:
        raise InputError(where=str(path), got=str(error), expected="JSON text in UTF-8") from None
    ours = isinstance(document, dict) and document.get("schema") in {SCHEMA, SCHEMA_EARLIER}
    return document if ours else None


def _of_manifest(document: dict[str, Any], place: str) -> Known:
    try:
        design = document["design"]
        named = document.get("parts") or [
            part["name"] for sheet in document["sheets"] for part in sheet["parts"]
        ]
        return Known(
            id=str(design["id"]),
            name=str(design["name"]),
            date=str(design["date"]),
            revision=str(design["revision"]),
            numbers={str(name): dict(number) for name, number in design["numbers"].items()},
            parts=tuple(map(str, named)),
            place=place,
        )
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        missing = str(error) if isinstance(error, KeyError) else "another form"
        raise InputError(
            where=place,
            got=missing,
            expected="a manifest's design with its numbers",
            mend="Make the job again",
        ) from None


def compare(typed: str, current_id: str, numbers: Mapping[str, Any], known: Sequence[Known]) -> Currency:
    """Returns how a part with an id stands to a design.

    Args:
        typed: The id on the part, or the start of it, four figures or more.
        current_id: Of the design as it is now.
        numbers: Of the design as it is now, each with `value`, `unit` and `text`.
        known: All that is known.

    Raises:
        InputError: If it is no id, or the start of several.
    """
    start = _clean(typed)
    ids = sorted({each for each in (current_id, *(one.id for one in known)) if each.startswith(start)})
    if len(ids) > 1:
        raise InputError(where="--id", got=quoted(typed), expected=f"one of {', '.join(ids)}")
    found = ids[0] if ids else start
    before = next((each for each in known if each.id == found), None)
    if found == current_id:
        return Currency(id=found, current_id=current_id, standing=Standing.CURRENT, known=before)
    return Currency(
        id=found,
        current_id=current_id,
        standing=Standing.STALE if before else Standing.UNKNOWN,
        known=before,
        changes=tuple(_changes(before.numbers, numbers)) if before else (),
    )


def _clean(typed: str) -> str:
    """Returns an id, or the start of one, as it stands in manifests."""
    text = typed.strip().upper().removesuffix("…").removesuffix("...")
    if not _ID.fullmatch(text):
        raise InputError(
            where="--id",
            got=quoted(typed),
            expected="the id on a part, such as 7F2A-91C3, or its first four figures at least",
        )
    return text if "-" in text or len(text) == 4 else f"{text[:4]}-{text[4:]}"


def _changes(was: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[Change]:
    for name in [*was, *(name for name in now if name not in was)]:
        before, after = (each.get(name, {}).get("value") for each in (was, now))
        if not _same(before, after):
            unit = (now.get(name) or was[name]).get("unit") or ""
            yield Change(name=name, was=before, now=after, unit=str(unit))


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= _SAME
    return bool(one == other)

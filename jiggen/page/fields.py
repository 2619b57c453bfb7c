"""The fields of the page's form: one for each key of a design file, from the same rows that read the file."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from jiggen.design.keys import ROWS
from jiggen.tables.rows import Row

#: The few that matter first.
FIRST = (
    "neck.nut-width",
    "strings.spread-at-bridge",
    "neck.scale",
    "strings.setback",
    "neck.frets",
    "strings.count",
)
#: Names of the groups, by table of the file.
GROUPS: Mapping[str, str] = MappingProxyType(
    {
        "": "The sheet itself",
        "neck": "Neck and frets",
        "strings": "Strings",
        "setup": "Set-up and saddle",
        "inlays": "Position marks",
        "nut": "Nut",
        "bridge": "Bridge",
        "truss-rod": "Truss rod",
        "neck-back": "Back of the neck",
        "head": "Head",
        "body": "Body",
        "sound-hole": "Sound hole",
        "neck-pocket": "Neck pocket",
        "radius-gauges": "Radius gauges",
        "mould": "Mould",
        "tools": "Tools at the bench",
        "make": "What it is made of",
        "accuracy": "How far it may be off",
    }
)


#: Labels of fields whose key alone says too little.
_LABELS: Mapping[str, str] = MappingProxyType(
    {
        "strings.count": "strings",
        "strings.set": "string set",
        "neck.end": "end of the board",
        "neck.radius": "board radius",
    }
)


class Sort(StrEnum):
    """What is typed into a field."""

    LENGTH = "length"
    WORDS = "words"
    NUMBER = "number"
    FLAG = "flag"
    CHOICE = "choice"
    LIST = "list"
    TABLE = "table"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of the form.

    Attributes:
        row: Its key in the file.
        group: Name of its group.
        sort: What is typed into it.
        options: Words to choose from.
    """

    row: Row
    group: str
    sort: Sort
    options: tuple[str, ...] = ()

    def told(self) -> dict[str, Any]:
        """Returns it for the page."""
        return {
            "key": self.row.key,
            "label": _label(self.row.key),
            "about": self.row.about,
            "group": self.group,
            "sort": self.sort.value,
            "options": list(self.options),
            "example": _bare(self.row.example or self.row.kind.example),
            "rare": self.row.rare,
        }


def sort_of(row: Row) -> tuple[Sort, tuple[str, ...]]:
    """Returns what is typed for a key, and the words to choose from where there are only a few."""
    schema = _without_source(row.kind.schema)
    if "enum" in schema:
        return Sort.CHOICE, tuple(schema["enum"])
    either = schema.get("anyOf", ())
    if [each.get("type") for each in either] == ["string", "number"]:
        return Sort.LENGTH, ()
    sorts = {
        "boolean": Sort.FLAG,
        "integer": Sort.NUMBER,
        "number": Sort.NUMBER,
        "array": Sort.LIST,
        "object": Sort.TABLE,
    }
    if any(each.get("type") == "object" for each in either):
        return Sort.TABLE, ()
    return sorts.get(str(schema.get("type")), Sort.WORDS), ()


def _without_source(schema: Mapping[str, Any]) -> Mapping[str, Any]:
    """Returns the schema of a value without the other form, a table that says where the value comes from."""
    either = schema.get("anyOf", ())
    if len(either) == 2 and either[1].get("required") == ["value"]:
        inner: Mapping[str, Any] = either[0]
        return inner
    return schema


def _label(key: str) -> str:
    return _LABELS.get(key, key.rpartition(".")[2].replace("-", " "))


def _bare(example: str) -> str:
    """Returns an example as it is typed, without quotes."""
    quotes = example[:1] in {'"', "'"} and example[-1:] == example[:1]
    return example[1:-1] if quotes else example


#: All of them, in the order of the file; its schema is not for typing.
FIELDS: tuple[Field, ...] = tuple(
    Field(
        row=row,
        group=GROUPS.get(row.key.rpartition(".")[0], row.key.rpartition(".")[0]),
        sort=sort_of(row)[0],
        options=sort_of(row)[1],
    )
    for row in ROWS
    if row.key != "schema"
)

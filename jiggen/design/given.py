"""A value with where it comes from, and how a file writes one."""

from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

from jiggen.errors import InputError, did_you_mean
from jiggen.tables.document import Entry
from jiggen.tables.kinds import toml_string, words
from jiggen.tables.rows import Kind
from jiggen.tables.schema import given_schema

T = TypeVar("T")

#: The words for where a number comes from; any other words are the maker's own and kept as they are.
MEASURED, CATALOGUE, CHOSEN, ASSUMED, SOLVED = "measured", "catalogue", "chosen", "assumed", "solved"


@dataclass(frozen=True, slots=True)
class Given(Generic[T]):
    """A value with where it comes from.

    Attributes:
        value: Lengths in mm.
        source: One of the words above or the maker's own.
        text: The value as it was typed, to quote it back; empty when nobody typed it.
        note: Free words on it: how it was measured, or which profile it was assumed from and why.
        where: The place where it was given, for errors: a file with line and key, or an option.
    """

    value: T
    source: str = CHOSEN
    text: str = ""
    note: str = ""
    where: str = field(default="", compare=False)


def known(given: Given[T] | None) -> T:
    """Returns the value of a number that was checked to be there.

    Raises:
        RuntimeError: If it is not: a mistake of ours.
    """
    if given is None:
        raise RuntimeError("a number that was checked to be there is missing")
    return given.value


_FREE = words(longest=200)


def given(of: Kind, *, tabular: bool = False) -> Kind:
    """A value that may say where it comes from: `"46 mm"` or `{ value = "46 mm", source = "measured" }`.

    Read, it is a `Given` with source `chosen` where the file names no other.

    Args:
        of: What the value itself is.
        tabular: Whether the value itself may be a table, which is then told by having no key `value`.
    """

    def read(entry: Entry) -> tuple[Given[Any], str]:
        if not isinstance(entry.value, dict) or (tabular and "value" not in entry.value):
            value, text = of.read(entry)
            return Given(value, text=text, where=entry.where), text
        for child in entry.children():
            if child.steps[-1] not in {"value", "source", "note"}:
                mend = did_you_mean(str(child.steps[-1]), ("value", "source", "note"))
                raise InputError(
                    where=child.where, got="an unknown key", expected="one of value, source, note", mend=mend
                )
        inner = entry.find("value")
        if inner is None:
            raise entry.wrong("a value in it", f"Write {{ value = {of.example}, source = … }}")
        value, text = of.read(inner)
        source, note = (
            _FREE.read(found)[0] if (found := entry.find(key)) else "" for key in ("source", "note")
        )
        return Given(value, source or CHOSEN, text, note, inner.where), text

    def write(value: Given[Any], _: str) -> str:
        bare = of.write(value.value, value.text)
        rest = [
            f"{key} = {toml_string(words)}"
            for key, words in (("source", value.source), ("note", value.note))
            if words not in {"", CHOSEN}
        ]
        return f"{{ {', '.join([f'value = {bare}', *rest])} }}" if rest else bare

    return Kind(read=read, write=write, example=of.example, schema=given_schema(of.schema))

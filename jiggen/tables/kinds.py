"""The kinds of values that our files hold."""

import math
import re
from collections.abc import Callable, Iterable, Sequence
from enum import StrEnum
from typing import Any

from jiggen.errors import JiggenError, SeveralErrors, did_you_mean, raise_all
from jiggen.tables.document import Entry
from jiggen.tables.rows import Kind, Row, read_rows
from jiggen.tables.schema import rows_schema
from jiggen.units import Allow, exact_mm, parse_angle, parse_length, parse_unit

LONGEST_LIST = 1000
#: What any number in words must have: a figure, or a fraction in one sign.
_FIGURE = "[0-9¼½¾⅐-⅞]"


def words(*, longest: int = 80, lines: bool = False, pattern: str = "", example: str = '"…"') -> Kind:
    """Free words.

    Args:
        longest: Characters at most.
        lines: Whether they may run over several lines.
        pattern: A regular expression that must match them all; `example` shows what it means.
        example: TOML of such words.
    """

    def read(entry: Entry) -> tuple[str, str]:
        if not isinstance(entry.value, str):
            raise entry.wrong("words in quotes", f"Write it like {example}")
        text = entry.value.strip()
        if not text:
            raise entry.wrong("words in quotes, not empty", "Take the line out if there is nothing to say.")
        if len(text) > longest:
            raise entry.wrong(f"at most {longest} characters")
        if not (text.replace("\n", "") if lines else text).isprintable():
            raise entry.wrong("words without control characters" + ("" if lines else ", on one line"))
        if pattern and not re.fullmatch(pattern, text):
            raise entry.wrong(f"something like {example}")
        return text, text

    schema: dict[str, Any] = {"type": "string", "minLength": 1}
    if not lines:  # blanks at the ends do not count, which a schema cannot say of several lines
        schema["maxLength"] = longest
    if pattern:
        schema["pattern"] = f"^(?:{pattern})$"
    return Kind(read=read, write=lambda value, _: toml_string(value), example=example, schema=schema)


def exactly(text: str) -> Kind:
    """The one text that says which format a file has."""

    def read(entry: Entry) -> tuple[str, str]:
        if entry.value != text:
            raise entry.wrong(f'"{text}"', "Another number at the end means another version of jiggen.")
        return text, text

    return Kind(
        read=read, write=lambda value, _: toml_string(value), example=f'"{text}"', schema={"const": text}
    )


def length(allow: Allow = "positive", *, example: str = '"42mm"') -> Kind:
    """A length, in mm once read: words with a unit, or a bare number where the file sets `units`."""

    def read(entry: Entry) -> tuple[float, str]:
        if isinstance(entry.value, bool) or not isinstance(entry.value, str | int | float):
            raise entry.wrong("a length", f"Write it like {example}")
        unit = entry.document.unit
        if isinstance(entry.value, str):
            read = parse_length(entry.value, where=entry.where, unit=unit, allow=allow)
        else:
            read = parse_length(entry.text, where=entry.where, unit=unit, allow=allow)
        return read.mm, read.text

    bounds: dict[Allow, dict[str, float]] = {
        "positive": {"exclusiveMinimum": 0},
        "non-negative": {"minimum": 0},
    }
    bare = {"type": "number", **bounds.get(allow, {}), "description": "In the unit that `units` names."}
    schema = {"anyOf": [{"type": "string", "pattern": _FIGURE}, bare]}
    return Kind(
        read=read, write=lambda mm, text: toml_string(text or exact_mm(mm)), example=example, schema=schema
    )


def count(least: int, most: int, *, example: str) -> Kind:
    """A whole number."""

    def read(entry: Entry) -> tuple[int, str]:
        expected = f"a whole number from {least} to {most}"
        value = entry.value
        if isinstance(value, bool) or not isinstance(value, int):
            bare = isinstance(value, str) and re.fullmatch(r"\d{1,9}", value.strip())
            raise entry.wrong(expected, "Leave out the quotes." if bare else "")
        if not least <= value <= most:
            raise entry.wrong(expected)
        return value, str(value)

    schema = {"type": "integer", "minimum": least, "maximum": most}
    return Kind(read=read, write=lambda value, _: str(value), example=example, schema=schema)


def number(*, above: float = 0.0, least: float | None = None, most: float = math.inf, example: str) -> Kind:
    """A number whose unit stands in its key or is understood, above `above`, or from `least` on where that is given."""
    low = f"above {above:g}" if least is None else f"of at least {least:g}"
    expected = f"a number {low}" + ("" if math.isinf(most) else f" and at most {most:g}")

    def read(entry: Entry) -> tuple[float, str]:
        value = entry.value
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise entry.wrong(f"{expected}, without quotes", f"Write it like {example}")
        is_high_enough = value > above if least is None else value >= least
        if not (math.isfinite(value) and is_high_enough and value <= most):
            raise entry.wrong(expected)
        return float(value), entry.text

    schema: dict[str, Any] = {"type": "number"}
    schema |= {"exclusiveMinimum": above} if least is None else {"minimum": least}
    if not math.isinf(most):
        schema["maximum"] = most
    return Kind(read=read, write=lambda value, _: repr(value), example=example, schema=schema)


def angle(*, largest_degrees: float, example: str) -> Kind:
    """An angle, in radians once read: words such as `"1.5 deg"`."""

    def read(entry: Entry) -> tuple[float, str]:
        if not isinstance(entry.value, str):
            raise entry.wrong("an angle with its unit, in quotes", f"Write it like {example}")
        radians = parse_angle(entry.value, where=entry.where)
        if abs(radians) > math.radians(largest_degrees):
            raise entry.wrong(f"an angle of at most {largest_degrees:g} degrees")
        return radians, entry.value

    def write(radians: float, text: str) -> str:
        return toml_string(text or f"{round(math.degrees(radians), 9):g} deg")

    return Kind(read=read, write=write, example=example, schema={"type": "string", "pattern": _FIGURE})


def flag() -> Kind:
    """Yes or no."""

    def read(entry: Entry) -> tuple[bool, str]:
        if not isinstance(entry.value, bool):
            raise entry.wrong("true or false, without quotes")
        return entry.value, entry.text

    return Kind(
        read=read,
        write=lambda value, _: "true" if value else "false",
        example="true",
        schema={"type": "boolean"},
    )


def choice(options: Iterable[StrEnum]) -> Kind:
    """One word of a few."""
    by_word = {option.value: option for option in options}
    known = list(by_word)

    def read(entry: Entry) -> tuple[StrEnum, str]:
        if entry.value not in known:
            mend = did_you_mean(entry.value, known) if isinstance(entry.value, str) else ""
            raise entry.wrong(f"one of {', '.join(known)}", mend)
        return by_word[entry.value], entry.value

    return Kind(
        read=read, write=lambda value, _: toml_string(value), example=f'"{known[0]}"', schema={"enum": known}
    )


def unit_name() -> Kind:
    """The unit of bare numbers."""

    def read(entry: Entry) -> tuple[str, str]:
        if not isinstance(entry.value, str):
            raise entry.wrong("the name of a unit in quotes", 'Write it like "mm"')
        return parse_unit(entry.value, where=entry.where), entry.value

    schema = {"type": "string", "minLength": 1}
    return Kind(read=read, write=lambda value, _: toml_string(value), example='"mm"', schema=schema)


def day() -> Kind:
    """A date of the calendar, as ISO 8601 writes it."""

    def read(entry: Entry) -> tuple[str, str]:
        from datetime import date, datetime  # late, like all that takes milliseconds to import

        value = entry.value
        if isinstance(value, date) and not isinstance(value, datetime):
            return value.isoformat(), value.isoformat()
        if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value.strip()):
            try:
                text = date.fromisoformat(value.strip()).isoformat()
            except ValueError as error:
                raise entry.wrong("a day of the calendar") from error
            return text, text
        raise entry.wrong("a date such as 2026-11-25, year, month and day")

    schema = {"type": "string", "format": "date"}
    return Kind(read=read, write=lambda value, _: value, example="2026-11-25", schema=schema)


def listing(of: Kind, *, least: int = 0, most: int = LONGEST_LIST) -> Kind:
    """A list of one kind of value, a tuple once read. Its words are those of its items, with commas between."""

    def read(entry: Entry) -> tuple[tuple[Any, ...], str]:
        if not isinstance(entry.value, list):
            raise entry.wrong("a list in square brackets", f"Write it like [{of.example}]")
        if not least <= len(entry.value) <= most:
            raise entry.wrong(
                f"a list of {least} to {most} values" if least < most else f"a list of {most} values"
            )
        return _read_items(entry, of.read)

    def write(values: tuple[Any, ...], text: str) -> str:
        texts = text.split(", ")
        if len(texts) != len(values):
            texts = [""] * len(values)
        return f"[{', '.join(of.write(value, each) for value, each in zip(values, texts, strict=True))}]"

    schema = {"type": "array", "items": of.schema, "minItems": least, "maxItems": most}
    return Kind(read=read, write=write, example=f"[{of.example}]", schema=schema)


def table(rows: Sequence[Row], build: Callable[..., Any]) -> Kind:
    """A table in a list of tables.

    Args:
        rows: Its keys.
        build: Makes the value of it; takes the rows' fields as keywords.
    """

    def read(entry: Entry) -> tuple[Any, str]:
        if not isinstance(entry.value, dict):
            raise entry.wrong("a table")
        return build(**read_rows(entry, rows)), ""

    def write(value: Any, _: str) -> str:
        said = ((row, getattr(value, row.field)) for row in rows)
        pairs = (f"{row.key} = {row.kind.write(each, '')}" for row, each in said if each is not None)
        return f"{{ {', '.join(pairs)} }}"

    example = ", ".join(f"{row.key} = {row.example or row.kind.example}" for row in rows if row.required)
    return Kind(read=read, write=write, example=f"{{ {example} }}", schema=rows_schema(rows))


def _read_items(entry: Entry, read: Callable[[Entry], tuple[Any, str]]) -> tuple[tuple[Any, ...], str]:
    """Reads all items of a list and reports all that is wrong with them."""
    items: list[tuple[Any, str]] = []
    found: list[JiggenError] = []
    for child in entry.children():
        try:
            items.append(read(child))
        except SeveralErrors as several:
            found += several.errors
        except JiggenError as error:
            found.append(error)
    raise_all(found)
    return tuple(value for value, _ in items), ", ".join(text for _, text in items)


def toml_string(text: str) -> str:
    """Returns a text as a TOML string, in single quotes where that spares an inch mark its backslash."""
    if '"' in text and "'" not in text and text.isprintable():
        return f"'{text}'"
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(each if each.isprintable() else f"\\U{ord(each):08X}" for each in escaped) + '"'

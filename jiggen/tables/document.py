"""A TOML text with the place of every value."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from jiggen.errors import InputError, quoted
from jiggen.tables.scan import Scan, Steps
from jiggen.units import parse_unit

_PLACE = r" \(at (?:line (\d+), column (\d+)|end of document)\)$"
_UNQUOTED_VALUE = r"\s*([^#=]+?)\s*=\s*([^\s\"'\[{#][^#\"]*?\"?)\s*(?:#.*)?"
_INCH_MARK_IN_QUOTES = r"\s*([^#=]+?)\s*=\s*\"([^\"]*\")\"\s*(?:#.*)?"


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """A TOML text that was read.

    Attributes:
        file: Its name, for errors.
        text: The text, line ends made one sign.
        tables: What it says.
        scan: Where it says it.
        unit: The unit of its bare numbers, from the top-level key `units`; None when it names none that is known.
        has_lines: Whether its lines mean anything to the maker; not those of a text that was put together.
    """

    file: str
    text: str
    tables: dict[str, Any]
    scan: Scan
    unit: str | None
    has_lines: bool = True

    @property
    def root(self) -> "Entry":
        """The whole of it."""
        return Entry(document=self, steps=(), value=self.tables)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A value of a document and where it stands there.

    Attributes:
        document: The whole.
        steps: The way to the value.
        value: As TOML has it: str, int, float, bool, date, list or dict.
    """

    document: Document
    steps: Steps
    value: Any

    @property
    def text(self) -> str:
        """The value as it was typed, quotes and all."""
        start, end = self._span
        return self.document.text[start:end]

    @property
    def line(self) -> int:
        """The line on which the value starts, counted from 1; 0 for the whole document."""
        return self.document.text.count("\n", 0, self._span[0]) + 1 if self.steps else 0

    @property
    def where(self) -> str:
        """The place, for errors: `wren.toml, line 7, neck.scale`."""
        if not self.steps:
            return self.document.file
        line = f"line {self.line}, " if self.document.has_lines else ""
        return f"{self.document.file}, {line}{spelt(self.steps)}"

    def children(self) -> Iterator["Entry"]:
        """Yields the values of a table or an array, in the order of the file."""
        inside = self.value.items() if isinstance(self.value, dict) else enumerate(self.value)
        for step, value in inside:
            yield Entry(document=self.document, steps=(*self.steps, step), value=value)

    def find(self, key: str) -> "Entry | None":
        """Returns the value of a key, dotted for tables in tables; None when it is not there."""
        entry = self
        for step in key.split("."):
            if not isinstance(entry.value, dict) or step not in entry.value:
                return None
            entry = Entry(document=self.document, steps=(*entry.steps, step), value=entry.value[step])
        return entry

    def wrong(self, expected: str, mend: str = "") -> InputError:
        """Returns the error that this value is not what was expected."""
        match self.value:
            case str():
                got = quoted(self.value)
            case dict():
                got = "a table"
            case list() if len(self.text) > 40 or dict in map(type, self.value):
                got = f"a list of {len(self.value)}"
            case _:
                got = " ".join(self.text.split())
        return InputError(where=self.where, got=got, expected=expected, mend=mend)

    @property
    def _span(self) -> tuple[int, int]:
        """The span of the value, or of the nearest thing about it that has one: `[a.b]` makes an `a` as well."""
        spans = self.document.scan.spans
        inside = (span for steps, span in spans.items() if steps[: len(self.steps)] == self.steps)
        return spans.get(self.steps) or next(inside, (0, 0))


def parse_toml(text: str, *, file: str, has_lines: bool = True) -> Document:
    """Reads a TOML text.

    Args:
        text: Of the file.
        file: What to call it in errors.
        has_lines: Whether to name lines in errors.

    Raises:
        InputError: If it is not TOML, with line and column; or if it nests deeper than any file of ours needs.
    """
    import tomllib  # late, like all that takes milliseconds to import

    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    scan = Scan(text, file=file)
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _syntax_error(str(error), text, scan, file) from error
    unit = tables.get("units")
    try:
        unit = parse_unit(unit, where=file) if isinstance(unit, str) else None
    except InputError:
        unit = None  # whoever reads the key `units` reports it with its place
    return Document(file=file, text=text, tables=tables, scan=scan, unit=unit, has_lines=has_lines)


def spelt(steps: Steps) -> str:
    """Returns the way to a value in words: `neck.scale`, `strings.gauges, item 3`."""
    words = ""
    for step in steps:
        if isinstance(step, int):
            words += f", item {step + 1}"
        else:
            name = step if re.fullmatch(r"[A-Za-z0-9_-]{1,40}", step) else quoted(step)
            words += name if not words else f", {name}" if " item " in words else f".{name}"
    return words


def _syntax_error(message: str, text: str, scan: Scan, file: str) -> InputError:
    """Returns our error for one of the TOML reader's."""
    lines = text.split("\n")
    place = re.search(_PLACE, message)
    complaint = re.sub(_PLACE, "", message)
    if complaint.startswith("Cannot overwrite") and scan.doubles:
        at = scan.doubles[0]
        line, column = text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)
        complaint = "This key has a value already"
    elif place and place[1]:
        line, column = int(place[1]), int(place[2])
    else:
        line, column = len(lines), len(lines[-1]) + 1
    shown = lines[line - 1]
    return InputError(
        where=f"{file}, line {line}, column {column}",
        got=quoted(shown.strip())
        if shown.strip()
        else "an empty line"
        if line < len(lines)
        else "the end of the file",
        expected="valid TOML",
        mend=f"{complaint}. {_hint(shown)}".strip(),
    )


def _hint(line: str) -> str:
    """Returns how to mend the mistakes that makers make."""
    if len(line) > 200:
        return ""
    if match := re.fullmatch(_INCH_MARK_IN_QUOTES, line):
        return f"Put single quotes round a value that holds an inch mark: {match[1]} = '{match[2]}'"
    match = re.fullmatch(_UNQUOTED_VALUE, line)
    if match is None or re.fullmatch(r"[-+_.0-9]*", match[2]):
        return ""
    if match[2].lower() in {"true", "false"}:
        return f"Write it in small letters: {match[1]} = {match[2].lower()}"
    mark = "'" if '"' in match[2] else '"'
    return f"Put quotes round a value that is not a plain number: {match[1]} = {mark}{match[2]}{mark}"

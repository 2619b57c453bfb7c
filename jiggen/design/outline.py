"""An outline that a maker brings along: `outline = "wren.svg"`, or a table with what is asked of the file."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import Any

from jiggen.errors import JiggenError, SeveralErrors
from jiggen.outlines.asked import read_axis, read_scale_to
from jiggen.outlines.model import Axis, Brought, ScaleTo, Wish
from jiggen.tables.document import Entry
from jiggen.tables.kinds import flag, length, toml_string, unit_name, words
from jiggen.tables.rows import Kind, Row, read_rows
from jiggen.tables.schema import rows_schema
from jiggen.units import exact_mm

#: Characters that the name of a file may have: the longest way to one that systems allow.
_LONGEST_NAME = 4096
#: How finely and how coarsely a drawing may be followed, mm: finer than any laser, and coarser than any drawing.
_FINEST, _COARSEST = 0.001, 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Outline:
    """An outline that was brought along.

    Attributes:
        file: As it was named, meant from the folder of the file that names it.
        wish: What is asked of it.
        inner: Whether the contours within it are openings.
        brought: What was read.
    """

    file: str
    wish: Wish
    inner: bool
    brought: Brought

    @property
    def name(self) -> str:
        """The file's name without its folder, which is nobody's business but the maker's."""
        return re.split(r"[/\\]", self.file)[-1]

    @property
    def source(self) -> str:
        """Where a number comes from that was read off it."""
        return f"measured from {self.name}"


def _scale_to() -> Kind:
    def read(entry: Entry) -> tuple[ScaleTo, str]:
        text, _ = words().read(entry)
        return read_scale_to(text, where=entry.where), text

    return Kind(
        read=read,
        write=lambda asked, _: toml_string(asked.text),
        example='"body-length 480 mm"',
        schema={"type": "string", "minLength": 1},
    )


def _tolerance() -> Kind:
    plain = length(example='"0.01mm"')

    def read(entry: Entry) -> tuple[float, str]:
        mm, text = plain.read(entry)
        if not _FINEST <= mm <= _COARSEST:
            raise entry.wrong(f"from {exact_mm(_FINEST)} to {exact_mm(_COARSEST)}")
        return mm, text

    return Kind(read=read, write=plain.write, example=plain.example, schema=plain.schema)


def _axis() -> Kind:
    def read(entry: Entry) -> tuple[Axis, str]:
        text, _ = words().read(entry)
        return read_axis(text, where=entry.where), text

    def write(axis: Axis, _: str) -> str:
        place = "" if axis.at_mm is None else f" at {exact_mm(axis.at_mm)}"
        return toml_string(f"{axis.along or 'auto'}{place}")

    return Kind(read=read, write=write, example='"y at 120 mm"', schema={"type": "string", "minLength": 1})


_ROWS = (
    Row(
        key="file",
        field="file",
        kind=words(longest=_LONGEST_NAME, example='"body.svg"'),
        about="name of an SVG, a DXF or a table of stations (CSV), meant from this file's folder",
        required=True,
    ),
    Row(key="units", field="units", kind=unit_name(), about="of a file that does not say its own"),
    Row(key="scale-to", field="scale_to", kind=_scale_to(), about="a length or width that it shall have"),
    Row(
        key="axis",
        field="axis",
        kind=_axis(),
        about="along which of the file's directions its centre line runs, and where; found when left out",
    ),
    Row(
        key="turned", field="turned", kind=flag(), about="whether its neck end is the other one than is found"
    ),
    Row(
        key="layer",
        field="layer",
        kind=words(longest=200, example='"outline"'),
        about="layer of a DXF, or group of an SVG, that is taken",
    ),
    Row(
        key="gap",
        field="gap_mm",
        kind=length("non-negative", example='"0.05mm"'),
        about="how far apart two ends may lie and still be joined",
    ),
    Row(
        key="tolerance",
        field="tolerance_mm",
        kind=_tolerance(),
        about="how far arcs may lie off the curves in the file",
    ),
    Row(
        key="smooth",
        field="smooth_mm",
        kind=length("non-negative", example='"0.5mm"'),
        about="how far a curve may pass the stations of a table, root mean square",
    ),
    Row(key="inner", field="inner", kind=flag(), about="whether contours within it are cut as openings"),
)
_BY_FIELD: Mapping[str, Row] = MappingProxyType({row.field: row for row in _ROWS})


def outline(*, example: str) -> Kind:
    """An outline in a file: its name, or a table with the name and what is asked.

    Args:
        example: TOML of such a name.
    """

    def read(entry: Entry) -> tuple[Outline, str]:
        if not isinstance(entry.value, str | dict):
            raise entry.wrong("the name of a file in quotes, or a table with it", f"Write it like {example}")
        bare = isinstance(entry.value, str)
        asked = {"file": _BY_FIELD["file"].kind.read(entry)[0]} if bare else read_rows(entry, _ROWS)
        file, inner = asked.pop("file"), asked.pop("inner", False)
        wish = Wish(**asked)
        return Outline(file=file, wish=wish, inner=inner, brought=_brought(entry, file, wish)), file

    named = {"type": "string", "minLength": 1}
    return Kind(read=read, write=_written, example=example, schema={"anyOf": [named, rows_schema(_ROWS)]})


def _brought(entry: Entry, file: str, wish: Wish) -> Brought:
    """Reads the file that an entry names.

    Raises:
        JiggenError: If it is missing, or anything in it is wrong; told with the place of the entry too.
    """
    # Late, since readers take longer to import than a layout without an outline takes to print.
    from jiggen.outlines.read import read_outline

    try:
        return read_outline(Path(entry.document.file).parent / file, wish=wish)
    except SeveralErrors as several:
        raise SeveralErrors([each.at(f"{entry.where}, {each.where}") for each in several.errors]) from several
    except JiggenError as error:
        raise error.at(f"{entry.where}, {error.where}") from error


def _written(value: Outline, _: str) -> str:
    """Returns the TOML of an outline: the file's name alone where nothing is asked of it."""
    usual, wish = Wish(), value.wish
    asked: dict[str, Any] = {
        row.field: getattr(wish, row.field)
        for row in _ROWS
        if row.field not in {"file", "inner"} and getattr(wish, row.field) != getattr(usual, row.field)
    }
    if value.inner:
        asked["inner"] = True
    if not asked:
        return toml_string(value.file)
    said = {"file": value.file, **asked}
    pairs = (f"{_BY_FIELD[name].key} = {_BY_FIELD[name].kind.write(each, '')}" for name, each in said.items())
    return f"{{ {', '.join(pairs)} }}"

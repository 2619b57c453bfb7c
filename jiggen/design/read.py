"""Reads design files, and the instrument profiles that are design files too."""

from dataclasses import fields
from pathlib import Path
from typing import Any

from jiggen.design.keys import ROWS
from jiggen.design.model import Design
from jiggen.design.string_set import StringSet, string_set_of, wire_of
from jiggen.errors import InputError, quoted
from jiggen.profiles import find, read_text
from jiggen.tables.document import Document, parse_toml
from jiggen.tables.rows import read_rows


def read_design(path: Path | str) -> Design:
    """Reads a design file.

    Raises:
        JiggenError: If the file cannot be opened or read, or anything in it is wrong; all that is, in one go.
    """
    return design_from_text(read_text(Path(path)), file=str(path))


def design_from_text(text: str, *, file: str) -> Design:
    """Reads the text of a design file.

    Args:
        text: TOML.
        file: What to call it in errors.

    Raises:
        JiggenError: If anything in it is wrong; all that is, in one go.
    """
    return design_of(parse_toml(text, file=file))


def read_defaults(design: Design) -> Design | None:
    """Reads the instrument profile that a design names, or returns None when it names none.

    Raises:
        JiggenError: If there is no such profile, or anything in it is wrong.
    """
    if not design.profile:
        return None
    profile = find("instruments", design.profile, where=f'design "{design.name}", profile')
    defaults = design_of(profile.tables)
    if defaults.profile:
        raise InputError(
            where=f"{profile.path}, profile",
            got=quoted(defaults.profile),
            expected="an instrument profile that stands on its own",
            mend="Take the line out and copy what is missing.",
        )
    return defaults


def design_of(document: Document) -> Design:
    """Returns the design that a read file holds.

    Raises:
        JiggenError: If anything in it is wrong; all that is, in one go.
    """
    values = read_rows(document.root, ROWS)
    makers = {each.name: each.default_factory for each in fields(Design) if callable(each.default_factory)}
    groups = {name: make(**_of(values, f"{name}.")) for name, make in makers.items()}
    return Design(**{name: value for name, value in values.items() if "." not in name}, **groups)


def _of(values: dict[str, Any], start: str) -> dict[str, Any]:
    """Returns the values whose field lies in a group, by their names there."""
    return {name.removeprefix(start): value for name, value in values.items() if name.startswith(start)}


def read_string_set(design: Design) -> StringSet | None:
    """Reads the string set that a design names, or returns None when it names none.

    Raises:
        JiggenError: If there is no such set, or anything in it or in its wires is wrong.
    """
    if design.string_set is None:
        return None
    where = design.string_set.where or f'design "{design.name}", strings.set'
    profile = find("strings", design.string_set.value, where=where)
    return string_set_of(profile, lambda name, place: wire_of(find("wires", name, where=place)))

"""String sets and wires, from the library that comes with jiggen or from a text."""

from pathlib import Path

from jiggen.design.string_set import StringSet, Wire, string_set_of, wire_of
from jiggen.profiles import Profile
from jiggen.tables.document import parse_toml

LIBRARY = Path(__file__).parents[2] / "profiles"


def profile_from(text: str, *, kind: str, name: str) -> Profile:
    path = Path(f"{name}.toml")
    return Profile(kind=kind, name=name, path=path, text=text, tables=parse_toml(text, file=str(path)))


def find_in_library(kind: str, name: str) -> Profile:
    return profile_from((LIBRARY / kind / f"{name}.toml").read_text(encoding="utf-8"), kind=kind, name=name)


def library_wire(name: str, where: str) -> Wire:
    return wire_of(find_in_library("wires", name))


def library_set(name: str) -> StringSet:
    return string_set_of(find_in_library("strings", name), library_wire)

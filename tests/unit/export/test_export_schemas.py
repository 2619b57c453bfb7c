"""Schemas of our files: what is shipped and shown keeps to them, what reading refuses they mark as far as they can."""

import json
import tomllib
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from jiggen.design.keys import ROWS
from jiggen.errors import InputError
from jiggen.export.schemas import KINDS, schema_of
from jiggen.shop.machine_rows import MACHINE_ROWS
from jiggen.shop.material_rows import MATERIAL_ROWS
from jiggen.tables.rows import Row

TOP = Path(__file__).parents[3]
DESIGN = Draft202012Validator(schema_of("design"))


def as_json(value: Any) -> Any:
    """TOML's values as an editor hands them to a schema: dates as text."""
    match value:
        case dict():
            return {key: as_json(each) for key, each in value.items()}
        case list():
            return [as_json(each) for each in value]
        case date():
            return value.isoformat()
        case _:
            return value


def faults(text: str, kind: str = "design") -> list[str]:
    validator = Draft202012Validator(schema_of(kind))
    return [error.json_path for error in validator.iter_errors(as_json(tomllib.loads(text)))]


@pytest.mark.parametrize("kind", KINDS)
def test_each_is_a_schema(kind: str) -> None:
    schema = schema_of(kind)
    Draft202012Validator.check_schema(schema)
    assert json.loads(json.dumps(schema)) == schema
    assert schema["$id"] == f"urn:jiggen:{kind}:1"


@pytest.mark.parametrize(
    ("kind", "rows"), [("design", ROWS), ("material", MATERIAL_ROWS), ("machine", MACHINE_ROWS)]
)
def test_every_key_has_its_place_its_meaning_and_a_form(kind: str, rows: tuple[Row, ...]) -> None:
    schema = schema_of(kind)
    for row in rows:
        here = schema
        for step in row.key.split("."):
            here = here["properties"][step]
        assert here["description"] == row.about
        assert row.kind.schema, f"{row.key}: a kind of value with no schema"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_every_example_keeps_to_the_schema(row: Row) -> None:
    if row.key in {"schema", "name"}:
        text = 'schema = "jiggen-design/1"\nname = "Wren"\n'
    else:
        text = f'schema = "jiggen-design/1"\nname = "Wren"\n{row.key} = {row.example or row.kind.example}\n'
    assert faults(text) == []


@pytest.mark.parametrize("folder", ["materials", "machines"])
def test_shipped_profiles_keep_to_theirs(folder: str) -> None:
    for path in sorted((TOP / "profiles" / folder).glob("*.toml")):
        assert faults(path.read_text("utf-8"), folder.removesuffix("s")) == [], path.name


def test_the_demo_keeps_to_it() -> None:
    assert faults((TOP / "profiles" / "instruments" / "wren.toml").read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("line", "where"),
    [
        ('nut-widht = "46mm"', "$"),
        ("frets = 18.5", "$.neck.frets"),
        ("frets = 99", "$.neck.frets"),
        ('frets = "18"', "$.neck.frets"),
        ("scale = true", "$.neck.scale"),
        ("scale = -3", "$.neck.scale"),
        ('scale = "long"', "$.neck.scale"),
        ('scale = { value = "628mm", sourse = "measured" }', "$.neck.scale"),
    ],
)
def test_slips_are_marked_where_they_are(line: str, where: str) -> None:
    found = faults(f'schema = "jiggen-design/1"\nname = "Wren"\n[neck]\n{line}\n')
    assert found
    assert all(each.startswith(where) for each in found)


def test_what_must_be_there_is_asked_for() -> None:
    assert faults('schema = "jiggen-design/1"') == ["$"]


def test_an_unknown_kind() -> None:
    with pytest.raises(InputError) as caught:
        schema_of("desing")
    assert str(caught.value) == (
        'schema: got "desing", expected one of design, material, machine, manifest. Did you mean design?'
    )

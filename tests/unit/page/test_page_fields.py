"""Every key has a field, and what is typed there is read as its row reads it."""

import pytest

from jiggen.design.keys import ROWS
from jiggen.page.fields import FIELDS, FIRST, GROUPS, Sort


def test_every_key_but_the_schema_has_a_field_in_a_named_group() -> None:
    assert [field.row.key for field in FIELDS] == [row.key for row in ROWS if row.key != "schema"]
    assert {field.group for field in FIELDS} <= set(GROUPS.values())
    assert set(FIRST) <= {field.row.key for field in FIELDS}


@pytest.mark.parametrize(
    ("key", "sort"),
    [
        ("neck.scale", Sort.LENGTH),
        ("neck.frets", Sort.NUMBER),
        ("neck.zero-fret", Sort.FLAG),
        ("neck.end", Sort.CHOICE),
        ("neck.fret-rule", Sort.TABLE),
        ("neck.nut-to-fret", Sort.TABLE),
        ("strings.gauges", Sort.LIST),
        ("name", Sort.WORDS),
        ("date", Sort.WORDS),
    ],
)
def test_fields_know_what_is_typed(key: str, sort: Sort) -> None:
    assert next(field.sort for field in FIELDS if field.row.key == key) is sort

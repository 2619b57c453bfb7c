"""The files that a design names are found wherever they are named, and are meant from the design's own folder."""

from pathlib import Path

import pytest

from jiggen.design.named_files import files_named, with_full_names
from jiggen.tables.document import parse_toml

NAMED = """\
[neck]
fret-rule = {{ {scl} }}
[head]
outline = {head}
[body]
outline = {body}
"""
FORMS = [
    ('scl = "a.scl"', '"h.svg"', '{ file = "b.svg" }'),
    (
        'value = { scl = "a.scl" }, source = "x"',
        '{ value = "h.svg" }',
        '{ value = { file = "b.svg" }, source = "x" }',
    ),
]


@pytest.mark.parametrize(("scl", "head", "body"), FORMS)
def test_all_forms_are_found(scl, head, body):
    document = parse_toml(NAMED.format(scl=scl, head=head, body=body), file="designs/wren.toml")
    assert dict(files_named(document.tables)) == {
        "neck.fret-rule.scl": "a.scl",
        "head.outline": "h.svg",
        "body.outline": "b.svg",
    }
    folder = Path("designs").absolute()
    assert {name for _, name in files_named(with_full_names(document))} == {
        str(folder / name) for name in ("a.scl", "h.svg", "b.svg")
    }
    assert dict(files_named(document.tables))["head.outline"] == "h.svg"  # the document itself stays as it is


def test_a_design_that_names_none_stays_as_it_is():
    document = parse_toml('name = "Wren"\n[body]\noutline = 7\n', file="wren.toml")
    assert list(files_named(document.tables)) == []
    assert with_full_names(document) == document.tables

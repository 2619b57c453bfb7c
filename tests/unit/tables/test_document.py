"""TOML texts that are not TOML, and values with their places."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import InputError, JiggenError
from jiggen.tables.document import parse_toml, spelt


def refusal(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_toml(text, file="w.toml")
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "a = 1\nscale = 628mm\n",
            (
                'w.toml, line 2, column 12: got "scale = 628mm", expected valid TOML. Expected newline or end of document'
                ' after a statement. Put quotes round a value that is not a plain number: scale = "628mm"'
            ),
        ),
        (
            'scale = 25 1/2" # long\n',
            (
                "w.toml, line 1, column 12: got 'scale = 25 1/2\" # long', expected valid TOML. Expected newline or end of"
                " document after a statement. Put quotes round a value that is not a plain number: scale = '25 1/2\"'"
            ),
        ),
        (
            'scale = "25 1/2""\n',
            (
                'w.toml, line 1, column 17: got \'scale = "25 1/2""\', expected valid TOML. Expected newline or end of'
                " document after a statement. Put single quotes round a value that holds an inch mark: scale = '25 1/2\"'"
            ),
        ),
        (
            "a = True\n",
            (
                'w.toml, line 1, column 5: got "a = True", expected valid TOML. Invalid value.'
                " Write it in small letters: a = true"
            ),
        ),
        (
            "a = 05\n",
            (
                'w.toml, line 1, column 6: got "a = 05", expected valid TOML.'
                " Expected newline or end of document after a statement."
            ),
        ),
        (
            "[neck\nscale = 1\n",
            (
                'w.toml, line 1, column 6: got "[neck", expected valid TOML.'
                " Expected ']' at the end of a table declaration."
            ),
        ),
        (
            "[neck]\nscale\n",
            (
                'w.toml, line 2, column 6: got "scale", expected valid TOML.'
                " Expected '=' after a key in a key/value pair."
            ),
        ),
        (
            "[neck]\nscale = 1\nnut = 2\nscale = 3\n",
            'w.toml, line 4, column 1: got "scale = 3", expected valid TOML. This key has a value already.',
        ),
        (
            'note = """never closed\n',
            "w.toml, line 2, column 1: got the end of the file, expected valid TOML. Unterminated string.",
        ),
        (
            "a = [\n\n",
            "w.toml, line 3, column 1: got the end of the file, expected valid TOML. Invalid value.",
        ),
    ],
)
def test_syntax_errors_show_the_place_and_a_way_out(text: str, sentence: str) -> None:
    assert refusal(text) == sentence


def test_line_ends_and_byte_order_marks_of_other_systems() -> None:
    document = parse_toml('\ufeffa = 1\r\n[t]\r\nb = """x\r\ny"""\r\n', file="w.toml")
    assert document.tables == {"a": 1, "t": {"b": "x\ny"}}
    entry = document.root.find("t.b")
    assert entry is not None
    assert entry.where == "w.toml, line 3, t.b"


def test_entries_know_text_and_place() -> None:
    document = parse_toml(
        '[[op]]\nlist = [0x1F, "b"]\n[[op]]\nlist = [1.50]\n["odd key"]\nx = {a = 1}\n', file="w.toml"
    )
    second = list(document.root.find("op").children())[1]  # type: ignore[union-attr]
    item = next(second.find("list").children())  # type: ignore[union-attr]
    assert (second.where, second.line) == ("w.toml, line 3, op, item 2", 3)
    assert (item.where, item.text) == ("w.toml, line 4, op, item 2, list, item 1", "1.50")
    odd = next(entry for entry in document.root.children() if entry.steps == ("odd key",))
    assert next(odd.children()).where == 'w.toml, line 6, "odd key".x'
    assert document.root.find("op.list") is None
    assert document.root.find("nothing") is None
    assert (document.root.where, document.root.line) == ("w.toml", 0)


def test_a_table_without_a_header_of_its_own_stands_where_its_first_part_does() -> None:
    document = parse_toml("x = 1\n[a.b]\ny = 2\n", file="w.toml")
    entry = document.root.find("a")
    assert entry is not None
    assert entry.where == "w.toml, line 2, a"


@pytest.mark.parametrize(
    ("value", "got"),
    [
        ('"abc"', '"abc"'),
        ("0x1F", "0x1F"),
        ("true", "true"),
        ("2026-11-25", "2026-11-25"),
        ("[1, 2]", "[1, 2]"),
        ("[\n 1, 2 ]", "[ 1, 2 ]"),
        ("[" + "1," * 30 + "]", "a list of 30"),
        ("{ a = 1 }", "a table"),
    ],
)
def test_what_was_given_is_quoted_as_typed(value: str, got: str) -> None:
    entry = parse_toml(f"x = {value}\n", file="w.toml").root.find("x")
    assert entry is not None
    assert str(entry.wrong("something else", "Do so.")) == (
        f"w.toml, line 1, x: got {got}, expected something else. Do so."
    )


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ('units = "mm"', "mm"),
        ('units = "Inches"', "in"),
        ("", None),
        ("units = 3", None),
        ('units = "ell"', None),
    ],
)
def test_unit_of_bare_numbers(text: str, unit: str | None) -> None:
    assert parse_toml(text, file="w.toml").unit == unit


def test_steps_in_words() -> None:
    assert spelt(("strings", "gauges", 2)) == "strings.gauges, item 3"
    assert spelt(("a b", "c")) == '"a b".c'


@given(st.text(max_size=60) | st.text(alphabet="ab=.[]{}\"'\\,#\n 1-", max_size=40))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        document = parse_toml(text, file="w.toml")
    except JiggenError:
        return
    assert isinstance(document.tables, dict)

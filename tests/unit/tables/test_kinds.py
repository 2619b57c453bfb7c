"""Kinds of values and the rows that name them: what is refused, in which words, and that writing is read back."""

from enum import StrEnum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import InputError, JiggenError, SeveralErrors
from jiggen.tables.document import parse_toml
from jiggen.tables.kinds import (
    choice,
    count,
    day,
    exactly,
    flag,
    length,
    listing,
    number,
    table,
    toml_string,
    unit_name,
    words,
)
from jiggen.tables.rows import Kind, Row, read_rows


class Side(StrEnum):
    BASS = "bass"
    TREBLE = "treble"


def read(kind: Kind, value: str, head: str = "") -> Any:
    return read_rows(
        parse_toml(f"{head}x = {value}\n", file="w.toml").root,
        (
            Row(key="x", field="x", kind=kind, about="x"),
            Row(key="units", field="", kind=unit_name(), about="unit of bare numbers"),
        ),
    )["x"]


@pytest.mark.parametrize(
    ("kind", "value", "expected"),
    [
        (words(), '" Wren "', "Wren"),
        (words(), '"Früh – ½″"', "Früh – ½″"),
        (words(lines=True), '"a\\nb"', "a\nb"),
        (exactly("f/1"), '"f/1"', "f/1"),
        (length(), '"1/8in"', 3.175),
        (length("non-negative"), '"0 mm"', 0.0),
        (count(0, 60, example="19"), "60", 60),
        (count(0, 60, example="19"), "0x10", 16),
        (number(least=0.0, most=60.0, example="7"), "0", 0.0),
        (number(above=-1.0, example="7"), "-0.5", -0.5),
        (flag(), "false", False),
        (choice(Side), '"treble"', Side.TREBLE),
        (day(), "2026-11-25", "2026-11-25"),
        (day(), '"2026-11-25"', "2026-11-25"),
        (listing(length()), '[".012in", "1mm"]', (0.3048, 1.0)),
        (listing(words()), "[]", ()),
        (table((Row(key="a", field="b", kind=flag(), about="a"),), dict), "{ a = true }", {"b": True}),
    ],
)
def test_reads(kind: Kind, value: str, expected: object) -> None:
    assert read(kind, value) == expected


def test_bare_numbers_are_exact_in_the_unit_of_the_file() -> None:
    assert read(length(), "1.6875", 'units = "in"\n') == 42.8625
    assert read(length(), "628", 'units = "mm"\n') == 628.0
    assert read(length(), '"628"', 'units = "mm"\n') == 628.0
    assert read(listing(length()), '[0.3, "1/64in"]', 'units = "mm"\n') == (0.3, 0.396875)


@pytest.mark.parametrize(
    ("kind", "value", "sentence"),
    [
        (words(), "3", 'got 3, expected words in quotes. Write it like "…"'),
        (
            words(),
            '" "',
            'got " ", expected words in quotes, not empty. Take the line out if there is nothing to say.',
        ),
        (words(longest=3), '"abcd"', 'got "abcd", expected at most 3 characters'),
        (words(), '"a\\nb"', 'got "a\\nb", expected words without control characters, on one line'),
        (words(lines=True), '"a\\u0007b"', 'got "a\\x07b", expected words without control characters'),
        (words(pattern="[a-z]+", example='"ok"'), '"A1"', 'got "A1", expected something like "ok"'),
        (
            exactly("f/1"),
            '"f/2"',
            'got "f/2", expected "f/1". Another number at the end means another version of jiggen.',
        ),
        (length(), "true", 'got true, expected a length. Write it like "42mm"'),
        (length(), "[1]", 'got [1], expected a length. Write it like "42mm"'),
        (length(), "2026-11-25", 'got 2026-11-25, expected a length. Write it like "42mm"'),
        (length(), "628", 'got "628", expected a length with a unit. Write 628mm or 628in.'),
        (length(), '"628,5mm"', 'got "628,5mm", expected a point before the decimals. Write 628.5mm'),
        (length(), "nan", 'got "nan", expected a length such as 42mm, 25.5in or 1-11/16in'),
        (length(), "-inf", 'got "-inf", expected a length such as 42mm, 25.5in or 1-11/16in'),
        (count(0, 60, example="19"), "61", "got 61, expected a whole number from 0 to 60"),
        (count(0, 60, example="19"), "-1", "got -1, expected a whole number from 0 to 60"),
        (count(0, 60, example="19"), "true", "got true, expected a whole number from 0 to 60"),
        (count(0, 60, example="19"), "19.0", "got 19.0, expected a whole number from 0 to 60"),
        (count(0, 60, example="19"), "nan", "got nan, expected a whole number from 0 to 60"),
        (
            count(0, 60, example="19"),
            '"19"',
            'got "19", expected a whole number from 0 to 60. Leave out the quotes.',
        ),
        (
            number(least=0.0, most=60.0, example="7"),
            "-1",
            "got -1, expected a number of at least 0 and at most 60",
        ),
        (number(most=60.0, example="7"), "0", "got 0, expected a number above 0 and at most 60"),
        (flag(), '"yes"', 'got "yes", expected true or false, without quotes'),
        (flag(), "1", "got 1, expected true or false, without quotes"),
        (choice(Side), '"trebble"', 'got "trebble", expected one of bass, treble. Did you mean treble?'),
        (choice(Side), "7", "got 7, expected one of bass, treble"),
        (choice(Side), "[]", "got [], expected one of bass, treble"),
        (day(), '"2026-13-01"', 'got "2026-13-01", expected a day of the calendar'),
        (day(), '"25.11.2026"', 'got "25.11.2026", expected a date such as 2026-11-25, year, month and day'),
        (day(), '"20261125"', 'got "20261125", expected a date such as 2026-11-25, year, month and day'),
        (
            day(),
            "2026-11-25T07:00:00",
            "got 2026-11-25T07:00:00, expected a date such as 2026-11-25, year, month and day",
        ),
        (day(), "2026", "got 2026, expected a date such as 2026-11-25, year, month and day"),
        (listing(flag()), "true", "got true, expected a list in square brackets. Write it like [true]"),
        (listing(flag(), least=1), "[]", "got [], expected a list of 1 to 1000 values"),
        (table((), dict), "3", "got 3, expected a table"),
    ],
)
def test_refuses(kind: Kind, value: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        read(kind, value)
    assert str(caught.value) == f"w.toml, line 1, x: {sentence}"


def test_the_name_of_a_unit_must_be_one() -> None:
    with pytest.raises(InputError) as caught:
        read(unit_name(), "3")
    assert (
        str(caught.value)
        == 'w.toml, line 1, x: got 3, expected the name of a unit in quotes. Write it like "mm"'
    )


def test_a_list_tells_of_all_its_faults() -> None:
    with pytest.raises(SeveralErrors) as caught:
        read(listing(count(0, 9, example="1")), "[1,\n 10, 'a']")
    assert str(caught.value) == (
        "w.toml, line 2, x, item 2: got 10, expected a whole number from 0 to 9\n"
        'w.toml, line 2, x, item 3: got "a", expected a whole number from 0 to 9'
    )


ROWS = (
    Row(key="name", field="name", kind=words(example='"Wren"'), about="what it is called", required=True),
    Row(key="neck.scale", field="scale", kind=length(), about="speaking length", required=True),
    Row(key="neck.nut-width", field="nut", kind=length(), about="width at the nut"),
    Row(key="on", field="on", kind=flag(), about="whether"),
)


def faults(text: str) -> list[str]:
    with pytest.raises(JiggenError) as caught:
        read_rows(parse_toml(text, file="w.toml").root, ROWS)
    return str(caught.value).split("\n")


def test_all_faults_are_told_in_the_order_of_the_file() -> None:
    text = 'on = 1\nneck.nut_width = "46mm"\nneck.scale = "628"\ncolour = "red"\nscale = "628mm"\n'
    assert faults(text) == [
        'w.toml, name: got nothing, expected what it is called. Add name = "Wren"',
        "w.toml, line 1, on: got 1, expected true or false, without quotes",
        "w.toml, line 2, neck.nut_width: got an unknown key, expected one of nut-width, scale. Did you mean nut-width?",
        'w.toml, line 3, neck.scale: got "628", expected a length with a unit. Write 628mm or 628in.',
        "w.toml, line 4, colour: got an unknown key, expected one of name, neck, on",
        "w.toml, line 5, scale: got an unknown key, expected one of name, neck, on. It belongs under [neck].",
    ]


def test_keys_that_slipped_into_a_table() -> None:
    assert faults('[neck]\nscale = "1mm"\nname = "x"\n') == [
        'w.toml, name: got nothing, expected what it is called. Add name = "Wren"',
        (
            "w.toml, line 3, neck.name: got an unknown key, expected one of nut-width, scale."
            " It belongs at the top, before the first [table]."
        ),
    ]


def test_a_table_must_be_one() -> None:
    sentence = 'w.toml, neck.scale: got nothing, expected speaking length. Add neck.scale = "42mm"'
    assert faults('name = "x"\nneck = 3\n') == [
        sentence,
        "w.toml, line 2, neck: got 3, expected a table, [neck]",
    ]
    assert faults('name = "x"\n[[neck]]\n') == [
        sentence,
        "w.toml, line 2, neck: got a list of 1, expected a table, [neck]",
    ]


def test_a_quoted_key_with_a_point_is_not_a_key_in_a_table() -> None:
    assert faults('name = "x"\nneck.scale = "1mm"\n"neck.nut-width" = "2mm"\n') == [
        'w.toml, line 3, "neck.nut-width": got an unknown key, expected one of name, neck, on'
    ]


def test_an_unknown_table_is_told_once() -> None:
    assert faults('name = "x"\nneck.scale = "1mm"\n[nek]\na = 1\nb = 2\n') == [
        "w.toml, line 3, nek: got an unknown key, expected one of name, neck, on. Did you mean neck?"
    ]


def test_hundreds_of_unknown_keys_are_summed_up() -> None:
    lines = faults('name = "x"\nneck.scale = "1mm"\n' + "".join(f"k{number} = 1\n" for number in range(300)))
    assert len(lines) == 21
    assert lines[-1] == "w.toml, line 23, k20: got 280 more unknown keys, expected known ones"


@given(
    st.text(min_size=1, max_size=30).filter(
        lambda text: not any(0xD800 <= ord(each) < 0xE000 for each in text)
    )
)
def test_strings_are_written_as_toml(text: str) -> None:
    assert parse_toml(f"x = {toml_string(text)}", file="w.toml").tables["x"] == text


@pytest.mark.parametrize(
    ("kind", "value", "text", "written"),
    [
        (words(), 'the "Wren"', "", "'the \"Wren\"'"),
        (length(), 647.7, '25 1/2"', "'25 1/2\"'"),
        (length(), 42.8625, "", '"42.8625 mm"'),
        (count(0, 60, example="19"), 19, "19", "19"),
        (flag(), False, "", "false"),
        (choice(Side), Side.BASS, "", '"bass"'),
        (day(), "2026-11-25", "", "2026-11-25"),
        (unit_name(), "mm", "", '"mm"'),
        (exactly("f/1"), "f/1", "", '"f/1"'),
        (listing(length()), (0.3048, 1.0), ".012in, 1mm", '[".012in", "1mm"]'),
        (listing(length()), (0.3048, 1.0), "", '["0.3048 mm", "1 mm"]'),
        (listing(words()), ("a", "b"), "", '["a", "b"]'),
    ],
)
def test_writes(kind: Kind, value: object, text: str, written: str) -> None:
    assert kind.write(value, text) == written
    assert read(kind, written) == value

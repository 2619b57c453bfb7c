"""The index of places against the reader of the standard library: it must find every value, and at the right place."""

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import assume, given, reject, settings
from hypothesis import strategies as st

from jiggen.errors import InputError
from jiggen.tables.scan import DEEPEST, Scan, Steps

TRICKY = Path(__file__).with_name("tricky.toml").read_text(encoding="utf-8")


def values(value: Any, steps: Steps = ()) -> Iterator[tuple[Steps, Any]]:
    yield steps, value
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, each in inside:
        yield from values(each, (*steps, step))


def assert_places_are_right(text: str) -> None:
    spans = Scan(text, file="x.toml").spans
    for steps, value in values(tomllib.loads(text)):
        if not steps or (isinstance(value, dict | list) and steps not in spans):
            continue  # the whole, an array of tables, or a table that only its inner tables make
        start, end = spans[steps]
        span = text[start:end]
        if isinstance(value, dict) and not span.startswith("{"):
            assert span.startswith("[") or "=" in span, (steps, span)  # a header or a dotted key
            continue
        again = tomllib.loads(f"value = {span}")["value"]
        assert again == value, (steps, span)
        assert type(again) is type(value)


def test_a_tricky_file() -> None:
    assert_places_are_right(TRICKY)
    spans = Scan(TRICKY, file="x.toml").spans

    def line(*steps: str | int) -> int:
        return TRICKY.count("\n", 0, spans[steps][0]) + 1

    assert line("name") == 2
    assert line("lit.eral") == 4
    assert line("a", "b", "c d", "e", 1) == 6
    assert line("neck") == 8
    assert line("neck", "scale") == 9
    assert line("neck", "nut") == 13
    assert line("neck", "list", 1, 1) == 17
    assert line("neck", "list", 2, "y", "z") == 17
    assert line("neck", "inline", "deep", "a", 0, "b") == 20
    assert line("course", 1, "gauge") == 28
    assert line("course", 1, "string", 1, "a") == 32
    assert line("over", "under", "x") == 34
    assert line("over", "y") == 36


def test_every_value_of_the_tricky_file_has_a_place() -> None:
    spans = Scan(TRICKY, file="x.toml").spans
    leaves = [steps for steps, value in values(tomllib.loads(TRICKY)) if not isinstance(value, dict | list)]
    assert len(leaves) == 25
    assert not [steps for steps in leaves if steps not in spans]


KEYS = st.sampled_from(["a", "b-1", "c_d", '"q k"', "'l.k'", '"\\u0041"', "a.b", "x . y", "1"])
SCALARS = st.one_of(
    st.integers(-99, 10**12).map(str),
    st.sampled_from(["true", "false", "0x1F", "1_000", "-0.5e-3", "nan", "+inf", "2026-11-25", "07:32:00"]),
    st.sampled_from(
        ["1979-05-27 07:32:00Z", '""', "''", '"""\n"a" ""b"" \\\n c"""', "'''\n'x''y'''", '"""a"""""']
    ),
    st.text("ab#]}[{=,'\u00e9 ", max_size=8).map(lambda text: f'"{text}"'),
    st.text('ab#]}[{=," \\', max_size=8).map(lambda text: f"'{text}'"),
)
GAPS = st.sampled_from(["", " ", "\n", " # , ] } note\n", "\t"])


def arrays(of: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.tuples(GAPS, st.lists(st.tuples(of, GAPS), max_size=4), st.sampled_from(["", ","])).map(
        lambda parts: f"[{parts[0]}{','.join(v + g for v, g in parts[1])}{parts[2] if parts[1] else ''}]"
    )


def inline_tables(of: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    return st.lists(st.tuples(KEYS, of), max_size=3).map(
        lambda pairs: f"{{ {', '.join(f'{k} = {v}' for k, v in pairs)} }}"
    )


VALUES = st.recursive(SCALARS, lambda of: arrays(of) | inline_tables(of), max_leaves=6)
LINES = st.one_of(
    st.tuples(KEYS, VALUES).map(lambda pair: f"{pair[0]} = {pair[1]}"),
    KEYS.map(lambda key: f"[{key}]"),
    KEYS.map(lambda key: f"[[ {key} ]] # header"),
    st.sampled_from(["", "# [not] = 'a key'", "  "]),
)


def deepest(value: Any) -> int:
    """How many tables and arrays lie inside one another."""
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return int(isinstance(value, dict | list)) + max((deepest(each) for each in inside), default=0)


@given(st.lists(LINES, max_size=7).map("\n".join))
@settings(max_examples=400)
def test_any_valid_text_has_its_values_in_place(text: str) -> None:
    try:
        parsed = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        reject()
    assume("nan" not in text)  # nan is not equal to itself
    assume(deepest(parsed) < DEEPEST - 2)  # what nests deeper is refused, which is another test's matter
    spans = Scan(text, file="x.toml").spans
    leaves = [steps for steps, value in values(parsed) if not isinstance(value, dict | list)]
    assert not [steps for steps in leaves if steps not in spans]
    assert_places_are_right(text)


@given(st.text(alphabet="ab=.[]{}\"'\\,#\n \t1-", max_size=40))
@settings(max_examples=400)
def test_any_text_is_scanned_to_an_end(text: str) -> None:
    spans = Scan(text, file="x.toml").spans
    assert all(0 <= start <= end <= len(text) for start, end in spans.values())


def test_doubles_are_noticed() -> None:
    text = "a = 1\nb = 2\na = 3\n"
    assert Scan(text, file="x.toml").doubles == [text.rindex("a")]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "x = 1\na = " + "[" * 9,
            "x.toml, line 2: got keys or arrays inside one another, expected at most 8 levels",
        ),
        (
            ".".join("a" * 9) + " = 1",
            "x.toml, line 1: got keys or arrays inside one another, expected at most 8 levels",
        ),
        (
            "[" + ".".join("a" * 9) + "]",
            "x.toml, line 1: got keys or arrays inside one another, expected at most 8 levels",
        ),
        (
            "a = " + "9" * 101,
            "x.toml, line 1: got a value of 101 characters, expected at most 100. Put quotes round words.",
        ),
    ],
)
def test_what_would_choke_a_reader_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(InputError) as caught:
        Scan(text, file="x.toml")
    assert str(caught.value) == sentence

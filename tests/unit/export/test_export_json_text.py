"""JSON as text."""

import json
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.export.json_text import Json, json_text

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**6), 10**6) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_the_standard_library_reads_back_what_was_given(value: Json) -> None:
    assert json.loads(json_text(value)) == value


def test_the_form() -> None:
    value: Json = {
        "b": [1.0, 2.5],
        "a": {"none": None, "yes": True, "n": 3},
        "empty": [],
        "rows": [{"é": "½"}],
    }
    assert json_text(value) == (
        "{\n"
        '  "b": [1.0, 2.5],\n'
        '  "a": {\n'
        '    "none": null,\n'
        '    "yes": true,\n'
        '    "n": 3\n'
        "  },\n"
        '  "empty": [],\n'
        '  "rows": [\n'
        "    {\n"
        '      "é": "½"\n'
        "    }\n"
        "  ]\n"
        "}"
    )


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (628.0, "628.0"),
        (-0.0, "0.0"),
        (1e-7, "0.0"),
        (1e-6, "0.000001"),
        (0.1234567, "0.123457"),
        (1e16, "1" + 16 * "0" + ".0"),
    ],
)
def test_floats_have_a_point_six_decimals_and_no_exponent(value: float, text: str) -> None:
    assert json_text(value) == text


def test_what_json_cannot_say_is_refused() -> None:
    with pytest.raises(ValueError, match="nan"):
        json_text({"x": math.nan})

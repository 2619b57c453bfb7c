"""A changed value leaves all else of a design file as it was."""

import difflib

import pytest
from support.served import WREN

from jiggen.design.read import design_from_text
from jiggen.errors import InputError
from jiggen.page.edit import changed

TEXT = WREN.read_text(encoding="utf-8")


def difference(key: str, typed: str, source: str = "") -> list[str]:
    after = changed(TEXT, key, typed, source)
    lines = difflib.unified_diff(TEXT.splitlines(), after.splitlines(), n=0, lineterm="")
    return [line for line in lines if line[:2] not in {"--", "++", "@@"}]


@pytest.mark.parametrize(
    ("key", "typed", "source", "wanted"),
    [
        ("neck.scale", '25 1/2"', "", ['-scale = "628 mm"', "+scale = '25 1/2\"'"]),
        (
            "neck.overhang",
            "9 mm",
            "",
            [
                '-overhang = "10 mm"                # from the last fret to the end of the board',
                '+overhang = "9 mm"                # from the last fret to the end of the board',
            ],
        ),
        (
            "setup.relief",
            "0.3 mm",
            "measured",
            [
                '-relief = { value = "0.2 mm", source = "common practice" }',
                '+relief = {value = "0.3 mm", source = "measured"}',
            ],
        ),
        ("neck.zero-fret", "true", "", ["+zero-fret = true"]),
        ("accuracy.string", "0.1mm", "", ["+", "+[accuracy]", '+string = "0.1mm"']),
        ("note", "", "", ['-note = "12-fret parlour guitar for evening courses"']),
        ("silence", "short-scale", "", ['+silence = ["short-scale"]']),
        ("neck.fret-rule", "{ equal = 19 }", "", ["+fret-rule = { equal = 19 }"]),
        ("date", "2026-11-26", "", ["-date = 2026-11-25", "+date = 2026-11-26"]),
        ("accuracy.line", "", "", []),
    ],
)
def test_one_value_changes_and_nothing_else(key: str, typed: str, source: str, wanted: list[str]) -> None:
    assert difference(key, typed, source) == wanted
    design_from_text(changed(TEXT, key, typed, source), file="wren.toml")


def test_a_key_that_is_none_is_refused() -> None:
    with pytest.raises(InputError, match=r'key: got "neck.wings", expected a key of a design file'):
        changed(TEXT, "neck.wings", "2")


def test_a_file_in_which_the_key_cannot_be_set_is_told() -> None:
    for text in ("neck = \n", "neck = 3\n"):
        with pytest.raises(InputError, match=r"neck.scale: got a file in which this key cannot be set"):
            changed(text, "neck.scale", "628 mm")

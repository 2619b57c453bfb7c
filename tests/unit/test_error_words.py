"""The words that errors are made of."""

import pytest

from jiggen.errors import ConflictError, InputError, SeveralErrors, did_you_mean, quoted


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("42mm", '"42mm"'),
        ('25 1/2"', "'25 1/2\"'"),
        ("1' 1\"", '"1\' 1""'),
        ("a\nb\x07", '"a\\nb\\x07"'),
        ("\ud800", '"\\ud800"'),
        ("x" * 41, f'"{"x" * 40}…" (41 characters)'),
    ],
)
def test_quoted(text: str, shown: str) -> None:
    assert quoted(text) == shown


def test_did_you_mean() -> None:
    assert did_you_mean("nut_width", ["scale", "nut-width"]) == "Did you mean nut-width?"
    assert did_you_mean("wheel", ["scale", "nut-width"]) == ""


def test_several_errors_move_together() -> None:
    one = InputError(where="a", got="1", expected="2")
    two = ConflictError(where="b", got="3", expected="4", mend="Do so.")
    moved = SeveralErrors([one, two]).at("c")
    assert str(moved) == "c: got 1, expected 2\nc: got 3, expected 4. Do so."
    assert [type(error) for error in moved.errors] == [InputError, ConflictError]

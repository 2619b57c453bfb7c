"""Scale files: what is read, and the exact words for what is not."""

import time
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.design.scl import MOST_BYTES, MOST_PITCHES, SclScale, parse_scl, scl_text
from jiggen.errors import InputError, JiggenError, LimitError, SeveralErrors

FIVE_STEPS = """\
! five.scl
!
Five steps, a mixed bag
 5
!
 9/8
 386.314 cents
 3/2   a comment
 8.E2
 2/1
"""


def refusal(text: str) -> str:
    with pytest.raises(JiggenError) as caught:
        parse_scl(text, where="five.scl")
    return str(caught.value)


def scale(*pitches: str) -> str:
    return "\n".join(["", str(len(pitches)), *pitches, ""])


def test_a_file_is_read_in_order():
    text = FIVE_STEPS.replace("8.E2", "813.686")
    assert parse_scl(text, where="five.scl") == SclScale(
        description="Five steps, a mixed bag",
        pitches=(Fraction(9, 8), 386.314, Fraction(3, 2), 813.686, Fraction(2)),
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_end_will_do(end):
    text = FIVE_STEPS.replace("8.E2", "813.686")
    assert parse_scl(text.replace("\n", end), where="five.scl") == parse_scl(text, where="five.scl")


def test_a_latin_1_description_survives_and_its_odd_letters_end_no_line():
    text = scl_text(b"Temp\xe9rament \x85 \x1c one line\n1\n2/1\n", where="t.scl")
    assert parse_scl(text, where="t.scl").description == "Tempérament \x85 \x1c one line"


def test_marks_of_old_and_new_editors_are_tolerated():
    text = scl_text(b"\xef\xbb\xbf! a comment behind a mark of UTF-8\n\n1\n2/1\n\x1a", where="t.scl")
    assert parse_scl(text, where="t.scl").pitches == (Fraction(2),)


def test_no_pitches_are_a_scale_too():
    assert parse_scl("\n0\n", where="unison.scl").pitches == ()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("x", 'got "x", expected a pitch: a ratio such as 3/2, or cents with a period such as 701.955'),
        ("", 'got "", expected a pitch: a ratio such as 3/2, or cents with a period such as 701.955'),
        ("701,955", 'got "701,955", expected a pitch'),
        ("697//441", 'got "697//441", expected a pitch'),
        ("3/2/1", 'got "3/2/1", expected a pitch'),
        ("3:2", 'got "3:2", expected a pitch'),
        ("3/2.5", 'got "3/2.5", expected a pitch'),
        ("1.2.3", 'got "1.2.3", expected a pitch'),
        ("1e3", 'got "1e3", expected a pitch'),
        ("8.E2", 'got "8.E2", expected a pitch'),
        ("²/1", 'got "²/1", expected a pitch'),
        (".", 'got ".", expected a pitch'),
        ("-3/2", 'got "-3/2", expected a ratio of two numbers above 0'),
        ("3/-2", 'got "3/-2", expected a ratio of two numbers above 0'),
        ("0/1", 'got "0/1", expected a ratio of two numbers above 0'),
        ("1/0", 'got "1/0", expected a ratio of two numbers above 0'),
        (
            "-5",
            'got "-5", expected a ratio of two numbers above 0. Write a period into the value if cents are meant.',
        ),
        ("1" * 61, 'got "1111111111111111111111111111111111111111…" (61 characters), expected a pitch'),
    ],
)
def test_a_faulty_pitch_is_named_with_its_line(line, words):
    assert refusal(scale("9/8", line, "2/1")).startswith(f"five.scl, line 4: {words}")


def test_faulty_pitches_are_told_together_but_not_without_end():
    with pytest.raises(SeveralErrors) as caught:
        parse_scl(scale("a", "3/2", "b", "2/1"), where="five.scl")
    assert [error.where for error in caught.value.errors] == ["five.scl, line 3", "five.scl, line 5"]
    with pytest.raises(SeveralErrors) as caught:
        parse_scl(scale(*["a"] * 1000), where="five.scl")
    assert len(caught.value.errors) == 10


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "",
            (
                "five.scl: got a file that ends before the number of pitches, expected a line of description, a line "
                "with the number of pitches, and the pitches, one a line. "
                "Leave the line of description empty if there is none."
            ),
        ),
        (
            "! only\n! comments\n",
            (
                "five.scl: got a file that ends before the number of pitches, expected a line of description, a line "
                "with the number of pitches, and the pitches, one a line. "
                "Leave the line of description empty if there is none."
            ),
        ),
        (
            "two lines of\ndescription\n2\n3/2\n2/1\n",
            (
                'five.scl, line 2: got "description", expected the number of pitches, such as 12. '
                "Put the description into one line before it, left empty if there is none."
            ),
        ),
        (
            "\n-1\n",
            (
                'five.scl, line 2: got "-1", expected the number of pitches, such as 12. '
                "Put the description into one line before it, left empty if there is none."
            ),
        ),
        (
            "! x\n\n3\n3/2\n2/1\n",
            (
                "five.scl, line 3: got a count of 3, expected 2, as many as there are pitches below it. "
                "Correct the count, or add the missing pitches."
            ),
        ),
        (
            "\n1\n3/2\n! x\n2/1\n",
            (
                'five.scl, line 5: got "2/1", expected no more lines after 1 pitches, the count in line 2. '
                "Correct the count, or begin the line with ! to make it a comment."
            ),
        ),
    ],
)
def test_a_file_that_does_not_add_up_is_refused(text, words):
    assert refusal(text) == words


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (
            "\n1\n2/1\n".encode("utf-16"),
            "t.scl: got text in UTF-16, expected plain text in ASCII or Latin-1. Save the scale as plain text.",
        ),
        (
            b"PK\0\0",
            (
                "t.scl: got a file with zero bytes in it, expected plain text in ASCII or Latin-1. "
                "Save the scale as plain text."
            ),
        ),
    ],
)
def test_what_is_not_plain_text_is_refused(data, words):
    with pytest.raises(InputError) as caught:
        scl_text(data, where="t.scl")
    assert str(caught.value) == words


def test_huge_and_hostile_files_are_refused_quickly():
    start = time.perf_counter()
    with pytest.raises(LimitError) as caught:
        scl_text(b"\n" * 50_000_000, where="t.scl")
    assert str(caught.value) == (
        f"t.scl: got more than {MOST_BYTES} bytes, expected a scale file of at most {MOST_BYTES} bytes. "
        "Check that this is a scale file."
    )
    with pytest.raises(LimitError):
        parse_scl("\n" * (MOST_BYTES + 1), where="t.scl")
    assert refusal(f"\n{MOST_PITCHES + 1}\n2/1\n") == (
        f"five.scl, line 2: got {MOST_PITCHES + 1} pitches, expected at most {MOST_PITCHES}"
    )
    for hostile in (
        "9" * (MOST_BYTES - 10),
        "9/" * (MOST_BYTES // 3),
        " " * (MOST_BYTES - 10),
        "9." * 60_000,
    ):
        assert "expected a pitch" in refusal(f"\n1\n{hostile}x\n")
    assert time.perf_counter() - start < 2.0


@given(st.text(max_size=200) | st.lists(st.text("0123456789./-! \teE\x85", max_size=12)).map("\n".join))
@settings(derandomize=True)
def test_any_text_is_read_or_refused_with_its_place(text):
    try:
        pitches, words = parse_scl(text, where="any.scl").pitches, ""
    except JiggenError as error:
        pitches, words = (), str(error)
    assert not words or words.startswith("any.scl")
    assert all(isinstance(pitch, float) or pitch > 0 for pitch in pitches)


@given(
    st.lists(
        st.fractions(min_value=Fraction(1, 1000), max_value=1000, max_denominator=2**31)
        | st.floats(min_value=-1e4, max_value=1e5).map(lambda cents: round(cents, 6))
    )
)
@settings(derandomize=True)
def test_what_is_written_is_read_back(pitches):
    lines = [str(each) if isinstance(each, Fraction) else f"{each:.6f}" for each in pitches]
    assert parse_scl(scale(*lines), where="t.scl").pitches == tuple(pitches)

"""Scale files against the published page of the .scl format: its rules, and its example lines as it gives them."""

from fractions import Fraction

import pytest

from jiggen.design.scl import parse_scl, scl_text
from jiggen.errors import JiggenError


def pitches(text: str) -> tuple[Fraction | float, ...]:
    return parse_scl(text, where="page.scl").pitches


#: The page's examples of valid pitch lines.
VALID_LINES = {
    "81/64": Fraction(81, 64),
    "408.0": 408.0,
    "408.": 408.0,
    "5": Fraction(5),
    "-5.0": -5.0,
    "10/20": Fraction(1, 2),
    "100.0 cents": 100.0,
    " 5/4   E\\": Fraction(5, 4),
}


@pytest.mark.parametrize("line", VALID_LINES)
def test_the_example_lines_of_the_page_are_valid(line):
    (found,) = pitches(f"\n1\n{line}\n")
    assert found == VALID_LINES[line]
    assert type(found) is type(VALID_LINES[line])


def test_a_value_with_a_period_is_cents_and_any_other_a_ratio():
    assert pitches("\n3\n2\n2.\n2/1\n") == (Fraction(2), 2.0, Fraction(2))
    assert pitches("\n1\n2/1 with a period. behind\n") == (Fraction(2),)


def test_lines_that_begin_with_an_exclamation_mark_are_comments_wherever_they_stand():
    plain = "Two notes\n2\n3/2\n2/1\n"
    commented = "! name\n!\nTwo notes\n! in between\n2\n!\n3/2\n! 7/4 is no pitch\n2/1\n! [info]\n"
    assert parse_scl(commented, where="page.scl") == parse_scl(plain, where="page.scl")


def test_the_first_line_describes_and_may_be_empty():
    assert parse_scl("\n0\n", where="page.scl").description == ""
    assert (
        parse_scl(" 1/1 is a description here\n0\n", where="page.scl").description
        == "1/1 is a description here"
    )


def test_the_count_may_have_spaces_round_it_and_may_be_none():
    assert pitches("\n \t2  \n3/2\n2/1\n") == (Fraction(3, 2), Fraction(2))
    assert pitches("\n0\n") == ()


def test_numbers_up_to_2_to_the_31_less_1_are_supported():
    largest = 2**31 - 1
    assert pitches(f"\n2\n{largest}/{largest - 1}\n{largest}\n") == (
        Fraction(largest, largest - 1),
        Fraction(largest),
    )


@pytest.mark.parametrize("line", ["-4/3", "4/-3", "-2"])
def test_a_negative_ratio_is_an_error(line):
    with pytest.raises(JiggenError, match="expected a ratio of two numbers above 0"):
        pitches(f"\n1\n{line}\n")


def test_the_first_note_is_implicit():
    assert Fraction(1) not in pitches("\n1\n2/1\n")


def test_files_are_ascii_or_latin_1():
    text = "Échelle à deux degrés\n2\n3/2\n2/1\n"
    assert scl_text(text.encode("latin-1"), where="page.scl") == text

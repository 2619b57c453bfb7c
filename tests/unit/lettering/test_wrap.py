import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.lettering.wrap import wrap

TAG = "Wren 7F2A-91C3 · plan template · 3 mm cast acrylic · kerf 0.20 offset 0.10"


def at_most(count):
    return lambda line: len(line) <= count


@pytest.mark.parametrize(
    ("room", "lines"),
    [
        (80, (TAG,)),
        (40, ("Wren 7F2A-91C3 · plan template", "3 mm cast acrylic", "kerf 0.20 offset 0.10")),
        (21, ("Wren 7F2A-91C3", "plan template", "3 mm cast acrylic", "kerf 0.20 offset 0.10")),
        (
            14,
            ("Wren 7F2A-91C3", "plan template", "3 mm cast", "acrylic", "kerf 0.20", "offset 0.10"),
        ),
        (
            1,
            (
                "Wren",
                "7F2A-91C3",
                "plan",
                "template",
                "3",
                "mm",
                "cast",
                "acrylic",
                "kerf",
                "0.20",
                "offset",
                "0.10",
            ),
        ),
    ],
)
def test_breaks_come_at_dots_before_spaces(room, lines):
    assert wrap(TAG, at_most(room)) == lines


def test_item_after_a_broken_one_fills_its_last_line():
    assert wrap("one two three · x", at_most(9)) == ("one two", "three · x")


def test_line_breaks_stay():
    assert wrap("a b\n\nc", at_most(9)) == ("a b", "", "c")


def test_runs_of_spaces_count_as_one_where_a_line_is_broken():
    assert wrap("ab   cd  ef", at_most(6)) == ("ab cd", "ef")


def test_whole_number_stays_with_its_fraction():
    assert wrap("width 2 1/8", at_most(7)) == ("width", "2\u00a01/8")


def test_space_that_does_not_break_does_not():
    assert wrap("at 3\u00a0mm", at_most(4)) == ("at", "3\u00a0mm")


@given(st.lists(st.text("abc", min_size=1, max_size=6), min_size=1, max_size=12), st.integers(1, 30))
def test_no_word_is_lost_and_only_single_words_are_too_long(words, room):
    lines = wrap(" ".join(words), at_most(room))
    assert " ".join(lines).split() == words
    assert all(len(line) <= room or " " not in line for line in lines)

import pytest

from jiggen.errors import InputError
from jiggen.lettering.accents import glyph
from jiggen.lettering.fractions import Stacked, fraction_glyph
from jiggen.lettering.setting import set_line


def placed(text, *, fractions=True):
    return set_line(text, where="test", fractions=fractions)


def test_widths_are_whole_units():
    line = placed("Wren 7F2A-91C3 · 1-11/64″ Übermäßig ď")
    assert isinstance(line.width, int)
    assert all(isinstance(x, int) for _, x in line.glyphs)


def test_nothing_has_no_width():
    assert (placed("").width, placed("").ink) == (0, None)


def test_space_has_no_ink():
    assert placed("   ").ink is None


@pytest.mark.parametrize(
    ("typed", "set_as"),
    [
        ('46"', "46″"),
        ('½"', "½″"),
        ('5/8"', "5/8″"),
        ("6'", "6′"),
        ("6'3\"", "6′3″"),
        ("the 70's", "the 70's"),
        ('"Wren"', '"Wren"'),
        ("maker's", "maker's"),
    ],
)
def test_quotes_after_figures_are_inch_and_foot_marks(typed, set_as):
    assert placed(typed).glyphs == placed(set_as).glyphs


def test_composed_and_decomposed_text_are_set_alike():
    assert placed("U\u0308berma\u0308ßig A\u030a").glyphs == placed("Übermäßig Å").glyphs


def test_mixed_number_closes_up():
    assert [found for found, _ in placed("1-11/64").glyphs] == [
        glyph("1"),
        fraction_glyph(Stacked("11", "64")),
    ]
    assert placed("1-11/64").width == placed("1 11/64").width


def test_slash_can_stay_plain():
    assert len(placed("11/64", fractions=False).glyphs) == 5


@pytest.mark.parametrize("figure", "0123456789")
def test_columns_of_figures_line_up(figure):
    assert placed(figure * 3).width == placed("000").width
    assert [x for _, x in placed(f"{figure}.{figure}").glyphs] == [x for _, x in placed("0.0").glyphs]


@pytest.mark.parametrize(
    ("text", "got"),
    [
        ("Wren ☃", '"Wren ☃" with ☃ (U+2603, snowman)'),
        (
            "Жу\t☃ Ж",
            r'"Жу\t☃ Ж" with Ж (U+0416, cyrillic capital letter zhe), у (U+0443, cyrillic small letter u), (U+0009, a control character), ☃ (U+2603, snowman)',
        ),
        ("x\u0302", '"x\u0302" with (U+0302, combining circumflex accent)'),
    ],
)
def test_missing_character_is_named_with_field_and_cure(text, got):
    with pytest.raises(InputError) as caught:
        set_line(text, where="part nut-rule, title", fractions=True)
    assert str(caught.value) == (
        f"part nut-rule, title: got {got}, expected characters that can be lettered. Write it with Latin "
        "letters, accents among them, figures, fractions and common signs"
    )

import unicodedata

import pytest
from support.alphabet import ACCENTED, ink

from jiggen.lettering.accents import ABOVE, CARON_BESIDE, OVERLAID, STEM, glyph
from jiggen.lettering.glyphs import DRAWN, PEN, SAME_AS

COMPOSED = [each for each in ACCENTED if each not in DRAWN and each not in OVERLAID and each not in SAME_AS]
ABOVE_ONLY = [
    each
    for each in COMPOSED
    if unicodedata.normalize("NFD", each)[1] in ABOVE
    and not (unicodedata.normalize("NFD", each)[0] in CARON_BESIDE and "CARON" in unicodedata.name(each))
]


@pytest.mark.parametrize("character", COMPOSED)
def test_letter_keeps_its_base_and_gains_an_accent(character):
    base = unicodedata.normalize("NFD", character)[0]
    bare = glyph({"i": "ı", "j": "ȷ"}.get(base, base) if character in ABOVE_ONLY else base)
    whole = glyph(character)
    assert len(whole.strokes) > len(bare.strokes)
    shift = whole.strokes[0].start.x - bare.strokes[0].start.x
    assert shift == round(shift)
    for kept, path in zip(whole.strokes, bare.strokes, strict=False):
        assert [piece.start.y for piece in kept] == [piece.start.y for piece in path]


@pytest.mark.parametrize("character", ABOVE_ONLY)
def test_accent_stands_clear_above_its_letter(character):
    base = unicodedata.normalize("NFD", character)[0]
    bare = glyph({"i": "ı", "j": "ȷ"}.get(base, base))
    whole = glyph(character)
    letter = ink(whole.strokes[: len(bare.strokes)], PEN)
    accent = ink(whole.strokes[len(bare.strokes) :], PEN)
    assert accent.bounds[1] > letter.bounds[3]
    middle = (accent.bounds[0] + accent.bounds[2]) / 2.0 - whole.strokes[0].start.x
    assert middle == pytest.approx(STEM.get(base, bare.width / 2.0) - bare.strokes[0].start.x, abs=2.0)


@pytest.mark.parametrize("character", "çşąęįųĄĘĮŲÇŞ")
def test_cedilla_and_ogonek_hang_on_their_letter(character):
    base = glyph(unicodedata.normalize("NFD", character)[0])
    whole = glyph(character)
    letter = ink(whole.strokes[: len(base.strokes)], PEN)
    accent = ink(whole.strokes[len(base.strokes) :], PEN)
    assert accent.intersects(letter)
    assert accent.bounds[1] < letter.bounds[1] - 15.0


@pytest.mark.parametrize("character", "ģķļņŗșț")
def test_comma_stands_clear_of_its_letter(character):
    base = glyph(unicodedata.normalize("NFD", character)[0])
    whole = glyph(character)
    letter = ink(whole.strokes[: len(base.strokes)], PEN)
    comma = ink(whole.strokes[len(base.strokes) :], PEN)
    assert not comma.intersects(letter)
    assert (comma.bounds[1] > letter.bounds[3] - 1.0) == (character == "ģ")


@pytest.mark.parametrize("character", "ďťľĽ")
def test_caron_beside_a_tall_letter_is_a_comma(character):
    base = glyph(unicodedata.normalize("NFD", character)[0])
    whole = glyph(character)
    assert len(whole.strokes) == len(base.strokes) + 1
    assert whole.box.high.x > base.box.high.x or character == "Ľ"
    assert whole.box.high.y < 100.0


@pytest.mark.parametrize("character", ["ế", "ơ", "☃", "я", "\u0301", "字"])
def test_what_cannot_be_put_together_is_none(character):
    assert glyph(character) is None

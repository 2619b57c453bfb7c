import unicodedata

import pytest
from support.alphabet import READY_MADE, ink

from jiggen.lettering.fractions import Stacked, find_fractions, fraction_glyph, raised_glyph, tie_fractions
from jiggen.lettering.glyphs import PEN, drawn_glyph

HALF = Stacked("1", "2")
AIR = 8.0  # font units: a quarter of a millimetre at a height of 3 mm


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("11/64", (Stacked("11", "64"),)),
        ("1-11/64", ("1", Stacked("11", "64"))),
        ("2 1/8", ("2", Stacked("1", "8"))),
        ("2\u00a01/8", ("2", Stacked("1", "8"))),
        ("2  1/8", ("2", " ", " ", Stacked("1", "8"))),
        ('1 13/16"', ("1", Stacked("13", "16"), '"')),
        ("½", (HALF,)),
        ("5½", ("5", HALF)),
        ("5 ½", ("5", HALF)),
        ("24-¾", ("2", "4", Stacked("3", "4"))),
        ("1⁄2", (HALF,)),
        ("1⁄1000", (Stacked("1", "1000"),)),
        ("-1/2", ("-", HALF)),
        ("1/2-1/2", (HALF, "-", HALF)),
        ("1/2 1/2", (HALF, " ", HALF)),
        ("(1/2)", ("(", HALF, ")")),
        ("1/2.", (HALF, ".")),
        ("1/2, 1/2", (HALF, ",", " ", HALF)),
        ("⌀1/2", ("⌀", HALF)),
        ("no 7A 1/2", ("n", "o", " ", "7", "A", " ", HALF)),
        ("127/128", (Stacked("127", "128"),)),
    ],
)
def test_fractions_are_found(text, found):
    assert find_fractions(text, typed=True) == found


@pytest.mark.parametrize(
    "text",
    [
        "12/11/2026",
        "and/or",
        "1/2/3",
        "838/890",
        "1/129",
        "1/0",
        "M3/4",
        "3/4in",
        "1.5/2",
        "1/2.5",
        "1/",
        "/2",
        "2026-11-02",
    ],
)
def test_what_is_no_fraction_stays_plain(text):
    assert find_fractions(text, typed=True) == tuple(text)


def test_typed_slashes_can_stay_while_ready_made_fractions_are_still_set():
    assert find_fractions("1/2 ½", typed=False) == ("1", "/", "2", " ", HALF)


def test_whole_number_is_tied_to_its_fraction():
    assert tie_fractions("nut 1 13/16 or 2 ½ at 5 mm, 3-1/8") == "nut 1\u00a013/16 or 2\u00a0½ at 5 mm, 3-1/8"


@pytest.mark.parametrize("under", [*range(2, 65), 128])
def test_any_fraction_stacks_numerator_bar_denominator(under):
    for over in sorted({1, under // 2, under - 1, 2 * under + 1}):
        fraction = Stacked(str(over), str(under))
        glyph = fraction_glyph(fraction)
        upper = sum(len(drawn_glyph(figure).strokes) for figure in fraction.over)
        numerator, bar, denominator = (
            ink(paths, PEN, tolerance=0.05)
            for paths in (glyph.strokes[:upper], glyph.strokes[upper : upper + 1], glyph.strokes[upper + 1 :])
        )
        assert numerator.bounds[1] > bar.bounds[3] + AIR
        assert bar.bounds[1] > denominator.bounds[3] + AIR
        for figures in (numerator, denominator):
            assert bar.bounds[0] < figures.bounds[0]
            assert figures.bounds[2] < bar.bounds[2]
            assert (figures.bounds[0] + figures.bounds[2]) / 2.0 == pytest.approx(glyph.width / 2.0, abs=0.1)


@pytest.mark.parametrize("character", READY_MADE)
def test_ready_made_fractions_are_put_together_from_figures(character):
    (fraction,) = find_fractions(character, typed=False)
    assert isinstance(fraction, Stacked)
    assert int(fraction.over) / int(fraction.under) == pytest.approx(unicodedata.numeric(character))


def test_figures_of_a_fraction_do_not_touch():
    glyph = fraction_glyph(Stacked("88", "64"))
    assert len(ink(glyph.strokes, PEN).geoms) == 5  # four figures and a bar


def test_raised_figure_stands_on_the_middle_of_a_capital():
    assert raised_glyph("2").box.low.y == pytest.approx(50.0)
    assert raised_glyph("2").box.high.y == pytest.approx(100.0)

"""Lettering measured against ISO 3098 type B, vertical, with shapely's buffer for the pen.

Source: ISO 3098-0:1997, table of dimensions for lettering type B, as reproduced in drawing handbooks; the names of the
dimensions and that h is counted over the ink's outline are from memory. With h the height of capitals:
small letters c1 = 7/10 h, tails c2 = 3/10 h, stems c3 = 3/10 h, room for accents above f = 4/10 h, between
characters a = 2/10 h (half of that for pairs that leave a hole, as in LA and TV), between words e = 6/10 h, line
width d = 1/10 h, between baselines b1 = 19/10 h with accents and b2 = 15/10 h without.
"""

import math

import pytest
import shapely
from support.alphabet import ACCENTED, ink

from jiggen.geometry.box import Box
from jiggen.geometry.point import ORIGIN
from jiggen.lettering.fit import Anchor, fit_text, letter, text_width

HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)  # mm, the nominal sizes of ISO 3098-0
MICRON = 0.001  # mm
SHARE = 0.001  # of h


def seen(text, height, *, anchor=Anchor.LEFT_BASELINE):
    """Ink of a line on the baseline y = 0, starting at x = 0, made with a pen of h/10."""
    paths = letter(text, height_mm=height, at=ORIGIN, anchor=anchor, where="test").paths
    return ink(paths, height / 10.0)


def rows(text, height):
    """Lowest and highest ink of each character, as shares of h."""
    for character in text:
        _, low, _, high = seen(character, height).bounds
        yield character, low / height, high / height


@pytest.mark.parametrize("height", HEIGHTS)
def test_capitals_and_figures_are_h_high(height):
    for character, low, high in rows("ABCDEFGHIJKLMNOPRSTUVWXYZ0123456789", height):
        assert (low, high) == pytest.approx((0.0, 1.0), abs=SHARE), character


@pytest.mark.parametrize("height", HEIGHTS)
def test_small_letters_are_seven_tenths_high(height):
    for character, low, high in rows("acemnorsuvwxzıæœ", height):
        assert (low, high) == pytest.approx((0.0, 0.7), abs=SHARE), character


@pytest.mark.parametrize("height", HEIGHTS)
def test_stems_rise_and_tails_fall_three_tenths(height):
    for character, low, high in rows("bdfhkl", height):
        assert (low, high) == pytest.approx((0.0, 1.0), abs=SHARE), character
    for character, low, high in rows("gpqy", height):
        assert (low, high) == pytest.approx((-0.3, 0.7), abs=SHARE), character


def test_accents_keep_to_their_four_tenths():
    for character, low, high in rows([each for each in ACCENTED if each.isupper()], 10.0):
        assert high <= 1.4, character
        assert low >= -0.3 - SHARE, character


@pytest.mark.parametrize("pair", ["HH", "HI", "nn", "Il", "mu", "BE", "00", "88", "oo", "OO", "No"])
@pytest.mark.parametrize("height", HEIGHTS)
def test_characters_stand_two_tenths_apart(pair, height):
    left, right = _parted(pair, height)
    # The figure 0 keeps a hundredth of h on either side in the field that all figures share.
    slack = 0.021 if "0" in pair else SHARE
    assert (right.bounds[0] - left.bounds[2]) / height == pytest.approx(0.2, abs=slack)


@pytest.mark.parametrize("pair", ["LT", "TA", "AV", "WA", "To", "LY", "PA"])
def test_characters_that_leave_a_hole_stand_half_as_far_apart(pair):
    left, right = _parted(pair, 10.0)
    assert (right.bounds[0] - left.bounds[2]) / 10.0 == pytest.approx(0.1, abs=SHARE)


@pytest.mark.parametrize("height", HEIGHTS)
def test_words_stand_six_tenths_apart(height):
    left, right = _parted("H H", height)
    assert (right.bounds[0] - left.bounds[2]) / height == pytest.approx(0.6, abs=SHARE)


def _parted(text, height):
    """Ink of the first character, and of all the rest."""
    paths = letter(text, height_mm=height, at=ORIGIN, anchor=Anchor.LEFT_BASELINE, where="test").paths
    first = len(letter(text[0], height_mm=height, at=ORIGIN, where="test").paths)
    return ink(paths[:first], height / 10.0), ink(paths[first:], height / 10.0)


@pytest.mark.parametrize(
    ("lines", "pitch"),
    [
        ("Hog\nHip", 1.5),
        ("HAT\nHAT", 1.5),
        ("hög\nHip", 1.5),
        ("Hog\nHÄT", 1.9),
        ("HÉT\nHog", 1.9),
        ("H½\nHog", 1.9),
    ],
)
def test_lines_stand_apart_as_their_accents_need(lines, pitch):
    block = fit_text(lines, box=Box.of_size(200.0, 200.0), largest_mm=10.0, smallest_mm=10.0, where="test")
    feet = sorted(
        {round(min(path.start.y, path.end.y), 6) for path in block.paths if path.start.x == path.end.x == 0.5}
    )  # of the upright on the left with which each of these lines begins
    assert feet[-1] - feet[0] == pytest.approx(pitch * 10.0, abs=MICRON)


@pytest.mark.parametrize("lines", ["gjpqy|\nÅÉŮŠŐ", "127/128\n127/128", "Ęģ½\nÅ½Š", "(gy)[j]\nHbdl/(|"])
def test_lines_do_not_touch(lines):
    block = fit_text(lines, box=Box.of_size(200.0, 200.0), largest_mm=10.0, smallest_mm=10.0, where="test")
    above, below = lines.split("\n")
    first = len(letter(above, height_mm=10.0, at=ORIGIN, where="test").paths)
    gap = ink(block.paths[:first], 1.0).distance(ink(block.paths[first:], 1.0))
    assert gap > 0.1 * 10.0 / 2.0, (above, below)  # at least half a line's width of air


def test_pen_is_a_tenth_of_h():
    height = 10.0
    lettering = letter("I", height_mm=height, at=ORIGIN, where="test")
    assert (lettering.box.width, lettering.box.height) == pytest.approx((height / 10.0, height))
    assert shapely.box(
        lettering.box.low.x, lettering.box.low.y, lettering.box.high.x, lettering.box.high.y
    ).covers(seen("I", height, anchor=Anchor.CENTRE_MIDDLE).buffer(-MICRON))


def test_width_of_a_text_is_the_sum_of_its_ink_and_gaps():
    # Two stems of H, 0.7 h over the ink each with its bar, the gap, and I of one pen: 0.7 + 0.2 + 0.1.
    assert text_width("HI", 10.0) == pytest.approx(0.7 * 10.0 + 0.2 * 10.0 + 0.1 * 10.0)
    assert math.isclose(text_width("HI", 2.5) * 4.0, text_width("HI", 10.0))

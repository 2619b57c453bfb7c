"""The drawings themselves: complete, sound, in their fields, without kinks or double lines, and all different."""

import itertools
import math

import pytest
import shapely
from shapely import affinity
from support.alphabet import ACCENTED, ASCII, EVERY, SIGNS, ink

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Arc, Path
from jiggen.geometry.segment import heading_on, length_of
from jiggen.lettering.accents import OVERLAID, glyph
from jiggen.lettering.figures import FIELD
from jiggen.lettering.fractions import RAISED
from jiggen.lettering.glyphs import DRAWN, PEN, SAME_AS, drawn_glyph
from jiggen.lettering.setting import set_line

UNIT = 1.0  # a hundredth of the height of capitals
SINGLE = [
    each for each in dict.fromkeys(ASCII + SIGNS + ACCENTED) if each not in SAME_AS and each not in RAISED
]


def paths_of(text):
    return [
        path for found, _ in set_line(text, where="test", fractions=True).glyphs for path in found.strokes
    ]


def test_every_promised_character_has_sound_ink():
    for character in EVERY:
        paths = paths_of(character)
        assert paths, character
        for piece in itertools.chain.from_iterable(paths):
            assert length_of(piece) > UNIT, character
            if isinstance(piece, Arc):
                assert math.radians(2.0) < abs(piece.sweep) < math.radians(300.0), character
                assert 1.5 * UNIT < piece.radius < 150.0 * UNIT, character


def test_ink_keeps_to_the_line_and_the_field():
    for character in EVERY:
        line = set_line(character, where="test", fractions=True)
        low_x, low_y, high_x, high_y = affinity.translate(
            ink(paths_of(character), PEN), PEN / 2.0, PEN / 2.0
        ).bounds
        assert low_y >= -30.0 - 0.01 * UNIT, character
        assert high_y <= 130.0 + 0.01 * UNIT, character
        assert low_x >= -0.3 * UNIT, character
        assert high_x <= line.width + 0.3 * UNIT, character


def test_field_is_as_wide_as_the_strokes():
    for character in set(DRAWN) - set("0123456789 \u00a0\u2009\u202f"):
        found = drawn_glyph(character)
        assert (found.box.low.x, found.box.high.x) == pytest.approx((0.0, found.width), abs=0.5), character


def test_figures_share_one_field():
    assert {glyph(figure).width for figure in "0123456789"} == {FIELD}


def test_joints_are_smooth_or_meant_to_turn():
    for character in EVERY:
        for path in paths_of(character):
            joints = list(itertools.pairwise(path.segments))
            if path.closed:
                joints.append((path.segments[-1], path.segments[0]))
            for before, after in joints:
                leaving, setting_out = heading_on(before, 1.0), heading_on(after, 0.0)
                turn = abs(math.degrees(math.atan2(leaving.cross(setting_out), leaving.dot(setting_out))))
                assert turn < 0.5 or turn > 15.0, (character, before, after)


def test_no_line_is_drawn_twice():
    for character in EVERY:
        pieces = [
            shapely.LineString([(point.x, point.y) for point in flatten(Path((piece,)), 0.05)])
            for path in paths_of(character)
            for piece in path
        ]
        for one, other in itertools.combinations(pieces, 2):
            # Tangent strokes keep company for a while: 12 units is an arc of 22 parting from its stem by 0.3.
            shared = one.intersection(other.buffer(0.3 * UNIT)).length if one.distance(other) < 0.3 else 0.0
            assert shared < 12.0 * UNIT, character


def centred(character):
    found = glyph(character)
    lines = shapely.MultiLineString(
        [[(point.x, point.y) for point in flatten(path, 0.2)] for path in found.strokes]
    )
    return affinity.translate(lines, -(lines.bounds[0] + lines.bounds[2]) / 2.0, 0.0).segmentize(2.0)


def test_no_two_characters_are_alike():
    shapes = {character: centred(character) for character in SINGLE}
    for (one, shape), (other, another) in itertools.combinations(shapes.items(), 2):
        apart = 6.0 * UNIT if one in ASCII and other in ASCII and (one + other).isalnum() else 3.5 * UNIT
        corners = max(abs(a - b) for a, b in zip(shape.bounds, another.bounds, strict=True))
        # Corners are quick to compare and never further apart than the shapes are.
        assert corners >= apart or shape.hausdorff_distance(another) >= apart, (one, other)


def likeness(one, other, *, mirrored=False):
    """Shared part of the ink of two characters, laid over each other as well as they go."""
    first, second = ink(glyph(one).strokes, PEN), ink(glyph(other).strokes, PEN)
    if mirrored:
        second = affinity.scale(second, -1.0, 1.0)
    (left, _, right, _), (low, _, high, _) = first.bounds, second.bounds
    shifts = (left - low, (left + right - low - high) / 2.0, right - high)
    laid = [affinity.translate(second, shift) for shift in shifts]
    return max(first.intersection(each).area / first.union(each).area for each in laid)


@pytest.mark.parametrize(
    "pair", ["0O", "0D", "5S", "2Z", "8B", "6G", "38", "35", "56", "69", "68", "17", "1l", "uv"]
)
def test_figures_and_letters_that_get_mixed_up_share_little(pair):
    assert likeness(*pair) < 0.65


@pytest.mark.parametrize("pair", ["1I", "1l", "1|", "Il", "I|", "l|"])
def test_plain_strokes_differ_by_flag_tail_or_length(pair):
    assert likeness(*pair) <= 0.81


def test_likeness_is_whole_for_the_same_character():
    assert likeness("5", "5") == pytest.approx(1.0)


def test_no_figure_seen_from_behind_is_another():
    for pair in itertools.permutations("0123456789", 2):
        assert likeness(*pair, mirrored=True) < 0.67, pair


@pytest.mark.parametrize(("twin", "drawn"), list(SAME_AS.items()))
def test_twins_are_drawn_alike_on_purpose(twin, drawn):
    assert glyph(twin) == glyph(drawn)


@pytest.mark.parametrize("character", list(OVERLAID))
def test_stroke_letters_cross_their_base(character):
    base, through = glyph(OVERLAID[character][0]), glyph(character)
    assert len(through.strokes) == len(base.strokes) + 1
    *body, bar = [ink([path], 1e-3) for path in through.strokes]
    assert any(bar.intersects(each) for each in body)

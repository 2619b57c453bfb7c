import itertools
import math

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from support.alphabet import ACCENTED, ASCII, EVERY, READY_MADE, SIGNS, ink

from jiggen.errors import InputError, LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc
from jiggen.geometry.point import ORIGIN, Point
from jiggen.lettering.fit import (
    Anchor,
    block_height,
    fit_paragraph,
    fit_text,
    letter,
    rise,
    text_width,
    wrap_text,
)

NANOMETRE = 1e-6  # mm
MICRON = 1e-3  # mm
AT = Point(12.5, -7.25)
QUARTER = math.pi / 2.0

texts = st.text(
    st.sampled_from(ASCII + SIGNS + ACCENTED + READY_MADE + "     0123456789//-"), min_size=1, max_size=30
)
sides = st.floats(0.5, 300.0)
corners = st.builds(Point, st.floats(-500.0, 500.0), st.floats(-500.0, 500.0))
anchors = st.sampled_from(Anchor)


def points(lettering):
    return [(end.x, end.y) for path in lettering.paths for piece in path for end in (piece.start, piece.end)]


def bulges(lettering):
    return [piece.bulge for path in lettering.paths for piece in path if isinstance(piece, Arc)]


@pytest.mark.parametrize(
    ("anchor", "x", "y"),
    [
        (Anchor.LEFT_BASELINE, 0.0, 0.0),
        (Anchor.CENTRE_BASELINE, 5.0, 0.0),
        (Anchor.RIGHT_BASELINE, 10.0, 0.0),
        (Anchor.LEFT_MIDDLE, 0.0, 5.0),
        (Anchor.CENTRE_MIDDLE, 5.0, 5.0),
        (Anchor.RIGHT_MIDDLE, 10.0, 5.0),
        (Anchor.LEFT_TOP, 0.0, 10.0),
        (Anchor.CENTRE_TOP, 5.0, 10.0),
        (Anchor.RIGHT_TOP, 10.0, 10.0),
    ],
)
def test_anchor_names_the_place_that_is_put_on_the_point(anchor, x, y):
    box = letter("HI", height_mm=10.0, at=AT, anchor=anchor, where="test").box  # 10 mm wide, as high
    assert (box.low.x, box.low.y) == pytest.approx((AT.x - x, AT.y - y), abs=NANOMETRE)
    assert (box.high.x, box.high.y) == pytest.approx((AT.x - x + 10.0, AT.y - y + 10.0), abs=NANOMETRE)


@pytest.mark.parametrize("quarters", [-3, -2, -1, 0, 1, 2, 3, 4, 7])
@pytest.mark.parametrize("anchor", Anchor)
def test_quarter_turns_are_exact(quarters, anchor):
    text = "Wren 1-11/64″ ½ S&@g Å"
    flat = letter(text, height_mm=2.7, at=ORIGIN, anchor=anchor, where="test")
    turned = letter(text, height_mm=2.7, at=ORIGIN, anchor=anchor, angle=quarters * QUARTER, where="test")
    expected = points(flat)
    for _ in range(quarters % 4):
        expected = [(-y, x) for x, y in expected]
    assert points(turned) == expected
    assert bulges(turned) == bulges(flat)


@given(texts, st.floats(0.3, 40.0), corners, anchors, st.floats(-10.0, 10.0))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_box_is_that_of_the_ink(text, height, at, anchor, angle):
    assume(text.strip())
    lettering = letter(text, height_mm=height, at=at, anchor=anchor, angle=angle, where="test")
    seen = ink(lettering.paths, height / 10.0, tolerance=MICRON / 10.0).bounds
    box = lettering.box
    # The judge's round pen is a polygon of 256 sides, a ten-thousandth of a pen short.
    assert (box.low.x, box.low.y, box.high.x, box.high.y) == pytest.approx(seen, abs=MICRON + 1e-5 * height)


@given(texts, st.floats(0.3, 40.0))
@settings(max_examples=60, derandomize=True, deadline=None)
def test_width_holds_the_ink(text, height):
    assume(text.strip())
    box = letter(text, height_mm=height, at=ORIGIN, anchor=Anchor.LEFT_BASELINE, where="test").box
    slack = 0.004 * height  # round strokes may pass their field by a third of a unit, h/300
    assert box.low.x >= -slack
    assert box.high.x <= text_width(text, height) + slack


def test_figures_line_up_from_the_right():
    columns = [
        [
            (path.start.x, path.end.x) for path in lettering.paths[-3:]
        ]  # the dot, the 4 and the 7, a stroke each
        for lettering in (
            letter(text, height_mm=3.0, at=Point(100.0, 0.0), anchor=Anchor.RIGHT_BASELINE, where="test")
            for text in ("1.47", "314.47", "90.47")
        )
    ]
    for column in columns[1:]:
        assert column == [pytest.approx(ends, abs=NANOMETRE) for ends in columns[0]]


@given(
    st.lists(texts, min_size=1, max_size=4),
    corners,
    sides,
    sides,
    anchors,
    st.integers(-4, 4),
    st.floats(0.01, 30.0),
)
@example(["Ån"], ORIGIN, 5.0, 5.0, Anchor.RIGHT_BASELINE, 1, 30.0)
@settings(max_examples=120, derandomize=True, deadline=None)
def test_fitted_text_never_leaves_its_box_and_could_not_be_larger(
    lines, low, width, height, align, quarters, largest
):
    assume(any(line.strip() for line in lines))
    box = Box(low, low + Point(width, height))
    smallest = 1e-4
    lettering = fit_text(
        lines,
        box=box,
        largest_mm=largest,
        smallest_mm=smallest,
        where="test",
        align=align,
        angle=quarters * QUARTER,
    )
    assert box.contains(lettering.box, slack=NANOMETRE)
    x0, y0, x1, y1 = ink(lettering.paths, lettering.height_mm / 10.0, tolerance=MICRON).bounds
    assert box.contains(Box(Point(x0, y0), Point(x1, y1)), slack=NANOMETRE)
    fills = lettering.box.width > width * (1.0 - 1e-9) or lettering.box.height > height * (1.0 - 1e-9)
    assert fills or lettering.height_mm == largest


@given(texts, corners, sides, sides, anchors, st.floats(0.01, 30.0))
@settings(max_examples=80, derandomize=True, deadline=None)
def test_fitted_paragraph_never_leaves_its_box(text, low, width, height, align, largest):
    assume(text.strip())
    box = Box(low, low + Point(width, height))
    lettering = fit_paragraph(text, box=box, largest_mm=largest, smallest_mm=1e-4, where="test", align=align)
    assert box.contains(lettering.box, slack=NANOMETRE)
    if " · " not in text:
        assert lettering.text.split() == text.split()


@pytest.mark.parametrize("align", Anchor)
def test_block_goes_to_the_side_asked_for(align):
    box = Box(Point(10.0, 20.0), Point(70.0, 60.0))
    ink_box = fit_text("HI\nH", box=box, largest_mm=10.0, smallest_mm=10.0, where="test", align=align).box
    assert (ink_box.width, ink_box.height) == pytest.approx((10.0, 25.0))
    assert ink_box.low.x == pytest.approx(10.0 + align.across * 50.0)
    assert ink_box.low.y == pytest.approx(20.0 + align.up * 15.0)


@pytest.mark.parametrize(
    ("quarters", "low"), [(0, (10.0, 30.0)), (1, (10.0, 20.0)), (2, (60.0, 20.0)), (3, (60.0, 30.0))]
)
def test_turned_block_goes_to_the_side_as_one_reads_it(quarters, low):
    box = Box(Point(10.0, 20.0), Point(70.0, 40.0))
    ink_box = fit_text(
        "HI", box=box, largest_mm=10.0, smallest_mm=10.0, where="test", angle=quarters * QUARTER
    ).box
    assert (ink_box.low.x, ink_box.low.y) == pytest.approx(low)


def test_lines_are_ranged_inside_the_block():
    lines = fit_text(
        "HHH\nI",
        box=Box.of_size(100.0, 100.0),
        largest_mm=10.0,
        smallest_mm=10.0,
        where="test",
        align=Anchor.RIGHT_TOP,
    )
    assert lines.paths[-1].start.x == pytest.approx(100.0 - 0.5)


def test_text_that_does_not_fit_says_what_would():
    box = Box.of_size(20.0, 5.0)
    with pytest.raises(LimitError) as caught:
        fit_text("Wren · Plan template", box=box, largest_mm=4.0, smallest_mm=2.5, where="part plan, heading")
    assert str(caught.value) == (
        'part plan, heading: got "Wren · Plan template" in letters of 2.50 mm, expected something that fits in '
        "20.00 × 5.00 mm. Letters of 1.54 mm would fit. Shorten the text, make more room for it, or letter smaller"
    )
    fit_text("Wren · Plan template", box=box, largest_mm=4.0, smallest_mm=1.54, where="test")
    with pytest.raises(LimitError):
        fit_text("Wren · Plan template", box=box, largest_mm=4.0, smallest_mm=1.55, where="test")


def test_paragraph_that_does_not_fit_says_what_would():
    with pytest.raises(LimitError) as caught:
        fit_paragraph(
            "Wren · Plan template",
            box=Box.of_size(20.0, 5.0),
            largest_mm=4.0,
            smallest_mm=2.5,
            where="part plan, tag",
        )
    assert str(caught.value) == (
        'part plan, tag: got "Wren\\nPlan template" in letters of 2.50 mm, expected something that fits in '
        "20.00 × 5.00 mm. Letters of 1.78 mm would fit. Shorten the text, make more room for it, or letter smaller"
    )


TAG = "Wren 7F2A-91C3 · plan template · 3 mm cast acrylic · kerf 0.20 offset 0.10"


@pytest.mark.parametrize("size", [(90.0, 9.0), (70.0, 14.0), (40.0, 20.0), (30.0, 30.0), (20.0, 60.0)])
def test_paragraph_breaks_to_be_as_large_as_it_can(size):
    box = Box.of_size(*size)
    best = fit_paragraph(TAG, box=box, largest_mm=20.0, smallest_mm=1.0, where="test")
    narrowest = max(text_width(word, 1.0) for word in TAG.split())
    others = [
        fit_text(wrap_text(TAG, width, 1.0), box=box, largest_mm=20.0, smallest_mm=0.1, where="test")
        for width in (narrowest + step / 4.0 for step in range(200))
    ]
    assert best.height_mm == pytest.approx(max(each.height_mm for each in others))


def test_paragraph_keeps_items_whole():
    best = fit_paragraph(TAG, box=Box.of_size(40.0, 20.0), largest_mm=9.0, smallest_mm=1.0, where="test")
    assert best.text == "Wren 7F2A-91C3\nplan template\n3 mm cast acrylic\nkerf 0.20 offset 0.10"


def test_paragraph_takes_few_long_lines_when_any_would_do():
    box = Box.of_size(200.0, 100.0)
    assert fit_paragraph(TAG, box=box, largest_mm=2.5, smallest_mm=2.0, where="test").text == TAG


def test_wrapped_lines_keep_to_the_width():
    lines = wrap_text(TAG, 40.0, 2.5)
    assert lines == ("Wren 7F2A-91C3", "plan template", "3 mm cast acrylic", "kerf 0.20 offset 0.10")
    assert all(text_width(line, 2.5) <= 40.0 for line in lines)


def test_word_that_is_too_wide_is_named():
    with pytest.raises(LimitError) as caught:
        wrap_text("a misdirected hyperparallelogram", 20.0, 2.5, where="ticket, note")
    assert str(caught.value) == (
        'ticket, note: got "hyperparallelogram", 29.85 mm wide in 2.50 mm letters, expected words that fit in '
        "20.00 mm. Shorten the word, make more room for it, or letter smaller"
    )


@pytest.mark.parametrize("text", ["", "   ", "\u00a0"])
def test_nothing_to_letter_is_an_error(text):
    message = "tag: got no text, expected something to letter"
    with pytest.raises(InputError, match=f"^{message}$"):
        letter(text, height_mm=3.0, at=ORIGIN, where="tag")
    for fit in (fit_text, fit_paragraph):
        with pytest.raises(InputError, match=f"^{message}$"):
            fit(text, box=Box.of_size(9.0, 9.0), largest_mm=3.0, smallest_mm=1.0, where="tag")


def test_missing_character_is_an_error_in_every_way_to_letter():
    box = Box.of_size(99.0, 99.0)
    ways = (
        lambda: letter("☃", height_mm=3.0, at=ORIGIN, where="tag"),
        lambda: fit_text("a\n☃", box=box, largest_mm=3.0, smallest_mm=1.0, where="tag"),
        lambda: fit_paragraph("a ☃", box=box, largest_mm=3.0, smallest_mm=1.0, where="tag"),
        lambda: wrap_text("a ☃", 9.0, 3.0, where="tag"),
        lambda: text_width("☃", 3.0, where="tag"),
    )
    for way in ways:
        with pytest.raises(InputError, match=r"^tag: got \"[^\"]*☃\" with ☃ \(U\+2603, snowman\)"):
            way()


def test_line_break_has_no_place_in_a_single_line():
    with pytest.raises(InputError, match=r"\(U\+000A, a control character\)"):
        letter("a\nb", height_mm=3.0, at=ORIGIN, where="tag")


@pytest.mark.parametrize("height", [0.0, -1.0, math.nan, math.inf])
def test_height_must_be_positive(height):
    with pytest.raises(ValueError, match="letters need a positive height"):
        letter("a", height_mm=height, at=ORIGIN, where="tag")


def test_heights_must_be_in_order():
    with pytest.raises(ValueError, match=r"no height from 3.0 to 2.0 mm"):
        fit_text("a", box=Box.of_size(9.0, 9.0), largest_mm=2.0, smallest_mm=3.0, where="tag")


def test_block_keeps_within_a_box_at_quarter_turns_only():
    with pytest.raises(ValueError, match=r"at quarter turns only, got 0.1 rad"):
        fit_text("a", box=Box.of_size(9.0, 9.0), largest_mm=2.0, smallest_mm=1.0, where="tag", angle=0.1)


def test_every_character_can_be_lettered_in_one_line():
    lettering = letter(EVERY, height_mm=3.0, at=ORIGIN, where="test")
    assert len(lettering.paths) > len(EVERY)
    assert all(
        before.end == after.start
        for path in lettering.paths
        for before, after in itertools.pairwise(path.segments)
    )


@pytest.mark.parametrize("text", ["Wren", "(Wren) jiggen", "Ångström", "ÉŹ", "3 ½″"])
def test_a_line_rises_as_high_as_its_ink_or_its_capitals(text):
    box = letter(text, height_mm=5.0, at=ORIGIN, anchor=Anchor.LEFT_BASELINE, where="test").box
    brackets = 0.2 * 5.0  # reach above capitals, and are not counted
    assert box.high.y - brackets <= rise(text, 5.0) <= max(box.high.y, 5.0) + NANOMETRE


@pytest.mark.parametrize("lines", [("Wren",), ("Ågot", "kerf 0.20"), ("Wren 1234", "jiggen", "ÉŹ")])
def test_lines_fit_in_as_much_as_their_height_and_in_no_less(lines):
    height = block_height(lines, 4.0)
    for room, fits in ((height + NANOMETRE, True), (height - MICRON, False)):
        box = Box(ORIGIN, Point(500.0, room))
        if fits:
            fit_text(lines, box=box, largest_mm=4.0, smallest_mm=4.0, where="test")
        else:
            with pytest.raises(LimitError):
                fit_text(lines, box=box, largest_mm=4.0, smallest_mm=4.0, where="test")

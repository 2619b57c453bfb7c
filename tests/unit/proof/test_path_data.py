"""SVG path data to strokes."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.errors import InputError
from jiggen.proof.path_data import arc_bulge, strokes
from jiggen.proof.trace import Stroke

SQUARE = Stroke(((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)), (0.0, 0.0, 0.0, 0.0), closed=True)


@pytest.mark.parametrize(
    "data",
    [
        "M 0 0 L 2 0 L 2 2 L 0 2 Z",
        "M0 0L2 0 2 2 0 2Z",
        "M0,0 2,0 2,2 0,2 z",
        "m0 0 2 0 0 2-2 0z",
        "M0 0H2V2H0Z",
        "m0 0h2v2h-2z",
        "M 0 0 L 2 0 L 2 2 L 0 2 L 0 0 Z",
        "M.0 0e5L2. 0 2 2 0 2Z",
        "\n\tM 0 0\nL 2 0 , 2 2 , 0 2 Z\n",
    ],
)
def test_one_square_in_many_words(data: str) -> None:
    assert strokes(data) == (SQUARE,)


@pytest.mark.parametrize(
    "data", ["M 0 0 A 1 1 0 0 1 2 0", "M0 0A1 1 0 012 0", "M0,0a1,1,0,0,1,2,0", "M0 0A1 1 0 01 2 0"]
)
def test_one_half_turn_in_many_words(data: str) -> None:
    assert strokes(data) == (Stroke(((0.0, 0.0), (2.0, 0.0)), (1.0,), closed=False),)


def test_after_a_close_the_next_piece_starts_where_it_led() -> None:
    """SVG 2, 9.3.3."""
    first, second = strokes("M 1 1 L 2 1 L 2 2 Z L 5 5")
    assert first.closed
    assert second == Stroke(((1.0, 1.0), (5.0, 5.0)), (0.0,), closed=False)


def test_an_arc_that_goes_nowhere_is_left_out_and_one_without_radius_is_straight() -> None:
    """SVG 2, 9.5.1."""
    assert strokes("M 0 0 A 1 1 0 0 1 0 0 A 0 0 0 0 1 3 0") == (
        Stroke(((0.0, 0.0), (3.0, 0.0)), (0.0,), closed=False),
    )


def test_nothing_is_no_stroke() -> None:
    assert strokes("") == ()
    assert strokes("M 3 3") == ()


@given(radius=st.floats(0.1, 300.0), sweep=st.floats(0.01, 6.2), turn=st.floats(0.0, 6.3), left=st.booleans())
@settings(max_examples=100, derandomize=True)
def test_an_arc_comes_back_as_it_was_written(radius: float, sweep: float, turn: float, left: bool) -> None:  # noqa: FBT001 - drawn
    sign = 1.0 if left else -1.0
    x, y = (radius * (f(turn + sign * sweep) - f(turn)) for f in (math.cos, math.sin))
    data = f"M 0 0 A {radius!r} {radius!r} 0 {int(sweep > math.pi)} {int(left)} {x!r} {y!r}"
    (stroke,) = strokes(data)
    # near half a turn the sweep follows from the chord only to the square root of rounding
    assert 4.0 * math.atan(stroke.bulges[0]) == pytest.approx(sign * sweep, abs=1e-5)


def test_a_half_turn_laid_down_in_rounded_numbers_is_known_when_it_is_meant() -> None:
    written = 2.999999  # of a half turn of radius 1.5 whose ends were rounded to a nanometre
    assert arc_bulge(written, 1.5, large=False) < 0.9995
    assert arc_bulge(written, 1.5, large=False, half_turn=4e-6) == 1.0
    assert arc_bulge(written, 1.5, large=True, half_turn=4e-6) == 1.0


@pytest.mark.parametrize(
    ("data", "says"),
    [
        ("L 1 1", "the command M first"),
        ("1 1 M 0 0", "the command M first"),
        ("M 0", "2 numbers at a time after M"),
        ("M 0 0 L 1", "2 numbers at a time after L"),
        ("M 0 0 L", "2 numbers at a time after L"),
        ("M 0 0 H", "1 numbers at a time after H"),
        ("M 0 0 A 1 1 0 0 1 2", "7 numbers at a time after A"),
        ("M 0 0 A 1 1 0 2 1 2 0", "7 numbers at a time after A"),
        ("M 0 0 A 1 2 0 0 1 2 0", "not elliptic"),
        ("M 0 0 C 1 1 2 2 3 3", "not the curve C"),
        ("M 0 0 L 1_0 1", "2 numbers at a time after L"),
        ("M 0 0 L 1..5.5 .", "2 numbers at a time after L"),
        ("M 0 0 L x 1", "2 numbers at a time after L"),
        ("M 0 0 L 1 1 Z 4", "no numbers after Z"),
    ],
)
def test_what_is_no_path_of_lines_and_arcs_is_refused(data: str, says: str) -> None:
    with pytest.raises(InputError, match=says):
        strokes(data)

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.specs import wren

from jiggen.design.model import ASSUMED, Given
from jiggen.errors import LimitError
from jiggen.geometry.point import Point
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm


def test_twelfth_fret_halves_the_string():
    layout = lay_out(wren())
    assert layout.frets[11].distance == pytest.approx(314.0, abs=NANOMETRE)


def test_board_carries_on_to_the_projected_width_at_the_saddle():
    layout = lay_out(wren())
    assert layout.saddle.start == Point(628.0, -32.0)
    assert layout.saddle.end == Point(628.0, 32.0)
    assert layout.bass_edge.start == Point(0.0, -23.0)


def test_outer_strings_keep_their_setback_all_along():
    layout = lay_out(wren())
    for fret in layout.frets:
        assert fret.width - fret.spread == pytest.approx(7.0, abs=NANOMETRE)


def test_first_string_lies_on_the_treble_side_and_strings_are_evenly_spaced():
    strings = lay_out(wren()).strings
    assert [string.number for string in strings] == [1, 2, 3, 4, 5, 6]
    assert strings[0].line.start.y == pytest.approx(19.5, abs=NANOMETRE)
    assert strings[-1].line.start.y == pytest.approx(-19.5, abs=NANOMETRE)
    steps = [a.line.end.y - b.line.end.y for a, b in pairwise(strings)]
    assert steps == pytest.approx([11.4] * 5, abs=NANOMETRE)


def test_board_ends_its_overhang_past_the_last_fret():
    layout = lay_out(wren(frets=18, overhang=10.0))
    assert layout.board_end.start.x == pytest.approx(layout.frets[-1].distance + 10.0, abs=NANOMETRE)
    assert layout.board.closed


def test_fretless_neck_has_a_board_and_no_frets():
    layout = lay_out(wren(frets=0, overhang=450.0))
    assert layout.frets == ()
    assert layout.board_end.start.x == pytest.approx(450.0)


def test_single_string_lies_on_the_centre_line():
    layout = lay_out(wren(strings=1, nut=20.0, spread=0.0, setback=10.0))
    assert layout.strings[0].line.start.y == layout.strings[0].line.end.y == 0.0


@settings(derandomize=True, deadline=None)
@given(
    scale=st.floats(250.0, 1200.0),
    nut=st.floats(30.0, 80.0),
    extra=st.floats(0.0, 30.0),
    frets=st.integers(1, 30),
    strings=st.integers(2, 12),
)
def test_widths_grow_with_the_taper_and_distances_with_the_frets(scale, nut, extra, frets, strings):
    layout = lay_out(wren(scale=scale, nut=nut, spread=nut - 7.0 + extra, frets=frets, strings=strings))
    distances = [fret.distance for fret in layout.frets]
    widths = [fret.width for fret in layout.frets]
    assert distances == sorted(distances)
    assert all(later >= earlier - NANOMETRE for earlier, later in pairwise(widths))
    assert sum(fret.from_previous for fret in layout.frets) == pytest.approx(distances[-1], abs=NANOMETRE)


def test_positions_count_from_the_first_string_wherever_their_rule_began():
    positions = (2.0, 9.0, 17.0, 25.5, 33.0, 41.0)  # 39 mm from first to last, as the spread at the nut
    strings = lay_out(wren(positions_nut=positions)).strings
    first = strings[0].line.start.y
    assert [first - string.line.start.y for string in strings] == pytest.approx(
        [each - 2.0 for each in positions], abs=NANOMETRE
    )
    at_bridge = [string.line.end.y for string in strings]  # nothing is said of them
    assert [one - other for one, other in pairwise(at_bridge)] == pytest.approx([11.4] * 5, abs=NANOMETRE)


def test_positions_that_miss_the_spread_within_the_tolerance_are_stretched_to_it():
    positions = tuple(each * 39.03 / 5.0 for each in range(6))
    strings = lay_out(wren(spread_at_nut=39.0, positions_nut=positions)).strings
    steps = [one.line.start.y - other.line.start.y for one, other in pairwise(strings)]
    assert steps == pytest.approx([7.8] * 5, abs=NANOMETRE)


def test_positions_of_a_profile_keep_their_proportions_under_a_spread_of_ones_own():
    assumed = Given((0.0, 10.0, 14.0, 20.0, 26.0, 40.0), ASSUMED)
    strings = lay_out(wren(spread=60.0, positions_bridge=assumed)).strings
    steps = [one.line.end.y - other.line.end.y for one, other in pairwise(strings)]
    assert steps == pytest.approx([15.0, 6.0, 9.0, 9.0, 21.0], abs=NANOMETRE)


def test_an_offset_nut_moves_all_strings_toward_the_treble_edge_at_the_nut_alone():
    plain, moved = lay_out(wren()), lay_out(wren(nut_offset=0.8))
    for one, other in zip(moved.strings, plain.strings, strict=True):
        assert one.line.start.y - other.line.start.y == pytest.approx(0.8, abs=NANOMETRE)
        assert one.line.end == other.line.end
    assert moved.board == plain.board


@pytest.mark.parametrize("place", ["nut", "bridge"])
def test_strings_that_would_pass_one_another_are_refused(place):
    more = {f"course_spacing_{place}": 12.0} | ({} if place == "nut" else {"course_spacing_nut": 1.0})
    with pytest.raises(LimitError) as caught:
        lay_out(wren(strings=12, courses=(2,) * 6, **more))
    by = {"nut": "6.60", "bridge": "3.00"}[place]
    assert str(caught.value) == (
        f"strings: got string 3 on string 2 or past it at the {place}, by {by} mm, expected strings in order across the "
        "neck. Bring the strings of a course nearer together, or spread the outer strings wider."
    )

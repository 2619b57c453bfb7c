import pytest

from jiggen.errors import LimitError
from jiggen.layout.strings import equal_centres, equal_gaps

MM_PER_INCH = 25.4
TEN_NANOMETRES = 1e-5  # mm


def from_bass_edge(centres, *, bass_edge):
    """Centres as a maker reads them off a nut: from the bass edge, bass string first."""
    return [centre - bass_edge for centre in reversed(centres)]


def test_six_single_strings_with_equal_gaps_by_hand():
    # nut 44, margins 3.5 to string edges, gauges add up to 4.0: 33 mm left for five gaps of 6.6
    gauges = [0.2, 0.4, 0.5, 0.7, 1.0, 1.2]
    centres = equal_gaps(3.5 + 0.6, 44.0 - 3.5 - 0.1, [1] * 6, gauges)
    assert list(reversed(centres)) == pytest.approx(
        [4.10, 11.80, 19.25, 26.45, 33.50, 40.40], abs=TEN_NANOMETRES
    )


def test_six_single_strings_with_equal_centres_by_hand():
    centres = equal_centres(4.1, 40.4, [1] * 6)
    assert list(reversed(centres)) == pytest.approx(
        [4.10, 11.36, 18.62, 25.88, 33.14, 40.40], abs=TEN_NANOMETRES
    )


def test_four_double_courses_with_equal_gaps_by_hand():
    # 28.5 wide, margins 2.5, pairs of 1.0 .65 .40 .28 mm, 1.6 clear within a course: 4.14667 between courses
    gauges = [0.28, 0.28, 0.40, 0.40, 0.65, 0.65, 1.0, 1.0]
    centres = equal_gaps(3.0, 28.5 - 2.5 - 0.14, [2, 2, 2, 2], gauges, within_gap=1.6)
    expected = [3.0, 5.6, 10.57167, 12.82167, 17.49333, 19.49333, 23.98, 25.86]
    assert list(reversed(centres)) == pytest.approx(expected, abs=TEN_NANOMETRES)


def test_double_courses_with_equal_centres_keep_their_own_spacing():
    centres = equal_centres(-10.0, 10.0, [2, 2, 2], within=2.0)
    assert centres == pytest.approx((10.0, 8.0, 1.0, -1.0, -8.0, -10.0))


def test_equal_gauges_make_both_rules_the_same():
    assert equal_gaps(-20.0, 20.0, [1] * 5, [0.8] * 5) == pytest.approx(equal_centres(-20.0, 20.0, [1] * 5))


def test_a_single_string_lies_halfway():
    assert equal_centres(-4.0, 6.0, [1]) == (1.0,)
    assert equal_gaps(-4.0, 6.0, [1], [0.5]) == (1.0,)


def test_two_courses_with_equal_gaps_leave_one_gap_between_them():
    # 20 mm less 1 + 1 of strings between the centres and twice 2 within courses: 14 mm for the one gap
    centres = equal_gaps(-10.0, 10.0, [2, 2], [1.0] * 4, within_gap=1.5)
    assert centres == pytest.approx((10.0, 7.5, -7.5, -10.0))


def test_a_single_course_fills_the_spread():
    assert equal_centres(-4.0, 5.0, [4], within=1.0) == pytest.approx((5.0, 2.0, -1.0, -4.0))
    assert equal_gaps(-3.0, 3.0, [3], [1.0, 2.0, 1.0], within_gap=9.0) == pytest.approx((3.0, 0.0, -3.0))


def test_strings_wider_than_their_room_are_refused():
    with pytest.raises(LimitError) as caught:
        equal_gaps(-1.0, 1.0, [1] * 4, [1.0] * 4)
    assert str(caught.value) == (
        "strings.spacing: got strings, and gaps within courses, that need 3.00 mm of the 2.00 mm between the outer "
        "strings' centres, expected some room for the gaps. Spread the strings wider, or give them by equal centres."
    )


def test_gauges_of_another_number_are_our_mistake():
    with pytest.raises(ValueError, match="3 gauges for 4 strings"):
        equal_gaps(-20.0, 20.0, [2, 2], [1.0] * 3)

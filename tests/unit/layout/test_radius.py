"""The curve of the board's face. Its figures against handbook tables are in `tests/outside`."""

import math

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st

from jiggen.errors import LimitError
from jiggen.layout.radius import BoardRadius, radius_from_sagitta, sagitta, slot_depth

NANOMETRE = 1e-6  # mm


def test_half_a_circle_is_as_high_as_its_radius_and_no_board_is_wider() -> None:
    assert sagitta(10.0, 20.0) == 10.0
    with pytest.raises(LimitError) as caught:
        sagitta(10.0, 20.02)
    assert str(caught.value) == (
        "board radius: got 10.00 mm on a board 20.02 mm wide, expected at least half the board's width, 10.01 mm"
    )


@settings(derandomize=True, deadline=None)
@always(radius=st.floats(50.0, 600.0), width=st.floats(10.0, 90.0))
def test_radius_and_sagitta_undo_each_other(radius: float, width: float) -> None:
    assert radius_from_sagitta(width, sagitta(radius, width)) == pytest.approx(radius, rel=1e-9)
    assert sagitta(radius, width) == pytest.approx(
        radius * (1.0 - math.cos(math.asin(width / 2.0 / radius))), abs=NANOMETRE
    )


def test_a_compound_radius_grows_evenly() -> None:
    """10 in at the nut to 16 in at fret 24 of a 650 mm scale: exactly 14 in at fret 12, 12.00677 in at fret 5."""
    radius = BoardRadius(at_nut=254.0, at_end=406.4, length=487.5)
    assert radius.at(0.0) == 254.0
    assert radius.at(487.5) == 406.4
    assert radius.at(325.0) == pytest.approx(14.0 * 25.4, abs=NANOMETRE)
    assert radius.at(163.0502) == pytest.approx(12.00677 * 25.4, abs=0.001)


def test_a_plain_radius_is_the_same_everywhere() -> None:
    assert {
        BoardRadius(at_nut=300.0, at_end=300.0, length=450.0).at(each) for each in (0.0, 200.0, 450.0)
    } == {300.0}


def test_a_slot_is_deeper_by_the_rise_of_the_middle() -> None:
    assert slot_depth(2.0, None, 300.0, 54.0) == 2.0
    radius = BoardRadius(at_nut=254.0, at_end=406.4, length=487.5)
    assert slot_depth(2.0, radius, 325.0, 54.0) == pytest.approx(2.0 + sagitta(355.6, 54.0), abs=NANOMETRE)

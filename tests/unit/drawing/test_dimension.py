"""Dimensions: arrows on their places, figures that make room for one another."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.drawing.dimension import Running, both_units, horizontal, running, spread_out, vertical
from jiggen.drawing.model import Area, Ink, Words
from jiggen.geometry.point import Point


def test_a_length_stands_in_millimetres_and_inches_in_brackets() -> None:
    assert both_units(314.0) == "314.00 [12.362]"
    assert both_units(25.4) == "25.40 [1.000]"


def test_arrowheads_touch_the_extension_lines() -> None:
    items = list(horizontal(Point(10.0, 5.0), Point(110.0, 7.0), -20.0, "100.00 [3.937]"))
    tips = [item.paths[0].start for item in items if isinstance(item, Area)]
    assert tips == [Point(10.0, -20.0), Point(110.0, -20.0)]
    (text,) = (item for item in items if isinstance(item, Words))
    assert text.origin.y == pytest.approx(-20.0 + 0.8)  # above its line
    assert text.box.centre.x == pytest.approx(60.0, abs=0.5)


def test_figures_keep_clear_of_lines_that_pass() -> None:
    items = list(horizontal(Point(0.0, 0.0), Point(200.0, 0.0), -20.0, "200.00 [7.874]", passing=[100.0]))
    (text,) = (item for item in items if isinstance(item, Words))
    assert not text.box.low.x < 100.0 < text.box.high.x


def test_vertical_figures_read_from_the_right() -> None:
    items = list(vertical(Point(0.0, -23.0), Point(0.0, 23.0), -16.0, "46.00 [1.811]"))
    (text,) = (item for item in items if isinstance(item, Words))
    assert text.angle == pytest.approx(1.5707963267948966)
    assert text.origin.x == pytest.approx(-16.8)  # above its line, as one turns the sheet to read it


def test_figures_that_have_no_room_go_past_the_end() -> None:
    items = list(horizontal(Point(0.0, 0.0), Point(6.0, 0.0), -10.0, "6.00 [0.236]"))
    (text,) = (item for item in items if isinstance(item, Words))
    assert text.box.low.x > 6.0
    tips = [item.paths[0].start.x for item in items if isinstance(item, Area)]
    assert tips == [0.0, 6.0]


def test_running_dimensions_start_from_a_small_circle_and_point_away_from_it() -> None:
    places = [Running(Point(x, 0.0), f"{x}") for x in (35.0, 68.0, 100.0)]
    items = list(running(Point(0.0, 0.0), places, 20.0))
    heads = [item.paths[0] for item in items if isinstance(item, Area)]
    assert [head.start.x for head in heads] == [35.0, 68.0, 100.0]
    assert all(head.segments[0].end.x < head.start.x for head in heads)
    (line,) = (item for item in items if isinstance(item, Ink) and len(item.paths) == 2)
    assert line.paths[1].closed


@given(st.lists(st.floats(0.0, 500.0), min_size=1, max_size=40).map(sorted), st.floats(0.5, 8.0))
def test_places_are_spread_no_closer_than_the_pitch_and_keep_their_order(
    places: list[float], pitch: float
) -> None:
    spread = spread_out(places, pitch)
    assert len(spread) == len(places)
    assert all(after - before >= pitch - 1e-6 for before, after in itertools.pairwise(spread))


@given(st.lists(st.integers(0, 50), min_size=1, max_size=10, unique=True).map(sorted))
def test_places_with_room_stay_where_they_are(steps: list[int]) -> None:
    places = [10.0 * step for step in steps]
    assert spread_out(places, 9.0) == pytest.approx(places)


def test_two_places_that_touch_move_apart_evenly() -> None:
    assert spread_out([10.0, 11.0], 4.0) == pytest.approx([8.5, 12.5])

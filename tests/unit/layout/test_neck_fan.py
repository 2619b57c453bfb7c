"""Fanned necks from the design to the frets, by a worked case and by what must hold of any fan."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, settings
from hypothesis import given as always
from hypothesis import strategies as st
from support.specs import wren

from jiggen.design.model import Given, SetbackTo, Spacing, WidthAt
from jiggen.errors import LimitError
from jiggen.layout.fan import x_at, x_at_centre
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

TENTH_MICRON = 1e-4  # mm
NANOMETRE = 1e-6  # mm
FEMTO = 1e-9  # mm: nothing but the last bits of a float


def fan(bass: float = 685.8, treble: float = 647.7, straight: float = 7.0, **more) -> Layout:
    said = {"nut": 43.0, "spread": 52.0, "frets": 24, **more}
    return lay_out(wren(scale=None, scale_bass=bass, scale_treble=treble, straight_fret=straight, **said))


def test_the_worked_case_in_inches() -> None:
    """27 and 25.5 in, straight fret 7, spreads 36 and 52 mm: by hand, to four decimals."""
    layout = fan()
    seventh = layout.frets[6].distance
    assert [string.scale for string in reversed(layout.strings)] == pytest.approx(
        [685.8, 678.1498, 670.5141, 662.8936, 655.2887, 647.7], abs=TENTH_MICRON
    )
    by_hand = {  # fret: bass x, bass y, treble x, treble y, length between outer strings, skew in degrees
        1: (-189.5795, -18.4490, -179.0458, 18.4490, 38.3721, 15.9330),
        5: (-56.0491, -20.0068, -52.9348, 20.0068, 40.1346, 4.4504),
        7: (0.0, -20.6606, 0.0, 20.6606, 41.3213, 0.0),
        12: (114.8088, -22.0, 108.4296, 22.0, 44.46, -8.2493),
        24: (286.2471, -24.0, 270.3423, 24.0, 50.5664, -18.3327),
    }
    for number, (bass_x, bass_y, treble_x, treble_y, spread, skew) in by_hand.items():
        fret = layout.frets[number - 1]
        bass, treble = fret.crossings[-1], fret.crossings[0]
        found = (bass.x - seventh, bass.y, treble.x - seventh, treble.y, fret.spread, math.degrees(fret.skew))
        assert found == pytest.approx((bass_x, bass_y, treble_x, treble_y, spread, skew), abs=TENTH_MICRON)


def test_nut_and_saddle_of_the_worked_case() -> None:
    layout = fan()
    for line, skew, length in ((layout.nut, 19.3924, 38.1652), (layout.saddle, -26.0609, 57.8853)):
        run, rise = line.end.x - line.start.x, line.end.y - line.start.y
        assert math.degrees(math.atan2(run, rise)) == pytest.approx(skew, abs=1e-4)
        outer = [string.line.start if line is layout.nut else string.line.end for string in layout.strings]
        assert outer[0].distance(outer[-1]) == pytest.approx(length, abs=TENTH_MICRON)
    assert x_at_centre(layout.saddle) == pytest.approx(666.7020, abs=TENTH_MICRON)  # nut at zero


def test_the_nut_crosses_the_centre_line_at_zero() -> None:
    for straight in (0.0, 3.5, 7.0, 12.0, 24.0):
        assert x_at_centre(fan(straight=straight).nut) == pytest.approx(0.0, abs=FEMTO)


@pytest.mark.parametrize("straight", [0.0, 5.0, 7.0, 12.0])
def test_the_straight_fret_is_square_and_the_others_turn_away_from_it(straight: float) -> None:
    frets = fan(straight=straight).frets
    if straight:
        assert frets[int(straight) - 1].skew == pytest.approx(0.0, abs=1e-12)
    skews = [fret.skew for fret in frets]
    assert all(later < earlier for earlier, later in pairwise(skews))


def test_a_straight_fret_between_two_frets_turns_them_opposite_ways() -> None:
    frets = fan(straight=7.5).frets
    assert frets[6].skew > 0.0 > frets[7].skew


def test_a_square_nut_and_equal_scales() -> None:
    assert fan(straight=0.0).nut.start.x == fan(straight=0.0).nut.end.x == 0.0
    level, plain = fan(bass=650.0, treble=650.0), lay_out(wren(scale=650.0, nut=43.0, spread=52.0, frets=24))
    assert level.frets == plain.frets
    assert level.strings == plain.strings


@settings(derandomize=True, deadline=None)
@always(
    treble=st.floats(300.0, 900.0),
    longer=st.floats(-40.0, 60.0),
    straight=st.floats(0.0, 24.0),
    nut=st.floats(36.0, 70.0),
    growth=st.floats(0.0, 25.0),
    strings=st.integers(2, 9),
)
def test_what_holds_of_every_fan(
    treble: float, longer: float, straight: float, nut: float, growth: float, strings: int
) -> None:
    # Equal scales are measured along the centre line, as on any neck with parallel frets.
    assume(treble + longer != treble)
    layout = fan(treble + longer, treble, straight, nut=nut, spread=nut - 7.0 + growth, strings=strings)
    assert layout.strings[-1].scale == pytest.approx(treble + longer, abs=FEMTO)
    assert layout.strings[0].scale == pytest.approx(treble, abs=FEMTO)
    for fret in layout.frets:
        assert fret.bend == 0.0  # equal centres keep their proportions
        for place, string in zip(fret.crossings, layout.strings, strict=True):
            stopped = string.line.start.distance(place) / string.scale
            assert stopped == pytest.approx(1.0 - 2.0 ** (-fret.number / 12.0), abs=1e-12)
            assert x_at(fret.line, place.y) == pytest.approx(place.x, abs=FEMTO)
    for side in ("start", "end"):
        along = [getattr(fret.line, side).x for fret in layout.frets]
        assert along == sorted(along)
    widths = [abs(fret.line.end.y - fret.line.start.y) for fret in layout.frets]
    assert all(later >= earlier - NANOMETRE for earlier, later in pairwise(widths))


@settings(derandomize=True, deadline=None)
@always(longer=st.floats(-40.0, 60.0), straight=st.floats(0.0, 24.0), offset=st.floats(-1.0, 1.0))
def test_edges_keep_their_setback_along_a_fan(longer: float, straight: float, offset: float) -> None:
    """Square to the centre line, at every share of the length; an offset nut gives to one side what it takes from the other."""
    layout = fan(
        650.0 + longer, 650.0, straight, setback=None, setback_bass=4.0, setback_treble=3.0, nut_offset=offset
    )
    for edge, string, setback, side in (
        (layout.bass_edge, layout.strings[-1].line, 4.0, 1.0),
        (layout.treble_edge, layout.strings[0].line, 3.0, -1.0),
    ):
        assert (string.start.y - edge.start.y) * side == pytest.approx(setback + side * offset, abs=FEMTO)
        assert (string.end.y - edge.end.y) * side == pytest.approx(setback, abs=FEMTO)
    for line, place in ((layout.nut, "start"), (layout.saddle, "end")):
        for string in layout.strings:
            end = getattr(string.line, place)
            assert x_at(line, end.y) == pytest.approx(end.x, abs=FEMTO)


def test_a_width_given_at_a_fret_of_a_fan_is_what_the_board_measures_there() -> None:
    layout = fan(spread=52.0, setback=3.5, nut=43.0, widths=(WidthAt(fret=12, width=51.0),))
    twelfth = layout.frets[11].line
    # The fret meets the edges a hair beside half their length, since strings and edges fan by other proportions.
    assert twelfth.end.y - twelfth.start.y == pytest.approx(51.0, abs=0.01)


def test_a_width_given_at_a_distance_of_a_fan_is_what_the_board_measures_square_across_there() -> None:
    layout = fan(
        spread=52.0,
        setback=3.5,
        nut=43.0,
        widths=(WidthAt(distance=300.0, width=43.0 + 16.0 * 300.0 / 666.75),),
    )
    across = [
        edge.start.y + (edge.end.y - edge.start.y) * (300.0 - edge.start.x) / (edge.end.x - edge.start.x)
        for edge in (layout.bass_edge, layout.treble_edge)
    ]
    assert across[1] - across[0] == pytest.approx(43.0 + 16.0 * 300.0 / 666.75, abs=0.01)


def test_equal_gaps_bend_the_frets_and_equal_centres_do_not() -> None:
    gauges = (0.25, 0.33, 0.43, 0.66, 0.91, 1.17)
    assert {fret.bend for fret in fan(gauges=gauges).frets} == {0.0}
    bent = fan(gauges=gauges, spacing=Spacing.GAPS, setback_to=SetbackTo.EDGE)
    assert max(fret.bend for fret in bent.frets) > 0.02
    for fret in bent.frets:
        right = [
            string.line.start + (string.line.end - string.line.start) * (1.0 - 2.0 ** (-fret.number / 12.0))
            for string in bent.strings
        ]
        missed = [place.distance(stop) for place, stop in zip(fret.crossings, right, strict=True)]
        assert fret.bend == pytest.approx(max(missed), abs=FEMTO)
        for place, string in zip(fret.crossings, bent.strings, strict=True):
            assert x_at(fret.line, place.y) == pytest.approx(place.x, abs=FEMTO)
            along = string.line.end - string.line.start
            assert along.cross(place - string.line.start) / along.length() == pytest.approx(0.0, abs=FEMTO)


def test_positions_in_the_same_proportions_at_nut_and_bridge_bend_nothing() -> None:
    steps = (0.0, 6.0, 13.0, 21.0, 28.0, 36.0)
    in_proportion = fan(positions_nut=steps, positions_bridge=tuple(step * 52.0 / 36.0 for step in steps))
    assert max(fret.bend for fret in in_proportion.frets) < FEMTO
    assert max(fret.bend for fret in fan(positions_nut=steps).frets) > 0.02


def test_a_fan_so_steep_that_frets_meet_is_refused() -> None:
    with pytest.raises(LimitError) as caught:
        fan(bass=320.0, treble=20.0, straight=0.0, nut=43.0, spread=37.0, frets=12)
    assert str(caught.value) == (
        "neck.scale-bass, neck.scale-treble: got a fan so steep that fret 1 meets the nut on the board, expected frets "
        "that keep apart from edge to edge. Bring the two scales nearer to each other, or spread the strings wider."
    )


def test_a_string_longer_sideways_than_along_is_refused() -> None:
    with pytest.raises(LimitError, match="runs 82.00 mm sideways"):
        fan(bass=80.0, treble=60.0, nut=43.0, spread=200.0, frets=12)


def test_two_strings_and_courses_in_a_fan() -> None:
    assert len(fan(strings=2).frets[0].crossings) == 2
    layout = fan(
        strings=8, courses=Given((2,) * 4), course_spacing_nut=2.0, course_spacing_bridge=2.0 * 52.0 / 36.0
    )
    assert [string.course for string in layout.strings] == [1, 1, 2, 2, 3, 3, 4, 4]
    assert max(fret.bend for fret in layout.frets) < FEMTO  # courses that widen as the fan does
    assert (
        max(fret.bend for fret in fan(strings=8, courses=Given((2,) * 4), course_spacing_nut=2.0).frets)
        > 0.01
    )

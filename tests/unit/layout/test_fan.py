"""Worked case: 27 in bass, 25.5 in treble, straight fret 7, spans 36 and 52 mm; by hand to 30 digits."""

import math

import pytest

from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.fan import Across, inner_lines, outer_lines, straight_fret, x_at, x_at_centre
from jiggen.layout.strings import equal_centres

MICRON = 0.001
BASS, TREBLE = Across(-18.0, -26.0), Across(18.0, 26.0)


def fraction(fret):
    return 1.0 - 2.0 ** (-fret / 12.0)


@pytest.fixture
def fan():
    at_nut = equal_centres(-18.0, 18.0, [1] * 6)
    at_saddle = equal_centres(-26.0, 26.0, [1] * 6)
    outer = outer_lines(685.8, 647.7, BASS, TREBLE, fraction(7))
    return inner_lines(*outer, [Across(*pair) for pair in zip(at_nut, at_saddle, strict=True)])


@pytest.mark.parametrize(
    ("fret", "bass_x", "bass_y", "treble_x", "treble_y", "skew"),
    [
        (0, -228.0679, -18.0, -215.3957, 18.0, 19.3924),
        (1, -189.5795, -18.4490, -179.0458, 18.4490, 15.9330),
        (5, -56.0491, -20.0068, -52.9348, 20.0068, 4.4504),
        (7, 0.0, -20.6606, 0.0, 20.6606, 0.0),
        (12, 114.8088, -22.0, 108.4296, 22.0, -8.2493),
        (24, 286.2471, -24.0, 270.3423, 24.0, -18.3327),
    ],
)
def test_frets_of_the_worked_case(fan, fret, bass_x, bass_y, treble_x, treble_y, skew):
    found = straight_fret(fan, lambda _: fraction(fret))
    seventh = straight_fret(fan, lambda _: fraction(7)).line.start.x
    assert found.error == 0.0
    assert found.line.start.x - seventh == pytest.approx(bass_x, abs=MICRON)
    assert found.line.start.y == pytest.approx(bass_y, abs=MICRON)
    assert found.line.end.x - seventh == pytest.approx(treble_x, abs=MICRON)
    assert found.line.end.y == pytest.approx(treble_y, abs=MICRON)
    run, rise = found.line.end.x - found.line.start.x, found.line.end.y - found.line.start.y
    assert math.degrees(math.atan2(run, rise)) == pytest.approx(skew, abs=0.001)


def test_scale_lengths_between_the_outer_two(fan):
    lengths = [string.start.distance(string.end) for string in reversed(fan)]
    assert lengths == pytest.approx([685.8, 678.1498, 670.5141, 662.8936, 655.2887, 647.7], abs=MICRON)


def test_nut_crosses_the_centre_line_at_zero(fan):
    assert x_at_centre(Line(fan[-1].start, fan[0].start)) == pytest.approx(0.0, abs=1e-9)


def test_parallel_strings_by_hand():
    bass, treble = outer_lines(700.0, 650.0, Across(-20.0, -20.0), Across(20.0, 20.0), fraction(12))
    assert bass.start.x - treble.start.x == pytest.approx(-25.0, abs=1e-9)
    slant = math.degrees(math.atan2(treble.start.x - bass.start.x, 40.0))
    assert slant == pytest.approx(32.0054, abs=0.0001)


def test_equal_scales_make_square_frets():
    bass, treble = outer_lines(650.0, 650.0, BASS, TREBLE, 0.3)
    assert bass.start.x == treble.start.x == 0.0
    assert bass.end.x == treble.end.x


def test_straight_fret_at_the_nut_makes_a_square_nut():
    bass, treble = outer_lines(685.8, 647.7, BASS, TREBLE, 0.0)
    assert bass.start.x == treble.start.x == 0.0


def test_strings_out_of_proportion_bend_the_fret_and_the_error_is_told():
    at_nut = (18.0, 10.0, -18.0)
    at_saddle = (26.0, 0.0, -26.0)
    outer = outer_lines(685.8, 647.7, BASS, TREBLE, fraction(7))
    fan = inner_lines(*outer, [Across(*pair) for pair in zip(at_nut, at_saddle, strict=True)])
    found = straight_fret(fan, lambda _: fraction(12))
    assert found.error > 0.01
    worst = max(
        abs(x_at(found.line, place.y) - place.x)
        for place in (
            Point(
                string.start.x + (string.end.x - string.start.x) / 2.0, (string.start.y + string.end.y) / 2.0
            )
            for string in fan
        )
    )
    assert found.error == pytest.approx(worst, abs=1e-9)

"""Worked case: 27 in bass, 25.5 in treble, straight fret 7, spans 36 and 52 mm; by hand to 30 digits."""

import math

import pytest

from jiggen.errors import LimitError
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.fan import Across, inner_lines, outer_lines, run, straight_fret, x_at, x_at_centre
from jiggen.layout.strings import equal_centres

MICRON = 0.001  # mm
NANOMETRE = 1e-6  # mm
BASS, TREBLE = Across(-18.0, -26.0), Across(18.0, 26.0)


def fraction(fret):
    return 1.0 - 2.0 ** (-fret / 12.0)


def stopped(strings, fret):
    return [between(string.start, string.end, fraction(fret)) for string in strings]


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
    found = straight_fret(stopped(fan, fret))
    seventh = straight_fret(stopped(fan, 7)).start.x
    assert found.start.x - seventh == pytest.approx(bass_x, abs=MICRON)
    assert found.start.y == pytest.approx(bass_y, abs=MICRON)
    assert found.end.x - seventh == pytest.approx(treble_x, abs=MICRON)
    assert found.end.y == pytest.approx(treble_y, abs=MICRON)
    run, rise = found.end.x - found.start.x, found.end.y - found.start.y
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


def test_strings_in_proportion_are_met_where_they_should_be(fan):
    for fret in range(1, 25):
        places = stopped(fan, fret)
        line = straight_fret(places)
        assert max(abs(x_at(line, place.y) - place.x) for place in places) < NANOMETRE


def test_strings_out_of_proportion_are_missed_as_little_as_can_be():
    at_nut = (18.0, 10.0, -18.0)
    at_saddle = (26.0, 0.0, -26.0)
    outer = outer_lines(685.8, 647.7, BASS, TREBLE, fraction(7))
    fan = inner_lines(*outer, [Across(*pair) for pair in zip(at_nut, at_saddle, strict=True)])
    places = stopped(fan, 12)

    def squares(line):
        return sum((x_at(line, place.y) - place.x) ** 2 for place in places)

    found = straight_fret(places)
    assert squares(found) > 0.1**2
    for end, other in ((0.01, 0.0), (-0.01, 0.0), (0.0, 0.01), (0.0, -0.01)):
        moved = Line(found.start + Point(end, 0.0), found.end + Point(other, 0.0))
        assert squares(moved) > squares(found)


def test_two_strings_are_always_met():
    places = [Point(5.0, 10.0), Point(7.0, -10.0)]
    line = straight_fret(places)
    assert line.start.distance(places[1]) < NANOMETRE
    assert line.end.distance(places[0]) < NANOMETRE


def test_a_string_that_would_run_sideways_is_refused():
    with pytest.raises(LimitError) as caught:
        run(20.0, Across(-10.0, 15.0))
    assert str(caught.value) == (
        "neck.scale-bass, neck.scale-treble: got a string 20.00 mm long that runs 25.00 mm sideways, expected a string "
        "longer than its way across the neck"
    )

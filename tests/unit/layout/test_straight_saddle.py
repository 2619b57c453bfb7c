import math

import pytest

from jiggen.errors import InputError
from jiggen.layout.compensation import compensate
from jiggen.layout.intonation import Fretting, stretch_of_response
from jiggen.layout.straight_saddle import BreakPoint, best_straight_saddle, straight_saddle_errors_cents


def points(*pairs):
    return [BreakPoint(across_mm=across, setback_mm=setback) for across, setback in pairs]


def test_strings_on_a_line_are_met():
    saddle = best_straight_saddle(points((28.0, 2.0), (0.0, 3.0), (-28.0, 4.0)))
    assert saddle.setback_at_centre_mm == pytest.approx(3.0)
    assert saddle.slope == pytest.approx(-1.0 / 28.0)
    assert saddle.slant_rad == pytest.approx(math.atan(1.0 / 28.0))
    assert saddle.misses_mm == pytest.approx((0.0, 0.0, 0.0), abs=1e-12)
    assert saddle.setback_at(14.0) == pytest.approx(2.5)


def test_a_heavy_string_pulls_the_line_to_itself():
    light = points((-1.0, 0.0), (0.0, 1.0), (1.0, 0.0))
    heavy = [light[0], BreakPoint(across_mm=0.0, setback_mm=1.0, weight=1e9), light[2]]
    assert best_straight_saddle(light).misses_mm[1] == pytest.approx(-2.0 / 3.0)
    assert best_straight_saddle(heavy).misses_mm[1] == pytest.approx(0.0, abs=1e-8)


def test_one_string_gets_a_square_saddle():
    saddle = best_straight_saddle(points((5.0, 2.5)))
    assert (saddle.setback_at_centre_mm, saddle.slope) == (2.5, 0.0)


def test_a_string_met_keeps_the_errors_of_its_own_setback():
    fretting = Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0)
    strings = [
        compensate(stretch_of_response(response=25.0, diameter_mm=thick), fretting)
        for thick in (0.7, 0.8, 1.0)
    ]
    across = (25.0, 0.0, -25.0)
    places = points(*((y, each.setbacks.saddle_mm) for y, each in zip(across[:2], strings[:2], strict=True)))
    met = straight_saddle_errors_cents(best_straight_saddle(places), strings[:2])
    for row, each in zip(met, strings[:2], strict=True):
        assert row == pytest.approx(each.residual_cents, abs=1e-9)
    missed = best_straight_saddle(
        points(*((y, each.setbacks.saddle_mm) for y, each in zip(across, strings, strict=True)))
    )
    rows = straight_saddle_errors_cents(missed, strings)
    assert [len(row) for row in rows] == [12, 12, 12]
    assert max(abs(each) for each in missed.misses_mm) > 0.01
    assert rows[1] != pytest.approx(strings[1].residual_cents, abs=1e-3)
    with pytest.raises(ValueError, match="shorter"):
        straight_saddle_errors_cents(missed, strings[:2])


def test_impossible_saddles_are_refused():
    with pytest.raises(InputError, match="^straight saddle: got no string, expected at least one$"):
        best_straight_saddle([])
    with pytest.raises(
        InputError, match="^straight saddle: got 2 strings at one place, expected strings side by"
    ):
        best_straight_saddle(points((1.0, 2.0), (1.0, 3.0)))
    with pytest.raises(InputError, match="^weight of a string: got 0, expected a number above zero"):
        BreakPoint(across_mm=0.0, setback_mm=0.0, weight=0.0)
    with pytest.raises(InputError, match="^setback: got nan mm"):
        BreakPoint(across_mm=0.0, setback_mm=math.nan)
    with pytest.raises(InputError, match="^place of a string across the saddle: got inf mm"):
        BreakPoint(across_mm=math.inf, setback_mm=0.0)

"""Pull and saddle of real sets on real necks: what is reckoned, what is left out and said."""

from dataclasses import replace

import pytest
from support.specs import wren
from support.string_sets import library_set

from jiggen.design.model import ASSUMED, CompensationBy, Family, Given, Setup
from jiggen.errors import ConflictError, InputError
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up
from jiggen.layout.tension import unit_mass_of

STEEL = library_set("steel-acoustic-012")
SETUP = Setup(action=Given(1.8), action_bass=Given(2.4), nut_height=Given(0.6), relief=Given(0.15))


def neck(**more):
    return lay_out(wren(string_set="steel-acoustic-012", setup=SETUP, gauges=STEEL.gauges.value, **more))


def test_tension_is_mass_times_twice_length_times_frequency_squared():
    setup = set_up(neck(), STEEL)
    lowest = setup.pulls[-1]
    expected = unit_mass_of(STEEL.strings[-1]) * (2.0 * 0.628 * 82.4068892) ** 2
    # the string runs a little aside, so it is a little longer than the scale
    assert lowest.tension_n == pytest.approx(expected, rel=1e-3)
    assert lowest.pitch.name == "E2"
    assert setup.pull is not None
    assert setup.pull.total_n == pytest.approx(sum(each.tension_n for each in setup.pulls))


def test_saddle_of_a_steel_set_slants_back_to_the_bass():
    saddle = set_up(neck(), STEEL).saddle
    assert saddle is not None
    assert saddle.by is CompensationBy.MODEL
    assert saddle.straight.slant_rad > 0.0
    assert 1.0 < saddle.straight.setback_at_centre_mm < 5.0
    assert len(saddle.residual_cents) == 6
    assert all(len(row) == 18 for row in saddle.residual_cents)


def test_left_handed_saddle_slants_the_other_way():
    right, left = set_up(neck(), STEEL).saddle, set_up(neck(left_handed=True), STEEL).saddle
    assert right is not None
    assert left is not None
    assert left.straight.slope == pytest.approx(-right.straight.slope)


def test_higher_action_sets_the_saddle_further_back():
    high = replace(SETUP, action=Given(3.0), action_bass=Given(3.6))
    low, raised = (
        set_up(lay_out(wren(gauges=STEEL.gauges.value, setup=each)), STEEL).saddle for each in (SETUP, high)
    )
    assert low is not None
    assert raised is not None
    assert raised.straight.setback_at_centre_mm > low.straight.setback_at_centre_mm


def test_a_raised_pitch_standard_pulls_harder_by_its_square():
    plain, raised = (set_up(neck(pitch_standard=hertz), STEEL).pull for hertz in (440.0, 466.16))
    assert plain is not None
    assert raised is not None
    assert raised.total_n / plain.total_n == pytest.approx((466.16 / 440.0) ** 2)


def test_a_set_pulled_near_its_strength_is_told():
    setup = set_up(neck(tuning=("A4", "B3", "G3", "D3", "A2", "E2")), STEEL)
    assert any("String 1 at A4 is pulled to" in remark for remark in setup.remarks)
    assert setup.cautions


def test_without_a_set_nothing_is_reckoned_and_that_is_said():
    setup = set_up(lay_out(wren(setup=SETUP)), None)
    assert setup.saddle is None
    assert setup.pulls == ()
    assert setup.remarks == (
        "No string set is named (strings.set), so tension is not known.",
        "The saddle is not compensated: no string set is named; `--rule-of-thumb` does without.",
    )


def test_without_heights_the_saddle_is_left_alone_and_that_is_said():
    setup = set_up(lay_out(wren(gauges=STEEL.gauges.value)), STEEL)
    assert setup.saddle is None
    assert setup.remarks == (
        "The saddle is not compensated: setup.action and setup.nut-height must be known.",
    )


def test_rule_of_thumb_is_marked_as_one():
    by = Setup(compensation=Given(CompensationBy.RULE_OF_THUMB), family=Given(Family.STEEL_GUITAR))
    saddle = set_up(lay_out(wren(setup=by)), None).saddle
    assert saddle is not None
    assert saddle.rule is not None
    assert "rule of thumb" in saddle.caution
    assert saddle.residual_cents == ()


def test_rule_of_thumb_needs_a_family():
    with pytest.raises(InputError, match="setup.family: got nothing"):
        set_up(lay_out(wren(setup=Setup(compensation=Given(CompensationBy.RULE_OF_THUMB)))), None)


def test_a_set_of_other_strings_is_a_conflict_when_chosen_and_passed_over_when_assumed():
    with pytest.raises(ConflictError, match="set steel-acoustic-012 of 6 strings for 7 strings"):
        set_up(lay_out(wren(strings=7, string_set="steel-acoustic-012")), STEEL)
    with pytest.raises(
        ConflictError, match="0.250 mm for string 1, where set steel-acoustic-012 has 0.305 mm"
    ):
        set_up(lay_out(wren(gauges=(0.25, 0.4, 0.6, 0.8, 1.0, 1.3), string_set="steel-acoustic-012")), STEEL)
    setup = set_up(lay_out(wren(strings=7, string_set=Given("steel-acoustic-012", ASSUMED))), STEEL)
    assert setup.pulls == ()
    assert "is not that of this design" in setup.remarks[0]

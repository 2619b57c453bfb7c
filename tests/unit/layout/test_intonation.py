import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.string_sets import library_set

from jiggen.errors import InputError, LimitError
from jiggen.layout.intonation import (
    Fretting,
    Setbacks,
    Stretch,
    fret_errors,
    fretting_from_action,
    stretch_of,
    stretch_of_response,
    stretch_of_wire,
)

NYLON = stretch_of_response(response=25.0, diameter_mm=0.86)
FRETTING = Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0)


def test_wire_and_response_say_the_same_of_the_same_string():
    wire = stretch_of_wire(diameter_mm=0.254, modulus_gpa=200.0, tension_n=72.5)
    again = stretch_of_response(response=wire.response, diameter_mm=0.254)
    assert again.kappa == pytest.approx(wire.kappa, rel=1e-14)
    assert again.bending_radius_mm == wire.bending_radius_mm == 0.127
    assert wire.basis == "wire of 0.254 mm, 200 GPa, at 72.5 N"


def test_a_limp_string_on_the_frets_is_in_tune():
    # no height to be pressed down, next to no stiffness: fret n sounds n semitones above the open string
    limp = Stretch(kappa=1e-9, bending_radius_mm=1e-9, basis="a thread")
    flat = Fretting(scale_mm=650.0, nut_height_mm=0.0, saddle_rise_mm=0.0)
    assert [each.cents for each in fret_errors(limp, flat, Setbacks(0.0), range(1, 25))] == pytest.approx(
        [0.0] * 24, abs=1e-9
    )


def test_higher_action_is_sharper():
    low, high = (
        fret_errors(NYLON, replace(FRETTING, saddle_rise_mm=rise), Setbacks(0.0))[11].cents
        for rise in (3.0, 5.0)
    )
    assert high > low + 1.0


def test_relief_raises_the_action_it_is_part_of():
    straight = fretting_from_action(scale_mm=650.0, action_mm=3.2, nut_height_mm=1.0)
    relieved = fretting_from_action(scale_mm=650.0, action_mm=3.2, nut_height_mm=1.0, relief_mm=0.2)
    assert straight.action_mm == pytest.approx(3.2)
    assert relieved.action_mm == pytest.approx(3.2)
    assert relieved.saddle_rise_mm == pytest.approx(straight.saddle_rise_mm - 0.4)
    # what counts is how far fret 12 lies under the string, so the same action gives nearly the same error there
    errors = [fret_errors(NYLON, each, Setbacks(0.0), [12])[0].cents for each in (straight, relieved)]
    assert errors[0] == pytest.approx(errors[1], abs=0.03)


def test_a_finger_presses_at_most_halfway_to_the_fret_before():
    pressed = [replace(FRETTING, finger_mm=finger) for finger in (5.0, 10.0, 20.0)]
    at_fret_1 = [fret_errors(NYLON, each, Setbacks(0.0), [1])[0].cents for each in pressed]
    at_fret_24 = [fret_errors(NYLON, each, Setbacks(0.0), [24])[0].cents for each in pressed]
    assert at_fret_1[0] < at_fret_1[1] < at_fret_1[2]
    assert at_fret_24[0] == at_fret_24[1] == at_fret_24[2]  # half of fret 24's 9.7 mm is less than 5


@given(
    kappa=st.floats(10.0, 500.0),
    radius=st.floats(0.1, 0.6),
    scale=st.floats(300.0, 900.0),
    nut=st.floats(0.1, 1.5),
    rise=st.floats(0.0, 8.0),
    relief=st.floats(0.0, 0.4),
    finger=st.floats(0.0, 3.0),
    saddle=st.floats(-4.0, 6.0),
    at_nut=st.floats(-2.0, 1.0),
    fret=st.integers(1, 24),
)
def test_slopes_are_those_of_small_steps(
    kappa, radius, scale, nut, rise, relief, finger, saddle, at_nut, fret
):
    stretch = Stretch(kappa=kappa, bending_radius_mm=radius, basis="a string")
    fretting = Fretting(
        scale_mm=scale, nut_height_mm=nut, saddle_rise_mm=rise, relief_mm=relief, finger_mm=finger
    )

    def cents(saddle_mm, nut_mm):
        return fret_errors(stretch, fretting, Setbacks(saddle_mm, nut_mm), [fret])[0].cents

    step = 1e-3
    here = fret_errors(stretch, fretting, Setbacks(saddle, at_nut), [fret])[0]
    by_saddle = (cents(saddle + step, at_nut) - cents(saddle - step, at_nut)) / (2.0 * step)
    by_nut = (cents(saddle, at_nut + step) - cents(saddle, at_nut - step)) / (2.0 * step)
    assert here.per_saddle_mm == pytest.approx(by_saddle, rel=1e-4, abs=1e-5)
    assert here.per_nut_mm == pytest.approx(by_nut, rel=1e-4, abs=1e-5)


def test_a_saddle_this_side_of_the_fret_is_refused():
    with pytest.raises(LimitError) as caught:
        fret_errors(NYLON, FRETTING, Setbacks(-400.0, 0.5), [12])
    assert str(caught.value) == (
        "intonation at fret 12: got saddle setback -400.000 mm, nut setback 0.500 mm, expected nut, finger, fret and "
        "saddle in this order. Check the setbacks, or the numbers of string and action that they were computed from."
    )
    with pytest.raises(
        LimitError, match="intonation at fret 1: got saddle setback 0.000 mm, nut setback -40.000 mm"
    ):
        fret_errors(NYLON, FRETTING, Setbacks(0.0, -40.0))


@pytest.mark.parametrize("fret", [0, -1, 61])
def test_frets_that_are_none_are_refused(fret):
    with pytest.raises(InputError) as caught:
        fret_errors(NYLON, FRETTING, Setbacks(0.0), [fret])
    assert str(caught.value) == f"fret: got {fret}, expected a fret number from 1 to 60"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"scale_mm": 0.0}, "scale: got 0 mm, expected a number above zero"),
        ({"nut_height_mm": -0.1}, "nut height: got -0.1 mm, expected zero or a number above it"),
        ({"saddle_rise_mm": math.nan}, "saddle rise: got nan mm, expected a finite number"),
        ({"relief_mm": math.inf}, "relief: got inf mm, expected a finite number"),
        ({"finger_mm": -1.0}, "finger distance: got -1 mm, expected zero or a number above it"),
        (
            {"saddle_rise_mm": -3.0},
            "string height at fret 12: got -0.5 mm, expected zero or a number above it",
        ),
        (
            {"saddle_rise_mm": -1.5, "relief_mm": 0.5},
            "string height at the saddle: got -0.5 mm, expected zero or a number above it",
        ),
    ],
)
def test_impossible_heights_are_refused(wrong, says):
    with pytest.raises(InputError) as caught:
        replace(FRETTING, **wrong)
    assert str(caught.value) == says


def test_a_string_of_a_set_that_tells_too_little_is_refused():
    told = library_set("nylon-classical-normal").strings[3]
    with pytest.raises(InputError) as caught:
        stretch_of(replace(told, response=None), 70.0)
    assert str(caught.value) == (
        "string 4: got a string without response, core diameter or modulus, expected a response, or core diameter and "
        "modulus, for its stretch"
    )


def test_impossible_strings_and_setbacks_are_refused():
    with pytest.raises(InputError, match="^modulus: got 0 GPa"):
        stretch_of_wire(diameter_mm=0.25, modulus_gpa=0.0, tension_n=70.0)
    with pytest.raises(InputError, match="^diameter that stretches: got -1 mm"):
        stretch_of_wire(diameter_mm=-1.0, modulus_gpa=200.0, tension_n=70.0)
    with pytest.raises(InputError, match="^tension: got 0 N"):
        stretch_of_wire(diameter_mm=0.25, modulus_gpa=200.0, tension_n=0.0)
    with pytest.raises(InputError, match="^response: got nan"):
        stretch_of_response(response=math.nan, diameter_mm=0.25)
    with pytest.raises(InputError, match="^string constant kappa: got 0, expected"):
        Stretch(kappa=0.0, bending_radius_mm=0.1, basis="")
    with pytest.raises(InputError, match="^nut setback: got nan mm"):
        Setbacks(0.0, math.nan)


@pytest.mark.parametrize(("kappa", "radius"), [(10_001.0, 0.2), (100.0, 10.1)])
def test_what_is_no_string_is_refused(kappa, radius):
    with pytest.raises(InputError) as caught:
        Stretch(kappa=kappa, bending_radius_mm=radius, basis="a rod")
    assert str(caught.value) == (
        f"stretch of a string: got kappa {kappa:g}, radius {radius:g} mm from a rod, expected kappa up to 10000, radius "
        "up to 10 mm. Check diameter, modulus and tension: kappa is 30 to 500 in strings that are in tune."
    )

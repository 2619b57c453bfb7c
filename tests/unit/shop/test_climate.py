"""Growth by warmth and damp."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.sheets import MATERIAL
from support.shop import machine

from jiggen.design.making import Make
from jiggen.design.model import ASSUMED, Given
from jiggen.errors import JiggenError
from jiggen.shop.climate import Growth, cents_of_scaling, climate_of, growth_factor, growth_of
from jiggen.shop.machine import Process

ACRYLIC = replace(MATERIAL, expansion=Given(70e-6), moisture_along=Given(50e-6))
VENEER = replace(ACRYLIC, expansion=Given(5e-6), moisture_along=Given(20e-6), moisture_across=Given(450e-6))


def growth(material, *, process=Process.LASER, **climate) -> Growth:
    make = Make(**{name: Given(value, where="d.toml, line 9") for name, value in climate.items()})
    return growth_of(material, machine(process=process), climate_of(make))


def test_what_is_not_said_is_the_reference_and_says_so():
    climate = climate_of(Make(use_degc=Given(23.0)))
    assert (climate.cut_degc.value, climate.cut_degc.source) == (20.0, ASSUMED)
    assert climate.cut_degc.note == "reference temperature, ISO 1"
    assert (climate.use_degc.value, climate.use_degc.source) == (23.0, "chosen")
    assert (climate.use_humidity.value, climate.use_humidity.note) == (50.0, "standard atmosphere, ISO 291")


def test_cut_warm_is_cut_large():
    factor = growth(ACRYLIC, cut_degc=30.0).along
    assert 650.0 * (factor - 1.0) == pytest.approx(0.455, abs=0.001)  # 650 mm × 70e-6 × 10 °C


def test_cut_damp_is_cut_large_and_more_so_across_the_grain():
    found = growth(VENEER, cut_humidity=70.0)
    assert (found.along, found.across) == pytest.approx((1.0004, 1.00908), abs=1e-5)


def test_without_a_grain_both_ways_are_alike():
    found = growth(ACRYLIC, cut_humidity=70.0, cut_degc=25.0)
    assert found.along == found.across > 1.001


def test_nothing_changes_nothing():
    assert growth(MATERIAL) == Growth()
    assert growth(ACRYLIC, cut_degc=25.0, use_degc=25.0) == Growth()


def test_paper_shows_the_nominal_size():
    assert growth(VENEER, process=Process.PAPER, cut_humidity=90.0, cut_degc=30.0) == Growth()


def test_a_change_that_the_material_knows_nothing_of_is_refused():
    with pytest.raises(JiggenError) as caught:
        growth(MATERIAL, use_degc=30.0, use_humidity=40.0)
    assert str(caught.value).split("\n") == [
        (
            "d.toml, line 9: got a change of +10 °C between cutting and use, expected a material that says what that"
            " does to it; clear-3 does not. Add growth.expansion to the material's profile, or give the same value"
            " for both."
        ),
        (
            "d.toml, line 9: got a change of -10 % between cutting and use, expected a material that says what that"
            " does to it; clear-3 does not. Add growth.moisture-along to the material's profile, or give the same"
            " value for both."
        ),
    ]


@settings(max_examples=200)
@given(
    st.floats(0.0, 2e-4),
    st.floats(-40.0, 40.0),
    st.floats(0.0, 5e-4),
    st.floats(-60.0, 60.0),
    st.floats(1.0, 1000.0),
)
def test_a_length_cut_so_has_its_size_in_use(expansion, warming, moisture, damping, length):
    cut = length * growth_factor(expansion, warming, moisture, damping)
    in_use = cut * (1.0 + expansion * warming) * (1.0 + moisture * damping)
    assert in_use == pytest.approx(length, rel=1e-12)


def test_an_error_in_scale_costs_pitch_by_fret():
    """A template 10 °C too cold: over 1 cent at the 12th fret, over 3 at the 24th; and none where the saddle shares it."""
    short = 1.0 / growth(ACRYLIC, cut_degc=30.0).along
    assert cents_of_scaling(short, 0.5) == pytest.approx(-1.211, abs=0.001)
    assert cents_of_scaling(short, 0.75) == pytest.approx(-3.631, abs=0.001)
    assert cents_of_scaling(1.0, 0.5) == 0.0

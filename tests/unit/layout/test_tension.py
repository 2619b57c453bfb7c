import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import InputError
from jiggen.layout.tension import (
    add_up,
    open_frequency_hz,
    plain_unit_mass,
    strain,
    tension_n,
    unit_mass_from_lb_in,
    wound_unit_mass,
)

POSITIVE = st.floats(1e-3, 1e3)


@given(POSITIVE, POSITIVE, POSITIVE)
def test_tension_and_frequency_are_each_other_the_other_way(mass, length, frequency):
    tension = tension_n(unit_mass_kg_m=mass, speaking_length_mm=length, frequency_hz=frequency)
    again = open_frequency_hz(unit_mass_kg_m=mass, speaking_length_mm=length, tension_n=tension)
    assert again == pytest.approx(frequency, rel=1e-12)


def test_twice_the_length_or_pitch_pulls_four_times():
    one = tension_n(unit_mass_kg_m=4e-4, speaking_length_mm=324.0, frequency_hz=330.0)
    assert tension_n(unit_mass_kg_m=4e-4, speaking_length_mm=648.0, frequency_hz=330.0) == pytest.approx(
        4.0 * one
    )
    assert tension_n(unit_mass_kg_m=4e-4, speaking_length_mm=324.0, frequency_hz=660.0) == pytest.approx(
        4.0 * one
    )


def test_a_wound_string_weighs_less_than_one_solid_to_its_outside():
    parts = {"diameter_mm": 1.346, "core_density_kg_m3": 8000.0, "wrap_density_kg_m3": 8000.0}
    wound = wound_unit_mass(core_diameter_mm=0.457, **parts)
    solid = plain_unit_mass(diameter_mm=1.346, density_kg_m3=8000.0)
    core = plain_unit_mass(diameter_mm=0.457, density_kg_m3=8000.0)
    assert (wound - core) / (solid - core) == pytest.approx(math.pi / 4.0)


def test_a_wrap_as_a_coil_by_its_length():
    # the wrap is a wire 0.4 mm thick whose centre runs round at diameter 0.9, once in every 0.4 mm, unwound and weighed
    coil_length_per_mm = math.pi * 0.9 / 0.4
    coil = plain_unit_mass(diameter_mm=0.4, density_kg_m3=8800.0) * coil_length_per_mm
    core = plain_unit_mass(diameter_mm=0.5, density_kg_m3=7850.0)
    wound = wound_unit_mass(
        diameter_mm=1.3, core_diameter_mm=0.5, core_density_kg_m3=7850.0, wrap_density_kg_m3=8800.0
    )
    assert wound == pytest.approx(core + coil, rel=1e-12)


def test_strain_of_a_wire_of_one_square_millimetre():
    pulled = strain(
        tension_n=1000.0,
        load_diameter_mm=2.0 / math.sqrt(math.pi),
        strength_mpa=2000.0,
        strength_source="measured",
    )
    assert pulled.stress_mpa == pytest.approx(1000.0)
    assert pulled.share == pytest.approx(0.5)
    assert pulled.strength_source == "measured"


def test_courses_add_up():
    pull = add_up([10.0, 11.0, 20.0, 21.0, 30.0], [1, 1, 2, 2, 3])
    assert pull.strings_n == (10.0, 11.0, 20.0, 21.0, 30.0)
    assert pull.courses_n == (21.0, 41.0, 30.0)
    assert pull.total_n == 92.0


def test_as_many_courses_as_strings():
    with pytest.raises(ValueError, match="shorter"):
        add_up([10.0, 11.0], [1])


@pytest.mark.parametrize("wrong", [0.0, -1.0, math.nan, math.inf])
@pytest.mark.parametrize(
    ("call", "names"),
    [
        (plain_unit_mass, {"diameter_mm": "string diameter", "density_kg_m3": "density of the wire"}),
        (
            wound_unit_mass,
            {
                "core_diameter_mm": "string diameter",
                "core_density_kg_m3": "density of the wire",
                "wrap_density_kg_m3": "density of the wrap",
                "diameter_mm": "string diameter less core diameter",
            },
        ),
        (
            tension_n,
            {
                "unit_mass_kg_m": "unit mass",
                "speaking_length_mm": "speaking length",
                "frequency_hz": "frequency",
            },
        ),
        (
            open_frequency_hz,
            {"unit_mass_kg_m": "unit mass", "speaking_length_mm": "speaking length", "tension_n": "tension"},
        ),
    ],
)
def test_impossible_numbers_are_refused_by_name(call, names, wrong):
    for argument, name in names.items():
        good = dict.fromkeys(names, 1.0) | ({"diameter_mm": 2.0} if call is wound_unit_mass else {})
        with pytest.raises(InputError, match=f"^{name}: got .* expected a number above zero"):
            call(**{**good, argument: wrong})


def test_impossible_strains_and_weights_are_refused():
    with pytest.raises(InputError, match="^tensile strength: got 0 MPa, expected a number above zero$"):
        strain(tension_n=1.0, load_diameter_mm=1.0, strength_mpa=0.0, strength_source="")
    with pytest.raises(InputError, match="^unit weight: got -1 lb/in"):
        unit_mass_from_lb_in(-1.0)


def test_a_core_as_thick_as_its_string_is_refused():
    with pytest.raises(InputError, match="string diameter less core diameter: got 0 mm"):
        wound_unit_mass(diameter_mm=0.5, core_diameter_mm=0.5, core_density_kg_m3=1.0, wrap_density_kg_m3=1.0)

"""Worked examples and tables of textbooks and of makers of wire, each named beside its numbers."""

import math

import pytest
from support.string_sets import find_in_library

from jiggen.design.string_set import wire_of
from jiggen.layout.intonation import stretch_of_wire
from jiggen.layout.pitch import read_pitch
from jiggen.layout.tension import (
    open_frequency_hz,
    plain_unit_mass,
    strain,
    tension_n,
    unit_mass_from_lb_in,
)

GUITAR_SCALE = 25.5 * 25.4  # mm
POUND_FORCE = 4.4482216152605  # N, exact: 0.45359237 kg · 9.80665 m/s²
HALF_A_NEWTON_IN_THE_LAST_PLACE = 5e-4


def steel(inches):
    # density of carbon steel: Callister, Materials Science and Engineering, appendix B
    return plain_unit_mass(diameter_mm=inches * 25.4, density_kg_m3=7850.0)


@pytest.mark.parametrize(
    ("inches", "note", "newtons"),
    [
        (0.009, "E4", 58.744),
        (0.010, "E4", 72.524),
        (0.011, "E4", 87.754),
        (0.012, "E4", 104.435),
        (0.013, "E4", 122.566),
        (0.013, "B3", 68.788),
        (0.017, "G3", 74.103),
    ],
)
def test_steel_strings_at_guitar_scale(inches, note, newtons):
    # by hand, in thirty digits: density · pi d²/4 · (2 L f)²
    pulled = tension_n(
        unit_mass_kg_m=steel(inches),
        speaking_length_mm=GUITAR_SCALE,
        frequency_hz=read_pitch(note).frequency_hz,
    )
    assert pulled == pytest.approx(newtons, abs=HALF_A_NEWTON_IN_THE_LAST_PLACE)


def test_the_american_formula_of_string_charts():
    # common practice: T[lbf] = UW[lb/in] · (2 L[in] f)²/386.4; its divisor stands for g = 386.0886 in/s², 0.08 % off
    unit_weight = 0.00002227
    chart = unit_weight * (2.0 * 25.5 * 329.63) ** 2 / 386.4
    ours = tension_n(
        unit_mass_kg_m=unit_mass_from_lb_in(unit_weight), speaking_length_mm=GUITAR_SCALE, frequency_hz=329.63
    )
    assert ours / POUND_FORCE == pytest.approx(chart, rel=0.0009)
    assert ours / POUND_FORCE == pytest.approx(chart * 386.4 / 386.0886, rel=1e-6)


def test_three_strings_at_one_tension():
    # Young & Freedman, University Physics with Modern Physics, 14th edition, problem 15.74: strings of 25.5 in under
    # 78.0 N sound at 82.4, 196.0 and 329.6 Hz; their masses per length, and the lowest tuned like the second, by hand
    for frequency, grams_per_cm in ((82.4, 0.068459), (196.0, 0.012100), (329.6, 0.0042787)):
        mass = grams_per_cm * 0.1
        assert tension_n(
            unit_mass_kg_m=mass, speaking_length_mm=GUITAR_SCALE, frequency_hz=frequency
        ) == pytest.approx(78.0, rel=1e-4)
    assert tension_n(
        unit_mass_kg_m=0.0068459, speaking_length_mm=GUITAR_SCALE, frequency_hz=196.0
    ) == pytest.approx(441.3, abs=0.05)


def test_wave_speed_of_a_thin_and_a_thick_string():
    # OpenStax, University Physics 1, 16.3: 3.09e-4 kg/m at 56.40 N, and the tension of 5.78e-3 kg/m at the same speed;
    # a string half a metre long sounds at its speed in m/s
    speed = open_frequency_hz(unit_mass_kg_m=3.09e-4, speaking_length_mm=500.0, tension_n=56.40)
    assert speed == pytest.approx(427.23, abs=0.005)
    thick = tension_n(unit_mass_kg_m=5.78e-3, speaking_length_mm=500.0, frequency_hz=speed)
    assert thick == pytest.approx(1055.0, abs=0.05)


def test_a_wire_in_a_university_workshop():
    # a university workshop sheet: steel wire 1.04 mm, 1.2 m, 400 N; a physics prelab sheet: 0.010 in of 7.80 g/cm³
    wire = plain_unit_mass(diameter_mm=1.04, density_kg_m3=7850.0)
    assert wire == pytest.approx(6.6685e-3, rel=1e-4)
    assert open_frequency_hz(
        unit_mass_kg_m=wire, speaking_length_mm=1200.0, tension_n=400.0
    ) == pytest.approx(102.05, abs=0.005)
    assert plain_unit_mass(diameter_mm=0.254, density_kg_m3=7800.0) == pytest.approx(0.39523e-3, rel=2e-5)


def test_a_weighed_wire_at_middle_c():
    # a textbook problem: 0.7000 m of wire weigh 4.100 g and sound at 261.6 Hz
    assert tension_n(
        unit_mass_kg_m=4.100e-3 / 0.7000, speaking_length_mm=700.0, frequency_hz=261.6
    ) == pytest.approx(785.63, abs=0.005)


def test_how_stiff_a_steel_string_is():
    # Anderson & Beausoleil 2024, their formula with 0.010 in, 200 GPa: kappa 139.7, R 69.4, B0 0.001159
    pulled = tension_n(
        unit_mass_kg_m=steel(0.010),
        speaking_length_mm=GUITAR_SCALE,
        frequency_hz=read_pitch("E4").frequency_hz,
    )
    stretch = stretch_of_wire(diameter_mm=0.254, modulus_gpa=200.0, tension_n=pulled)
    assert stretch.kappa == pytest.approx(139.7, abs=0.05)
    assert stretch.response == pytest.approx(69.4, abs=0.05)
    bending = math.sqrt(stretch.kappa) * stretch.bending_radius_mm / (2.0 * GUITAR_SCALE)
    assert bending == pytest.approx(0.001159, abs=5e-7)


def test_one_cent_of_pitch_in_tension():
    # ln 2/600: one cent is 0.11559 % of tension
    low, high = (
        tension_n(unit_mass_kg_m=4e-4, speaking_length_mm=650.0, frequency_hz=330.0 * 2.0 ** (cents / 1200.0))
        for cents in (0.0, 1.0)
    )
    assert high / low - 1.0 == pytest.approx(0.0011559, abs=1e-7)


def test_strength_of_music_wire():
    # Shigley, Mechanical Engineering Design, example 10-1, from memory: wire of 0.037 in, 201/d^0.145 = 324 kpsi
    kpsi = 1000.0 * POUND_FORCE / 25.4**2  # MPa
    steel_wire = wire_of(find_in_library("wires", "steel"))
    assert steel_wire.strength.at_diameter(0.037 * 25.4) == pytest.approx(324.0 * kpsi, rel=0.003)
    # so that wire breaks under the pull that makes up its strength over its area
    area = math.pi * (0.037 * 25.4) ** 2 / 4.0
    pulled = strain(
        tension_n=324.0 * kpsi * area,
        load_diameter_mm=0.037 * 25.4,
        strength_mpa=steel_wire.strength.at_diameter(0.037 * 25.4),
        strength_source=steel_wire.strength.source,
    )
    assert pulled.share == pytest.approx(1.0, rel=0.003)

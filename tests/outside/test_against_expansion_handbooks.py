"""Growth against worked examples of thermal expansion, with coefficients from handbooks."""

from dataclasses import replace

import pytest
from support.sheets import MATERIAL
from support.shop import machine

from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.profiles import find
from jiggen.shop.climate import cents_of_scaling, climate_of, growth_of
from jiggen.shop.read import material_from_profile

TEMPLATE = 650.0  # mm
#: Linear expansion of PMMA, per °C, from four makers' data sheets and the general range of a fifth; and what 10 °C
#: do to 650 mm by ΔL = α L ΔT, reckoned by hand to the micrometre.
PMMA = [(50e-6, 0.325), (70e-6, 0.455), (77e-6, 0.5005), (80e-6, 0.520), (90e-6, 0.585)]


@pytest.mark.parametrize(("expansion", "change"), PMMA)
def test_a_template_cut_10_degrees_warmer(expansion, change):
    sheet = replace(MATERIAL, expansion=Given(expansion))
    growth = growth_of(sheet, machine(), climate_of(Make(cut_degc=Given(30.0))))
    assert TEMPLATE * (growth.along - 1.0) == pytest.approx(change, rel=1e-3)  # ΔL/L against L: second order
    # the exact statement: cooled by 10 °C it has its nominal length
    assert TEMPLATE * growth.along * (1.0 - expansion * 10.0) == pytest.approx(TEMPLATE, abs=1e-9)


def test_a_steel_rule_of_the_textbooks():
    """A 30 m steel tape from 20 to 35 °C grows by 5.4 mm with 12e-6 per °C: physics textbooks, from memory."""
    sheet = replace(MATERIAL, expansion=Given(12e-6))
    growth = growth_of(sheet, machine(), climate_of(Make(cut_degc=Given(20.0), use_degc=Given(35.0))))
    assert 30_000.0 * (1.0 / growth.along - 1.0) == pytest.approx(5.4, abs=1e-6)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [
        ("cast-acrylic-3", 70e-6, 80e-6),  # makers' data sheets of PMMA
        ("extruded-acrylic-3", 70e-6, 80e-6),
        ("birch-ply-3", 4.5e-6, 6e-6),  # panel makers' notes
        ("acetal-3", 110e-6, 120e-6),  # Engineering Plastics Handbook, 120e-6
        ("polycarbonate-3", 65e-6, 70e-6),  # sheet makers' data
        ("aluminium-composite-3", 23e-6, 24e-6),  # aluminium, any handbook
    ],
)
def test_the_library_keeps_to_the_handbooks(name, low, high):
    expansion = material_from_profile(find("materials", name)).expansion
    assert expansion is not None
    assert low <= expansion.value <= high


@pytest.mark.parametrize(
    ("name", "damping", "share"),
    [
        ("extruded-acrylic-3", 20.0, 0.001),  # sheet makers' bulletins: 0.2 % at 60 %, 0.3 % at 80 % RH
        ("birch-ply-6", 10.0, 0.0002),  # panel trade association: 0.02 % for each 10 % RH
        ("mdf-3", 60.0, 0.003),  # data sheets after EN 622-1: 0.3 % from 30 to 90 % RH
    ],
)
def test_damp_makes_sheets_grow_as_their_makers_say(name, damping, share):
    material = material_from_profile(find("materials", name))
    make = Make(cut_humidity=Given(30.0), use_humidity=Given(30.0 + damping))
    growth = growth_of(material, machine(), climate_of(make))
    assert 1.0 / growth.along - 1.0 == pytest.approx(share, rel=1e-9)
    assert growth.along == growth.across


@pytest.mark.parametrize(("fret", "fraction"), [(12, 0.5), (24, 0.75)])
def test_cents_by_the_pitch_table_of_placement_errors(fret, fraction):
    """Cents for 0.1 mm at a fret of a 650 mm scale: 0.5327 at the 12th, 1.0654 at the 24th (173.123 / l)."""
    table = {12: 0.5327, 24: 1.0654}
    factor = 1.0 + 0.1 / (650.0 * fraction)
    assert cents_of_scaling(factor, fraction) == pytest.approx(table[fret], rel=5e-4)

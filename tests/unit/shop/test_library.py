"""The materials and machines that come with jiggen: honest about what was measured, and safe."""

import re

import pytest

from jiggen.design.making import Make
from jiggen.errors import LimitError
from jiggen.profiles import find, names
from jiggen.shop.machine import Process
from jiggen.shop.read import machine_from_profile, material_from_profile
from jiggen.shop.workshop import fit_out

MATERIALS = {name: material_from_profile(find("materials", name)) for name in names("materials")}
MACHINES = {name: machine_from_profile(find("machines", name)) for name in names("machines")}
LASERS = [each for each in MACHINES.values() if each.process is Process.LASER]
each_material = pytest.mark.parametrize("material", MATERIALS.values(), ids=MATERIALS.keys())
each_machine = pytest.mark.parametrize("machine", MACHINES.values(), ids=MACHINES.keys())


def test_the_sheets_of_the_trade_are_there():
    assert set(MATERIALS) >= {
        *(f"cast-acrylic-{thickness}" for thickness in (2, 3, 5, 6)),
        *("extruded-acrylic-3", "petg-2", "birch-ply-3", "birch-ply-4", "birch-ply-6", "mdf-3", "mdf-6"),
        *(
            "hardboard-3",
            "veneer-0.6",
            "card-0.5",
            "acetal-3",
            "aluminium-composite-3",
            "pvc-3",
            "polycarbonate-3",
        ),
    }
    assert set(MACHINES) == {"small-laser", "medium-laser", "large-laser", "cnc-router", "paper"}


@each_material
def test_every_number_has_a_source(material):
    assert material.thickness_source == "nominal"
    assert material.tolerance is not None
    assert material.expansion is not None
    for given in (material.expansion, material.moisture_along, material.moisture_across):
        assert given is None or len(given.source) > 8
    for kerf in material.kerfs:
        assert kerf.source == "assumed until measured"
        assert 0.05 <= kerf.marked.value <= 0.6  # service guides give 0.08 to 0.45 mm


@each_material
def test_the_thickness_stands_in_name_and_title(material):
    thickness = re.search(r"-([0-9.]+)$", material.name)
    assert thickness is not None
    assert material.thickness_mm == float(thickness[1])
    assert material.title.startswith(f"{thickness[1]} mm ")


@each_material
def test_what_goes_on_a_laser_has_a_kerf_and_warns_of_fire_and_fumes(material):
    if any(refusal.process is Process.LASER for refusal in material.refusals):
        assert not material.kerfs
        return
    assert len(material.kerfs) == 1
    words = " ".join((*material.laser_cautions, *LASERS[0].cautions)).lower()
    for word in ("extraction", "extinguisher", "eyes", "alone", "pvc", "local codes", "trained"):
        assert word in words


@each_machine
def test_what_works_sheet_warns_and_defers(machine):
    words = " ".join(machine.cautions)
    if machine.process is Process.PAPER:
        assert words == ""
        return
    assert "manual, local codes and the trained person" in words
    if machine.process is Process.LASER:
        assert "IEC 60825-1, ANSI Z136.1" in words
        assert machine.kerf is None
    else:
        for word in ("eye", "mask", "Clamp"):
            assert word in words


@each_machine
def test_operations_are_ours_and_in_order(machine):
    assert [each.name for each in machine.operations] == ["engrave", "score", "cut-opening", "cut-edge"]
    assert len({each.colour for each in machine.operations}) == 4
    assert machine.scale_x.value == machine.scale_y.value == 1.0
    assert machine.scale_x.source == "assumed until measured"


def test_beds_grow():
    sizes = [
        (MACHINES[f"{size}-laser"].bed_width_mm, MACHINES[f"{size}-laser"].bed_height_mm)
        for size in ("small", "medium", "large")
    ]
    assert sizes == [(400.0, 300.0), (600.0, 400.0), (1000.0, 600.0)]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("pvc-3", "hydrogen chloride"),
        ("polycarbonate-3", "discolours"),
        ("aluminium-composite-3", "use a router"),
    ],
)
@pytest.mark.parametrize("machine", LASERS, ids=lambda machine: machine.name)
def test_what_must_not_be_lasered_is_refused_with_the_reason(name, reason, machine):
    with pytest.raises(LimitError, match=reason):
        fit_out(MATERIALS[name], machine, Make())
    assert fit_out(MATERIALS[name], MACHINES["cnc-router"], Make()).kerf_mm == 3.0


def test_clear_sheets_are_marked_as_such():
    clear = {name for name, material in MATERIALS.items() if material.transparent}
    assert clear == {name for name in MATERIALS if "acrylic" in name or name in {"petg-2", "polycarbonate-3"}}


def test_only_veneer_and_card_have_a_grain():
    assert {name for name, material in MATERIALS.items() if material.has_grain} == {"veneer-0.6", "card-0.5"}

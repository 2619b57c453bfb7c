"""Thickness tolerances of the library's sheets against the formulas of the standards they name.

ISO 7823-1 cast acrylic: ±(0.4 + 0.1 t). ISO 7823-2 extruded acrylic: 10 % below 3 mm, 5 % from 3 mm on. EN 315 sanded
plywood: +(0.2 + 0.03 t), -(0.4 + 0.03 t). EN 622-1 thin MDF: ±0.2 mm. The formulas are quoted after sheet makers' data
and, for EN 315, from memory, checked against a panel maker's table.
"""

from collections.abc import Callable

import pytest

from jiggen.profiles import find, names
from jiggen.shop.read import material_from_profile

Formula = Callable[[float], tuple[float, float]]  #: from thickness to what it may be over and under, mm


def cast(t: float) -> tuple[float, float]:
    return 0.4 + 0.1 * t, 0.4 + 0.1 * t


def extruded(t: float) -> tuple[float, float]:
    share = 0.10 if t < 3.0 else 0.05
    return share * t, share * t


def plywood(t: float) -> tuple[float, float]:
    return 0.2 + 0.03 * t, 0.4 + 0.03 * t


def fibreboard(_: float) -> tuple[float, float]:
    return 0.2, 0.2


FORMULAS: dict[str, tuple[str, Formula]] = {
    "cast-acrylic": ("ISO 7823-1", cast),
    "extruded-acrylic": ("ISO 7823-2", extruded),
    "birch-ply": ("EN 315", plywood),
    "mdf": ("EN 622-1", fibreboard),
}
SHEETS = [name for name in names("materials") if name.rpartition("-")[0] in FORMULAS]


def test_the_formulas_agree_with_the_tables_that_makers_print():
    """Cast acrylic 2 to 10 mm; sanded plywood 4, 18 and 30 mm."""
    printed = {2: 0.6, 3: 0.7, 4: 0.8, 5: 0.9, 6: 1.0, 8: 1.2, 10: 1.4}
    assert {t: round(cast(t)[0], 2) for t in printed} == printed
    panels = {4: (0.3, 0.5), 18: (0.7, 0.9), 30: (1.1, 1.3)}
    assert {t: tuple(round(each, 1) for each in plywood(t)) for t in panels} == panels


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_keeps_to_its_standard(name):
    material = material_from_profile(find("materials", name))
    standard, formula = FORMULAS[name.rpartition("-")[0]]
    assert material.tolerance is not None
    assert material.tolerance.standard == standard
    over, under = formula(material.thickness_mm)
    assert (material.tolerance.over_mm, material.tolerance.under_mm) == pytest.approx((over, under), abs=1e-9)


def test_every_such_sheet_was_looked_at():
    assert len(SHEETS) == 10

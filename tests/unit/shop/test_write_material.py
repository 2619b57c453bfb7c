"""A material written as a profile reads back the same."""

from dataclasses import replace
from pathlib import Path

import pytest

from jiggen.design.model import Given
from jiggen.profiles import Profile, find, names
from jiggen.shop.kerf import Kerf
from jiggen.shop.material import Material
from jiggen.shop.price import Price
from jiggen.shop.read import material_from_profile
from jiggen.shop.write import material_text
from jiggen.tables.document import parse_toml


def read_back(material: Material) -> Material:
    text = material_text(material, heading="As measured.\nBy hand.")
    assert text.startswith("# As measured.\n# By hand.\n\nschema")
    assert text.endswith("\n")
    tables = parse_toml(text, file="p.toml")
    return material_from_profile(
        Profile(kind="materials", name=material.name, path=Path("p.toml"), text=text, tables=tables)
    )


def plain(material: Material) -> Material:
    """Without the words in which numbers were typed, which a written profile chooses itself."""

    def bare(given: Given[float] | None) -> Given[float] | None:
        return None if given is None else replace(given, text="", where="")

    return replace(
        material,
        expansion=bare(material.expansion),
        moisture_along=bare(material.moisture_along),
        moisture_across=bare(material.moisture_across),
        kerfs=tuple(
            replace(each, marked=bare(each.marked), plain=bare(each.plain)) for each in material.kerfs
        ),
    )


@pytest.mark.parametrize("name", names("materials"))
def test_every_material_of_the_library_reads_back_the_same(name):
    material = material_from_profile(find("materials", name))
    assert plain(read_back(material)) == plain(material)


def test_a_measured_kerf_with_a_taper_and_a_note_reads_back_the_same():
    material = Material(
        name="slate",
        title='4 mm "slate", blue',
        thickness_mm=4.05,
        thickness_source="measured",
        transparent=False,
        price_per_m2=Price(12.5, "EUR"),
        kerfs=(
            Kerf(marked=Given(0.2), plain=Given(0.2)),
            Kerf(
                marked=Given(0.2134, "coupon of 2026-11-25", note="standard uncertainty 0.0013 mm"),
                plain=Given(0.17, "coupon of 2026-11-25"),
                machine="shed-laser",
                setting="60 % power, 12 mm/s",
            ),
        ),
    )
    assert plain(read_back(material)) == material

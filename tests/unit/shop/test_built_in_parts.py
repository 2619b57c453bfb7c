"""Every built-in part passes every limit, for a parlour guitar and for a ukulele, in sheets thick and thin."""

import pytest

from jiggen.design.model import Design, Given
from jiggen.prepare import Order, draw_up
from jiggen.profiles import find
from jiggen.reckon import load, work_out
from jiggen.shop.limits import Severity

PLOVER = Design(name="Plover", profile="ukulele-concert", scale=Given(375.0))


def neck(name: str):
    return work_out(load(find("instruments", "wren").path) if name == "Wren" else PLOVER)


@pytest.mark.parametrize("material", ["cast-acrylic-3", "birch-ply-4"])
@pytest.mark.parametrize("name", ["Wren", "Plover"])
def test_no_part_breaks_a_limit(name, material):
    made = draw_up(neck(name), Order(material=material, machine="large-laser"))
    assert all(finding.severity is Severity.WARNING for finding in made.findings)
    assert {placement.cut_part.part.name for sheet in made.sheets for placement in sheet.placements} >= {
        "plan-template",
        "fret-slot-guide",
        "saw-guide",
        "nut-rule",
    }


def test_the_wren_in_acrylic_is_clean():
    made = draw_up(neck("Wren"), Order(parts=("plan-template", "fret-slot-guide", "saw-guide", "nut-rule")))
    assert made.findings == ()

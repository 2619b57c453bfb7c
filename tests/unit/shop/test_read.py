"""Machines and materials read from their profiles, and what is refused."""

from pathlib import Path

import pytest

from jiggen.design.model import Given
from jiggen.errors import JiggenError
from jiggen.parts.model import Role
from jiggen.profiles import Profile, find, names
from jiggen.shop.kerf import Kerf, even
from jiggen.shop.machine import Machine, Operation, Process
from jiggen.shop.machine_rows import CUT_ROLES
from jiggen.shop.material import Material, Refusal, Tolerance
from jiggen.shop.price import Price
from jiggen.shop.read import machine_from_profile, material_from_profile
from jiggen.tables.document import parse_toml


def profile(kind: str, text: str) -> Profile:
    path = Path("p.toml")
    return Profile(kind=kind, name="mine", path=path, text=text, tables=parse_toml(text, file="p.toml"))


def faults(kind: str, text: str) -> list[str]:
    read = machine_from_profile if kind == "machines" else material_from_profile
    with pytest.raises(JiggenError) as caught:
        read(profile(kind, text))
    return str(caught.value).split("\n")


MATERIAL = """\
schema = "jiggen-material/1"
title = "2 mm walnut"
thickness = { value = "2 mm", source = "measured" }
transparent = false
cautions = ["Wood splits."]
laser-cautions = ["Wood burns."]

[tolerance]
over = "0.2 mm"
under = "0.1 mm"
standard = "none"

[growth]
expansion = { value = 4e-6, source = "handbook" }
moisture-along = 20e-6
moisture-across = 400e-6

[refused]
router = "It tears."

[[kerf]]
width = { value = "0.18 mm", source = "assumed until measured" }

[[kerf]]
machine = "mine"
setting = "60 %"
marked-face = { value = "0.21 mm", source = "coupon of 2026-11-25" }
plain-face = "0.17 mm"
"""

MACHINE = """\
schema = "jiggen-machine/1"
units = "mm"
title = "Small laser"
process = "laser"
bed-width = 400
bed-height = "12in"
margin = 5
gap = 4
kerf = { value = 0.18, source = "coupon of 2026-11-25" }
scale-x = { value = 1.0005, source = "coupon of 2026-11-25" }
smallest-web = 0.3
smallest-hole = 0.4
smallest-lettering = 2.5
smallest-line-gap = 0.3
single-pass = 0.05
line-width = 0.1
travel-speed = 300
cautions = ["Hot."]

[[operation]]
name = "engrave"
role = "lettering"
colour = "#3C5AA8"
colour-index = 173
note = "Light."
speed = 90

[[operation]]
name = "score"
role = "line"
colour = "#b07a1e"
colour-index = 42
note = "Fine."

[[operation]]
name = "cut-opening"
role = "opening"
colour = "#2f6f5e"
colour-index = 115
note = "Through."

[[operation]]
name = "cut-edge"
role = "edge"
colour = "#8c2f39"
colour-index = 15
note = "Through, last."
"""


def test_a_material() -> None:
    assert material_from_profile(profile("materials", MATERIAL)) == Material(
        name="mine",
        title="2 mm walnut",
        thickness_mm=2.0,
        thickness_source="measured",
        transparent=False,
        tolerance=Tolerance(over_mm=0.2, under_mm=0.1, standard="none"),
        expansion=Given(4e-6, "handbook", text="4e-6"),
        moisture_along=Given(20e-6, text="20e-6"),
        moisture_across=Given(400e-6, text="400e-6"),
        kerfs=(
            even(Given(0.18, "assumed until measured", text="0.18 mm")),
            Kerf(
                marked=Given(0.21, "coupon of 2026-11-25", text="0.21 mm"),
                plain=Given(0.17, text="0.17 mm"),
                machine="mine",
                setting="60 %",
            ),
        ),
        refusals=(Refusal(process=Process.ROUTER, reason="It tears."),),
        cautions=("Wood splits.",),
        laser_cautions=("Wood burns.",),
    )


def test_a_material_needs_little() -> None:
    text = 'schema = "jiggen-material/1"\ntitle = "Slate"\nthickness = "4 mm"\ntransparent = false\ncautions = []\n'
    assert material_from_profile(profile("materials", text)) == Material(
        name="mine", title="Slate", thickness_mm=4.0, thickness_source="chosen", transparent=False
    )


def test_a_machine() -> None:
    machine = machine_from_profile(profile("machines", MACHINE))
    assert machine == Machine(
        name="mine",
        title="Small laser",
        process=Process.LASER,
        bed_width_mm=400.0,
        bed_height_mm=304.8,
        margin_mm=5.0,
        gap_mm=4.0,
        kerf=even(Given(0.18, "coupon of 2026-11-25", text="0.18 mm"), machine="mine"),
        scale_x=Given(1.0005, "coupon of 2026-11-25", text="1.0005"),
        smallest_web_mm=0.3,
        smallest_hole_mm=0.4,
        smallest_lettering_mm=2.5,
        smallest_line_gap_mm=0.3,
        single_pass_mm=0.05,
        line_width_mm=0.1,
        operations=(
            Operation(
                name="engrave",
                role=Role.LETTERING,
                colour="#3C5AA8",
                aci=173,
                note="Light.",
                speed_mm_per_s=90.0,
            ),
            Operation(name="score", role=Role.LINE, colour="#b07a1e", aci=42, note="Fine."),
            Operation(name="cut-opening", role=Role.OPENING, colour="#2f6f5e", aci=115, note="Through."),
            Operation(name="cut-edge", role=Role.EDGE, colour="#8c2f39", aci=15, note="Through, last."),
        ),
        travel_mm_per_s=300.0,
        cautions=("Hot.",),
    )
    assert [machine.operation_for(role).role for role in CUT_ROLES] == list(CUT_ROLES)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [("42.50 EUR", Price(42.5, "EUR")), ("30€", Price(30.0, "€")), (" 7 CHF ", Price(7.0, "CHF"))],
)
def test_a_sheet_and_an_hour_may_have_a_price(text: str, wanted: Price) -> None:
    sheet = material_from_profile(profile("materials", f'price-per-m2 = "{text}"\n{MATERIAL}'))
    machine = machine_from_profile(profile("machines", f'price-per-hour = "{text}"\n{MACHINE}'))
    assert sheet.price_per_m2 == machine.price_per_hour == wanted


@pytest.mark.parametrize("value", ["42", '"42"', '"EUR 42"', '"-1 EUR"', '"4,50 EUR"', '"nan EUR"', "true"])
def test_a_price_is_an_amount_and_a_currency(value: str) -> None:
    (fault,) = faults("materials", f"price-per-m2 = {value}\n{MATERIAL}")
    assert fault.endswith('expected an amount and its currency, in quotes. Write it like "42.50 EUR"')


def test_a_kerf_without_a_source_was_chosen() -> None:
    text = MACHINE.replace('{ value = 0.18, source = "coupon of 2026-11-25" }', "0.2")
    kerf = machine_from_profile(profile("machines", text)).kerf
    assert kerf is not None
    assert kerf.source == "chosen"


def test_every_profile_of_the_library_can_be_read() -> None:
    for name in names("machines"):
        machine = machine_from_profile(find("machines", name))
        assert machine.name == name
    for name in names("materials"):
        assert material_from_profile(find("materials", name)).name == name


def test_all_faults_of_a_material_are_told() -> None:
    text = 'schema = "jiggen-machine/1"\nthickness = "3"\ntransparent = "yes"\ncautions = ["x", 4]\nthikness = "3mm"\n'
    assert faults("materials", text) == [
        'p.toml, title: got nothing, expected what to call it, with its thickness. Add title = "3 mm cast acrylic"',
        (
            'p.toml, line 1, schema: got "jiggen-machine/1", expected "jiggen-material/1".'
            " Another number at the end means another version of jiggen."
        ),
        'p.toml, line 2, thickness: got "3", expected a length with a unit. Write 3mm or 3in.',
        'p.toml, line 3, transparent: got "yes", expected true or false, without quotes',
        'p.toml, line 4, cautions, item 2: got 4, expected words in quotes. Write it like "…"',
        (
            "p.toml, line 5, thikness: got an unknown key, expected one of"
            " cautions, gap, growth, kerf, laser-cautions, price-per-m2, refused, router-cautions, schema, thickness, title,"
            " tolerance, transparent, units. Did you mean thickness?"
        ),
    ]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            'role = "lettering"',
            'role = "note"',
            (
                'p.toml, line 22, operation, item 1, role: got "note", expected one of'
                " edge, opening, line, lettering"
            ),
        ),
        (
            'name = "engrave"',
            'name = "Engrave/1"',
            'p.toml, line 21, operation, item 1, name: got "Engrave/1", expected something like "cut-edge"',
        ),
        (
            "#b07a1e",
            "orange",
            'p.toml, line 31, operation, item 2, colour: got "orange", expected something like "#8c2f39"',
        ),
        (
            "colour-index = 42",
            "colour-index = 256",
            "p.toml, line 32, operation, item 2, colour-index: got 256, expected a whole number from 1 to 255",
        ),
        (
            'note = "Through."\n',
            "",
            (
                "p.toml, line 35, operation, item 3: got nothing, expected what the operator should set."
                ' Add note = "…"'
            ),
        ),
        (
            'note = "Through."\n',
            'note = "Through."\nfocus = 3\n',
            (
                "p.toml, line 41, operation, item 3, focus: got an unknown key, expected one of"
                " colour, colour-index, filled, lead-in, line-type, name, note, passes, pierce, role, speed"
            ),
        ),
        (
            "margin = 5",
            "margin = 152.4",
            "p.toml, line 7, margin: got 152.4, expected less than half the bed's width and height",
        ),
        (
            "gap = 4",
            "gap = 0.1",
            "p.toml, line 8, gap: got 0.1, expected at least the kerf of 0.18 mm. Cuts would run into one another.",
        ),
        (
            "kerf = {",
            "kerf = { valu = 1,",
            "p.toml, line 9, kerf.valu: got an unknown key, expected one of value, source, note. Did you mean value?",
        ),
        (
            "bed-width = 400",
            "bed-width = 0",
            'p.toml, line 5, bed-width: got "0", expected a length above zero',
        ),
        (
            "bed-width = 400",
            "bed-width = true",
            'p.toml, line 5, bed-width: got true, expected a length. Write it like "42mm"',
        ),
        (
            "colour-index = 42",
            "colour-index = 173",
            "p.toml, line 20, operation: got the colour-index 173 twice, expected a colour-index of its own for each",
        ),
        (
            'name = "score"',
            'name = "engrave"',
            "p.toml, line 20, operation: got the name engrave twice, expected a name of its own for each",
        ),
        (
            'note = "Through."\n',
            'note = "Through."\nfilled = true\n',
            (
                "p.toml, line 20, operation: got cut-opening filled, expected filled lettering only, not the role"
                " opening"
            ),
        ),
    ],
)
def test_one_fault_of_a_machine(old: str, new: str, sentence: str) -> None:
    assert MACHINE.count(old) >= 1
    assert faults("machines", MACHINE.replace(old, new, 1)) == [sentence]


def test_each_role_has_one_operation() -> None:
    assert faults("machines", MACHINE.replace('role = "line"', 'role = "opening"')) == [
        (
            "p.toml, line 20, operation: got 2 operations for the role opening: score, cut-opening,"
            " expected one operation for each role"
        ),
        "p.toml, line 20, operation: got 0 operations for the role line, expected one operation for each role",
    ]


def test_a_machine_needs_all_its_operations() -> None:
    three = MACHINE[: MACHINE.rindex("[[operation]]")]
    assert faults("machines", three) == [
        "p.toml, line 20, operation: got a list of 3, expected a list of 4 to 1000 values"
    ]


def test_edges_are_cut_last() -> None:
    head, *operations = MACHINE.split("[[operation]]")
    text = "[[operation]]".join([head, operations[3], *operations[:3]])
    assert faults("machines", text) == [
        (
            "p.toml, line 20, operation: got cut-opening as the last operation, expected the role edge last."
            " A part whose edge is cut may drop or shift, so all else must be done by then."
        )
    ]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        (
            'standard = "none"\n',
            "",
            "p.toml, line 8, tolerance: got a part of it, expected over, under and standard",
        ),
        (
            "moisture-along = 20e-6\n",
            "",
            "p.toml, line 13, growth: got moisture-across alone, expected moisture-along beside it",
        ),
        (
            'plain-face = "0.17 mm"\n',
            "",
            "p.toml, line 24, kerf, item 2: got marked, expected either width, or marked-face and plain-face",
        ),
        (
            'plain-face = "0.17 mm"\n',
            'plain-face = "0.17 mm"\nwidth = "0.2 mm"\n',
            (
                "p.toml, line 24, kerf, item 2: got width, marked, plain, expected either width, or marked-face and"
                " plain-face"
            ),
        ),
        (
            "4e-6",
            "4",
            "p.toml, line 14, growth.expansion.value: got 4, expected a number above 0 and at most 0.001",
        ),
    ],
)
def test_one_fault_of_a_material(old: str, new: str, sentence: str) -> None:
    assert MATERIAL.count(old) == 1
    assert faults("materials", MATERIAL.replace(old, new)) == [sentence]


def test_one_machine_and_setting_has_one_kerf() -> None:
    again = MATERIAL + '\n[[kerf]]\nmachine = "mine"\nsetting = "60 %"\nwidth = "0.3 mm"\n'
    tail = "got another kerf for the same machine and setting, expected one for each. Name another setting, or take"
    found = faults("materials", again)
    assert len(found) == 2
    assert all(tail in each for each in found)


def test_paper_has_no_kerf_and_a_router_needs_one() -> None:
    assert faults("machines", MACHINE.replace('"laser"', '"paper"')) == [
        (
            "p.toml, line 9, kerf: got a table, expected none, since paper is printed, not cut. Take the line out."
        )
    ]
    without = "\n".join(line for line in MACHINE.split("\n") if not line.startswith("kerf"))
    assert faults("machines", without.replace('"laser"', '"router"')) == [
        'p.toml: got a router without a kerf, expected the diameter of its bit. Add kerf = "3 mm"'
    ]

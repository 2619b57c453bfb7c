"""The same instrument has the same id, however it was typed; another has another."""

import json
from dataclasses import replace

import pytest

from jiggen.design.identity import canonical, design_id
from jiggen.design.making import Make
from jiggen.design.model import Design, Given
from jiggen.design.read import design_from_text
from jiggen.design.solve import solve
from jiggen.design.spec import Spec
from jiggen.profiles import find

WREN = solve(design_from_text(find("instruments", "wren").text, file="wren.toml"))

TEMPLATE = """\
schema = "jiggen-design/1"
name = "{name}"
{head}
[neck]
scale = {scale}
nut-width = {nut}
frets = 20
overhang = {overhang}
[strings]
count = 6
spread-at-bridge = {spread}
setback = {setback}
setback-to = "centre"
gauges = {gauges}
[tools]
saw-plate = "0.6mm"
saw-clearance = "0.08mm"
index-pin = "2mm"
pin-clearance = "0.05mm"
stop-pin = "3mm"
"""


def spec(**words: str) -> Spec:
    return solve(design_from_text(TEMPLATE.format(**words), file="x.toml"))


IN_INCHES = spec(
    name="Lapwing",
    head='date = 2026-11-25\nowner = "Kestrel Yard"\nnote = "x"',
    scale="'25 1/2\"'",
    nut='{ value = "1-11/16in", source = "measured", note = "caliper" }',
    overhang='"1/32in"',
    spread='"2-1/8in"',
    setback='"1/8in"',
    gauges='[".012in", ".016in", ".024in", ".032in", ".042in", ".053in"]',
)
IN_MM = spec(
    name="Another name",
    head='units = "mm"',
    scale="647.7",
    nut="42.8625",
    overhang="0.79375",
    spread="53.975",
    setback="3.175",
    gauges="[0.3048, 0.4064, 0.6096, 0.8128, 1.0668, 1.3462]",
)


def test_inches_and_millimetres_make_the_same_instrument() -> None:
    assert canonical(IN_INCHES) == canonical(IN_MM)
    assert design_id(IN_INCHES) == design_id(IN_MM)


def test_the_canonical_form_holds_sorted_numbers_and_nothing_else() -> None:
    text = canonical(WREN)
    assert text == (
        '{"body":{"joint_fret":12,"length":480.0,"lower_bout":340.0,"upper_bout":250.0,"waist":210.0},'
        '"bridge":{"front":9.0,"length":146.0,"pin_distance":16.0,"saddle_height":11.0,"slot_length":74.0,'
        '"width":28.0},"frets":18,"gauges":[0.3048,0.4064,0.6096,0.8128,1.0668,1.3462],"head":{"first_tuner":42.0,'
        '"length":178.0,"tuner_hole":10.0,"tuner_inset":13.0,"tuner_spacing":38.0,"tuners":[3,3],'
        '"width":74.0,"width_at_tip":62.0},"inlays":{"diameter":6.0,"doubled":[12],"frets":[5,7,9,12,15],'
        '"side_diameter":2.0},"neck_back":{"depths":[{"depth":21.5,"fret":1},{"depth":23.5,"fret":9}],'
        '"frets":[1,5,9]},"nut_width":46.0,"overhang":10.0,"radius":406.4,"scale":628.0,"setback_bass":3.5,'
        '"setback_treble":3.5,"setup":{"action":1.9,"action_bass":2.4,"family":"steel-guitar","nut_height":0.5,'
        '"relief":0.2},"sound_hole":{"from_saddle":160.0,"rings":[{"from_edge":5.0,"width":2.0},{"from_edge":11.0,"width":7.0}],'
        '"width":92.0},"spread_at_bridge":57.0,"spread_at_nut":39.0,"string_count":6,"string_set":"steel-acoustic-012",'
        '"tang_depth":2.3,"tools":{"index_pin":2.0,"pin_clearance":0.05,"saw_clearance":0.08,"saw_plate":0.6,'
        '"stop_pin":3.0},"truss_rod":{"anchor_length":12.0,"anchor_width":10.0,"depth":9.0,"length":360.0,'
        '"width":6.0},"tuning":["E4","B3","G3","D3","A2","E2"],"width_at_saddle":64.0}'
    )
    assert json.dumps(json.loads(text), sort_keys=True, separators=(",", ":")) == text


def test_the_id_of_the_wren_is_its_forms_sha_256() -> None:
    # Reckoned by coreutils: jiggen's canonical form piped through `sha256sum`, first eight digits.
    assert design_id(WREN) == "9697-34C8"


@pytest.mark.parametrize("change", [1e-5, -1e-5, 4e-5])
def test_what_no_shop_can_measure_does_not_change_the_id(change: float) -> None:
    assert design_id(replace(WREN, scale=Given(628.0 + change))) == design_id(WREN)


def test_the_last_bits_of_a_sum_do_not_change_the_id() -> None:
    halfway = 0.79375  # lies between two ten-thousandths
    for wobble in (0.0, 1e-13, -1e-13):
        assert canonical(replace(WREN, overhang=Given(halfway + wobble))) == canonical(
            replace(WREN, overhang=Given(halfway))
        )


def test_minus_nought_is_nought() -> None:
    assert canonical(replace(WREN, overhang=Given(-0.0))) == canonical(replace(WREN, overhang=Given(0.0)))


@pytest.mark.parametrize(
    "other",
    [
        replace(WREN, design=Design(name="Heron", date="2027-01-01", owner="x", note="y", revision="B")),
        replace(WREN, make=Make(parts=("nut-rule",), material="x", machine="y")),
        replace(WREN, scale=Given(628.0, "measured", "62.8cm", "note", "where")),
    ],
)
def test_words_do_not_change_the_id(other: Spec) -> None:
    assert design_id(other) == design_id(WREN)


@pytest.mark.parametrize(
    "other",
    [
        replace(WREN, scale=Given(628.0002)),
        replace(WREN, frets=Given(19)),
        replace(WREN, gauges=None),
        replace(WREN, gauges=Given((0.3048, 0.4064, 0.6096, 0.8128, 1.0668, 1.3463))),
        replace(WREN, tools=replace(WREN.tools, saw_plate=Given(0.55))),
    ],
)
def test_numbers_do(other: Spec) -> None:
    assert design_id(other) != design_id(WREN)

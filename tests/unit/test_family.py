"""The whole family of shop aids on the whole library of instruments."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from jiggen.design.model import Design, Given
from jiggen.design.mould import Mould
from jiggen.errors import InputError, LimitError, SeveralErrors
from jiggen.export.formats import encode_job
from jiggen.export.manifest import FILE_NAME
from jiggen.export.writer import Job
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import ALL, CATALOGUE, choose, left_out
from jiggen.parts.model import Bench
from jiggen.prepare import Order, draw_up
from jiggen.proof.prove import prove_files
from jiggen.reckon import load, work_out

INSTRUMENTS = Path(__file__).parents[2] / "profiles" / "instruments"
#: A profile that only fills what is left out has no scale of its own.
LIBRARY = sorted(path.stem for path in INSTRUMENTS.glob("*.toml") if path.stem != "six-string-guitar")
#: One of each kind, for what takes long.
KINDS = [
    "wren",
    "bass-five-string-fanned",
    "mandolin",
    "twelve-string",
    "classical",
    "electric-zero-fret",
    "whinchat",
]
#: Warnings that are told of on the part: pins of 1.5 mm in a sheet of 3 mm.
EXPECTED = {"hole-under-thickness"}


@cache
def neck_of(name: str, *, left_handed: bool = False) -> Neck:
    design: Design = load(INSTRUMENTS / f"{name}.toml")
    if left_handed:
        design = replace(design, left_handed=Given(value=True))
    return work_out(design)


@pytest.mark.parametrize("name", LIBRARY)
def test_every_part_can_be_drawn(name):
    neck = neck_of(name)
    bench = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
    entries = choose((ALL,), neck, where="test")
    names = [part.name for entry in entries for part in entry.build(neck, bench)]
    assert len(names) >= 12
    assert len(set(names)) == len(names)


@pytest.mark.parametrize("name", KINDS)
def test_every_part_keeps_the_shops_limits(name):
    left_handed = name == "electric-zero-fret"
    sheets = draw_up(neck_of(name, left_handed=left_handed), Order(parts=(ALL,)))
    unexpected = {str(finding) for finding in sheets.findings if finding.name not in EXPECTED}
    assert not unexpected


@pytest.mark.parametrize("name", [*KINDS, "electric-seven-string-fanned"])
def test_a_name_with_accents_on_capitals_has_room_on_every_part(name):
    design = replace(load(INSTRUMENTS / f"{name}.toml"), name="Ångström Źy ÉŠ ½")
    sheets = draw_up(work_out(design), Order(parts=(ALL,)))
    assert {finding.name for finding in sheets.findings} <= EXPECTED


@pytest.mark.parametrize(
    ("name", "left_handed"),
    [("wren", True), ("bass-five-string-fanned", False), ("mandolin", False), ("whinchat", True)],
)
def test_every_part_is_proved_from_its_files(name, left_handed):
    neck = neck_of(name, left_handed=left_handed)
    sheets = draw_up(neck, Order(parts=(ALL,)))
    files = encode_job(Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup), ("dxf", "svg"))
    report = prove_files(files[FILE_NAME], {file: data for file, data in files.items() if file != FILE_NAME})
    assert report.ok, report.text()


@pytest.mark.parametrize(
    ("name", "left_handed"),
    [
        *((name, False) for name in LIBRARY if neck_of(name).spec.body.length),
        ("mandolin", True),
        ("whinchat", True),
    ],
)
def test_every_body_of_the_library_can_be_moulded(name, left_handed):
    design = load(INSTRUMENTS / f"{name}.toml")
    sides = replace(design.body, side_depth_neck=Given(60.0), side_depth_tail=Given(70.0))
    design = replace(design, body=sides, mould=Mould(layers=Given(2)), left_handed=Given(value=left_handed))
    sheets = draw_up(work_out(design), Order(parts=("mould", "bending-form", "body-half-template")))
    assert sheets.findings == ()
    parts = {placed.cut_part.part.name for sheet in sheets.sheets for placed in sheet.placements}
    assert parts >= {"mould-1-bass", "mould-2-treble", "mould-plate-tail-lower"}


@pytest.mark.parametrize(
    ("name", "parts"), [("whinchat", ("cavity-pattern", "mould", "body-template")), ("wren", ("nut-card",))]
)
def test_patterns_moulds_and_windows_are_proved_on_a_router(name, parts):
    """Its bit is broad: it rounds pointed notches, cuts windows in one pass, and its path ends elsewhere than arcs do."""
    neck = neck_of(name)
    order = Order(parts=parts, machine="cnc-router", material="mdf-6")
    sheets = draw_up(neck, order)
    files = encode_job(Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup), ("dxf", "svg"))
    report = prove_files(files[FILE_NAME], {file: data for file, data in files.items() if file != FILE_NAME})
    assert report.ok, report.text()


def test_all_that_climate_and_material_put_on_a_tag_has_room_on_every_part():
    design = load(INSTRUMENTS / "steel-string-14-fret.toml")
    climate = {"cut_humidity": 30.0, "use_humidity": 70.0, "cut_degc": 35.0, "use_degc": 5.0}
    make = replace(design.make, **{name: Given(value) for name, value in climate.items()})
    sheets = draw_up(work_out(replace(design, make=make)), Order(parts=(ALL,), material="veneer-0.6"))
    tags = {
        each.feature.text
        for sheet in sheets.sheets
        for placed in sheet.placements
        for each in placed.cut_part.features
        if each.feature.id == "tag"
    }
    assert any("cut 30 use 70 % RH" in " ".join(tag.split("\n")) for tag in tags)


def test_bushings_too_wide_for_the_side_dots_leave_all_other_parts():
    design = load(INSTRUMENTS / "wren.toml")
    neck = work_out(replace(design, tools=replace(design.tools, bushing=Given(8.0))))
    named = [entry.name for entry in choose((ALL,), neck, where="--only")]
    assert "side-dot-guide" not in named
    assert "inlay-guide" in named
    with pytest.raises(
        LimitError, match=r"its holes are 8.05 mm wide, and would run out of its upper side, only 3.00"
    ):
        choose(("side-dot-guide",), neck, where="--only")


def test_only_the_standard_set_is_made_when_nobody_names_parts():
    names = [entry.name for entry in choose((), neck_of("wren"), where="test")]
    assert names == ["plan-template", "fret-slot-guide", "saw-guide", "nut-rule"]


def test_a_part_that_lacks_numbers_names_them_all():
    neck = neck_of("wren")
    bare = replace(neck, spec=replace(neck.spec, bridge=replace(neck.spec.bridge, length=None, width=None)))
    with pytest.raises(SeveralErrors) as caught:
        choose(("bridge-locator",), bare, where="--only")
    assert str(caught.value).split("\n") == [
        (
            'design "Wren", bridge.length, for part bridge-locator: got nothing, expected of the bridge, across the '
            'strings. Add bridge.length = "150mm", or name an instrument profile that has it: '
            "jiggen profiles lists them"
        ),
        (
            'design "Wren", bridge.width, for part bridge-locator: got nothing, expected of the bridge, along the '
            'strings. Add bridge.width = "28mm", or name an instrument profile that has it: '
            "jiggen profiles lists them"
        ),
    ]


def test_a_neck_that_cannot_have_a_part_is_told_why():
    with pytest.raises(LimitError, match="a part that this neck can have: fanned frets lie at angles"):
        choose(("fret-slot-guide",), neck_of("bass-five-string-fanned"), where="--only")


def test_what_goes_with_the_set_and_cannot_be_had_is_told_with_the_reason():
    fanned = neck_of("bass-five-string-fanned")
    assert list(left_out((), neck_of("wren"))) == []
    (guide,) = left_out((), fanned)
    assert guide.startswith("without fret-slot-guide: fanned frets lie at angles")
    told = list(left_out((ALL,), fanned))
    assert "without rosette-pattern: it needs sound-hole.width, sound-hole.rings" in told
    had = {entry.name for entry in choose((ALL,), fanned, where="test")}
    assert {each.split(":")[0].removeprefix("without ") for each in told} == {
        entry.name for entry in CATALOGUE
    } - had


def test_a_name_that_is_not_known_brings_the_nearest():
    with pytest.raises(InputError, match=r"Did you mean nut-card\?"):
        choose(("nut-cart",), neck_of("wren"), where="--only")


def test_what_is_needed_are_keys_of_a_design():
    assert {key for entry in CATALOGUE for key in entry.needed_keys} >= {"setup.action", "truss-rod.length"}
    assert all(entry.about and entry.title for entry in CATALOGUE)

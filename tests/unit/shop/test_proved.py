"""What the shop makes of awkward parts passes the proof, which reads the files with code of its own."""

import json
from dataclasses import replace
from functools import cache

import pytest
from support.sheets import MATERIAL
from support.shop import busy_plate, opening, slot_at, workshop

from jiggen.design.making import Make, MarkFace
from jiggen.design.model import Design, Given
from jiggen.export.formats import encode_job
from jiggen.export.options import DEFAULTS
from jiggen.export.writer import Job
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.worked_neck import Neck
from jiggen.parts.model import Part
from jiggen.prepare import lay_on_sheets
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Report
from jiggen.reckon import work_out
from jiggen.shop.workshop import Workshop

MICRON = 0.001  # mm


@cache
def neck() -> Neck:
    return work_out(Design(name="Wren", profile="steel-string-12-fret"))


def awkward() -> Part:
    """Every kind of cut, a slot of one pass, a socket with relieved corners."""
    socket = opening("socket", rectangle(Point(180.0, 22.0), Point(192.0, 40.0)), 12.0, takes_square=True)
    busy = busy_plate()
    return replace(busy, features=(*busy.features, slot_at("single", 40.0, 0.24), socket))


def proved(shop: Workshop, part: Part | None = None) -> tuple[Report, dict, dict[str, bytes]]:
    made = lay_on_sheets([part or awkward()], neck(), shop)
    options = replace(DEFAULTS, plan=False)
    files = encode_job(
        Job(sheet_set=made, layout=neck().layout, setup=neck().setup, options=options), ["dxf", "svg"]
    )
    manifest = files.pop("manifest.json")
    return prove_files(manifest, files), json.loads(manifest), files


CASES = {
    "plain": {},
    "coarse": {"kerf": 0.21},
    "grown": {"growth": (1.0007, 1.0007)},
    "machine short": {"scale": (1.0015, 1.0015)},
    "machine uneven": {"scale": (1.0013, 0.9991)},
    "underneath": {"make": Make(mark_face=Given(MarkFace.UNDER))},
    "turned": {"bed_width_mm": 180.0, "bed_height_mm": 400.0, "scale": (1.0013, 0.9991)},
    "turned, underneath": {
        "bed_width_mm": 180.0,
        "bed_height_mm": 400.0,
        "scale": (1.0013, 0.9991),
        "growth": (1.0007, 1.0007),
        "make": Make(mark_face=Given(MarkFace.UNDER)),
    },
    "with a grain": {"growth": (1.0004, 1.0091), "scale": (1.0013, 0.9991)},
}


@pytest.mark.parametrize("name", CASES)
def test_the_files_make_the_finished_part(name):
    report, _, _ = proved(workshop(**CASES[name]))
    assert report.ok, report.text()
    assert report.findings == ()
    worst = max(abs(row.difference_mm) for row in report.rows if row.what not in {"run", "bounds", "as cut"})
    assert worst <= 2.0 * MICRON


def test_a_slot_of_one_pass_is_measured_like_any_other():
    report, manifest, files = proved(workshop())
    rows = {(row.what, row.file): row for row in report.rows if row.feature == "single"}
    assert {what for what, _ in rows} >= {"position x", "width", "contour"}
    assert rows["width", "sheet-1.dxf"].nominal_mm == pytest.approx(0.2)
    features = {each["id"]: each for each in manifest["sheets"][0]["parts"][0]["features"]}
    assert [id for id, each in features.items() if each["single_pass"]] == ["single"]
    (finding,) = [each for each in manifest["findings"] if each["name"] == "single-pass"]
    assert (finding["feature"], finding["measured_mm"], finding["limit_mm"]) == ("single", 0.2, 0.24)
    assert b'data-feature="single"' in files["sheet-1.svg"]
    assert set(files) == {"sheet-1.dxf", "sheet-1.svg"}  # no plan was asked for


def test_a_slot_of_one_pass_that_lies_off_is_found():
    _, manifest, files = proved(workshop())
    svg = files["sheet-1.svg"].decode()
    start = svg.index('data-feature="single"')
    data = svg[start : svg.index("/>", start)]
    x = data.split('d="M ')[1].split(" ")[0]
    moved = svg.replace(data, data.replace(f"M {x} ", f"M {float(x) + 0.02:.4f} "))
    report = prove_files(json.dumps(manifest).encode(), {"sheet-1.svg": moved.encode()})
    assert any(row.feature == "single" and not row.ok for row in report.rows)


def test_the_tag_in_the_file_tells_what_was_done():
    grows = replace(MATERIAL, expansion=Given(70e-6))
    shop = workshop(make=Make(cut_degc=Given(30.0)), material=grows, growth=(1.0007, 1.0007))
    _, manifest, files = proved(shop)
    tag = manifest["sheets"][0]["parts"][0]["tag"]
    assert (tag["cut_degc"], tag["use_degc"], tag["growth_scale"]) == (30.0, 20.0, 1.0007)
    assert manifest["climate"]["cut_temperature"] == {
        "value": 30.0,
        "unit": "°C",
        "source": "chosen",
        "text": "",
    }
    assert manifest["climate"]["use_humidity"]["source"] == "assumed"
    for data in files.values():
        assert b"cut_degc" in data

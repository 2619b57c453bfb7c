"""`jiggen make` lays gauges in a body template's cavity: a sheet less, cut from the inside outward, told and proved."""

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import ezdxf
import jsonschema
import pytest
from click.testing import CliRunner
from support.spoilt import take_apart

from jiggen.cli.app import app
from jiggen.proof.prove import prove
from jiggen.proof.report import Fault

#: The Whinchat with a cavity for its controls, 90 mm along the body and 150 mm across it.
DESIGN = """\
schema = "jiggen-design/1"
name = "Lapwing"
profile = "whinchat"
[body]
openings = [{ name = "controls", length = "150 mm", width = "90 mm", radius = "15 mm", from-saddle = "-70 mm" }]
"""
SMALL = DESIGN.replace('"150 mm", width = "90 mm"', '"50 mm", width = "30 mm"')
#: Sheets that hold the body template, 470 × 392 mm, and some of the gauges in its waist.
MAKE = (
    "make lapwing.toml --only body-template,neck-gauges,radius-gauges,sanding-block-ends"
    " --stock 500x410mm*3 --allow narrow-web"
)


def made(folder: Path, design: str, options: str) -> tuple[dict[str, Any], str]:
    """Makes the set in the folder that we are in; returns its manifest and what was said."""
    (folder / "lapwing.toml").write_text(design, encoding="utf-8")
    result = CliRunner().invoke(app, [*MAKE.split(), *options.split()])
    assert result.exit_code == 0, result.output
    return json.loads((folder / "out/lapwing/manifest.json").read_text(encoding="utf-8")), result.stdout


def nested(manifest: dict[str, Any]) -> dict[str, tuple[str, str]]:
    """The parts in openings: of which part, and which."""
    return {
        part["name"]: (part["within"]["part"], part["within"]["feature"])
        for sheet in manifest["sheets"]
        for part in sheet["parts"]
        if "within" in part
    }


def names_in_dxf(path: Path, layers: list[str]) -> list[str]:
    """Ids of what the machine does, layer after layer, each in the order of the file."""
    entities = list(ezdxf.readfile(path).modelspace())
    return [
        entity.get_xdata("JIGGEN")[0].value
        for layer in layers
        for entity in entities
        if entity.dxf.layer == layer and entity.has_xdata("JIGGEN")
    ]


def names_in_svg(path: Path, layers: list[str]) -> list[str]:
    groups = {each.get("id"): each for each in ET.parse(path).getroot() if each.tag.endswith("}g")}  # noqa: S314
    return [each.get("id") or "" for layer in layers for each in groups[layer]]


def judge_order(names: list[str], held: dict[str, tuple[str, str]]) -> None:
    for part, (host, opening) in held.items():
        last = max(index for index, name in enumerate(names) if name.startswith(f"{part}."))
        free = names.index(f"{host}.{opening}")
        assert last < free < names.index(f"{host}.outline")
        assert names[last] == f"{part}.outline"


def test_gauges_in_a_cavity_save_a_sheet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    small, said = made(tmp_path, SMALL, "--format svg")
    assert len(small["sheets"]) == 2
    assert nested(small) == {}
    assert "lie in the opening" not in said

    manifest, said = made(tmp_path, DESIGN, "--format dxf,svg,ticket")
    assert len(manifest["sheets"]) == 1
    jsonschema.validate(manifest, json.loads(CliRunner().invoke(app, ["schema", "manifest"]).stdout))
    held = nested(manifest)
    assert held
    assert set(held.values()) == {("body-template", "opening.1")}
    told = f"{', '.join(held)} lie in the opening opening.1 of body-template on sheet 1 and are cut out before it"
    assert told in said
    folder = tmp_path / "out/lapwing"
    assert told in (folder / "ticket.html").read_text(encoding="utf-8")
    layers = [each["name"] for each in manifest["machine"]["operations"]]
    judge_order(names_in_dxf(folder / "sheet-1.dxf", layers), held)
    judge_order(names_in_svg(folder / "sheet-1.svg", layers), held)
    assert prove(folder).ok

    # the same cuts in the opposite order
    for name in ("sheet-1.dxf", "sheet-1.svg"):
        written = take_apart(name, (folder / name).read_bytes())
        edges = [thing for thing in written.things if thing.layer == "cut-edge"]
        written.things = [thing for thing in written.things if thing.layer != "cut-edge"] + edges[::-1]
        (folder / name).write_bytes(written.data())
    late = [each for each in prove(folder).findings if each.fault is not Fault.HASH_MISMATCH]
    assert {each.fault for each in late} == {Fault.WRONG_ORDER}
    assert {each.file for each in late} == {"sheet-1.dxf", "sheet-1.svg"}
    assert {each.part for each in late} == {*held, "body-template"}


@pytest.mark.parametrize(
    "options",
    [
        "--tabs 1mm --dxf-entities primitives",
        "--dxf-version r12 --dxf-entities segments",
        "--machine rested",
    ],
)
def test_it_is_proved_however_it_is_cut(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: str
) -> None:
    """With tabs, in single pieces, with lead-ins and rests between cuts."""
    monkeypatch.chdir(tmp_path)
    folder = tmp_path / "machines"
    folder.mkdir()
    shipped = Path(__file__).parents[2] / "profiles/machines/large-laser.toml"
    text = shipped.read_text(encoding="utf-8")
    text = text.replace("speed = 15", 'speed = 15\nlead-in = "2 mm"')
    text = text.replace("travel-speed", 'rest-distance = "30 mm"\ntravel-speed')
    (folder / "rested.toml").write_text(text, encoding="utf-8")
    monkeypatch.setenv("JIGGEN_PROFILES", str(tmp_path))
    manifest, _ = made(tmp_path, DESIGN, f"{options} --format dxf,svg")
    held = nested(manifest)
    assert len(held) > 1
    layers = [each["name"] for each in manifest["machine"]["operations"]]
    judge_order(names_in_svg(tmp_path / "out/lapwing/sheet-1.svg", layers), held)


def test_a_class_is_told_of_the_openings_on_its_shared_sheets(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """These sheets have no ticket of their own, but the summary of the class."""
    monkeypatch.chdir(tmp_path)
    for name in ("Lapwing", "Dunlin"):
        (tmp_path / f"{name.lower()}.toml").write_text(DESIGN.replace("Lapwing", name), encoding="utf-8")
    more = "dunlin.toml --class-name evening --jobs 1 --format dxf,svg"
    result = CliRunner().invoke(app, [*MAKE.split(), *more.split()])
    assert result.exit_code == 0, result.output
    manifest = json.loads((tmp_path / "out/evening/manifest.json").read_text(encoding="utf-8"))
    held = nested(manifest)
    assert held
    assert {host for host, _ in held.values()} <= {"lapwing-body-template", "dunlin-body-template"}
    page = (tmp_path / "out/evening.html").read_text(encoding="utf-8")
    for part in held:
        line = next(line for line in result.stdout.splitlines() if part in line)
        assert line.startswith("evening: ")
        assert "lie in the opening" in line or "lies in the opening" in line
        assert f"<li>{line}</li>" in page
    assert prove(tmp_path / "out/evening").ok

"""The manifest: valid by the schema shipped, and true."""

import copy
import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from support.sheets import COMB_PLACE, job_of, sheet_set, tag_for

import jiggen.export.manifest
from jiggen.export.formats import encode_job
from jiggen.export.manifest import encode_manifest
from jiggen.export.tags import tag_fields

SCHEMA = json.loads(
    Path(jiggen.export.manifest.__file__).with_name("manifest-1.schema.json").read_text("utf-8")
)
VALIDATOR = Draft202012Validator(SCHEMA)
FILES = encode_job(job_of(sheet_set()))
MANIFEST: dict[str, Any] = json.loads(FILES["manifest.json"])


def part(name: str) -> dict[str, Any]:
    return next(each for sheet in MANIFEST["sheets"] for each in sheet["parts"] if each["name"] == name)


def feature(part_name: str, id: str) -> dict[str, Any]:
    return next(each for each in part(part_name)["features"] if each["id"] == id)


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def test_the_manifest_is_valid() -> None:
    assert [error.message for error in VALIDATOR.iter_errors(MANIFEST)] == []


def objects_in(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    children = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    own = [path] if isinstance(value, dict) else []
    return own + [found for key, each in children for found in objects_in(each, (*path, key))]


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


def test_the_schema_allows_no_other_key_and_misses_none() -> None:
    """In every object of the manifest: one key more or one key fewer is an error."""
    checked = {
        tuple("*" if isinstance(key, int) else key for key in path): path for path in objects_in(MANIFEST)
    }
    open_objects = {("files",), ("design", "numbers")}  # whose keys are names
    for kind, path in checked.items():
        more = copy.deepcopy(MANIFEST)
        at(more, path)["More"] = 1
        assert not VALIDATOR.is_valid(more), f"{kind} takes any key"
        if kind in open_objects:
            continue
        for key in at(MANIFEST, path):
            fewer = copy.deepcopy(MANIFEST)
            del at(fewer, path)[key]
            assert not VALIDATOR.is_valid(fewer), f"{kind} does without {key}"


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("schema",), "jiggen-manifest/2"),
        (("sheets",), []),
        (("sheets", 0, "number"), 0),
        (("sheets", 0, "width_mm"), "600mm"),
        (("sheets", 0, "files", 0), "../sheet-1.dxf"),
        (("sheets", 0, "parts", 0, "features", 0, "role"), "hole"),
        (("sheets", 0, "parts", 0, "features", 0, "cut_bounds"), None),
        (("sheets", 0, "parts", 0, "features", 0, "finished_bounds"), [0.0, 0.0, 1.0]),
        (("sheets", 0, "parts", 0, "features", 1, "datum"), {"point": [1.0]}),
        (("sheets", 0, "parts", 0, "features", 1, "cut_length_mm"), 3.0),
        (("files", "sheet-1.dxf", "sha256"), "abc"),
        (("machine", "operations", 0, "colour"), "red"),
        (("design", "numbers", "frets", "value"), 12.5),
        (("design", "numbers", "scale", "unit"), "in"),
    ],
)
def test_the_schema_refuses_wrong_values(path: tuple[str | int, ...], value: object) -> None:
    wrong = copy.deepcopy(MANIFEST)
    at(wrong, path[:-1])[path[-1]] = value
    assert not VALIDATOR.is_valid(wrong)


def test_keys_stand_in_the_order_of_the_form() -> None:
    assert list(MANIFEST) == SCHEMA["required"]
    assert list(feature("comb", "outline")) == SCHEMA["$defs"]["feature"]["required"]
    assert list(part("comb")["tag"]) == SCHEMA["$defs"]["tag"]["required"]


def test_the_text_is_the_same_for_every_reader() -> None:
    text = FILES["manifest.json"].decode("utf-8")
    assert text.startswith('{\n  "schema": "jiggen-manifest/1",\n')
    assert text.endswith("}\n")
    assert "\r" not in text
    assert "-0.0," not in text


def test_files_are_listed_with_their_checksums() -> None:
    assert MANIFEST["files"] == {
        name: {"sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}
        for name, data in FILES.items()
        if name != "manifest.json"
    }
    assert [sheet["files"] for sheet in MANIFEST["sheets"]] == [
        ["sheet-1.dxf", "sheet-1.svg", "sheet-1.pdf"],
        ["sheet-2.dxf", "sheet-2.svg", "sheet-2.pdf"],
    ]


def test_sheet_1_is_not_sheet_10() -> None:
    files = {"sheet-1.dxf": b"", "sheet-10.dxf": b""}
    manifest = json.loads(encode_manifest(sheet_set(), files))
    assert manifest["sheets"][0]["files"] == ["sheet-1.dxf"]


def test_the_design_and_its_numbers() -> None:
    design = MANIFEST["design"]
    assert (design["name"], design["id"], design["owner"]) == ("Wren", "k3f9a2", "Kestrel Yard")
    assert design["numbers"]["scale"] == {"value": 628.0, "unit": "mm", "source": "chosen", "text": ""}
    assert design["numbers"]["spread_at_nut"]["source"] == "solved"
    assert design["numbers"]["frets"] == {"value": 18, "unit": None, "source": "chosen", "text": ""}
    assert design["numbers"]["saw_plate"]["value"] == 0.6
    assert isinstance(design["numbers"]["frets"]["value"], int)


def test_material_and_machine() -> None:
    assert MANIFEST["material"] == {"name": "clear-3", "title": "3 mm cast acrylic", "thickness_mm": 3.0}
    assert MANIFEST["machine"]["operations"][0] == {
        "name": "engrave",
        "role": "lettering",
        "colour": "#1f5fa8",
    }


def test_a_parts_place_and_tag() -> None:
    assert part("comb")["place"] == {
        "cosine": pytest.approx(COMB_PLACE.cosine, abs=1e-6),
        "sine": pytest.approx(COMB_PLACE.sine, abs=1e-6),
        "x_mm": 30.0,
        "y_mm": 40.0,
        "mirrored": False,
    }
    assert part("shoe")["place"] == {
        "cosine": 0.0,
        "sine": 1.0,
        "x_mm": 320.0,
        "y_mm": 60.0,
        "mirrored": True,
    }
    assert part("comb")["tag"] == tag_fields(tag_for("Comb"))


def test_a_hole() -> None:
    assert feature("disc", "hole.1") == {
        "id": "hole.1",
        "role": "opening",
        "operation": "cut-opening",
        "cut_in": None,
        "text": "",
        "width_mm": 20.0,
        "single_pass": False,
        "datum": None,
        "finished": "M 10 0 A 10 10 0 0 1 0 10 A 10 10 0 0 1 -10 0 A 10 10 0 0 1 0 -10 A 10 10 0 0 1 10 0 Z",
        "finished_bounds": [-10.0, -10.0, 10.0, 10.0],
        "cut_bounds": [90.1, 110.1, 109.9, 129.9],
        "cut_length_mm": 62.203535,  # 2 × π × 9.9
    }


def test_a_notch_and_a_note_are_not_cut_on_their_own() -> None:
    notch = feature("comb", "pin.1")
    assert (notch["operation"], notch["cut_in"], notch["cut_bounds"], notch["cut_length_mm"]) == (
        None,
        "outline",
        None,
        None,
    )
    assert notch["datum"] == {"point": [70.0, 0.0]}
    assert notch["finished"] == "M 66 0 A 4 4 0 0 0 70 4 A 4 4 0 0 0 74 0"
    note = feature("comb", "hint")
    assert (note["role"], note["operation"], note["cut_bounds"]) == ("note", None, None)


def test_a_slots_datum_is_its_line() -> None:
    assert feature("comb", "fret.1")["datum"] == {"line": [[30.0, 0.0], [30.0, 60.0]]}


def test_lettering_has_words_and_bounds_and_no_outline() -> None:
    tag = part("comb")["features"][-1]
    assert tag["id"] == "tag"
    assert tag["text"] == tag_for("Comb").line()
    assert tag["finished"] is None
    assert tag["finished_bounds"] == [40.0, 4.0, 57.0, 7.0]
    assert tag["operation"] == "engrave"


def test_lines_of_several_dashes_are_one_feature() -> None:
    dashes = feature("comb", "centre-line")
    assert dashes["finished"].count("M") == 4
    assert dashes["cut_length_mm"] == 48.0

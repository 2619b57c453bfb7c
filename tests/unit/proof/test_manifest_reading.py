"""The manifest as a stranger reads it, and what is said when it is wrong."""

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from unit.proof.hand_job import hand_job

from jiggen.errors import InputError
from jiggen.proof.manifest import read_manifest

MICRON = 0.001  # mm


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    job = hand_job()
    found: dict[str, Any] = json.loads(job.manifest_bytes(job.written()))
    return found


def test_what_is_written_is_read(document: dict[str, Any]) -> None:
    manifest = read_manifest(json.dumps(document).encode())
    assert {part.scale_mm for sheet in manifest.sheets for part in sheet.parts} == {628.0}
    (sheet,) = manifest.sheets
    assert sheet.size_mm == (700.0, 480.0)
    assert [part.name for part in sheet.parts] == ["saw-guide", "index-strip", "fan-plate"]
    guide, strip, fan = sheet.parts
    assert (guide.kerf_mm, guide.growth, guide.machine_x, guide.machine_y) == (0.2, 1.0, 1.0, 1.0)
    assert fan.place.mirrored
    notch = next(each for each in strip.features if each.id == "fret.3")
    assert (notch.operation, notch.cut_in, notch.width_mm, notch.role) == (None, "outline", 3.2, "opening")
    assert len(notch.datum) == 2
    hole = next(each for each in guide.features if each.id == "pin.1")
    assert hole.datum == ((-3.0, -14.0),)
    assert hole.finished[0].closed
    assert next(each for each in guide.features if each.id == "tag").finished == ()


def test_a_rounded_turn_is_taken_as_a_turn(document: dict[str, Any]) -> None:
    """cos and sin of 17 degrees to 6 decimals are a turn that would shrink 600 mm by a fraction of a micrometre."""
    place = read_manifest(json.dumps(document).encode()).sheets[0].parts[2].place
    assert place.cosine**2 + place.sine**2 == pytest.approx(1.0, abs=1e-15)


def test_a_half_turn_in_rounded_numbers_is_a_half_turn(document: dict[str, Any]) -> None:
    changed = copy.deepcopy(document)
    feature = changed["sheets"][0]["parts"][0]["features"][1]
    feature["finished"] = "M 0 0 L 9 0 A 1.666667 1.666667 0 0 1 9 3.333333 L 0 3.333333 Z"
    read = read_manifest(json.dumps(changed).encode()).sheets[0].parts[0].features[1]
    assert read.finished[0].bulges == (0.0, 1.0, 0.0, 0.0)


def part(document: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = document["sheets"][0]["parts"][0]
    return found


def feature(document: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = part(document)["features"][1]
    return found


WRONG: list[tuple[str, Callable[[dict[str, Any]], object], str]] = [
    ("schema", lambda d: d.update(schema="jiggen-manifest/9"), "manifest.json schema: got \"jiggen-manifest/9\""),
    ("no sheets", lambda d: d.pop("sheets"), "manifest.json sheets: got nothing, expected a list"),
    ("sheet", lambda d: d.update(sheets=[3]), "manifest.json sheets[0]: got \"3\", expected an object"),
    ("width", lambda d: d["sheets"][0].update(width_mm=0), "expected a number above 0"),
    ("file outside", lambda d: d["sheets"][0].update(files=["../x.dxf"]), "the plain name of a file beside"),
    ("drive", lambda d: d["sheets"][0].update(files=["C:x.dxf"]), "the plain name of a file beside"),
    ("parent", lambda d: d.update(files={"..": {"sha256": "0"}}), "the plain name of a file beside"),
    ("hash", lambda d: d["files"]["sheet-1.dxf"].update(sha256=5), "sha256: got \"5\", expected text"),
    ("place", lambda d: part(d)["place"].update(cosine=0, sine=0), "a turn, whose cosine and sine are not both 0"),
    ("mirrored", lambda d: part(d)["place"].update(mirrored=1), "mirrored: got \"1\", expected true or false"),
    ("growth", lambda d: part(d)["tag"].update(growth_scale=-1), "growth_scale: got \"-1\""),
    ("kerf", lambda d: part(d)["tag"].pop("kerf_mm"), "kerf_mm: got nothing, expected a number"),
    ("role", lambda d: feature(d).update(role="hole"), "expected one of edge, opening, line, lettering, note"),
    ("operation", lambda d: feature(d).update(operation=1), "expected text or null"),
    ("width", lambda d: feature(d).update(width_mm="wide"), "expected a number or null"),
    ("flag", lambda d: feature(d).update(width_mm=True), "expected a number or null"),
    ("huge", lambda d: feature(d).update(width_mm=10**400), "expected a number or null"),
    ("bounds", lambda d: feature(d).update(cut_bounds=[1, 2, 3]), "expected four numbers or null"),
    ("datum", lambda d: feature(d).update(datum={"line": [[1, 2]]}), "{\"point\": [x, y]}"),
    ("no line", lambda d: feature(d).update(datum={"line": [[1, 2], [1, 2]]}), "{\"point\": [x, y]}"),
    ("path", lambda d: feature(d).update(finished="M 0 0 C"), "features[1] finished: got \"M 0 0 C\""),
    ("long path", lambda d: feature(d).update(finished="M 0 0 L 1e999 0"), "expected numbers that a part could have"),
    ("id", lambda d: part(d)["features"].append(part(d)["features"][0]), "expected each id once"),
    ("scale", lambda d: d["design"]["numbers"]["scale"].update(unit="ells"), "manifest.json design numbers scale"),
]  # fmt: skip


@pytest.mark.parametrize(("change", "says"), [row[1:] for row in WRONG], ids=[row[0] for row in WRONG])
def test_a_wrong_value_is_named_with_its_place(
    document: dict[str, Any], change: Callable[[dict[str, Any]], object], says: str
) -> None:
    changed = copy.deepcopy(document)
    change(changed)
    with pytest.raises(InputError) as error:
        read_manifest(json.dumps(changed).encode())
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "Expecting value"),
        (b"{", "Expecting property name"),
        (b"\xff\xfe", "utf-8"),
        (b'{"schema": NaN}', "the number NaN"),
        (b"[" * 100_000, "recursion"),
        (b"[]", "expected an object"),
        (b"{}", "manifest.json schema: got nothing, expected text"),
    ],
)
def test_what_is_no_manifest_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(InputError) as error:
        read_manifest(data)
    assert says in str(error.value)

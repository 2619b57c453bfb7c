"""Which state of a design an id stands for: read from manifests, compared with the numbers of today."""

import json
from pathlib import Path
from typing import Any

import pytest

from jiggen.errors import InputError
from jiggen.proof.known import Change, Standing, compare, earlier_file, is_earlier, read_known

NOW = "9A4A-FCDA"
BEFORE = "7F2A-91C3"


def numbers(**values: Any) -> dict[str, Any]:
    return {
        name: {"value": value, "unit": "mm" if isinstance(value, float) else None, "text": ""}
        for name, value in values.items()
    }


def write_manifest(folder: Path, design_id: str, **values: Any) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    design = {"name": "Wren", "id": design_id, "owner": "", "date": "2026-11-25", "revision": "A"}
    document = {
        "schema": "jiggen-manifest/1",
        "design": {**design, "numbers": numbers(**values)},
        "sheets": [{"parts": [{"name": "nut-rule"}, {"name": "saw-guide"}]}],
    }
    (folder / "manifest.json").write_text(json.dumps(document), encoding="utf-8")


def test_an_id_that_is_the_design_s_own_is_current(tmp_path: Path) -> None:
    found = compare(NOW, NOW, numbers(scale=628.0), read_known(tmp_path))
    assert (found.standing, found.known, found.changes) == (Standing.CURRENT, None, ())


def test_the_numbers_that_changed_are_told(tmp_path: Path) -> None:
    write_manifest(tmp_path / "wren", BEFORE, scale=628.0, nut_width=46.0, frets=18, spacing="equal", old=1.0)
    now = numbers(scale=628.0 + 4e-5, nut_width=45.0, frets=18, spacing="equal", new=2.0)
    found = compare(BEFORE, NOW, now, read_known(tmp_path))
    assert found.standing is Standing.STALE
    assert found.changes == (
        Change(name="nut_width", was=46.0, now=45.0, unit="mm"),
        Change(name="old", was=1.0, now=None, unit="mm"),
        Change(name="new", was=None, now=2.0, unit="mm"),
    )
    assert found.known is not None
    assert found.known.parts == ("nut-rule", "saw-guide")
    assert found.known.place == str(tmp_path / "wren" / "manifest.json")


@pytest.mark.parametrize(
    ("was", "now", "changed"),
    [
        ([1.0, 2.0], [1.0, 2.00001], False),
        ([1.0, 2.0], [1.0, 2.1], True),
        ([1.0], [1.0, 2.0], True),
        (True, 1, True),
        ("1", 1, True),
        (None, None, False),
    ],
)
def test_values_of_every_kind_are_compared(tmp_path: Path, was: Any, now: Any, changed: bool) -> None:  # noqa: FBT001 - a parameter
    write_manifest(tmp_path, BEFORE, number=was)
    found = compare(BEFORE, NOW, numbers(number=now), read_known(tmp_path))
    assert bool(found.changes) is changed


def test_an_id_that_nobody_knows_is_unknown(tmp_path: Path) -> None:
    write_manifest(tmp_path / "wren", BEFORE, scale=628.0)
    assert compare("0000-0000", NOW, {}, read_known(tmp_path)).standing is Standing.UNKNOWN
    assert compare("0000-0000", NOW, {}, read_known(tmp_path / "nowhere")).standing is Standing.UNKNOWN


@pytest.mark.parametrize(
    "typed", ["7F2A-91C3", "7f2a-91c3", " 7F2A91C3 ", "7F2A…", "7F2A", "7F2A-9", "7f2a..."]
)
def test_the_start_of_an_id_is_enough(tmp_path: Path, typed: str) -> None:
    write_manifest(tmp_path / "wren", BEFORE, scale=628.0)
    assert compare(typed, NOW, {}, read_known(tmp_path)).id == BEFORE


@pytest.mark.parametrize("typed", ["", "7F2", "7F2A-91C3-0", "owl", "7F2G"])
def test_what_is_no_id_is_refused(typed: str) -> None:
    with pytest.raises(InputError, match=r"--id: got .*, expected the id on a part, such as 7F2A-91C3"):
        compare(typed, NOW, {}, ())


def test_the_start_of_two_ids_is_refused(tmp_path: Path) -> None:
    write_manifest(tmp_path / "wren", "9A4A-0001", scale=628.0)
    with pytest.raises(InputError, match='--id: got "9A4A", expected one of 9A4A-0001, 9A4A-FCDA'):
        compare("9A4A", NOW, {}, read_known(tmp_path))


def test_an_id_is_kept_when_its_set_is_made_anew(tmp_path: Path) -> None:
    folder = tmp_path / "wren"
    assert earlier_file(folder, NOW) is None
    write_manifest(folder, BEFORE, nut_width=46.0)
    assert earlier_file(folder, BEFORE) is None
    kept = earlier_file(folder, NOW)
    assert kept is not None
    name, data = kept
    assert is_earlier(name)
    (folder / name).write_bytes(data)
    write_manifest(folder, NOW, nut_width=45.0)
    found = compare(BEFORE, NOW, numbers(nut_width=45.0), read_known(tmp_path))
    assert found.changes == (Change(name="nut_width", was=46.0, now=45.0, unit="mm"),)
    assert found.known is not None
    assert found.known.parts == ("nut-rule", "saw-guide")
    write_manifest(folder, BEFORE, nut_width=46.0)
    assert earlier_file(folder, NOW) is None, "it is kept already"


@pytest.mark.parametrize("text", ["{", '{"schema": "other/1"}', '{"schema": "jiggen-manifest/1"}', "[]"])
def test_a_folder_of_something_else_keeps_nothing(tmp_path: Path, text: str) -> None:
    (tmp_path / "manifest.json").write_text(text, encoding="utf-8")
    assert earlier_file(tmp_path, NOW) is None


def test_a_manifest_that_is_broken_is_named(tmp_path: Path) -> None:
    path = tmp_path / "manifest.json"
    path.write_text("{", encoding="utf-8")
    with pytest.raises(InputError, match=r"manifest\.json: got .*, expected JSON text in UTF-8"):
        read_known(tmp_path)
    path.write_text('{"schema": "jiggen-manifest/1", "design": {}}', encoding="utf-8")
    with pytest.raises(
        InputError, match=r"manifest\.json: got 'sheets', expected a manifest's design with its numbers"
    ):
        read_known(tmp_path)
    path.write_text('{"schema": "other/1"}', encoding="utf-8")
    assert read_known(tmp_path) == ()

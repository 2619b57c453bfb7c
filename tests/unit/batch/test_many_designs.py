"""Many designs in one go: the same files as one by one, whatever the number of processes, and one bad one hurts none."""

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from jiggen import reckon
from jiggen.batch import run as batch_run
from jiggen.cli.app import app
from jiggen.job import make
from jiggen.prepare import Order

CLASS = """\
owner, name,        profile,              nut,    scale
Ada,   Wren Ada,    steel-string-12-fret, 46mm,   628mm
Bram,  Plover Bram, ukulele-concert,      ,       375mm
Cleo,  Siskin Cleo, mandolin,             ,       350mm
"""


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("class.csv").write_text(CLASS, encoding="utf-8")


def ran(*more: str, file: str = "class.csv", code: int = 0) -> Result:
    """Runs a class of nut rules in this process, unless told otherwise."""
    jobs = () if "--jobs" in more else ("--jobs", "1")
    typed = ["make", file, "--only", "nut-rule", "--format", "dxf,svg", *jobs, *more]
    result = CliRunner().invoke(app, typed)
    assert result.exit_code == code, result.output
    return result


def files(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_each_set_is_the_one_that_is_made_alone() -> None:
    ran("--out", "many")
    design = 'schema = "jiggen-design/1"\nname = "Plover Bram"\nowner = "Bram"\nprofile = "ukulele-concert"\n'
    Path("bram.toml").write_text(f'{design}[neck]\nscale = "375mm"\n', encoding="utf-8")
    make(reckon.load("bram.toml"), Order(parts=("nut-rule",), formats=("dxf", "svg")), Path("alone"))
    many, alone = files(Path("many/plover-bram")), files(Path("alone/plover-bram"))
    assert many == alone
    assert set(many) == {"manifest.json", "plan.svg", "sheet-1.dxf", "sheet-1.svg"}


def test_the_number_of_processes_changes_no_byte() -> None:
    ran("--out", "one")
    ran("--out", "two", "--jobs", "2")
    one = files(Path("one"))
    assert one == files(Path("two"))
    assert {"class.html", "class/sheet-1.dxf", "wren-ada/sheet-1.svg"} <= set(one)


def test_every_part_on_the_shared_sheet_says_whose_it_is() -> None:
    ran()
    manifest = json.loads(Path("out/class/manifest.json").read_bytes())
    parts = [part for sheet in manifest["sheets"] for part in sheet["parts"]]
    assert [part["name"] for part in parts] == [
        f"{each}-nut-rule" for each in ("wren-ada", "plover-bram", "siskin-cleo")
    ]
    for part, owner in zip(parts, ("Ada", "Bram", "Cleo"), strict=True):
        lettered = [each["text"] for each in part["features"] if each["operation"] == "engrave"]
        assert any(re.search(rf"\b{owner}\b", text) for text in lettered), lettered
    assert [each["owner"] for each in manifest["designs"]] == ["Ada", "Bram", "Cleo"]
    assert [each["id"] for each in manifest["designs"]] == [part["tag"]["design_id"] for part in parts]


def test_an_owner_that_the_name_does_not_tell_is_lettered_beside_it() -> None:
    Path("class.csv").write_text(CLASS.replace("Wren Ada", "Wren"), encoding="utf-8")
    ran()
    manifest = json.loads(Path("out/class/manifest.json").read_bytes())
    first = manifest["sheets"][0]["parts"][0]
    assert first["tag"]["design_name"] == "Wren · Ada"
    assert any("Wren · Ada" in each["text"] for each in first["features"])


def test_shared_sheets_are_held_to_each_designs_own_frets() -> None:
    ran("--only", "fret-rule")
    from jiggen.proof.manifest import read_manifest

    manifest = read_manifest(Path("out/class/manifest.json").read_bytes())
    scales = [part.scale_mm for sheet in manifest.sheets for part in sheet.parts]
    assert sorted(scales, key=str) == [350.0, 375.0, 628.0]
    result = CliRunner().invoke(app, ["proof", "out/class"])
    assert result.exit_code == 0, result.output


def test_that_each_set_counts_on_the_whole_stock_is_said_where_there_is_one() -> None:
    result = ran("--stock", "700x300mm")
    assert "is laid on the whole stock, as if nothing else were cut from it" in result.stderr
    assert "is laid on the whole stock" in Path("out/class.html").read_text(encoding="utf-8")
    assert "stock" not in ran("--again").output


def test_a_fault_on_a_shared_sheet_is_found() -> None:
    ran()
    sheet = Path("out/class/sheet-1.svg")
    text = sheet.read_text(encoding="utf-8")
    cut = re.search(r'<g[^>]*id="cut-edge".*?</g>', text, re.DOTALL)
    assert cut
    sheet.write_text(text.replace(cut[0], "", 1), encoding="utf-8")
    result = CliRunner().invoke(app, ["proof", "out/class"])
    assert result.exit_code != 0
    assert "siskin-cleo-nut-rule" in result.output


def test_a_bad_design_is_named_and_the_others_are_made() -> None:
    Path("class.csv").write_text(CLASS.replace("375mm", "375quux"), encoding="utf-8")
    result = ran(code=2)
    assert "class.csv, line 3, column 5 (scale)" in result.stderr
    assert '"375quux"' in result.stderr
    assert "2 made, 1 failed" in result.stdout
    assert sorted(each.name for each in Path("out").iterdir() if each.is_dir()) == [
        "class",
        "siskin-cleo",
        "wren-ada",
    ]
    assert "375quux" in Path("out/class.html").read_text(encoding="utf-8")


def test_a_second_run_makes_only_what_changed() -> None:
    ran()
    before = {name: Path(name).stat().st_ino for name in ("out/wren-ada", "out/siskin-cleo", "out/class")}
    assert "3 kept" in ran().stdout
    assert before == {name: Path(name).stat().st_ino for name in before}
    Path("class.csv").write_text(CLASS.replace("350mm", "352mm"), encoding="utf-8")
    result = ran()
    assert "1 made, 2 kept" in result.stdout
    after = {name: Path(name).stat().st_ino for name in before}
    assert [name for name in before if before[name] != after[name]] == ["out/siskin-cleo", "out/class"]


def test_all_is_made_again_when_asked_or_when_the_order_changed() -> None:
    ran()
    assert "3 made" in ran("--again").stdout
    assert "3 made" in ran("--material", "cast-acrylic-2").stdout


def test_a_set_that_lost_a_file_is_made_again() -> None:
    ran()
    Path("out/wren-ada/sheet-1.dxf").unlink()
    assert "1 made, 2 kept" in ran().stdout
    assert Path("out/wren-ada/sheet-1.dxf").exists()


def test_what_a_run_says_of_a_design_is_said_again_when_it_is_kept() -> None:
    ran("--no-proof")
    again = ran("--no-proof")
    assert "3 kept" in again.stdout
    assert again.stderr.count("not proved") == 3


def test_what_is_to_know_of_shared_sheets_is_said_and_stands_on_the_page_also_when_they_are_kept() -> None:
    for state in ("made", "kept, since nothing changed"):
        said = ran("--tabs", "1mm").stdout
        assert f": {state}\n" in said
        told = next(line for line in said.splitlines() if line.startswith("class: tabs of 1.00 mm hold "))
        assert "wren-ada-nut-rule (3)" in told
        assert f"<li>{told}</li>" in Path("out/class.html").read_text(encoding="utf-8")


def test_after_an_interruption_the_next_run_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    real = batch_run.make_one

    def stop_at_the_last(task: batch_run.Task) -> object:
        if task.design.owner == "Cleo":
            raise KeyboardInterrupt
        return real(task)

    monkeypatch.setattr(batch_run, "make_one", stop_at_the_last)
    ran(code=1)
    assert sorted(each.name for each in Path("out").iterdir()) == ["class.json", "plover-bram", "wren-ada"]
    monkeypatch.setattr(batch_run, "make_one", real)
    assert "1 made, 2 kept" in ran().stdout


@pytest.mark.parametrize("taken", ["Wren Ada", "class", "Class 2"])
def test_two_sets_never_share_a_folder(taken: str) -> None:
    Path("class.csv").write_text(CLASS.replace("Plover Bram", taken), encoding="utf-8")
    result = ran(code=2)
    assert "a name of its own for each design" in result.stderr
    assert "2 made, 1 failed" in result.stdout


def test_a_page_of_the_makers_own_stays() -> None:
    Path("out").mkdir()
    Path("out/class.html").write_text("<p>mine</p>", encoding="utf-8")
    assert "a file that jiggen did not write" in ran(code=2).stderr
    assert Path("out/class.html").read_text(encoding="utf-8") == "<p>mine</p>"


def test_parts_in_another_material_lie_on_sheets_of_their_own() -> None:
    head, *rows = CLASS.splitlines()
    materials = ("cast-acrylic-3", "cast-acrylic-2", "cast-acrylic-3")
    lines = [f"{row}, {each}" for row, each in zip(rows, materials, strict=True)]
    Path("class.csv").write_text("\n".join([f"{head}, make.material", *lines]), encoding="utf-8")
    ran()
    tags = {
        folder: [
            part["tag"]["design_name"]
            for sheet in json.loads(Path(f"out/{folder}/manifest.json").read_bytes())["sheets"]
            for part in sheet["parts"]
        ]
        for folder in ("class-1", "class-2")
    }
    assert tags == {"class-1": ["Wren Ada", "Siskin Cleo"], "class-2": ["Plover Bram"]}


def test_a_family_has_one_rule_for_each_value() -> None:
    design = 'schema = "jiggen-design/1"\nname = "Wren"\nprofile = "steel-string-12-fret"\n'
    Path("wren.toml").write_text(design, encoding="utf-8")
    ran("--vary", "nut=42mm:44mm:0.5mm", file="wren.toml")
    manifest = json.loads(Path("out/wren-by-nut/manifest.json").read_bytes())
    assert [each["numbers"]["nut_width"]["value"] for each in manifest["designs"]] == [
        42.0,
        42.5,
        43.0,
        43.5,
        44.0,
    ]
    parts = [part for sheet in manifest["sheets"] for part in sheet["parts"]]
    for part, value in zip(parts, ("42", "42.5", "43", "43.5", "44"), strict=True):
        assert any(f"Wren nut {value} mm" in each["text"] for each in part["features"])


@pytest.mark.parametrize(
    ("vary", "complaint"),
    [
        ("nut", "KEY=FROM:TO:STEP"),
        ("nutt=42mm:46mm:1mm", '"nutt"'),
        ("nut=46mm:42mm:1mm", "a first value, a larger last one"),
        ("nut=42mm:46mm:0mm", "a step above nought"),
        ("nut=42mm:46mm:3mm", "a whole number of them"),
        ("nut=42mm:46mm:0.01mm", "at most 99"),
        ("nut=42mm:46quux:1mm", "quux"),
    ],
)
def test_a_family_that_cannot_be_is_refused(vary: str, complaint: str) -> None:
    design = 'schema = "jiggen-design/1"\nname = "Wren"\nprofile = "steel-string-12-fret"\n'
    Path("wren.toml").write_text(design, encoding="utf-8")
    result = ran("--vary", vary, file="wren.toml", code=2)
    assert "--vary" in result.stderr
    assert complaint in result.stderr
    assert not Path("out").exists()

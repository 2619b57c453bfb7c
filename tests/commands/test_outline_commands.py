"""Outlines that are brought along, as rows: each a run of the program itself, in a folder with a design and its files."""

import json
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from support.brought import figure, head

ROOT = Path(__file__).parents[2]
DESIGN = 'schema = "jiggen-design/1"\nname = "Wren"\nprofile = "wren"\n'
TABLE = "x (mm), half-width (mm)\n0, 0\n20, 85\n60, 117\n96, 125\n150, 112\n192, 105\n250, 128\n310, 160\n353, 170\n"
TABLE += "410, 155\n450, 110\n470, 60\n480, 0\n"
BODY = DESIGN + '[body]\noutline = "drawn/body.csv"\n'
PARTS = "body-template,body-half-template,headstock-template"


@dataclass(frozen=True)
class Row:
    """One run: what is typed, what `wren.toml` says, and what comes of it."""

    typed: str
    design: str
    exit_code: int = 0
    says: tuple[str, ...] = ()
    complains: tuple[str, ...] = ()
    leaves: tuple[str, ...] = ()


ROWS = [
    Row(
        "layout wren.toml",
        BODY,
        says=("body.csv: 479.99 mm long, 340.", "area of the body", "waist, tightest radius"),
    ),
    Row(
        "layout wren.toml --explain",
        BODY,
        says=("length of the body = tail − neck end", "(measured from body.csv)"),
    ),
    Row("layout wren.toml --json", BODY, says=('"outlines"', '"body.outline"', '"sha256"', '"residual"')),
    Row(
        "layout wren.toml",
        BODY + 'length = "470mm"\n',
        2,
        complains=(
            "wren.toml, line 6, body.length: got body.length 470mm and 479.99 mm in body.csv",
            "disagree by 9.991 mm",
        ),
    ),
    Row(
        "layout wren.toml",
        DESIGN
        + '[body]\noutline = { file = "drawn/body.csv", scale-to = "body-length 470 mm" }\nlength = "470mm"\n',
        says=("body.csv: 470.00 mm long", "scaled by 0.979"),
    ),
    Row(
        "layout wren.toml",
        BODY.replace("body.csv", "owl.csv"),
        2,
        complains=("wren.toml, line 5, body.outline, drawn/owl.csv: got no such file",),
    ),
    Row(
        "make wren.toml",
        DESIGN + '[head]\noutline = "drawn/broken.csv"\n',
        2,
        complains=("wren.toml, line 5, head.outline, drawn/broken.csv, line 3, column 2 (half-width)",),
    ),
    Row(
        f"make wren.toml --only {PARTS}",
        BODY,
        says=("proved: ", "no fault", "body-half-template"),
        leaves=("out/wren/sheet-1.dxf", "out/wren/manifest.json"),
    ),
    Row(
        f"make wren.toml --only {PARTS}",
        DESIGN + '[head]\noutline = "drawn/head.csv"\n',
        says=("proved: ", "no fault", "headstock-template"),
    ),
    Row(
        "make wren.toml --only body-template",
        DESIGN + '[body]\noutline = "drawn/uneven.csv"\n',
        says=("proved: ",),
    ),
    Row(
        "make wren.toml --only body-half-template",
        DESIGN + '[body]\noutline = "drawn/uneven.csv"\n[strings]\nleft-handed = true\n',
        says=("body-half-template-bass, body-half-template-treble", "proved: "),
    ),
    Row(
        "make wren.toml --only body-template --vary nut=45mm:46mm:1mm",
        BODY,
        says=("proved: ", "wrote"),
    ),
    Row(
        f"make wren.toml --only {PARTS}",
        DESIGN + '[head]\noutline = "drawn/head.svg"\n[body]\noutline = "drawn/body.svg"\nlength = "480mm"\n',
        says=("proved: ", "headstock-template, body-template, body-half-template"),
    ),
    Row(
        "make wren.toml --only body-half-template",
        DESIGN
        + '[body]\noutline = { file = "drawn/wide.svg", axis = "y at 170 mm" }\nlower-bout = "352 mm"\n',
        says=("body-half-template-bass, body-half-template-treble", "proved: "),
    ),
    Row(
        "make wren.toml --only mould,bending-form",
        DESIGN + '[body]\noutline = "drawn/body.svg"\n[mould]\nlayers = 1\ndepth = "80mm"\n',
        says=("mould", "proved: "),
    ),
    Row(
        "layout wren.toml",
        DESIGN + '[body]\noutline = "wren.toml"\n',
        2,
        complains=("wren.toml, line 5, body.outline, wren.toml",),
    ),
    Row(
        "make lists/class.csv --from wren.toml --only body-half-template",
        BODY,
        says=("2 made", "class: proved: "),
        leaves=("out/wren-ada/manifest.json", "out/wren-bram/manifest.json"),
    ),
]


def put(folder: Path, design: str) -> None:
    (folder / "wren.toml").write_text(design, encoding="utf-8")
    drawn = folder / "drawn"
    drawn.mkdir()
    (drawn / "body.csv").write_text(TABLE, encoding="utf-8")
    (drawn / "broken.csv").write_text(TABLE.replace("20, 85", "20, 8S"), encoding="utf-8")
    lines = TABLE.splitlines()[1:]
    (drawn / "uneven.csv").write_text(
        "x (mm), half-width (mm), other-half-width (mm)\n"
        + "".join(f"{line}, {float(line.split(',')[1]) * 0.97:g}\n" for line in lines),
        encoding="utf-8",
    )
    (drawn / "head.csv").write_text(
        "x (mm), half-width (mm)\n0, 23\n10, 23.2\n20, 28\n30, 34\n40, 37\n80, 35.5\n120, 33\n160, 31\n170, 30.6\n",
        encoding="utf-8",
    )
    (drawn / "body.svg").write_text(figure(), encoding="utf-8")
    (drawn / "wide.svg").write_text(figure(352.0), encoding="utf-8")
    (drawn / "head.svg").write_text(head(), encoding="utf-8")
    (folder / "lists").mkdir()
    (folder / "lists" / "class.csv").write_text("owner, nut\nAda, 45mm\nBram, 46mm\n", encoding="utf-8")


def run(folder: Path, *typed: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "jiggen", *typed],
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        env={"PATH": "", "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
    )


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row.typed} {len(row.design)}")
def test_command(row: Row, tmp_path: Path):
    put(tmp_path, row.design)
    done = run(tmp_path, *row.typed.split())
    assert done.returncode == row.exit_code, done.stdout + done.stderr
    assert [each for each in row.says if each not in done.stdout] == [], done.stdout
    assert [each for each in row.complains if each not in done.stderr] == [], done.stderr
    assert "Traceback" not in done.stderr
    assert [each for each in row.leaves if not (tmp_path / each).is_file()] == []


def test_the_sample_that_readme_names_makes_all_its_parts(tmp_path):
    design = ROOT / "tests" / "support" / "outlines" / "lapwing.toml"
    done = run(tmp_path, "make", str(design), "--only", "all", "--format", "dxf,svg")
    assert done.returncode == 0, done.stderr
    assert "no fault" in done.stdout
    assert "words are no outline" in done.stderr
    manifest = json.loads((tmp_path / "out" / "lapwing" / "manifest.json").read_text(encoding="utf-8"))
    parts = {part["name"]: part for sheet in manifest["sheets"] for part in sheet["parts"]}
    assert {
        "body-template",
        "body-half-template-bass",
        "body-half-template-treble",
        "headstock-template",
    } <= set(parts)
    assert "inner.1" in {feature["id"] for feature in parts["body-template"]["features"]}
    numbers = manifest["design"]["numbers"]
    assert numbers["body_lower_bout"]["source"] == "measured from lapwing-body.svg"
    assert numbers["body_lower_bout"]["value"] == pytest.approx(300.0, abs=0.05)


def test_a_set_is_proved_again_without_the_file_and_grows_stale_when_that_changes(tmp_path):
    put(tmp_path, BODY)
    assert run(tmp_path, "make", "wren.toml", "--only", "body-template").returncode == 0
    manifest = json.loads((tmp_path / "out" / "wren" / "manifest.json").read_text(encoding="utf-8"))
    asking = ("proof", "wren.toml", "--id", manifest["design"]["id"])
    assert "is current" in run(tmp_path, *asking).stdout
    file = tmp_path / "drawn" / "body.csv"
    file.write_text(TABLE.replace("170\n", "171\n"), encoding="utf-8")
    stale = run(tmp_path, *asking)
    assert (stale.returncode, "is stale" in stale.stdout) == (2, True), stale.stdout + stale.stderr
    assert re.search(
        r"^body outline +body.csv, SHA-256 [0-9a-f]{64} +body.csv, SHA-256 ", stale.stdout, re.MULTILINE
    )
    file.unlink()
    proved = run(tmp_path, "proof", "out/wren")
    assert (proved.returncode, "proved: " in proved.stdout) == (0, True)


def test_no_file_of_a_set_tells_where_the_outline_lay(tmp_path):
    put(tmp_path, BODY.replace("drawn/body.csv", str(tmp_path / "drawn" / "body.csv")))
    assert run(tmp_path, "make", "wren.toml", "--only", "body-template").returncode == 0
    for file in (tmp_path / "out" / "wren").iterdir():
        assert str(tmp_path).encode() not in file.read_bytes(), file.name


def test_only_designs_with_an_outline_load_what_reads_one(tmp_path):
    put(tmp_path, DESIGN)
    told = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "jiggen", "layout", "wren.toml"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": "", "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1"},
    ).stderr
    loaded = {
        line.rpartition("|")[2].strip() for line in told.splitlines() if line.startswith("import time:")
    }
    assert "jiggen.layout.body" in loaded
    heavy = {"numpy", "shapely", "ezdxf", "svgelements", "jiggen.outlines.read"}
    assert {name for name in loaded if name in heavy or name.partition(".")[0] in heavy} == set()

"""Every command, as rows: what is typed, the exit code it ends with, what it says and where, what it leaves on disk."""

import json
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner

from jiggen import __version__
from jiggen.cli.app import COMMANDS, app
from jiggen.design.read import read_design

START = "start --nut 46mm --spread 57mm --scale 628mm --name Wren"


@dataclass(frozen=True)
class Row:
    """One call of the program, in an empty folder that holds `wren.toml`, `bench.csv` or `out/wren` when given."""

    typed: str
    exit_code: int = 0
    says: str = ""  # on standard output
    complains: str = ""  # on standard error
    leaves: tuple[str, ...] = ()  # files that are there afterwards
    design: str | None = None
    bench: str | None = None
    made: bool = False  # whether a nut rule of `PLAIN` has been made in `out/wren`


PLAIN = """\
schema = "jiggen-design/1"
name = "Wren"
profile = "six-string-guitar"
[neck]
scale = "628mm"
nut-width = "46mm"
[strings]
spread-at-bridge = "57mm"
"""

FANNED = PLAIN.replace('scale = "628mm"', 'scale-bass = "686mm"\nscale-treble = "648mm"\nstraight-fret = 7')
THUMB = PLAIN + '[setup]\nfamily = "steel-guitar"\n'
SILENCE = PLAIN.replace("[neck]", 'silence = ["wide-nut"]\n[neck]')
DISAGREEING = PLAIN + 'spread-at-nut = "40mm"\nsetback = "3.5mm"\n'

BENCH = """\
fret, distance, unit
1, 35.3, mm
5, 157.5, mm
7, 208.8, mm
9, 245.6, mm
12, 314.0, mm
12, 12.36in
15, 364.0, mm
18, 406.0, mm
width@nut, 46.1, mm
width@12, 54.9, mm
spread@bridge, 57, mm
"""

COUPON = """\
gauge, reading, unit
kerf, 0.2, mm
tongue.x.5, 4.99, mm
slot.x.5, 4.96, mm
tongue.y.12, 12.02, mm
slot.y.12, 11.97, mm
blocks.x, 56.12, mm
blocks.x, 56.13, mm
plate.x, 99.95, mm
plate.x, 99.96, mm
plate.y, 100.06, mm
plate.y, 100.07, mm
plate.y, 110.07, mm
diagonal.rising, 141.39, mm
diagonal.falling, 141.46, mm
"""

STATIONS = """\
x (mm), half-width (mm), other-half-width (mm)
0, 0, 0
50, 110, 108
120, 125, 124
200, 100, 101
300, 160, 162
380, 175, 175
450, 120, 119
480, 0, 0
"""

MEASURED = """\
feature, reading, unit
5, 157.55, mm
7, 208.84, mm
9, 254.61, mm
12, 314.01, mm
12, 314.00, mm
15, 363.95, mm
saddle, 628.0, mm
width@nut, 46.02, mm
saw-guide/length, 452.97, mm
"""

ROWS = [
    Row("--version", says=f"jiggen {__version__}\n"),
    Row("--help", says="start"),
    Row("start --help", says="--nut"),
    Row("layout --help", says="--json"),
    Row("make --help", says="--only"),
    Row("page --help", says="--no-browser"),
    Row("page nowhere.toml", exit_code=2, complains="nowhere.toml"),
    Row("page --port 99999", exit_code=2, complains="--port"),
    Row("", exit_code=2, complains="Usage"),
    Row("paint", exit_code=2, complains="No such command 'paint'"),
    Row(START, says="scale length", complains="wrote wren.toml", leaves=("wren.toml",)),
    Row(START, exit_code=2, complains="wren.toml", design=PLAIN),
    Row(f"{START} --replace", complains="wrote wren.toml", design=PLAIN),
    Row(f"{START} --file birds.toml", leaves=("birds.toml",)),
    Row(f"{START} --profile nightingale", exit_code=2, complains="nightingale"),
    Row("start --nut 46 --spread 57mm --scale 628mm --name Wren", exit_code=2, complains="--nut"),
    Row("start --nut 46mm --spread=-3mm --scale 628mm --name Wren", exit_code=2, complains="--spread"),
    Row("start --nut 46mm --spread 57mm --scale nan --name Wren", exit_code=2, complains="--scale"),
    Row("start --nut 46mm --scale 628mm --name Wren", exit_code=2, complains="--spread"),
    Row("start --name Wren", exit_code=2, complains="--scale"),
    Row("start --profile mandolin --name Siskin", says="350.00 mm", leaves=("siskin.toml",)),
    Row(f"{START} --frets 19 --strings 7 --setback 3.5mm --left-handed", says="7", leaves=("wren.toml",)),
    Row(f"{START} --strings 99", exit_code=2, complains="--strings"),
    Row(
        "start --fanned 890mm 838mm --straight-fret 7 --strings 5 --nut 46mm --spread 72mm --name Heron",
        says="skew",
        leaves=("heron.toml",),
    ),
    Row("start --fanned 890 838mm --nut 46mm --spread 72mm --name H", exit_code=2, complains="--fanned"),
    Row(f"{START} --fanned 890mm 838mm", exit_code=2, complains="either one scale or two"),
    Row("start --measured bench.csv --name Wren", says="slip, left out: bench.csv, line 5", bench=BENCH),
    Row("start --measured bench.csv --name Wren --json", says='"jiggen-start/1"', bench=BENCH),
    Row("start --measured bench.csv --name Wren --frets 20", says="20", bench=BENCH),
    Row("start --measured bench.csv --name Wren --nut 46mm", exit_code=2, complains="--nut", bench=BENCH),
    Row(
        "start --measured bench.csv --name Wren --scale 628mm", exit_code=2, complains="--scale", bench=BENCH
    ),
    Row(
        "start --measured bench.csv --name W",
        exit_code=2,
        complains="line 2, column 2",
        bench="1,35.3\n2,x,mm",
    ),
    Row(
        "start --measured bench.csv --name W",
        exit_code=2,
        complains="bench.csv, the readings",
        bench="1,35mm",
    ),
    Row("start --measured bnech.csv --name W", exit_code=2, complains="Did you mean bench.csv?", bench=BENCH),
    Row("outline --help", says="--scale-to"),
    Row("outline bench.csv", says="curve farther out by", bench=STATIONS),
    Row("outline bench.csv --json", says='"jiggen-outline/1"', bench=STATIONS),
    Row("outline bench.csv --scale-to length=500mm", says="500.00 mm", bench=STATIONS),
    Row("outline bench.csv --svg body.svg", complains="wrote body.svg", bench=STATIONS, leaves=("body.svg",)),
    Row("outline bench.csv --svg bench.csv", exit_code=2, complains="bench.csv", bench=STATIONS),
    Row("outline bench.csv --scale-to 480mm", exit_code=2, complains="--scale-to", bench=STATIONS),
    Row("outline bench.csv --axis z", exit_code=2, complains="--axis", bench=STATIONS),
    Row("outline bench.csv --units furlong", exit_code=2, complains="--units", bench=STATIONS),
    Row("outline bench.csv", exit_code=2, complains="does not say its units", bench="0,0\n1,3\n2,4\n3,0"),
    Row("outline body.svg", exit_code=2, complains="body.svg: got no such file"),
    Row("layout wren.toml", says="314.000", design=PLAIN),
    Row("layout wren.toml --explain", says="fret 12 = scale × (1 − 2^(−n/12))", design=PLAIN),
    Row("layout wren.toml --rule-of-thumb", says="by rule-of-thumb", complains="rule of thumb", design=THUMB),
    Row("layout wren.toml --rule-of-thumb", exit_code=2, complains="setup.family", design=PLAIN),
    Row(
        "layout wren.toml",
        exit_code=2,
        complains="Did you mean steel-guitar",
        design=PLAIN + '[setup]\nfamily = "steel-guitr"\n',
    ),
    Row("layout wren.toml", says="skew", design=FANNED),
    Row(
        "layout wren.toml",
        complains="[wide-nut]",
        design=PLAIN.replace("46mm", "70mm").replace("57mm", "80mm"),
    ),
    Row(
        "layout wren.toml",
        exit_code=2,
        complains="Did you mean wide-nut",
        design=SILENCE.replace("wide", "wied"),
    ),
    Row("layout wren.toml", exit_code=2, complains="disagree by 1.000 mm", design=DISAGREEING),
    Row("make wren.toml", says="saw-guide", design=FANNED, leaves=("out/wren/sheet-1.dxf",)),
    Row("make wren.toml --only fret-slot-guide", exit_code=2, complains="use the saw-guide", design=FANNED),
    Row("layout wren.toml", exit_code=2, complains="wren.toml"),
    Row(
        "layout wren.toml", exit_code=2, complains="nut-widht", design=PLAIN.replace("nut-width", "nut-widht")
    ),
    Row(
        "layout wren.toml", exit_code=2, complains="line 5", design=PLAIN.replace('"628mm"', '"628 furlongs"')
    ),
    Row("layout wren.toml", exit_code=2, complains="line 2", design=PLAIN.replace('"Wren"', '"Wren')),
    Row(
        "make wren.toml",
        says="proved",
        complains="caution",
        design=PLAIN,
        leaves=tuple(
            f"out/wren/{name}" for name in ("sheet-1.dxf", "sheet-1.svg", "preview.png", "manifest.json")
        ),
    ),
    Row("make wren.toml --out elsewhere", design=PLAIN, leaves=("elsewhere/wren/manifest.json",)),
    Row("make wren.toml --only nut-rule", says="nut-rule", design=PLAIN, leaves=("out/wren/sheet-1.dxf",)),
    Row(
        "make wren.toml --only nut-rule --tabs 1mm",
        says="tabs of 1.00 mm hold nut-rule (3) in the sheet",
        design=PLAIN,
        leaves=("out/wren/sheet-1.dxf",),
    ),
    Row("make wren.toml --tabs wide", exit_code=2, complains='--tabs: got "wide"', design=PLAIN),
    Row("make --list", says="bridge-locator"),
    Row("make --list", says="needs bridge.length, bridge.width, bridge.front"),
    Row("make --list", says="every one that the neck can have"),
    Row(
        "make wren.toml --only truss-rod-guide",
        exit_code=2,
        complains="truss-rod.length, for part truss-rod-guide: got nothing",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --only all --format svg",
        says="set-up-card",
        design=PLAIN + '[setup]\naction = "1.9mm"\nnut-height = "0.5mm"\n',
        leaves=("out/wren/sheet-1.svg",),
    ),
    Row("make wren.toml --only nut-ruler", exit_code=2, complains="'nut-ruler'", design=PLAIN),
    Row("make wren.toml --format svg", design=PLAIN, leaves=("out/wren/sheet-1.svg",)),
    Row("make wren.toml --format docx", exit_code=2, complains="'docx'", design=PLAIN),
    Row("make wren.toml --machine loom", exit_code=2, complains="loom", design=PLAIN),
    Row("make wren.toml --material oatmeal", exit_code=2, complains="oatmeal", design=PLAIN),
    Row("make owl.toml", exit_code=2, complains="owl.toml"),
    Row(
        "make wren.toml --format pdf,ticket",
        design=PLAIN,
        leaves=tuple(
            f"out/wren/{name}" for name in ("sheet-1.pdf", "plan.pdf", "plan-tiles.pdf", "ticket.html")
        ),
    ),
    Row("make wren.toml --format svg,png", design=PLAIN, leaves=("out/wren/plan.svg", "out/wren/plan.png")),
    Row(
        "make wren.toml --dxf-version r12 --dxf-entities segments --format dxf",
        complains="R12 cannot store its unit",
        design=PLAIN,
        leaves=("out/wren/sheet-1.dxf",),
    ),
    Row("make wren.toml --dxf-entities primitives --format dxf", says="no fault", design=PLAIN),
    Row("make wren.toml --check-line --format dxf,svg", says="no fault", design=PLAIN),
    Row("make wren.toml --dxf-version r14", exit_code=2, complains="Did you mean r12?", design=PLAIN),
    Row("make wren.toml --dpi 5", exit_code=2, complains="--dpi: got 5", design=PLAIN),
    Row("make wren.toml --dpi 3000 --format png", exit_code=2, complains="--dpi: got 3000", design=PLAIN),
    Row("make wren.toml --paper letter --format pdf", design=PLAIN, leaves=("out/wren/plan-tiles.pdf",)),
    Row("make wren.toml --paper foolscap", exit_code=2, complains="one of a4, a3", design=PLAIN),
    Row("schema", says='"urn:jiggen:design:1"'),
    Row("schema manifest", says='"urn:jiggen:manifest:1"'),
    Row("schema dsign", exit_code=2, complains="Did you mean design?"),
    Row("make wren.toml --only nut-rule --allow line-gap", says="proved", design=PLAIN),
    Row("make wren.toml --allow line-gab", exit_code=2, complains="Did you mean line-gap?", design=PLAIN),
    Row(
        "make wren.toml --allow thin-web", exit_code=2, complains="thin-web, which is an error", design=PLAIN
    ),
    Row("make wren.toml --material pvc-3", exit_code=2, complains="hydrogen chloride", design=PLAIN),
    Row(
        "make wren.toml --material polycarbonate-3", exit_code=2, complains="discolours, chars", design=PLAIN
    ),
    Row("make wren.toml --machine paper --material pvc-3", says="proved", complains="", design=PLAIN),
    Row("make wren.toml --stock 700x300mm,480x180mm*2", says="700 × 300 mm", design=PLAIN),
    Row("make wren.toml --stock 600x400mm --only fret-slot-guide", says="proved", design=PLAIN),  # on a slant
    Row("make wren.toml --stock 700x200", exit_code=2, complains="--stock", design=PLAIN),
    Row("make wren.toml --stock 480x180mm", exit_code=2, complains="plan-template", design=PLAIN),
    Row(
        "make wren.toml --machine small-laser --no-split",
        exit_code=2,
        complains="larger machine",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --machine small-laser --only saw-guide,plan-template --format svg",
        says="mm, is made in 2 pieces, joined A at",
        design=PLAIN,
        leaves=("out/wren/sheet-1.svg",),
    ),
    Row(
        "make wren.toml --only saw-guide --split-at saw-guide=314mm",
        exit_code=2,
        complains="--split-at saw-guide: got 314 mm, where fret.12, number.12.bass, number.12.treble are in",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --only nut-rule --split-at saw-guide=200mm",
        exit_code=2,
        complains="expected one of the parts that are made: nut-rule",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --split-at saw-guide",
        exit_code=2,
        complains="such as plan-template=320mm",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --no-split --split-at saw-guide=200mm",
        exit_code=2,
        complains="--no-split: got --split-at beside it",
        design=PLAIN,
    ),
    Row(
        "caliper wren.toml --blank half.csv --part saw-guide-1-of-2 --machine small-laser",
        complains="wrote half.csv",
        design=PLAIN,
        leaves=("half.csv",),
    ),
    Row(
        "make wren.toml --only plan-template",
        says="marks under: plan-template",
        complains="IEC 60825-1, ANSI Z136.1",
        design=PLAIN,
    ),
    Row(
        "make wren.toml --only nut-rule",
        says="fret 12 1.2 cents flat",
        design=f'{PLAIN}[make]\ncut-temperature = "30 °C"\n',
    ),
    Row("make wren.toml", exit_code=2, complains="[make]", design=f'{PLAIN}[make]\nguide = "17mm"\n'),
    Row(
        "make wren.toml --only truss-rod-guide",
        exit_code=2,
        complains="feature slot, router pattern: got an inside radius of 3.00 mm",
        design=f'{PLAIN}[truss-rod]\nlength = "360mm"\nwidth = "6mm"\n[make]\nguide = "17mm"\nbit = "12mm"\n',
    ),
    Row(
        "make wren.toml --only board-template,nut-rule",
        says="proved",
        design=f'{PLAIN}[make]\nguide = "17mm"\nbit = "12mm"\n',
    ),
    Row("make wren.toml --only nut-rule --no-proof", says="not proved", design=PLAIN),
    Row("proof --help", says="--every-row"),
    Row("proof out/wren", says="proved: ", made=True),
    Row("proof out/wren --every-row", says="string.1.nut", made=True),
    Row("proof out/wren --json", says='"jiggen-proof/1"', made=True),
    Row("proof out", exit_code=2, complains="got no manifest.json, expected the folder of a job", made=True),
    Row("proof out/wren --file out/wren/sheet-1.svg", says="the parts serve: ", made=True),
    Row("proof out/wren --file wren.toml", exit_code=2, complains=".dxf, .svg", design=PLAIN, made=True),
    Row("proof out/wren --file owl.svg", exit_code=2, complains="owl.svg", made=True),
    Row(
        "proof wren.toml --id ABCD", exit_code=2, says="no manifest in out knows it", design=PLAIN, made=True
    ),
    Row("proof wren.toml --id ABCD --json", exit_code=2, says='"unknown"', design=PLAIN),
    Row("proof wren.toml --id owl", exit_code=2, complains='"owl", expected the id on a part', design=PLAIN),
    Row("proof wren.toml --id ABCD --file a.svg", exit_code=2, complains="one or the other", design=PLAIN),
    Row("caliper --help", says="--blank"),
    Row(
        "caliper wren.toml --blank b.csv",
        complains="fill it in, then: jiggen",
        leaves=("b.csv",),
        design=PLAIN,
    ),
    Row("caliper wren.toml --blank b.csv --part saw-guide", leaves=("b.csv",), design=PLAIN),
    Row("caliper wren.toml --blank b.csv --part saw-gide", exit_code=2, complains="--part", design=PLAIN),
    Row("caliper wren.toml --blank bench.csv", exit_code=2, complains="exists", design=PLAIN, bench=MEASURED),
    Row(
        "caliper wren.toml bench.csv",
        says="leave it, neck: no fret that follows the others is off by more than 0.",
        complains="wrote wren-caliper.svg",
        leaves=("wren-caliper.svg", "wren-caliper.html"),
        design=PLAIN,
        bench=MEASURED,
    ),
    Row("caliper wren.toml bench.csv --json", says='"jiggen-caliper/1"', design=PLAIN, bench=MEASURED),
    Row("caliper wren.toml bench.csv --resolution 0.5mm", says="unsure", design=PLAIN, bench=MEASURED),
    Row(
        "caliper wren.toml bench.csv --into owl",
        exit_code=2,
        complains="--into",
        design=PLAIN,
        bench=MEASURED,
    ),
    Row("caliper wren.toml", exit_code=2, complains="neither READINGS nor --blank", design=PLAIN),
    Row(
        "caliper wren.toml bench.csv --blank b.csv",
        exit_code=2,
        complains="one of them",
        design=PLAIN,
        bench=MEASURED,
    ),
    Row("caliper wren.toml owl.csv", exit_code=2, complains="owl.csv", design=PLAIN),
    Row(
        "caliper wren.toml bench.csv", exit_code=2, complains="column 1 (feature)", design=PLAIN, bench=COUPON
    ),
    Row(
        "caliper wren.toml bench.csv --material oatmeal",
        exit_code=2,
        complains="oatmeal",
        design=PLAIN,
        bench=MEASURED,
    ),
    Row(
        "coupon",
        says="proved",
        complains="caution",
        leaves=tuple(
            f"out/coupon-cast-acrylic-3-large-laser/{name}" for name in ("sheet-1.dxf", "sheet-1.svg")
        ),
    ),
    Row("coupon --help", says="--keep-readings"),
    Row("coupon wren.toml --machine small-laser --material mdf-3", says="coupon", design=PLAIN),
    Row("coupon --material pvc-3", exit_code=2, complains="hydrogen chloride"),
    Row("coupon owl.toml", exit_code=2, complains="owl.toml"),
    Row("coupon --blank readings.csv", complains="wrote readings.csv", leaves=("readings.csv",)),
    Row("coupon --blank bench.csv", exit_code=2, complains="a file that exists", bench=COUPON),
    Row("coupon --blank bench.csv --replace", complains="wrote bench.csv", bench=COUPON),
    Row("coupon --blank a.csv --readings bench.csv", exit_code=2, complains="one of them", bench=COUPON),
    Row(
        "coupon --readings bench.csv --into mine --keep-readings",
        says="slip         plate.y: 110.07 mm read",
        complains="wrote",
        bench=COUPON,
        leaves=(
            "mine/materials/cast-acrylic-3.toml",
            "mine/materials/cast-acrylic-3-large-laser-2026-11-25.csv",
        ),
    ),
    Row("coupon --readings bench.csv --into mine --json", says='"jiggen-coupon/1"', bench=COUPON),
    Row("coupon --readings owl.csv --into mine", exit_code=2, complains="owl.csv"),
    Row("coupon --readings bench.csv --into mine", exit_code=2, complains="line 2, column 1", bench=BENCH),
    Row(
        "coupon --readings bench.csv --into mine",
        exit_code=2,
        complains="the kerf lettered on the coupon",
        bench=COUPON.replace("kerf, 0.2, mm\n", ""),
    ),
    Row("profiles", says="Four-string bass"),
    Row("profiles --help", says="--values"),
    Row("profiles strings", says="nylon-classical-normal"),
    Row("profiles instruments wren", says='name = "Wren"', complains="wren.toml"),
    Row("profiles instruments wren --values", says="neck.scale"),
    Row("profiles --design wren.toml", says="six-string-guitar.toml, line ", design=PLAIN),
    Row("profiles instrument", exit_code=2, complains="Did you mean instruments?"),
    Row("profiles instruments ukelele-tenor", exit_code=2, complains="Did you mean ukulele-tenor?"),
    Row("profiles mandolin", exit_code=2, complains="Write: jiggen profiles instruments mandolin"),
    Row("profiles strings mandolin-011 --values", exit_code=2, complains="instruments"),
    Row("profiles instruments --values", exit_code=2, complains="--values"),
    Row("profiles instruments --design wren.toml", exit_code=2, complains="--design", design=PLAIN),
    Row("profiles --design wren.toml", exit_code=2, complains="wren.toml"),
]


@pytest.fixture(scope="module")
def nut_rule(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A set that was made once, for all who look at one."""
    folder = tmp_path_factory.mktemp("made")
    (folder / "wren.toml").write_text(PLAIN, encoding="utf-8")
    typed = [
        "make",
        str(folder / "wren.toml"),
        "--only",
        "nut-rule",
        "--format",
        "dxf,svg",
        "--out",
        str(folder),
    ]
    result = CliRunner().invoke(app, typed)
    assert result.exit_code == 0, result.output
    return folder / "wren"


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.typed or "nothing")
def test_command(row: Row, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, nut_rule: Path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795564800")
    if row.design is not None:
        Path("wren.toml").write_text(row.design, encoding="utf-8")
    if row.bench is not None:
        Path("bench.csv").write_text(row.bench, encoding="utf-8")
    if row.made:
        shutil.copytree(nut_rule, "out/wren")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    result = CliRunner().invoke(app, row.typed.split(), prog_name="jiggen")
    assert result.exit_code == row.exit_code, result.output
    assert row.says in result.stdout
    assert row.complains in result.stderr
    assert "Traceback" not in result.output
    for name in row.leaves:
        assert (tmp_path / name).is_file()
    if row.exit_code:
        after = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
        assert after == before, "a command that fails leaves everything as it was"


def test_a_measured_kerf_is_used_and_not_written_over(tmp_path, monkeypatch):
    run = CliRunner()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795564800")
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    Path("bench.csv").write_text(COUPON, encoding="utf-8")
    reading = ["coupon", "--readings", "bench.csv", "--into", "mine"]
    assert run.invoke(app, reading).exit_code == 0
    monkeypatch.setenv("JIGGEN_PROFILES", "mine")
    assert run.invoke(app, ["make", "wren.toml", "--only", "nut-rule"]).exit_code == 0
    manifest = json.loads(Path("out/wren/manifest.json").read_text(encoding="utf-8"))
    tag = manifest["sheets"][0]["parts"][0]["tag"]
    assert tag["kerf_source"] == "coupon of 2026-11-25"
    assert tag["kerf_mm"] == pytest.approx(0.184, abs=0.002)
    assert tag["offset_mm"] == pytest.approx(tag["kerf_mm"] / 2.0, abs=1e-9)
    written = Path("mine/materials/cast-acrylic-3.toml").read_bytes()
    again = run.invoke(app, reading)
    assert (again.exit_code, Path("mine/materials/cast-acrylic-3.toml").read_bytes()) == (2, written)
    assert run.invoke(app, [*reading, "--replace"]).exit_code == 0


def test_a_file_that_was_changed_fails_the_proof_with_exit_code_2(tmp_path, monkeypatch, nut_rule):
    monkeypatch.chdir(tmp_path)
    shutil.copytree(nut_rule, "wren")
    svg = Path("wren/sheet-1.svg")
    svg.write_text(svg.read_text(encoding="utf-8").replace("cut-edge", "cut-edges"), encoding="utf-8")
    result = CliRunner().invoke(app, ["proof", "wren"])
    assert result.exit_code == 2
    assert "hash-mismatch: sheet-1.svg" in result.stdout
    assert "wrong-operation: sheet-1.svg nut-rule outline" in result.stdout
    assert "NOT PROVED" in result.stdout


def test_an_id_is_current_then_stale_and_its_numbers_are_kept(tmp_path, monkeypatch, nut_rule):
    run, design = CliRunner(), Path("wren.toml")
    monkeypatch.chdir(tmp_path)
    shutil.copytree(nut_rule, "out/wren")
    design.write_text(PLAIN, encoding="utf-8")
    part_id = json.loads(Path("out/wren/manifest.json").read_text(encoding="utf-8"))["design"]["id"]
    asking = ["proof", "wren.toml", "--id", part_id]
    current = run.invoke(app, asking)
    assert (current.exit_code, current.stdout) == (0, f"{part_id} is current: it is Wren as it is now.\n")
    design.write_text(PLAIN.replace("46mm", "45mm"), encoding="utf-8")
    for place in ("manifest.json", f"earlier-{part_id}.json"):
        stale = run.invoke(app, asking)
        assert stale.exit_code == 2
        assert f"{part_id} is stale: it is Wren (out/wren/{place})" in stale.stdout.replace("\\", "/")
        assert re.search(r"nut width +46 mm +45 mm\n", stale.stdout)
        assert "made from it: nut-rule" in stale.stdout
        assert run.invoke(app, ["make", "wren.toml", "--only", "nut-rule", "--format", "svg"]).exit_code == 0
    told = json.loads(run.invoke(app, [*asking, "--json"]).stdout)
    assert {"number": "nut_width", "was": 46.0, "now": 45.0, "unit": "mm"} in told["changes"]
    assert run.invoke(app, ["proof", "out/wren"]).exit_code == 0


def test_the_ticket_tells_what_the_proof_found(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    make = ["make", "wren.toml", "--only", "nut-rule", "--format", "svg,ticket"]
    proved = CliRunner().invoke(app, make).stdout.splitlines()[-1]
    ticket = Path("out/wren/ticket.html").read_text(encoding="utf-8")
    assert proved.startswith("proved: ")
    assert f"<p>{proved}.</p>" in ticket
    assert "<td>sheet-1.svg</td><td>nut-rule</td>" in ticket
    assert CliRunner().invoke(app, [*make, "--no-proof"]).exit_code == 0
    ticket = Path("out/wren/ticket.html").read_text(encoding="utf-8")
    assert "<p>not proved: nobody has read these files back and measured them.</p>" in ticket


def test_pictures_and_pages_are_not_written_over_unasked(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    Path("bench.csv").write_text(MEASURED, encoding="utf-8")
    Path("wren-caliper.html").write_text("mine", encoding="utf-8")
    typed = ["caliper", "wren.toml", "bench.csv"]
    refused = CliRunner().invoke(app, typed)
    assert refused.exit_code == 2
    assert "wren-caliper.html: got files that exist" in refused.stderr
    assert not Path("wren-caliper.svg").exists()
    assert CliRunner().invoke(app, [*typed, "--replace"]).exit_code == 0
    assert Path("wren-caliper.html").read_text(encoding="utf-8").startswith("<!doctype html>")


def test_every_command_has_a_row():
    assert {row.typed.split()[0] for row in ROWS if row.typed} >= set(COMMANDS)


def test_started_design_says_the_same_when_read_again(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795564800")
    started = CliRunner().invoke(app, START.split())
    again = CliRunner().invoke(app, ["layout", "wren.toml"])
    assert again.stdout == started.stdout
    assert "2026-11-25" in again.stdout


def test_options_of_start_go_where_they_belong(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("bench.csv").write_text(BENCH, encoding="utf-8")
    run = CliRunner()
    fan = "--fanned 890mm 838mm --straight-fret 7.5 --strings 5 --nut 46mm --spread 72mm --left-handed"
    run.invoke(app, f"start --name Heron --frets 23 --setback 3.6mm {fan}".split())
    heron = read_design("heron.toml")
    assert (heron.scale, heron.scale_bass.value, heron.scale_treble.value) == (None, 890.0, 838.0)
    assert (heron.straight_fret.value, heron.frets.value, heron.string_count.value) == (7.5, 23, 5)
    assert (heron.nut_width.value, heron.spread_at_bridge.value, heron.setback.value) == (46.0, 72.0, 3.6)
    assert heron.left_handed.value
    run.invoke(app, ["start", "--measured", "bench.csv", "--name", "Wren", "--frets", "20"])
    assert (read_design("wren.toml").frets.value, read_design("wren.toml").frets.source) == (20, "chosen")
    run.invoke(app, ["start", "--measured", "bench.csv", "--name", "Plover"])
    assert (read_design("plover.toml").frets.value, read_design("plover.toml").frets.source) == (
        18,
        "measured",
    )


def test_a_measured_design_says_the_same_when_read_again(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795564800")
    Path("bench.csv").write_text(BENCH, encoding="utf-8")
    started = CliRunner().invoke(app, ["start", "--measured", "bench.csv", "--name", "Wren"])
    again = CliRunner().invoke(app, ["layout", "wren.toml"])
    assert started.stdout.endswith(again.stdout)
    text = Path("wren.toml").read_text(encoding="utf-8")
    assert 'source = "measured", note = "standard uncertainty 0.' in text
    started = CliRunner().invoke(
        app, ["start", "--measured", "bench.csv", "--name", "Wren", "--json", "--replace"]
    )
    printed = json.loads(started.stdout)
    assert printed["file"] == "wren.toml"
    assert printed["fit"]["scale"]["value"] == pytest.approx(628.0, abs=0.2)
    assert [slip["fret"] for slip in printed["fit"]["slips"]] == [9]
    assert printed["layout"]["numbers"]["scale"]["source"] == "measured"
    assert Path("wren.toml").read_text(encoding="utf-8") == text


def test_the_readings_in_readme_make_a_design(tmp_path, monkeypatch):
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    (table,) = re.findall(r"^```\n(fret, distance, unit\n.*?)^```$", readme, flags=re.MULTILINE | re.DOTALL)
    monkeypatch.chdir(tmp_path)
    Path("bench.csv").write_text(table, encoding="utf-8")
    result = CliRunner().invoke(app, ["start", "--measured", "bench.csv", "--name", "Wren"])
    assert result.exit_code == 0, result.output
    assert "slip" not in result.stdout
    assert Path("wren.toml").is_file()


def test_a_dry_run_says_what_would_be_written_and_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    dry = CliRunner().invoke(app, ["make", "wren.toml", "--format", "svg", "--dry-run"])
    assert dry.exit_code == 0
    assert "sheet-1.svg" in dry.stdout
    assert "bytes, new" in dry.stdout
    assert [path.name for path in tmp_path.iterdir()] == ["wren.toml"]
    CliRunner().invoke(app, ["make", "wren.toml", "--format", "svg"])
    (tmp_path / "out" / "wren" / "notes.txt").write_text("mine", encoding="utf-8")
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    again = CliRunner().invoke(app, ["make", "wren.toml", "--format", "dxf", "--dry-run"])
    assert "sheet-1.svg would go" in again.stdout
    assert "notes.txt is yours and would stay" in again.stdout
    assert "bytes, replaces one" in again.stdout  # the manifest
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_a_dry_run_refuses_what_a_run_would_refuse(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    CliRunner().invoke(app, ["make", "wren.toml", "--format", "svg"])
    (tmp_path / "out" / "wren" / "sheet-1.svg").write_text("edited", encoding="utf-8")
    dry = CliRunner().invoke(app, ["make", "wren.toml", "--format", "svg", "--dry-run"])
    assert dry.exit_code == 2
    assert "changed since jiggen wrote them: sheet-1.svg" in dry.stderr


def test_json_is_all_that_is_printed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    result = CliRunner().invoke(app, ["layout", "wren.toml", "--json"])
    tables = json.loads(result.stdout)
    assert tables["schema"] == "jiggen-layout/1"
    assert tables["frets"][11]["from-nut"] == pytest.approx(314.0, abs=1e-9)
    assert tables["numbers"]["setback-bass"]["source"] == "assumed"
    assert result.stderr == ""


def test_same_design_makes_the_same_bytes(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    sets = []
    for out, seed in (("one", "1"), ("two", "2")):
        subprocess.run(
            [sys.executable, "-m", "jiggen", "make", "wren.toml", "--out", out],
            check=True,
            capture_output=True,
            env={"PYTHONHASHSEED": seed, "PATH": "", "PYTHONPATH": str(Path(__file__).parents[2])},
        )
        sets.append({path.name: path.read_bytes() for path in (tmp_path / out / "wren").iterdir()})
    assert sets[0] == sets[1]


def test_our_own_mistake_ends_with_one_and_no_traceback(monkeypatch, tmp_path):
    from jiggen import reckon

    def slip(*_):
        raise RuntimeError("a slip")

    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(reckon, "load", slip)
    result = CliRunner().invoke(app, ["layout", "wren.toml"])
    assert result.exit_code == 1
    assert "a mistake in jiggen, not yours: RuntimeError: a slip" in result.stderr
    assert "Traceback" not in result.output


def test_trace_shows_where_our_mistake_happened(monkeypatch, tmp_path):
    from jiggen import reckon

    def slip(*_):
        raise RuntimeError("a slip")

    monkeypatch.setattr(reckon, "load", slip)
    result = CliRunner().invoke(app, ["--trace", "layout", "wren.toml"])
    assert isinstance(result.exception, RuntimeError)


def test_a_folder_that_is_not_ours_is_left_alone(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wren.toml").write_text(PLAIN, encoding="utf-8")
    keepsake = tmp_path / "out" / "wren" / "keepsake.txt"
    keepsake.parent.mkdir(parents=True)
    keepsake.write_text("mine", encoding="utf-8")
    result = CliRunner().invoke(app, ["make", "wren.toml"])
    assert result.exit_code == 2
    assert keepsake.read_text(encoding="utf-8") == "mine"
    assert sorted(path.name for path in keepsake.parent.iterdir()) == ["keepsake.txt"]

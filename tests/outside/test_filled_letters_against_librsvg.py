"""Filled letters, as a machine that engraves line by line sees them: librsvg's ink is that of the strokes they came from."""

import io
import os
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from ezdxf.filemanagement import read as read_dxf
from PIL import Image, ImageChops
from support.programs import run_program
from support.sheets import job_of

from jiggen import job
from jiggen.export.dxf import encode_dxf
from jiggen.export.formats import encode_job
from jiggen.export.svg import encode_svg
from jiggen.proof.prove import prove_files
from jiggen.sheets.model import SheetSet

WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"
LASER = Path(__file__).parents[2] / "profiles" / "machines" / "large-laser.toml"
PIXELS_PER_MM = 10


@cache
def sheets(folder: Path, *, filled: bool) -> SheetSet:
    """The nut rule of the Wren on a machine that fills letters, or follows them."""
    text = LASER.read_text("utf-8")
    if filled:
        text = text.replace('role = "lettering"', 'role = "lettering"\nfilled = true')
    (folder / "machines").mkdir(exist_ok=True)
    (folder / "machines" / "shed.toml").write_text(text, encoding="utf-8")
    before = os.environ.get("JIGGEN_PROFILES")
    os.environ["JIGGEN_PROFILES"] = str(folder)
    try:
        return job.draw_up(job.work_out(job.load(WREN)), job.Order(parts=("nut-rule",), machine="shed"))
    finally:
        os.environ.pop("JIGGEN_PROFILES")
        if before is not None:
            os.environ["JIGGEN_PROFILES"] = before


def test_letters_are_closed_outlines(tmp_path: Path) -> None:
    (sheet,) = sheets(tmp_path, filled=True).sheets
    marks = list(sheet.marks("engrave"))
    assert marks
    assert all(path.closed for mark in marks for path in mark.paths)
    doc = read_dxf(io.StringIO(encode_dxf(sheet).decode("cp1252")))
    letters = [each for each in doc.modelspace() if each.dxf.layer == "engrave"]
    assert all(each.is_closed for each in letters)  # type: ignore[attr-defined]


def test_the_proof_accepts_them(tmp_path: Path) -> None:
    files = encode_job(job_of(sheets(tmp_path, filled=True)), ["dxf", "svg", "pdf", "ticket"])
    report = prove_files(files.pop("manifest.json"), files)
    assert [finding.message for finding in report.findings] == []


def test_their_ink_is_that_of_the_strokes(tmp_path: Path) -> None:
    """Drawn with a pen of a tenth of the height (ISO 3098 type B), strokes leave the ink that the outlines hold."""
    pictures = []
    for filled in (True, False):
        folder = tmp_path / str(filled)
        folder.mkdir()
        sheet_set = sheets(folder, filled=filled)
        (sheet,) = sheet_set.sheets
        lines = encode_svg(sheet).decode().splitlines()
        pens = {mark.id: (mark.feature.letter_mm or 0.0) / 10.0 for mark in sheet.marks("engrave")}
        kept = [
            line if filled else line.replace("<path ", f'<path stroke-width="{pens[id]}" ')
            for line in lines
            for id in [line.split('id="')[-1].split('"')[0]]
            if id in pens or not line.startswith(("<path", "<circle"))
        ]
        svg = folder / "letters.svg"
        svg.write_text("\n".join(kept), encoding="utf-8")
        dpi = str(25.4 * PIXELS_PER_MM)
        done = run_program("rsvg-convert", "-d", dpi, "-p", dpi, svg, package="librsvg2-bin")
        pictures.append(Image.open(io.BytesIO(done.stdout)).getchannel("A"))
    areas = [
        sum(value * count for value, count in enumerate(picture.histogram())) / 255.0 for picture in pictures
    ]
    assert areas[0] == pytest.approx(areas[1], rel=0.01)
    worst = ImageChops.difference(*pictures).getextrema()[1]
    assert worst < 128  # nowhere a whole pixel of 0.1 mm


def test_stroke_letters_stay_the_default(tmp_path: Path) -> None:
    shipped = job.draw_up(job.work_out(job.load(WREN)), job.Order(parts=("nut-rule",)))
    assert not any(operation.filled for operation in shipped.machine.operations)
    svg = encode_svg(shipped.sheets[0]).decode()
    assert 'fill="none" stroke="#3c5aa8"' in svg
    changed = replace(shipped.machine.operations[0], filled=True)
    assert changed.filled

"""Filled letters, as a machine that engraves line by line sees them: librsvg's ink is that of the strokes they came from."""

import io
from pathlib import Path

import pytest
from ezdxf.filemanagement import read as read_dxf
from PIL import Image, ImageChops
from support.programs import run_program
from support.sheets import job_of

from jiggen import prepare, reckon
from jiggen.export.dxf import encode_dxf
from jiggen.export.formats import encode_job
from jiggen.export.svg import encode_svg
from jiggen.proof.prove import prove_files
from jiggen.sheets.model import SheetSet

WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"
LASER = Path(__file__).parents[2] / "profiles" / "machines" / "large-laser.toml"
PIXELS_PER_MM = 8


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> dict[bool, SheetSet]:
    """The nut rule of the Wren on a machine that fills letters, and on one that follows them."""
    neck = reckon.work_out(reckon.load(WREN))
    made: dict[bool, SheetSet] = {}
    for filled in (True, False):
        text = LASER.read_text("utf-8")
        if filled:
            text = text.replace('role = "lettering"', 'role = "lettering"\nfilled = true')
        folder = tmp_path_factory.mktemp("profiles")
        (folder / "machines").mkdir()
        (folder / "machines" / "shed.toml").write_text(text, encoding="utf-8")
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("JIGGEN_PROFILES", str(folder))
            made[filled] = prepare.draw_up(neck, prepare.Order(parts=("nut-rule",), machine="shed"))
    return made


def test_letters_are_closed_outlines(drawn: dict[bool, SheetSet]) -> None:
    (sheet,) = drawn[True].sheets
    marks = list(sheet.marks("engrave"))
    assert marks
    assert all(path.closed for mark in marks for path in mark.paths)
    doc = read_dxf(io.StringIO(encode_dxf(sheet).decode("cp1252")))
    letters = [each for each in doc.modelspace() if each.dxf.layer == "engrave"]
    assert all(each.is_closed for each in letters)  # type: ignore[attr-defined]


def test_the_proof_accepts_them(drawn: dict[bool, SheetSet]) -> None:
    files = encode_job(job_of(drawn[True]), ["dxf", "svg", "pdf", "ticket"])
    report = prove_files(files.pop("manifest.json"), files)
    assert [finding.message for finding in report.findings] == []


def test_their_ink_is_that_of_the_strokes(drawn: dict[bool, SheetSet], tmp_path: Path) -> None:
    """Drawn with a pen of a tenth of the height (ISO 3098 type B), strokes leave the ink that the outlines hold."""
    pictures = []
    for filled in (True, False):
        (sheet,) = drawn[filled].sheets
        lines = encode_svg(sheet).decode().splitlines()
        pens = {mark.id: (mark.feature.letter_mm or 0.0) / 10.0 for mark in sheet.marks("engrave")}
        kept = []
        for line in lines:
            id = line.split('id="')[-1].split('"')[0]
            if id in pens:
                kept.append(line if filled else line.replace("<path ", f'<path stroke-width="{pens[id]}" '))
            elif not line.startswith(("<path", "<circle")):
                kept.append(line)
        svg = tmp_path / f"letters-{filled}.svg"
        svg.write_text("\n".join(kept), encoding="utf-8")
        dpi = str(25.4 * PIXELS_PER_MM)
        done = run_program("rsvg-convert", "-d", dpi, "-p", dpi, svg, package="librsvg2-bin")
        pictures.append(Image.open(io.BytesIO(done.stdout)).getchannel("A"))
    areas = [
        sum(value * count for value, count in enumerate(picture.histogram())) / 255.0 for picture in pictures
    ]
    assert areas[0] == pytest.approx(areas[1], rel=0.01)
    worst = ImageChops.difference(*pictures).getextrema()[1]
    assert worst < 128  # nowhere a whole pixel of an eighth of a millimetre


def test_strokes_stay_the_default(drawn: dict[bool, SheetSet]) -> None:
    assert not any(operation.filled for operation in drawn[False].machine.operations)
    assert 'fill="none" stroke="#4a6fc3"' in encode_svg(drawn[False].sheets[0]).decode()
    assert 'fill="#4a6fc3" fill-rule="evenodd"' in encode_svg(drawn[True].sheets[0]).decode()

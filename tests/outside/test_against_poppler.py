"""PDF as poppler reads and draws it: no complaint, pages at their size, bars of 100 mm that measure 100 mm."""

import io
import re
from pathlib import Path

import pytest
from PIL import Image
from support.plans import plan_of
from support.programs import run_program
from support.sheets import sheet_set

from jiggen.drawing.model import Ink
from jiggen.drawing.paper import A4
from jiggen.drawing.tiles import MARGIN, tile_pages
from jiggen.export.pdf import encode_pages, encode_sheet
from jiggen.geometry.measure import bounds, point_at
from jiggen.geometry.measure import length as length_of
from jiggen.geometry.point import Point

PACKAGE = "poppler-utils"
PIXELS_PER_MM = 10
#: At which a millimetre is 10 pixels.
DPI = str(PIXELS_PER_MM * 25.4)
SHEET = sheet_set().sheets[0]


def save(folder: Path, data: bytes) -> Path:
    path = folder / "drawing.pdf"
    path.write_bytes(data)
    return path


def draw(pdf: Path, page: int = 1) -> Image.Image:
    done = run_program("pdftoppm", "-r", DPI, "-png", "-f", str(page), "-l", str(page), pdf, package=PACKAGE)
    assert done.stderr == b""  # poppler complains of what is not well formed
    Image.MAX_IMAGE_PIXELS = None
    return Image.open(io.BytesIO(done.stdout)).convert("L")


def test_page_sizes(tmp_path: Path) -> None:
    done = run_program("pdfinfo", save(tmp_path, encode_sheet(SHEET)), package=PACKAGE)
    assert done.stderr == b""
    found = re.search(r"Page size: +([\d.]+) x ([\d.]+) pts", done.stdout.decode())
    assert found
    sizes = [float(each) * 25.4 / 72.0 for each in found.groups()]
    assert sizes == pytest.approx(
        (SHEET.width_mm, SHEET.height_mm), abs=0.02
    )  # it prints hundredths of a point


def test_ink_lies_on_every_mark_of_a_sheet(tmp_path: Path) -> None:
    picture = draw(save(tmp_path, encode_sheet(SHEET)))
    assert picture.size == pytest.approx(
        (SHEET.width_mm * PIXELS_PER_MM, SHEET.height_mm * PIXELS_PER_MM), abs=1
    )
    for operation in SHEET.machine.operations:
        for mark in SHEET.marks(operation.name):
            for path in mark.paths:
                for tenth in range(11):
                    place = point_at(path, length_of(path) * tenth / 10.0)
                    assert darkest(picture, place, SHEET.height_mm) < 200, mark.id
    assert darkest(picture, Point(500.0, 250.0), SHEET.height_mm) == 255


def darkest(picture: Image.Image, place: Point, height_mm: float) -> int:
    x, y = round(place.x * PIXELS_PER_MM), round((height_mm - place.y) * PIXELS_PER_MM)
    low, _ = picture.crop((x - 1, y - 1, x + 2, y + 2)).getextrema()
    return int(low)  # type: ignore[arg-type] # one band, so one number


def test_bars_of_every_tile_measure_100_mm_both_ways(tmp_path: Path) -> None:
    pdf = save(tmp_path, encode_pages(tile_pages(plan_of("wren"), A4)))
    for page in (2, 5):
        picture = draw(pdf, page)
        # through the metric bars, which are the ones nearer to the drawing
        across = dark_runs(picture, row=picture.height - round((MARGIN - 2.0 - 0.4) * PIXELS_PER_MM))
        up = dark_runs(
            picture.transpose(Image.Transpose.ROTATE_270), row=round((MARGIN - 5.6) * PIXELS_PER_MM)
        )
        for runs in (across, up):
            steps = [start for start, end in runs if 95 <= end - start <= 105]
            assert len(steps) == 5  # black, white, black … in steps of 10 mm
            assert steps[-1] - steps[0] == pytest.approx(80.0 * PIXELS_PER_MM, abs=1)


def dark_runs(picture: Image.Image, row: int) -> list[tuple[int, int]]:
    dark = [picture.getpixel((x, row)) < 128 for x in range(picture.width)]  # type: ignore[operator]
    edges = [x for x in range(1, picture.width) if dark[x] != dark[x - 1]]
    return list(zip(edges[0::2], edges[1::2], strict=False))


def test_a_tile_shows_its_piece_of_the_plan(tmp_path: Path) -> None:
    plan = plan_of("wren")
    whole = draw(save(tmp_path, encode_pages([plan])))
    assert whole.size == pytest.approx((plan.width_mm * PIXELS_PER_MM, plan.height_mm * PIXELS_PER_MM), abs=1)
    fret = next(item for item in plan.items if isinstance(item, Ink) and item.id == "fret.12")
    box = bounds(fret.paths[0])
    for y in (box.low.y + 1.0, box.centre.y + 1.0, box.high.y - 1.0):
        assert darkest(whole, Point(box.centre.x, y), plan.height_mm) < 128


def test_words_come_out_as_they_were_set(tmp_path: Path) -> None:
    done = run_program(
        "pdftotext", "-raw", save(tmp_path, encode_pages([plan_of("wren")])), "-", package=PACKAGE
    )
    text = done.stdout.decode()
    assert done.stderr == b""
    for words in ("Kestrel Yard", "Legal owner", "314.00 [12.362]", "Working plan", "⌀0.30", "1 of 1"):
        assert words in text, words

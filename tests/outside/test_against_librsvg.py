"""SVG as librsvg draws it: the page at its size, ink where the marks lie and nowhere else."""

import io
from pathlib import Path

import pytest
from PIL import Image
from support.programs import run_program
from support.sheets import sheet_set

from jiggen.export.svg import encode_svg
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, point_at
from jiggen.geometry.measure import length as length_of
from jiggen.geometry.point import Point
from jiggen.sheets.model import Sheet

PIXELS_PER_MM = 5
DPI = str(PIXELS_PER_MM * 25.4)
SHEETS = sheet_set().sheets


def draw(sheet: Sheet, folder: Path) -> Image.Image:
    svg = folder / "sheet.svg"
    svg.write_bytes(encode_svg(sheet))
    done = run_program("rsvg-convert", "-d", DPI, "-p", DPI, svg, package="librsvg2-bin")
    return Image.open(io.BytesIO(done.stdout))


def ink_of(picture: Image.Image, sheet: Sheet) -> Box:
    """Bounds of whatever is not transparent, in mm, y up."""
    box = picture.getchannel("A").getbbox()
    assert box is not None
    left, top, right, bottom = (each / PIXELS_PER_MM for each in box)
    return Box(Point(left, sheet.height_mm - bottom), Point(right, sheet.height_mm - top))


@pytest.mark.parametrize("index", [0, 1])
def test_size_and_ink(index: int, tmp_path: Path) -> None:
    sheet = SHEETS[index]
    picture = draw(sheet, tmp_path)
    assert picture.size == (sheet.width_mm * PIXELS_PER_MM, sheet.height_mm * PIXELS_PER_MM)
    marks = [mark for operation in sheet.machine.operations for mark in sheet.marks(operation.name)]
    expected = around(bounds(path) for mark in marks for path in mark.paths)
    ink, pixel = ink_of(picture, sheet), 1.0 / PIXELS_PER_MM
    assert ink.contains(expected, slack=0.01)
    assert expected.grown(sheet.machine.line_width_mm / 2.0 + pixel).contains(ink)


def test_ink_lies_on_every_path_and_not_beside_it(tmp_path: Path) -> None:
    sheet = SHEETS[0]
    alpha = draw(sheet, tmp_path).getchannel("A")

    def inked(point: Point) -> bool:
        x, y = point.x * PIXELS_PER_MM, (sheet.height_mm - point.y) * PIXELS_PER_MM
        around_it = [(int(x + dx), int(y + dy)) for dx in (-0.5, 0.5) for dy in (-0.5, 0.5)]
        return any(alpha.getpixel(place) for place in around_it)

    for operation in sheet.machine.operations:
        for mark in sheet.marks(operation.name):
            for path in mark.paths:
                for tenth in range(11):
                    assert inked(point_at(path, length_of(path) * tenth / 10.0)), mark.id
    for placement in sheet.placements:  # in the middle of a hole and on the bare sheet there is none
        hole = next(each for each in placement.cut_part.features if each.feature.id == "hole.1")
        box = bounds(placement.place.path(hole.paths[0]))
        assert not inked(box.centre)
    assert not inked(Point(500.0, 250.0))

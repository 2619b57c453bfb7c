"""The preview, read with Pillow: its size on paper, and what one sees."""

import io
import struct
from collections.abc import Sequence
from dataclasses import replace

import pytest
from PIL import Image, ImageColor
from support.sheets import MACHINE, comb, disc, sheet_of, sheet_set

from jiggen.errors import LimitError
from jiggen.export.png import (
    BORDER_MM,
    HANDY_PIXELS,
    HANDY_WIDTH,
    PAPER,
    encode_preview,
)
from jiggen.export.sheet_picture import PART_TINT, SHEET_OUTLINE
from jiggen.geometry.path import circle
from jiggen.geometry.point import ORIGIN
from jiggen.geometry.similarity import shifted
from jiggen.sheets.model import Sheet

SHEETS = sheet_set().sheets


def open_png(data: bytes) -> Image.Image:
    return Image.open(io.BytesIO(data))


def pixels_per_metre(data: bytes) -> int:
    at = data.index(b"pHYs")
    across, up, unit = struct.unpack(">IIB", data[at + 4 : at + 13])
    assert (across, unit) == (up, 1)
    return int(across)


def colour_at(data: bytes, x_mm: float, y_mm: float) -> str:
    """The colour at a place on the paper, mm from its upper left corner."""
    scale = pixels_per_metre(data) / 1000.0
    pixel = open_png(data).convert("RGB").getpixel((int(x_mm * scale), int(y_mm * scale)))
    assert isinstance(pixel, tuple)
    return "#{:02x}{:02x}{:02x}".format(*pixel)


def near(one: object, other: tuple[int, ...], most: int) -> bool:
    assert isinstance(one, tuple)
    return all(abs(a - b) <= most for a, b in zip(one, other, strict=True))


def test_pillow_finds_the_resolution() -> None:
    small = sheet_of(
        [(disc(), shifted(70.0, 70.0))], machine=replace(MACHINE, bed_width_mm=200.0, bed_height_mm=150.0)
    )
    data = encode_preview([small], dpi=100.0)
    assert open_png(data).info["dpi"] == pytest.approx((100.0, 100.0), abs=0.02)


@pytest.mark.parametrize("sheets", [SHEETS, SHEETS[:1]], ids=["two", "one"])
def test_its_size_on_paper_is_that_of_the_sheets(sheets: Sequence[Sheet]) -> None:
    data = encode_preview(sheets)
    per_metre, picture = pixels_per_metre(data), open_png(data)
    width_mm, height_mm = (size * 1000.0 / per_metre for size in picture.size)
    pixel_mm = 1000.0 / per_metre
    assert width_mm == pytest.approx(600.0 + 2 * BORDER_MM, abs=pixel_mm / 2)
    assert height_mm == pytest.approx(len(sheets) * (300.0 + BORDER_MM) + BORDER_MM, abs=pixel_mm / 2)


def test_a_hundred_millimetres_are_as_many_pixels_as_it_says() -> None:
    data = encode_preview(SHEETS[1:])
    picture = open_png(data).convert("RGB")
    row = int(
        (BORDER_MM + 300.0 - 120.0 + 30.0) * pixels_per_metre(data) / 1000.0
    )  # 30 mm below the disc's centre
    edge = ImageColor.getrgb("#d3204a")
    crossings = [x for x in range(picture.width) if near(picture.getpixel((x, row)), edge, 60)]
    chord_mm = 2.0 * (60.1**2 - 30.0**2) ** 0.5
    assert (crossings[-1] - crossings[0]) * 1000.0 / pixels_per_metre(data) == pytest.approx(
        chord_mm, abs=0.6
    )


def test_parts_are_tinted_and_openings_and_sheet_are_white() -> None:
    data = encode_preview(SHEETS[1:])
    centre_x, centre_y = BORDER_MM + 100.0, BORDER_MM + 300.0 - 120.0
    assert colour_at(data, centre_x, centre_y) == PAPER  # the hole
    assert colour_at(data, centre_x, centre_y - 40.0) == PART_TINT
    assert colour_at(data, centre_x + 100.0, centre_y) == PAPER  # the bare sheet
    assert colour_at(data, 1.0, 1.0) == PAPER


def test_a_part_within_an_opening_is_tinted_again() -> None:
    ring, core = disc(), disc()
    edge, hole, _ = ring.features
    wide = replace(hole, paths=(circle(ORIGIN, 40.0),))
    ring = replace(ring, features=(edge, wide))
    core = replace(core, part=replace(core.part, name="core"), features=(replace(edge, paths=hole.paths),))
    place = shifted(100.0, 120.0)
    data = encode_preview([sheet_of([(ring, place), (core, place)])])
    centre_x, centre_y = BORDER_MM + 100.0, BORDER_MM + 300.0 - 120.0
    assert colour_at(data, centre_x, centre_y) == PART_TINT
    assert colour_at(data, centre_x + 20.0, centre_y) == PAPER
    assert colour_at(data, centre_x + 50.0, centre_y) == PART_TINT


def test_lines_are_seen_at_the_previews_scale() -> None:
    """The thinnest stroke still shows its full colour somewhere across it."""
    data = encode_preview([sheet_of([(comb(), shifted(20.0, 20.0))])])
    picture = open_png(data).convert("RGB")
    colours = {colour for _, colour in picture.getcolors(1 << 24) or []}
    for operation in MACHINE.operations:
        wanted = ImageColor.getrgb(operation.colour)
        assert any(near(each, wanted, 2) for each in colours), operation.name
    assert any(near(each, ImageColor.getrgb(SHEET_OUTLINE), 10) for each in colours)


def test_a_wide_or_a_long_job_stays_a_picture() -> None:
    wide = open_png(encode_preview([replace(SHEETS[0], width_mm=3000.0)]))
    assert wide.width <= HANDY_WIDTH
    many = open_png(encode_preview([replace(SHEETS[1], height_mm=30000.0)]))
    assert many.width * many.height <= HANDY_PIXELS
    assert many.width < HANDY_WIDTH


def test_more_pixels_than_a_small_machine_holds_are_refused() -> None:
    with pytest.raises(LimitError) as caught:
        encode_preview(SHEETS[:1], dpi=2400.0)
    assert str(caught.value) == (
        "--dpi: got 2400, for a picture of 620 × 320 mm, expected at most 624, for 120 million pixels."
        " Ask for fewer, or take the SVG or PDF, which are sharp at any size"
    )


def test_every_chunk_is_whole_and_there_is_one_physical_size() -> None:
    data = encode_preview(SHEETS)
    open_png(data).verify()  # checks every checksum
    assert data.count(b"pHYs") == 1
    assert data.index(b"pHYs") < data.index(b"IDAT")

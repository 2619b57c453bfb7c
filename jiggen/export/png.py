"""PNG: pictures of the sheets and of the plan, on white paper, at a true physical size."""

import struct
import zlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from jiggen.errors import LimitError
from jiggen.export.numbers import number
from jiggen.export.page_svg import page_picture
from jiggen.export.sheet_picture import sheet_picture
from jiggen.export.svg import NAMESPACE
from jiggen.export.writer import Content, Job, PlanJob
from jiggen.sheets.model import Sheet
from jiggen.units import INCH

#: Width of a picture that nobody asked a resolution for, in pixels: sharp on a screen, quick to draw and to send.
HANDY_WIDTH = 1200
#: Pixels of such a picture at most, where it is a long one.
HANDY_PIXELS = 4_000_000
#: Largest picture, in pixels: half a gigabyte of memory, for those who ask for it.
MOST_PIXELS = 120_000_000
#: Paper left round the sheets and between them, mm.
BORDER_MM = 10.0
#: Thinnest stroke, in pixels: a hairline would fade to grey.
THINNEST_PIXELS = 1.25
PAPER = "#ffffff"


def preview_as_png(job: Job) -> Iterator[tuple[str, Content]]:
    """Yields a picture of all sheets."""
    yield "preview.png", job.hands.take(draw, *_preview(job.sheet_set.sheets, job.options.dpi))


def plan_as_png(plan: PlanJob) -> Iterator[tuple[str, bytes]]:
    """Yields a picture of the plan."""
    page = plan.page
    canvas = _Canvas.of(page.width_mm, page.height_mm, plan.options.dpi)
    yield (
        "plan.png",
        draw(canvas.svg(page_picture(page, pixel_mm=canvas.mm_per_pixel)), canvas.per_metre),
    )


def encode_preview(sheets: Sequence[Sheet], dpi: float | None = None) -> bytes:
    """Returns a PNG of all sheets, one below the other, parts tinted, cuts in the colours of their operations.

    Args:
        sheets: One or more.
        dpi: Pixels per inch; None: as many as make the picture 1200 pixels wide.

    Returns:
        A PNG whose physical size (pHYs) is exactly that of the paper shown.

    Raises:
        LimitError: If the picture would be too large.
    """
    return draw(*_preview(sheets, dpi))


def draw(svg: str, per_metre: int) -> bytes:
    """Returns the picture of an SVG in pixels, as a PNG that tells how many of them a metre has."""
    import resvg_py  # a compiled library, only for those who want a picture

    png = resvg_py.svg_to_bytes(svg_string=svg, skip_system_fonts=True)
    return _with_physical_size(bytes(png), per_metre)


def _preview(sheets: Sequence[Sheet], dpi: float | None) -> tuple[str, int]:
    """Returns the SVG of all sheets and its pixels a metre."""
    canvas = _Canvas.of(
        max(sheet.width_mm for sheet in sheets) + 2.0 * BORDER_MM,
        sum(sheet.height_mm + BORDER_MM for sheet in sheets) + BORDER_MM,
        dpi,
    )
    return canvas.svg(_sheets(sheets, canvas.mm_per_pixel)), canvas.per_metre


@dataclass(frozen=True, slots=True)
class _Canvas:
    """Paper of whole pixels, a whole number of them to the metre: then the size in the file is the true one."""

    width_px: int
    height_px: int
    per_metre: int

    @staticmethod
    def of(width_mm: float, height_mm: float, dpi: float | None) -> "_Canvas":
        most = (MOST_PIXELS / (width_mm * height_mm)) ** 0.5 * 1000.0
        handy = min(
            HANDY_WIDTH * 1000.0 / width_mm, HANDY_PIXELS**0.5 * 1000.0 / (width_mm * height_mm) ** 0.5
        )
        wanted = dpi * 1000.0 / float(INCH) if dpi else handy
        if wanted > most:
            raise LimitError(
                where="--dpi",
                got=f"{dpi:g}, for a picture of {width_mm:.0f} × {height_mm:.0f} mm",
                expected=f"at most {int(most * float(INCH) / 1000.0)}, for {MOST_PIXELS // 1_000_000} million pixels",
                mend="Ask for fewer, or take the SVG or PDF, which are sharp at any size",
            )
        per_metre = max(int(wanted + 1e-9), 1)
        width, height = (max(round(size * per_metre / 1000.0), 1) for size in (width_mm, height_mm))
        return _Canvas(width, height, per_metre)

    @property
    def mm_per_pixel(self) -> float:
        """Size of a pixel."""
        return 1000.0 / self.per_metre

    def svg(self, elements: Iterable[str]) -> str:
        """Returns an SVG, in pixels, of elements whose user unit is a millimetre."""
        width, height = (number(size * self.mm_per_pixel) for size in (self.width_px, self.height_px))
        size = f'width="{self.width_px}" height="{self.height_px}" viewBox="0 0 {width} {height}"'
        return "\n".join(
            (
                f'<svg xmlns="{NAMESPACE}" {size}>',
                f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
                *elements,
                "</svg>",
            )
        )


def _sheets(sheets: Sequence[Sheet], mm_per_pixel: float) -> Iterator[str]:
    """Yields the elements of all sheets, one below the other."""
    thinnest = THINNEST_PIXELS * mm_per_pixel
    top = BORDER_MM
    for sheet in sheets:
        yield f'<g transform="translate({number(BORDER_MM)} {number(top)})">'
        yield from sheet_picture(sheet, thinnest_mm=thinnest)
        yield "</g>"
        top += sheet.height_mm + BORDER_MM


def _with_physical_size(png: bytes, per_metre: int) -> bytes:
    """Returns the PNG with its pHYs chunk set; PNG specification, second edition, 11.3.5.3."""
    signature, chunks = png[:8], _chunks(png)
    body = struct.pack(">IIB", per_metre, per_metre, 1)
    physical = struct.pack(">I", len(body)) + b"pHYs" + body + struct.pack(">I", zlib.crc32(b"pHYs" + body))
    header, *others = (chunk for chunk in chunks if chunk[4:8] != b"pHYs")
    return b"".join([signature, header, physical, *others])


def _chunks(png: bytes) -> list[bytes]:
    """Returns the chunks whole: length, type, data and checksum."""
    chunks, at = [], 8
    while at < len(png):
        end = at + 12 + int.from_bytes(png[at : at + 4], "big")
        chunks.append(png[at:end])
        at = end
    return chunks

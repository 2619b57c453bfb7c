"""PNG: a preview of all sheets of a job, on white paper, at a true physical size."""

import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.export.path_data import path_data
from jiggen.export.svg import NAMESPACE, operation_groups
from jiggen.export.writer import number
from jiggen.parts.model import Role
from jiggen.sheets.model import Sheet, SheetSet
from jiggen.units import INCH

DEFAULT_DPI = 100.0
#: Largest picture, in pixels: wide enough for a screen, and no more memory than a photograph.
WIDEST, MOST_PIXELS = 2400, 24_000_000
#: Paper left round the sheets and between them, mm.
BORDER_MM = 10.0
#: Thinnest stroke, in pixels: a hairline would fade to grey.
THINNEST_PIXELS = 1.25
PAPER, SHEET_OUTLINE, PART_TINT = "#ffffff", "#c4ccd0", "#e3eff2"


@dataclass(frozen=True, slots=True)
class PreviewWriter:
    """Writes the preview of a job."""

    @property
    def suffix(self) -> str:
        """The word for the format."""
        return "png"

    @property
    def file_name(self) -> str:
        """The file's whole name."""
        return "preview.png"

    def encode(self, sheet_set: SheetSet) -> bytes:
        """Returns the picture."""
        return encode_preview(sheet_set.sheets)


def encode_preview(sheets: Sequence[Sheet], dpi: float = DEFAULT_DPI) -> bytes:
    """Returns a PNG of all sheets, one below the other, parts tinted, cuts in the colours of their operations.

    Args:
        sheets: One or more.
        dpi: Pixels per inch; less when the picture would be wider than 2400 pixels or larger than 24 million.

    Returns:
        A PNG whose physical size (pHYs) is exactly that of the paper shown.
    """
    import resvg_py  # a compiled library, only for those who want a picture

    width_mm = max(sheet.width_mm for sheet in sheets) + 2.0 * BORDER_MM
    height_mm = sum(sheet.height_mm + BORDER_MM for sheet in sheets) + BORDER_MM
    per_metre = int(
        min(
            dpi * 1000.0 / float(INCH),
            WIDEST * 1000.0 / width_mm,
            1000.0 * (MOST_PIXELS / (width_mm * height_mm)) ** 0.5,
        )
    )
    # whole pixels per metre and a paper of whole pixels: then the size written into the file is the true one
    width_px, height_px = (round(size * per_metre / 1000.0) for size in (width_mm, height_mm))
    svg = _drawing(sheets, width_px, height_px, per_metre)
    png = resvg_py.svg_to_bytes(svg_string=svg, skip_system_fonts=True)
    return _with_physical_size(bytes(png), per_metre)


def _drawing(sheets: Sequence[Sheet], width_px: int, height_px: int, per_metre: int) -> str:
    mm_per_pixel = 1000.0 / per_metre
    width, height = number(width_px * mm_per_pixel), number(height_px * mm_per_pixel)
    lines = [
        f'<svg xmlns="{NAMESPACE}" width="{width_px}" height="{height_px}" viewBox="0 0 {width} {height}">',
        f'<rect width="{width}" height="{height}" fill="{PAPER}"/>',
    ]
    top = BORDER_MM
    for sheet in sheets:
        lines += [
            f'<g transform="translate({number(BORDER_MM)} {number(top)})">',
            _outline(sheet, THINNEST_PIXELS * mm_per_pixel),
            _tint(sheet),
            *operation_groups(
                sheet, line_width_mm=max(sheet.machine.line_width_mm, THINNEST_PIXELS * mm_per_pixel)
            ),
            "</g>",
        ]
        top += sheet.height_mm + BORDER_MM
    return "\n".join([*lines, "</svg>"])


def _outline(sheet: Sheet, line_width_mm: float) -> str:
    return (
        f'<rect width="{number(sheet.width_mm)}" height="{number(sheet.height_mm)}" fill="none"'
        f' stroke="{SHEET_OUTLINE}" stroke-width="{number(line_width_mm)}"/>'
    )


def _tint(sheet: Sheet) -> str:
    """Returns the parts as areas; by the even-odd rule openings stay white, and parts within them do not."""
    contours = [
        path
        for operation in sheet.machine.operations
        for mark in sheet.marks(operation.name)
        if mark.feature.role in (Role.EDGE, Role.OPENING)
        for path in mark.paths
    ]
    return (
        f'<path fill="{PART_TINT}" fill-rule="evenodd" d="{path_data(contours, flip_at=sheet.height_mm)}"/>'
    )


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

"""Draws README's gallery: a picture of every shop aid into out/gallery.

    python tests/gallery.py

Each part is that of the first of a few instruments that can have it, seen from the side it is read from; a few of
another instrument too, where they look quite different there.
"""

import re
import sys
from dataclasses import replace
from pathlib import Path

from jiggen.design.making import MarkFace
from jiggen.design.model import Given
from jiggen.export.png import BORDER_MM, encode_preview
from jiggen.geometry.box import around
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import CATALOGUE, Entry
from jiggen.prepare import Order, draw_parts, fit_out_workshop, lay_on_sheets
from jiggen.reckon import load, work_out
from jiggen.sheets.model import Sheet
from jiggen.units import MM_PER_INCH

ROOT = Path(__file__).parents[1]
INSTRUMENTS = ("wren", "electric-long-scale", "electric-zero-fret", "mandolin", "whinchat", "classical")
#: A layer of a stack that is like its first.
_FURTHER_LAYER = re.compile(r"^(mould|bending-form)-[2-9]")
WIDEST_PIXELS, MOST_PIXELS, LARGEST_DPI = 1000.0, 300_000.0, 110.0


#: Further pictures: a part, of an instrument.
FURTHER = (
    ("headstock-template", "classical"),
    ("body-half-template", "whinchat"),
    ("body-template", "lapwing"),
)
#: Where instruments are: the library, and a sample that brings its outlines along.
FOLDERS = (ROOT / "profiles" / "instruments", ROOT / "tests" / "support" / "outlines")


def neck_named(name: str) -> Neck:
    """An instrument of the library or the sample, marked on the face that one looks at."""
    files = (folder / f"{name}.toml" for folder in FOLDERS)
    design = load(next(file for file in files if file.is_file()))
    return work_out(replace(design, make=replace(design.make, mark_face=Given(MarkFace.TOP))))


def cropped(sheet: Sheet) -> Sheet:
    """The sheet cut down to what lies on it."""
    whole = around(mark.box for each in sheet.machine.operations for mark in sheet.marks(each.name)).grown(
        2.0
    )
    placements = tuple(
        replace(each, place=replace(each.place, shift=each.place.shift - whole.low))
        for each in sheet.placements
    )
    return Sheet(
        number=sheet.number,
        width_mm=whole.width,
        height_mm=whole.height,
        placements=placements,
        machine=sheet.machine,
    )


def picture(entry: Entry, neck: Neck) -> bytes:
    """A part of a neck, as a PNG."""
    order = Order(parts=(entry.name,))
    workshop = fit_out_workshop(neck.spec.make, order)
    parts = [part for part in draw_parts(neck, order, workshop) if not _FURTHER_LAYER.search(part.name)]
    sheets = [cropped(sheet) for sheet in lay_on_sheets(parts, neck, workshop).sheets]
    width = (max(sheet.width_mm for sheet in sheets) + 2.0 * BORDER_MM) / MM_PER_INCH
    height = (sum(sheet.height_mm + BORDER_MM for sheet in sheets) + BORDER_MM) / MM_PER_INCH
    return encode_preview(
        sheets, min(LARGEST_DPI, WIDEST_PIXELS / width, (MOST_PIXELS / (width * height)) ** 0.5)
    )


def main() -> None:
    """Writes all pictures."""
    folder = ROOT / "out" / "gallery"
    folder.mkdir(parents=True, exist_ok=True)
    of = [neck_named(name) for name in INSTRUMENTS]
    pictures = [
        (
            entry.name,
            entry,
            next(each for each in of if not entry.unsuited(each) and not entry.lacking(each.spec)),
        )
        for entry in CATALOGUE
    ]
    pictures += [
        (
            f"{name}-{instrument}",
            next(each for each in CATALOGUE if each.name == name),
            neck_named(instrument),
        )
        for name, instrument in FURTHER
    ]
    for name, entry, neck in pictures:
        data = picture(entry, neck)
        (folder / f"{name}.png").write_bytes(data)
        sys.stdout.write(f"{name}.png {len(data) / 1000.0:.0f} kB\n")


if __name__ == "__main__":
    main()

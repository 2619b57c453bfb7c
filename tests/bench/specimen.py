"""Draws a specimen of the lettering, to be looked at: every character at 30 mm and lines of text at 3 mm.

Run from the top of the project: `PYTHONPATH=.:tests python tests/bench/specimen.py specimen.svg`.
The pen is a tenth of the height, as in ISO 3098 type B; thin lines mark baseline, small and capital heights.
"""

import sys
from collections.abc import Iterator
from pathlib import Path as FilePath

from support.alphabet import EVERY

from jiggen.geometry.path import Arc, Path
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor, Lettering, letter

BIG, SMALL, COLUMNS, CELL, ROW = 30.0, 3.0, 16, 42.0, 54.0  # mm
LINES = (
    "Wren 7F2A-91C3 · 3 mm cast acrylic · kerf 0.20 offset 0.10",
    "Nut width 46.00 mm  1 13/16″  scale 24-3/4″  5½  11/64  127/128",
    "12  314.00    1  111.11    669  996    25 mm²",
    "Kestrel Yard, Übermäßig Čeština naïve façade Łódź Ångström",
    "AV To LT WA 1234567890 0O 1lI 5S 2Z 8B 6G",
    "The quick brown fox jumps over the lazy dog & back @ 40 °C ± 0.5",
    "SPHINX OF BLACK QUARTZ, JUDGE MY VOW",
)


def path_data(path: Path, height: float) -> str:
    """SVG path data in mm, y turned downward."""
    words = [f"M{path.start.x:.4f} {height - path.start.y:.4f}"]
    for piece in path:
        end = f"{piece.end.x:.4f} {height - piece.end.y:.4f}"
        if isinstance(piece, Arc):
            large, sweep = int(abs(piece.bulge) > 1.0), int(piece.bulge < 0.0)
            words.append(f"A{piece.radius:.5f} {piece.radius:.5f} 0 {large} {sweep} {end}")
        else:
            words.append(f"L{end}")
    return " ".join(words) + ("Z" if path.closed else "")


def specimen() -> str:
    """The drawing."""
    rows = -(-len(EVERY) // COLUMNS)
    width, height = COLUMNS * CELL, rows * ROW + len(LINES) * 2.0 * SMALL + ROW / 2.0
    guides: list[str] = []
    letterings: list[Lettering] = []
    for number, character in enumerate(EVERY):
        row, column = divmod(number, COLUMNS)
        foot = height - (row + 1) * ROW + 12.0
        at = Point((column + 0.5) * CELL, foot)
        letterings.append(
            letter(character, height_mm=BIG, at=at, anchor=Anchor.CENTRE_BASELINE, where=character)
        )
        if column == 0:
            guides += (f"M0 {height - foot - up * BIG:.2f}H{width}" for up in (-0.3, 0.0, 0.7, 1.0))
    for number, line in enumerate(LINES):
        at = Point(CELL / 2.0, (len(LINES) - number) * 2.0 * SMALL)
        letterings.append(letter(line, height_mm=SMALL, at=at, anchor=Anchor.LEFT_BASELINE, where=line))
    return "\n".join(
        (
            '<svg xmlns="http://www.w3.org/2000/svg"',
            f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}">',
            f'<rect width="{width}" height="{height}" fill="white"/>',
            f'<path d="{"".join(guides)}" stroke="lightblue" stroke-width="0.2"/>',
            '<g fill="none" stroke="black" stroke-linecap="round" stroke-linejoin="round">',
            *_strokes(letterings, height),
            "</g></svg>\n",
        )
    )


def _strokes(letterings: list[Lettering], height: float) -> Iterator[str]:
    for lettering in letterings:
        data = "".join(path_data(path, height) for path in lettering.paths)
        yield f'<path d="{data}" stroke-width="{lettering.height_mm / 10.0}"/>'


if __name__ == "__main__":
    FilePath(sys.argv[1]).write_text(specimen(), encoding="utf-8")

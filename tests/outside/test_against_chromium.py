"""SVG in a browser: every fret, string and part measures there what it measures in the layout."""

import json
import re
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from support.plans import NECKS, plan_of
from support.programs import run_program
from support.sheets import sheet_set

from jiggen.drawing.model import Ink
from jiggen.export.page_svg import encode_page
from jiggen.export.svg import encode_svg
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds, length
from jiggen.geometry.path import Line, as_circle
from jiggen.geometry.path import Path as Curve
from jiggen.geometry.point import Point

MICRON = 0.001  # mm
#: CSS: an inch is 96 px.
PIXELS_PER_MM = 96.0 / 25.4
#: Errors of the browser's own reckoning, as shares: of sums in single precision, and of curves, which it takes for chords.
SINGLE_PRECISION, CURVES = 5e-6, 2e-4
SHEET = sheet_set().sheets[0]

#: Asks the browser for the size of each drawing on the page, and box and length of everything in it with a name.
SCRIPT = """
const measured = [...document.querySelectorAll("svg")].map(svg => {
  const box = svg.getBoundingClientRect();
  const named = [...svg.querySelectorAll("path[id], circle[id]")].map(each => {
    const b = each.getBBox();
    return [each.id, [b.x, b.y, b.x + b.width, b.y + b.height], each.getTotalLength()];
  });
  return {width: box.width, height: box.height, named};
});
document.getElementById("measured").textContent = JSON.stringify(measured);
"""


@cache
def measured(folder: Path) -> list[dict[str, Any]]:
    """What the browser says of the sheet, then of the plans of Wren and Heron."""
    drawings = [encode_svg(SHEET), *(encode_page(plan_of(name), subject=name) for name in ("wren", "heron"))]
    bodies = [drawing.decode().split("?>\n", 1)[1] for drawing in drawings]
    page = folder / "page.html"
    page.write_text(
        f"<!doctype html><meta charset=utf-8><body style='margin:0'>{''.join(bodies)}"
        f"<pre id=measured></pre><script>{SCRIPT}</script>",
        encoding="utf-8",
    )
    options = ("--headless", "--no-sandbox", "--disable-gpu", f"--user-data-dir={folder / 'profile'}")
    done = run_program("chromium", *options, "--dump-dom", page.as_uri(), package="chromium")
    found = re.search(r'<pre id="measured">(.*?)</pre>', done.stdout.decode(), re.DOTALL)
    assert found
    said: list[dict[str, Any]] = json.loads(unescape(found[1]))
    return said


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    return measured(tmp_path_factory.mktemp("browser"))


def check(named: list[Any], wanted: dict[str, tuple[Curve, ...]], height: float) -> None:
    found = {id: (box, size) for id, box, size in named}
    for id, paths in wanted.items():
        box, size = found[id]
        ours = around(map(bounds, paths))
        theirs = Box(Point(box[0], height - box[3]), Point(box[2], height - box[1]))
        assert ours.low.distance(theirs.low) <= MICRON, id
        assert ours.high.distance(theirs.high) <= MICRON, id
        if as_circle(paths[0]):
            continue  # the browser takes a small circle for a polygon of a tenth less
        if all(isinstance(piece, Line) for path in paths for piece in path):
            assert size == pytest.approx(single_sum(paths, height), abs=MICRON, rel=SINGLE_PRECISION), id
        else:
            assert size == pytest.approx(sum(map(length, paths)), abs=MICRON, rel=CURVES), id


def single_sum(paths: tuple[Curve, ...], height: float) -> float:
    """The length of many strokes as a browser adds it up, in single precision from the numbers in the file."""
    total = np.float32(0.0)
    for piece in (piece for path in paths for piece in path):
        ends = np.array([[end.x, height - end.y] for end in (piece.start, piece.end)]).round(4)
        total += np.hypot(*(ends[1].astype(np.float32) - ends[0].astype(np.float32)))
    return float(total)


def test_drawings_open_at_their_size(browser: list[dict[str, Any]]) -> None:
    sizes = [(SHEET.width_mm, SHEET.height_mm)]
    sizes += [(plan_of(name).width_mm, plan_of(name).height_mm) for name in ("wren", "heron")]
    for drawing, size in zip(browser, sizes, strict=True):
        assert (drawing["width"], drawing["height"]) == pytest.approx(
            tuple(each * PIXELS_PER_MM for each in size), abs=0.05
        )


def test_every_mark_of_a_sheet_has_its_box_and_length(browser: list[dict[str, Any]]) -> None:
    marks = [mark for operation in SHEET.machine.operations for mark in SHEET.marks(operation.name)]
    assert len(browser[0]["named"]) == len(marks)
    check(browser[0]["named"], {mark.id: mark.paths for mark in marks}, SHEET.height_mm)


@pytest.mark.parametrize(("index", "name"), [(1, "wren"), (2, "heron")])
def test_frets_of_the_plan_measure_what_the_layout_says(
    browser: list[dict[str, Any]], index: int, name: str
) -> None:
    page, layout = plan_of(name), NECKS[name].layout
    drawn = {item.id: item.paths for item in page.items if isinstance(item, Ink) and item.id}
    check(browser[index]["named"], drawn, page.height_mm)
    found = {id: (box, size) for id, box, size in browser[index]["named"]}
    nut = found["nut"][0]
    for fret in layout.frets:
        box, size = found[f"fret.{fret.number}"]
        assert size == pytest.approx(fret.width, abs=MICRON)
        assert min(box[0], box[2]) - min(nut[0], nut[2]) == pytest.approx(
            min(fret.line.start.x, fret.line.end.x) - min(layout.nut.start.x, layout.nut.end.x), abs=MICRON
        )


def test_a_shift_of_ten_micron_is_seen(browser: list[dict[str, Any]]) -> None:
    mark = next(SHEET.marks("cut-edge"))
    (path,) = mark.paths
    moved = Curve(tuple(type(piece)(**shifted(piece)) for piece in path), closed=True)
    with pytest.raises(AssertionError):
        check(browser[0]["named"], {mark.id: (moved,)}, SHEET.height_mm)


def shifted(piece: Any) -> dict[str, Any]:
    by = Point(10.0 * MICRON, 0.0)
    ends = {"start": piece.start + by, "end": piece.end + by}
    return {**ends, "bulge": piece.bulge} if hasattr(piece, "bulge") else ends

"""PDF: what no reader tells, since it forgives: the table of objects, the curves, the font."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.plans import plan_of
from support.sheets import sheet_set

from jiggen.drawing.model import Page, words
from jiggen.drawing.paper import A4
from jiggen.drawing.tiles import tile_pages
from jiggen.export.pdf import encode_pages, encode_sheet
from jiggen.export.pdf_file import PdfFile, information, text_string
from jiggen.export.pdf_paths import BEZIER_ERROR, path_operators
from jiggen.geometry.path import Path, arc_around
from jiggen.geometry.point import Point

SHEET = sheet_set().sheets[0]
FILES = {
    "sheet": encode_sheet(SHEET),
    "plan": encode_pages([plan_of("wren")]),
    "tiles": encode_pages(tile_pages(plan_of("wren"), A4)),
}


@pytest.mark.parametrize("name", list(FILES))
def test_every_object_lies_where_the_table_says(name: str) -> None:
    data = FILES[name]
    start = int(re.search(rb"startxref\n(\d+)\n%%EOF\n$", data)[1])  # type: ignore[index]
    table = data[start:].split(b"\n")
    assert table[0] == b"xref"
    count = int(table[1].split()[1])
    for number, row in enumerate(table[3 : 2 + count], start=1):
        assert len(row) == 19  # and its line feed, so that readers may jump
        assert data[int(row[:10]) :].startswith(f"{number} 0 obj\n".encode())
    assert data.count(b" obj\n") == count - 1


@pytest.mark.parametrize("name", list(FILES))
def test_lengths_of_streams_are_true(name: str) -> None:
    data = FILES[name]
    streams = list(re.finditer(rb"/Length (\d+)[^>]*>>\nstream\n", data))
    assert streams
    for found in streams:
        assert data[found.end() + int(found[1]) :].startswith(b"\nendstream")


def test_no_number_has_an_exponent_and_none_is_minus_nought() -> None:
    for data in FILES.values():
        operators = b"".join(re.findall(rb"stream\n(.*?)\nendstream", data, re.DOTALL))
        assert not re.search(rb"\d[eE][-+]?\d", re.sub(rb"<[0-9A-F]+>", b"", operators))
        assert not re.search(rb"[ \n]-0[ \n]", operators)


def test_the_plan_in_tiles_holds_the_plan_once() -> None:
    assert FILES["tiles"].count(b"/Subtype /Form") == 1
    assert len(FILES["tiles"]) < 2 * len(FILES["plan"])


@given(
    st.floats(0.05, 3000.0),
    st.floats(0.01, 6.0),
    st.floats(-math.pi, math.pi),
)
def test_curves_stay_on_their_arcs(radius: float, sweep: float, start: float) -> None:
    centre = Point(12.0, 34.0)
    path = Path((arc_around(centre, radius, start, sweep),))
    numbers = [float(each) for each in re.findall(r"-?[\d.]+", path_operators([path], 9))]
    here, rest = numbers[:2], numbers[2:]
    while len(rest) >= 6:
        (x1, y1, x2, y2, x3, y3), rest = rest[:6], rest[6:]
        for step in range(1, 20):
            t = step / 20.0
            weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            x = sum(w * each for w, each in zip(weights, (here[0], x1, x2, x3), strict=True))
            y = sum(w * each for w, each in zip(weights, (here[1], y1, y2, y3), strict=True))
            assert abs(math.dist((x, y), (centre.x, centre.y)) - radius) <= BEZIER_ERROR * 1.2 + radius * 1e-9
        here = [x3, y3]


def test_each_glyph_stands_in_the_file_once() -> None:
    page = Page(
        title="abc",
        width_mm=100.0,
        height_mm=50.0,
        items=tuple(words("aabbab 11/16", Point(5.0, y), height=2.5, colour="#000000") for y in (5.0, 15.0)),
    )
    data = encode_pages([page])
    assert data.count(b" d1") == 4  # a, b, the space and the fraction
    assert b"/LastChar 3" in data


def test_more_glyphs_than_one_font_holds_go_into_a_second_one() -> None:
    fractions = [f"{over}/{under}" for under in (64, 128) for over in range(1, under)]
    page = Page(
        title="many",
        width_mm=100.0,
        height_mm=50.0,
        items=tuple(words(each, Point(5.0, 5.0), height=2.5, colour="#000000") for each in fractions * 2)
        + tuple(words(chr(each), Point(5.0, 9.0), height=2.5, colour="#000000") for each in range(33, 127)),
    )
    data = encode_pages([page])
    assert data.count(b"/Subtype /Type3") == 2
    assert b"/T1 2.5 Tf" in data


def test_texts_outside_of_pages_are_utf_16() -> None:
    assert text_string("Wren é") == "<FEFF005700720065006E002000E9>"
    assert "/CreationDate (D:20261125000000Z)" in information(
        title="a", subject="", author="", version="1", date="2026-11-25"
    )
    assert "/Subject" not in information(title="a", subject="", author="", version="1", date="")


def test_an_object_may_be_put_after_its_number_was_given_away() -> None:
    file = PdfFile()
    number = file.reserve()
    other = file.put("<< >>")
    assert (number, other) == (1, 2)
    assert file.put("<< /Kind /Late >>", number) == 1
    assert file.encode(root=1, info=2).index(b"/Late") < file.encode(root=1, info=2).index(b"2 0 obj")

"""PDF as pypdf reads it: pages at their size, never scaled, lines where they lie, words as words. An independent reader."""

import io
from collections.abc import Iterator
from dataclasses import replace

import pytest
from pypdf import PdfReader, Transformation
from pypdf.generic import ContentStream
from support.plans import NECKS, plan_of
from support.sheets import sheet_set

from jiggen.drawing.model import Ink
from jiggen.drawing.paper import PAPERS
from jiggen.drawing.tiles import tile_pages
from jiggen.export.pdf import encode_pages, encode_sheet
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point

#: ISO 32000-1, 8.3.2.3: the default unit is 1/72 in.
POINTS_PER_MM = 72.0 / 25.4
MICRON = 0.001  # mm
SHEETS = sheet_set().sheets


def read(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data), strict=True)


def lines_of(reader: PdfReader) -> Iterator[tuple[Point, Point]]:
    """Every straight piece that the first page draws, in mm."""
    page = reader.pages[0]
    matrix, kept = Transformation(), []
    here = start = Point(0.0, 0.0)

    def place(x: float, y: float) -> Point:
        a, b, c, d, e, f = matrix.ctm
        return Point((a * x + c * y + e) / POINTS_PER_MM, (b * x + d * y + f) / POINTS_PER_MM)

    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        match operator:
            case b"q":
                kept.append(matrix)
            case b"Q":
                matrix = kept.pop()
            case b"cm":
                matrix = Transformation(tuple(map(float, operands))).transform(matrix)
            case b"m":
                here = start = place(*map(float, operands))
            case b"l":
                end = place(*map(float, operands))
                yield here, end
                here = end
            case b"h":
                yield here, start
            case b"c":
                here = place(*map(float, operands[4:]))
            case _:
                pass


def has(lines: list[tuple[Point, Point]], start: Point, end: Point) -> bool:
    return any(
        (one.distance(start) <= MICRON and other.distance(end) <= MICRON)
        or (one.distance(end) <= MICRON and other.distance(start) <= MICRON)
        for one, other in lines
    )


@pytest.mark.parametrize("index", [0, 1])
def test_a_sheets_page_is_the_sheet(index: int) -> None:
    sheet = SHEETS[index]
    (page,) = read(encode_sheet(sheet)).pages
    wanted = (0.0, 0.0, sheet.width_mm * POINTS_PER_MM, sheet.height_mm * POINTS_PER_MM)
    assert tuple(map(float, page.mediabox)) == pytest.approx(wanted, abs=MICRON)
    assert "/UserUnit" not in page
    assert "/Rotate" not in page


def test_a_sheets_lines_lie_where_its_marks_lie() -> None:
    sheet = SHEETS[0]
    lines = list(lines_of(read(encode_sheet(sheet))))
    pieces = [
        piece
        for operation in sheet.machine.operations
        for mark in sheet.marks(operation.name)
        for path in mark.paths
        for piece in path
        if isinstance(piece, Line)
    ]
    assert len(pieces) > 30
    for piece in pieces:
        assert has(lines, piece.start, piece.end)
    moved = pieces[0].start + Point(0.01, 0.0)
    assert not has(lines, moved, pieces[0].end)


def test_a_sheet_has_a_layer_for_each_operation() -> None:
    catalogue = read(encode_sheet(SHEETS[0])).trailer["/Root"]
    groups = catalogue["/OCProperties"]["/OCGs"]
    assert [group.get_object()["/Name"] for group in groups] == [
        each.name for each in SHEETS[0].machine.operations
    ]


@pytest.mark.parametrize("name", ["wren", "heron"])
def test_the_plans_frets_lie_as_the_layout_has_them(name: str) -> None:
    page, layout = plan_of(name), NECKS[name].layout
    reader = read(encode_pages([page]))
    box = tuple(map(float, reader.pages[0].mediabox))
    assert box == pytest.approx(
        (0.0, 0.0, page.width_mm * POINTS_PER_MM, page.height_mm * POINTS_PER_MM), abs=MICRON
    )
    nut = next(item for item in page.items if isinstance(item, Ink) and item.id == "nut")
    shift = nut.paths[0].start - layout.nut.start
    lines = list(lines_of(reader))
    for line in (layout.nut, layout.saddle, *(fret.line for fret in layout.frets)):
        assert has(lines, line.start + shift, line.end + shift)


@pytest.mark.parametrize(
    "data", [encode_sheet(SHEETS[0]), encode_pages([plan_of("wren")])], ids=["sheet", "plan"]
)
def test_no_reader_is_asked_to_scale(data: bytes) -> None:
    """ISO 32000-1, 12.2: PrintScaling None keeps the print dialogue from fitting the page."""
    assert read(data).trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"


def test_words_can_be_read_and_searched() -> None:
    text = read(encode_pages([plan_of("wren")])).pages[0].extract_text()
    for words in (
        "Kestrel Yard",
        "12 · 314.00 [12.362]",
        "Working plan",
        "PRINT AT 100 %",
        "+28.50",
        "−28.50",
    ):
        assert words in text, words


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_tiles_have_the_papers_size_and_their_names(paper) -> None:  # type: ignore[no-untyped-def] # a Paper
    pages = tile_pages(plan_of("wren"), paper)
    reader = read(encode_pages(pages))
    sides = sorted((paper.width_mm * POINTS_PER_MM, paper.height_mm * POINTS_PER_MM))
    for page in reader.pages:
        _, _, width, height = map(float, page.mediabox)
        assert sorted((width, height)) == pytest.approx(sides, abs=MICRON)
    assert reader.page_labels == [page.name for page in pages]


def test_the_document_says_what_it_is_and_has_the_designs_date() -> None:
    reader = read(
        encode_pages([plan_of("wren")], subject="Wren 1234", author="Kestrel Yard", date="2026-11-25")
    )
    facts = reader.metadata
    assert facts is not None
    assert (facts.title, facts.subject, facts.author) == ("Wren, working plan", "Wren 1234", "Kestrel Yard")
    assert facts.creation_date is not None
    assert facts.creation_date.date().isoformat() == "2026-11-25"
    undated = read(encode_pages([plan_of("wren")])).metadata
    assert undated is not None
    assert undated.creation_date is None


def test_a_design_beyond_latin_letters_still_has_its_name_in_the_properties() -> None:
    page = replace(plan_of("wren"), title="Zaunkönig ミ 🐦")
    facts = read(encode_pages([page])).metadata
    assert facts is not None
    assert facts.title == "Zaunkönig ミ 🐦"

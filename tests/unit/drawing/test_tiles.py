"""Tiles: together they show the whole page, neighbours share their overlap, and marks meet on marks."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.plans import plan_of

from jiggen.drawing.model import Ink, Inset, Page, Pen, Words
from jiggen.drawing.paper import A3, A4, LETTER, PAPERS, Paper
from jiggen.drawing.tiles import MARGIN, OVERLAP, Grid, cut_up, tile_name, tile_pages
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import segment
from jiggen.geometry.point import Point

NANOMETRE = 1e-6  # mm


def page_of(width: float, height: float) -> Page:
    low = segment(Point(1.0, 1.0), Point(width - 1.0, 1.0))
    return Page(
        title="page",
        width_mm=width,
        height_mm=height,
        items=(Ink(paths=(low,), pen=Pen(0.2, "#000000")),),
    )


def places(grid: Grid) -> list[tuple[int, int]]:
    return list(itertools.product(range(grid.columns), range(grid.rows)))


@given(st.floats(50.0, 3000.0), st.floats(50.0, 1200.0), st.sampled_from(list(PAPERS.values())))
def test_windows_cover_the_page_and_no_column_or_row_is_needless(
    width: float, height: float, paper: Paper
) -> None:
    grid = cut_up(page_of(width, height), paper)
    windows = [grid.window(*place) for place in places(grid)]
    left, right = min(box.low.x for box in windows), max(box.high.x for box in windows)
    low, high = min(box.low.y for box in windows), max(box.high.y for box in windows)
    assert left <= NANOMETRE and right >= width - NANOMETRE  # noqa: PT018
    assert low <= NANOMETRE and high >= height - NANOMETRE  # noqa: PT018
    assert all(box.width <= max(grid.width_mm, grid.height_mm) - 2.0 * MARGIN + NANOMETRE for box in windows)
    if grid.columns > 1:
        assert (grid.columns - 1) * grid.step.x + OVERLAP < width
    if grid.rows > 1:
        assert (grid.rows - 1) * grid.step.y + OVERLAP < height


def test_neighbours_overlap_by_what_is_said() -> None:
    grid = cut_up(page_of(738.0, 297.0), A4)
    right, down = grid.window(1, 0), grid.window(0, 1)
    here = grid.window(0, 0)
    assert here.high.x - right.low.x == pytest.approx(OVERLAP, abs=NANOMETRE)
    assert down.high.y - here.low.y == pytest.approx(OVERLAP, abs=NANOMETRE)


def test_the_paper_lies_the_way_that_takes_fewer_tiles() -> None:
    assert (cut_up(page_of(738.0, 297.0), A4).columns, cut_up(page_of(738.0, 297.0), A4).rows) == (3, 2)
    wide, tall = cut_up(page_of(390.0, 270.0), A3), cut_up(page_of(270.0, 390.0), A3)
    assert (wide.columns, wide.rows, wide.width_mm) == (1, 1, 420.0)
    assert (tall.columns, tall.rows, tall.width_mm) == (1, 1, 297.0)


def test_names_go_by_row_and_column() -> None:
    assert [tile_name(0, 0), tile_name(2, 0), tile_name(0, 1)] == ["A1", "A3", "B1"]


def test_an_index_comes_first_and_every_page_has_the_size_of_the_paper() -> None:
    pages = tile_pages(plan_of("wren"), A4)
    assert [page.name for page in pages] == ["index", "A1", "A2", "A3", "B1", "B2", "B3"]
    assert {(page.width_mm, page.height_mm) for page in pages} == {(297.0, 210.0)}


def test_a_tile_with_nothing_on_it_is_left_out_but_is_on_the_map() -> None:
    pages = tile_pages(page_of(738.0, 297.0), A4)  # nothing but a line along its foot
    assert [page.name for page in pages] == ["index", "B1", "B2", "B3"]
    said = [item.line.text for item in pages[0].items if isinstance(item, Words)]
    assert "A1 blank" in said
    assert "3 tiles on A4, 10 mm over one another" in said


def crosses(page: Page, plan: Page) -> dict[str, Point]:
    """Middles of the joining crosses in coordinates of the plan, by what they are called."""
    inset = next(item for item in page.items if isinstance(item, Inset))
    assert inset.page is plan
    return {
        item.id: bounds(item.paths[2]).centre - inset.place.shift
        for item in page.items
        if isinstance(item, Ink) and item.id.startswith("join.")
    }


def test_crosses_lie_on_those_of_the_neighbour() -> None:
    plan = plan_of("wren")
    pages = {page.name: crosses(page, plan) for page in tile_pages(plan, LETTER)[1:]}
    compared = 0
    for name, marks in pages.items():
        for id, place in marks.items():
            _, side, share = id.split(".", 2)
            step = {"right": (0, 1), "left": (0, -1), "up": (-1, 0), "down": (1, 0)}[side]
            other = chr(ord(name[0]) + step[0]) + str(int(name[1:]) + step[1])
            back = {"right": "left", "left": "right", "up": "down", "down": "up"}[side]
            assert pages[other][f"join.{back}.{share}"].distance(place) <= NANOMETRE
            compared += 1
    assert compared == 2 * 2 * 7  # two crosses at each of seven seams, seen from both sides


def test_marks_and_words_keep_to_the_border_of_the_paper() -> None:
    for page in tile_pages(plan_of("heron"), A4):
        paper = Box.of_size(page.width_mm, page.height_mm).grown(-1.5)
        window = next(item.window for item in page.items if isinstance(item, Inset))
        for item in page.items:
            if isinstance(item, Words):
                assert paper.contains(item.box), item.line.text
                if page.name != "index":
                    assert not item.box.grown(-1.2).overlaps(window), item.line.text

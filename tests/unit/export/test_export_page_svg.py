"""Pages as SVG: small, and the same strokes as on the page; as PNG: at the size they say."""

import io
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
import svgelements
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from support.plans import plan_of
from support.sheets import job_of, sheet_set

from jiggen.drawing.model import Inset, Page, Words, words
from jiggen.export.options import Options
from jiggen.export.page_svg import encode_page
from jiggen.export.path_data import path_data, steps
from jiggen.export.png import plan_as_png
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, arc_around, circle
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import IDENTITY

NS = "{http://www.w3.org/2000/svg}"
ROUNDING = 0.02  # mm: letters are written to hundredths of a millimetre, from step to step


def root_of(page: Page) -> ET.Element:
    return ET.fromstring(encode_page(page, subject="Wren 1234"))  # noqa: S314 - our own file


def test_it_opens_at_its_size_and_says_what_it_is() -> None:
    page = plan_of("wren")
    root = root_of(page)
    assert root.get("width") == f"{page.width_mm:g}mm"
    assert root.get("viewBox") == f"0 0 {page.width_mm:g} {page.height_mm:g}"
    assert root.findtext(f"{NS}title") == "Wren, working plan"
    assert (root.findtext(f"{NS}desc") or "").startswith("Wren 1234. ")
    assert root.get("role") == "img"


def test_it_stands_on_white_so_that_dark_viewers_show_it_too() -> None:
    page = plan_of("wren")
    first = root_of(page).find(f"{NS}rect")
    assert first is not None
    assert (first.get("fill"), first.get("width")) == ("#ffffff", f"{page.width_mm:g}")


def test_words_have_names_for_those_who_do_not_see_them() -> None:
    labels = [each.get("aria-label") for each in root_of(plan_of("wren")).iter() if each.get("aria-label")]
    assert labels == [item.line.text for item in plan_of("wren").items if isinstance(item, Words)]


def test_letters_lie_where_the_page_has_them() -> None:
    text = words("12 · 314.00 [12.362] Ég", Point(20.0, 30.0), height=2.5, colour="#000000", angle=0.4)
    page = Page(title="t", width_mm=100.0, height_mm=60.0, items=(text,))
    (element,) = root_of(page).iter(f"{NS}path")
    drawn = svgelements.Path(element.get("d"))
    starts = [each.end for each in drawn if isinstance(each, svgelements.Move)]
    assert len(starts) == len(list(text.paths()))
    for found, path in zip(starts, text.paths(), strict=True):
        assert abs(found.x - path.start.x) <= ROUNDING
        assert abs(found.y - (60.0 - path.start.y)) <= ROUNDING


@given(
    st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=2, max_size=8, unique=True)
)
def test_steps_come_to_the_same_places_as_full_coordinates(places: list[tuple[int, int]]) -> None:
    points = [Point(x / 10.0, y / 10.0) for x, y in places]
    pieces = [
        Arc(start, end, 0.4) if index % 2 else Line(start, end)
        for index, (start, end) in enumerate(pairwise(points))
    ]
    path = Path(tuple(pieces))
    found = steps([path], decimals=2)
    stepped = svgelements.Path(f"M{found.start[0]} {found.start[1]}{found.text}")
    full = svgelements.Path(path_data([path], flip_at=0.0, decimals=4))
    assert stepped.bbox() == pytest.approx(full.bbox(), abs=0.03)
    assert stepped.current_point.x == pytest.approx(path.end.x, abs=0.006)
    assert stepped.current_point.y == pytest.approx(-path.end.y, abs=0.006)


def test_steps_after_a_closed_stroke_start_from_where_it_began() -> None:
    ring = circle(Point(5.0, 5.0), 2.0)
    tail = Path((arc_around(Point(20.0, 5.0), 3.0, 0.0, 1.0),))
    found = steps([ring, tail], decimals=3)
    drawn = svgelements.Path(f"M{found.start[0]} {found.start[1]}{found.text}")
    moves = [each.end for each in drawn if isinstance(each, svgelements.Move)]
    assert (moves[1].x, -moves[1].y) == pytest.approx((23.0, 5.0), abs=0.002)


def test_a_page_within_a_page_is_for_printers() -> None:
    inner = plan_of("wren")
    inset = Inset(page=inner, place=IDENTITY, window=Box.of_size(10.0, 10.0))
    page = Page(title="t", width_mm=100.0, height_mm=60.0, items=(inset,))
    with pytest.raises(TypeError, match="for printers only"):
        encode_page(page, subject="")


def test_no_number_carries_needless_noughts() -> None:
    text = encode_page(plan_of("wren"), subject="").decode()
    data = "".join(re.findall(r' d="([^"]*)"', text))
    assert not re.search(r"\.\d*0(?=[ a-zA-Z-]|$)", data)


@pytest.mark.parametrize("dpi", [40.0, 100.0])
def test_a_picture_of_the_plan_has_the_pixels_that_were_asked_for(dpi: float) -> None:
    plan = job_of(sheet_set(), Options(dpi=dpi)).plan
    ((name, data),) = plan_as_png(plan)
    picture = Image.open(io.BytesIO(data))
    assert name == "plan.png"
    assert picture.info["dpi"] == pytest.approx((dpi, dpi), abs=0.03)
    wanted = (plan.page.width_mm / 25.4 * dpi, plan.page.height_mm / 25.4 * dpi)
    assert picture.size == pytest.approx(wanted, abs=1.0)

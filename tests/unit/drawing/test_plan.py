"""The working plan: nothing leaves its frame, no words lie on one another, and every number is where it belongs."""

import itertools
import math

import pytest
from support.plans import NECKS, plan_of

from jiggen.drawing.model import Area, Ink, Item, Page, Words
from jiggen.drawing.neck_view import neck_view
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.layout.body_numbers import body_numbers
from jiggen.lettering.glyphs import UNITS
from jiggen.units import format_mm

EVERY = list(NECKS)
NANOMETRE = 1e-6  # mm


def box_of(item: Item) -> Box:
    match item:
        case Words():
            return ink_of(item)
        case Ink() | Area():
            return around(map(bounds, item.paths))
        case _:
            raise TypeError(item)


def ink(page: Page, id: str) -> Ink:
    return next(item for item in page.items if isinstance(item, Ink) and item.id == id)


def texts(page: Page) -> list[str]:
    return [item.line.text for item in page.items if isinstance(item, Words)]


@pytest.mark.parametrize("name", EVERY)
def test_everything_lies_within_the_frame(name: str) -> None:
    page = plan_of(name)
    frame = box_of(ink(page, "frame"))
    assert Box.of_size(page.width_mm, page.height_mm).contains(frame.grown(9.9))
    for item in page.items:
        assert frame.contains(box_of(item), slack=0.3), item


@pytest.mark.parametrize("name", EVERY)
def test_no_words_lie_on_one_another(name: str) -> None:
    letterings = [(item.line.text, ink_of(item)) for item in plan_of(name).items if isinstance(item, Words)]
    for (text, box), (other, other_box) in itertools.combinations(letterings, 2):
        assert not box.overlaps(other_box), (text, other)


def ink_of(words: Words) -> Box:
    """The upright box round the ink of an upright or quarter-turned line."""
    scale, line = words.height_mm / UNITS, words.line.ink
    assert line is not None
    place = Similarity(
        cosine=scale * math.cos(words.angle), sine=scale * math.sin(words.angle), shift=words.origin
    )
    return Box.spanning(place.point(line.low), place.point(line.high))


@pytest.mark.parametrize("name", EVERY)
def test_no_line_runs_through_words(name: str) -> None:
    """Lines that cross the figures of a dimension would make them hard to read; strings may pass behind nothing."""
    page = plan_of(name)
    letterings = [(item, ink_of(item)) for item in page.items if isinstance(item, Words)]
    for item in page.items:
        if not isinstance(item, Ink):
            continue
        for path in item.paths:
            for piece in path:
                if not isinstance(piece, Line):
                    continue
                reach = Box.spanning(piece.start, piece.end).grown(0.01)
                for words, box in letterings:
                    if reach.overlaps(box):
                        assert not crosses(piece, box.grown(-0.15)), (item.id, words.line.text)


def crosses(line: Line, box: Box) -> bool:
    """Whether any of a line lies in a box, by cutting it off side by side (Liang and Barsky, 1984)."""
    start, way = line.start, line.end - line.start
    first, last = 0.0, 1.0
    for step, room in (
        (-way.x, start.x - box.low.x),
        (way.x, box.high.x - start.x),
        (-way.y, start.y - box.low.y),
        (way.y, box.high.y - start.y),
    ):
        if step == 0.0:
            if room < 0.0:
                return False
        elif step < 0.0:
            first = max(first, room / step)
        else:
            last = min(last, room / step)
    return first < last


@pytest.mark.parametrize("name", EVERY)
def test_frets_and_strings_are_drawn_at_full_size(name: str) -> None:
    page, layout = plan_of(name), NECKS[name].layout
    nut = ink(page, "nut").paths[0]
    shift = nut.start - layout.nut.start
    for fret in layout.frets:
        (drawn,) = ink(page, f"fret.{fret.number}").paths
        assert drawn.start.distance(fret.line.start + shift) <= NANOMETRE
        assert drawn.end.distance(fret.line.end + shift) <= NANOMETRE
    for string in layout.strings:
        (drawn,) = ink(page, f"string.{string.number}").paths
        assert drawn.start.distance(string.line.start + shift) <= NANOMETRE
        assert drawn.end.distance(string.line.end + shift) <= NANOMETRE


def test_ids_are_unique() -> None:
    ids = [item.id for item in plan_of("heron").items if isinstance(item, Ink) and item.id]
    assert len(ids) == len(set(ids))


def test_main_dimensions_stand_in_both_units() -> None:
    said = texts(plan_of("wren"))
    assert said.count("314.00 [12.362]") == 2  # nut to 12th fret, and on to the saddle line
    assert "628.00 [24.724]" in said
    assert "46.00 [1.811]" in said
    assert "57.00 [2.244]" in said
    assert "64.00 [2.520]" in said
    assert "12 · 314.00 [12.362]" in said


def test_numbers_of_the_body_stand_on_the_plan() -> None:
    said = texts(plan_of("with a body"))
    layout = NECKS["with a body"].layout
    found = body_numbers(layout)
    assert found is not None
    assert found.waist is not None
    assert "Body" in said
    for number in (
        format_mm(314.0),
        format_mm(found.perimeter),
        format_mm(found.side_wood[0]),
        format_mm(found.waist.radius),
    ):
        assert number.removesuffix(" mm") in said
    assert f"{found.area / 100.0:.1f} cm²" in said
    assert "Body" not in texts(plan_of("siskin"))


def test_fanned_frets_are_dimensioned_along_both_sides() -> None:
    layout = NECKS["heron"].layout
    said = texts(plan_of("heron"))
    twelfth = next(fret for fret in layout.frets if fret.number == 12)
    for end, nut in ((twelfth.line.start, layout.nut.start), (twelfth.line.end, layout.nut.end)):
        assert any(text.startswith(f"12 · {end.x - nut.x:.2f} [") for text in said)


def test_fields_of_the_title_block_after_iso_7200_are_filled() -> None:
    said = texts(plan_of("wren"))
    for field in (
        "Legal owner",
        "Identification number",
        "Date of issue",
        "Sheet",
        "Title",
        "Approved by",
        "Created by",
        "Document type",
        "Rev.",
        "Lang.",
        "Supplementary title",
        "Document status",
    ):
        assert field in said, field
    for content in ("Kestrel Yard", NECKS["wren"].id, "2026-11-25", "Wren", "Working plan", "SCALE 1:1"):
        assert content in said, content


def test_assumed_numbers_stand_out_and_the_notes_say_so() -> None:
    assert not any("Numbers in red are assumed" in text for text in texts(plan_of("wren")))


def test_views_are_drawn_in_coordinates_of_the_layout() -> None:
    view = neck_view(NECKS["wren"].layout, NECKS["wren"].setup)
    assert view.room.contains(Box(Point(0.0, -32.0), Point(628.0, 32.0)))

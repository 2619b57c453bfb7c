"""Pages as SVG: true size, one user unit a millimetre, words as strokes of the pen that screen readers can name."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import escape
from itertools import groupby
from typing import assert_never

from jiggen.drawing.model import Area, Ink, Inset, Item, Page, Words
from jiggen.export.numbers import number
from jiggen.export.path_data import Steps, path_data, relative_step, steps
from jiggen.export.svg import NAMESPACE
from jiggen.export.writer import PlanJob
from jiggen.geometry.measure import flatten
from jiggen.geometry.path import polyline
from jiggen.geometry.similarity import Similarity
from jiggen.lettering.glyphs import UNITS, Glyph

#: Decimals of lines, and of the strokes of letters, mm.
_DECIMALS, _LETTER_DECIMALS = 4, 2
_PAPER = "#ffffff"
_ROUND = ' stroke-linecap="round" stroke-linejoin="round"'


def plan_as_svg(plan: PlanJob) -> Iterator[tuple[str, bytes]]:
    """Yields the working plan."""
    yield "plan.svg", encode_page(plan.page, subject=plan.subject)


def encode_page(page: Page, *, subject: str) -> bytes:
    """Returns a page as SVG 1.1 on white paper: UTF-8, line feeds, a line feed at the end.

    Args:
        page: Shows no other page.
        subject: For its description.
    """
    width, height = number(page.width_mm), number(page.height_mm)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="{NAMESPACE}" version="1.1" {size} role="img">',
        f"<title>{escape(page.title)}</title>",
        f"<desc>{escape(subject)}. {width} × {height} mm. One user unit is 1 mm: print it at 100 %.</desc>",
        *page_elements(page),
        "</svg>",
        "",
    ]
    return "\n".join(lines).encode()


def page_picture(page: Page, *, pixel_mm: float) -> Iterator[str]:
    """Yields elements for a picture of a page: one for each paint, in a form that is quick to draw.

    Letters are in chords, and lines end bluntly; no pixel tells it.

    Args:
        page: Shows no other page.
        pixel_mm: Size of a pixel.
    """
    draw = _Hand(page.height_mm, chord_error_mm=pixel_mm / 4.0)
    by_paint: dict[str, list[str]] = {}
    for item in page.items:
        by_paint.setdefault(_paint(item, ends=""), []).append(draw.data(item))
    for paint, data in by_paint.items():
        yield f'<path {paint} d="{"".join(data)}"/>'


def page_elements(page: Page) -> Iterator[str]:
    """Yields the lines of the elements of a page, its paper first, y flipped in the numbers."""
    yield f'<rect width="{number(page.width_mm)}" height="{number(page.height_mm)}" fill="{_PAPER}"/>'
    draw = _Hand(page.height_mm)
    for paint, items in groupby(page.items, key=_paint):
        yield f"<g {paint}>"
        yield from map(draw.element, items)
        yield "</g>"


def _paint(item: Item, *, ends: str = _ROUND) -> str:
    match item:
        case Ink() | Words():
            return f'fill="none" stroke="{item.pen.colour}" stroke-width="{number(item.pen.width_mm)}"{ends}'
        case Area():
            return f'fill="{item.colour}" fill-rule="evenodd"'
        case Inset():
            raise TypeError("a page within a page is for printers only")
        case _:
            assert_never(item)


@dataclass(frozen=True, slots=True)
class _Hand:
    """Draws items, y turned down from the top of the page; letters in chords where an error is allowed."""

    top: float
    chord_error_mm: float = 0.0

    def element(self, item: Item) -> str:
        """Returns the element of an item, with its name where it has one."""
        name = ""
        match item:
            case Ink() if item.id:
                name = f'id="{escape(item.id)}" '
            case Words():
                name = f'aria-label="{escape(item.line.text)}" '
            case _:
                pass
        return f'<path {name}d="{self.data(item)}"/>'

    def data(self, item: Item) -> str:
        """Returns the path data of an item."""
        match item:
            case Ink() | Area():
                return path_data(item.paths, flip_at=self.top, decimals=_DECIMALS)
            case Words():
                return "".join(self._strokes(item))
            case Inset():
                raise TypeError("a page within a page is for printers only")
            case _:
                assert_never(item)

    def _strokes(self, words: Words) -> Iterator[str]:
        """Yields the path data of words, glyph by glyph, each by a step from the end of the one before it."""
        here: tuple[float, float] | None = None
        for glyph, at in words.glyphs():
            drawn = _steps_of(_ByIdentity(glyph), words.height_mm, words.angle, self.chord_error_mm)
            x, y = drawn.start
            there = (round(at.x + x, _LETTER_DECIMALS), round(self.top - at.y + y, _LETTER_DECIMALS))
            if here is None:
                yield f"M{number(there[0], _LETTER_DECIMALS)} {number(there[1], _LETTER_DECIMALS)}"
            else:
                yield f"m{relative_step(here, there, _LETTER_DECIMALS)}"
            yield drawn.text
            here = (there[0] + drawn.end[0], there[1] + drawn.end[1])


@dataclass(frozen=True, slots=True)
class _ByIdentity:
    """A glyph that is told from others by being the same one: comparing strokes would take longer than drawing."""

    glyph: Glyph

    def __hash__(self) -> int:
        return id(self.glyph)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and self.glyph is other.glyph


@cache  # pure; a page repeats few glyphs, heights and angles
def _steps_of(which: _ByIdentity, height_mm: float, angle: float, chord_error_mm: float) -> Steps:
    scale = height_mm / UNITS
    place = Similarity(cosine=scale * math.cos(angle), sine=scale * math.sin(angle))
    strokes = [place.path(stroke) for stroke in which.glyph.strokes]
    if chord_error_mm:
        strokes = [polyline(flatten(stroke, chord_error_mm)) for stroke in strokes]
    return steps(strokes, decimals=_LETTER_DECIMALS)

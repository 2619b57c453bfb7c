"""Pages as SVG: true size, one user unit a millimetre, words as strokes of the pen that screen readers can name."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from html import escape
from itertools import groupby
from typing import assert_never

from jiggen.drawing.model import Area, Ink, Inset, Item, Page, Pen, Words
from jiggen.export.numbers import number
from jiggen.export.path_data import Steps, path_data, relative_step, steps
from jiggen.export.svg import NAMESPACE
from jiggen.export.writer import Job
from jiggen.geometry.similarity import Similarity
from jiggen.lettering.glyphs import UNITS, Glyph

#: Decimals of lines, and of the strokes of letters, mm.
_DECIMALS, _LETTER_DECIMALS = 4, 2
_PAPER = "#ffffff"


def plan_as_svg(job: Job) -> Iterator[tuple[str, bytes]]:
    """Yields the working plan."""
    design = job.sheet_set.spec.design
    yield "plan.svg", encode_page(job.plan, subject=f"{design.name} {job.sheet_set.design_id}")


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


def page_elements(page: Page) -> Iterator[str]:
    """Yields the lines of the elements of a page, its paper first, y flipped in the numbers."""
    yield f'<rect width="{number(page.width_mm)}" height="{number(page.height_mm)}" fill="{_PAPER}"/>'
    draw = _Hand(page.height_mm)
    for paint, items in groupby(page.items, key=_paint):
        yield f"<g {paint}>"
        yield from map(draw.element, items)
        yield "</g>"


def _paint(item: Item) -> str:
    match item:
        case Ink() | Words():
            return _stroked(item.pen)
        case Area():
            return f'fill="{item.colour}" fill-rule="evenodd"'
        case Inset():
            raise TypeError("a page within a page is for printers only")
        case _:
            assert_never(item)


def _stroked(pen: Pen) -> str:
    return (
        f'fill="none" stroke="{pen.colour}" stroke-width="{number(pen.width_mm)}"'
        ' stroke-linecap="round" stroke-linejoin="round"'
    )


@dataclass(frozen=True, slots=True)
class _Hand:
    """Draws items, y turned down from the top of the page."""

    top: float

    def element(self, item: Item) -> str:
        match item:
            case Ink() | Area():
                name = f'id="{escape(item.id)}" ' if isinstance(item, Ink) and item.id else ""
                return f'<path {name}d="{path_data(item.paths, flip_at=self.top, decimals=_DECIMALS)}"/>'
            case Words():
                return f'<path aria-label="{escape(item.line.text)}" d="{"".join(self._strokes(item))}"/>'
            case Inset():
                raise TypeError("a page within a page is for printers only")
            case _:
                assert_never(item)

    def _strokes(self, words: Words) -> Iterator[str]:
        """Yields the path data of words, glyph by glyph, each by a step from the end of the one before it."""
        here: tuple[float, float] | None = None
        for glyph, at in words.glyphs():
            drawn = _glyph_steps(glyph, words.height_mm, words.angle)
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


def _glyph_steps(glyph: Glyph, height_mm: float, angle: float) -> Steps:
    return _steps_of(_ByIdentity(glyph), height_mm, angle)


@cache  # pure; a page repeats few glyphs, heights and angles
def _steps_of(which: _ByIdentity, height_mm: float, angle: float) -> Steps:
    scale = height_mm / UNITS
    place = Similarity(cosine=scale * math.cos(angle), sine=scale * math.sin(angle))
    return steps([place.path(stroke) for stroke in which.glyph.strokes], decimals=_LETTER_DECIMALS)

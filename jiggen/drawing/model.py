"""Pages as any writer can write them: lines, areas, words, and other pages seen through a window.

Millimetres, x to the right, y up, origin in the lower left corner of the page.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import assert_never

from jiggen.geometry.box import Box, around
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.lettering.fit import Anchor
from jiggen.lettering.glyphs import PEN, UNITS, Glyph
from jiggen.lettering.setting import SetLine, set_line

#: How far small letters reach below the baseline, font units.
_FOOT = 40.0


@dataclass(frozen=True, slots=True)
class Pen:
    """What a line is drawn with: its width in mm and its colour, `#rrggbb`."""

    width_mm: float
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """Lines drawn with one pen.

    Attributes:
        paths: Page coordinates.
        pen: With round ends and corners.
        id: Of what they show, `fret.7`; empty for what nobody looks for. Unique on a page.
    """

    paths: tuple[Path, ...]
    pen: Pen
    id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """Closed paths filled with a colour, by the even-odd rule."""

    paths: tuple[Path, ...]
    colour: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A line of lettering.

    Attributes:
        line: Set in font units.
        height_mm: Of capitals; the pen is a tenth of it (ISO 3098 type B).
        origin: Where the line starts, on its baseline.
        angle: In which it runs, radians, counter-clockwise.
        colour: `#rrggbb`.
    """

    line: SetLine
    height_mm: float
    origin: Point
    angle: float
    colour: str

    @property
    def pen(self) -> Pen:
        """The pen that draws it."""
        return Pen(self.height_mm * PEN / UNITS, self.colour)

    @property
    def box(self) -> Box:
        """Upright box round the line from its foot to the top of its capitals; of a slanted one, round that."""
        place = self._place()
        low, high = Point(0.0, -_FOOT), Point(self.line.width, UNITS)
        corners = (low, Point(high.x, low.y), high, Point(low.x, high.y))
        return around(Box(corner, corner) for corner in map(place.point, corners))

    def glyphs(self) -> Iterator[tuple[Glyph, Point]]:
        """Yields each glyph that has ink with the place of its own origin, page coordinates."""
        place = self._place()
        for glyph, x in self.line.glyphs:
            if glyph.strokes:  # the ink, not the pen's centre, starts at the line's left and on its baseline
                yield glyph, place.point(Point(x + PEN / 2.0, PEN / 2.0))

    def paths(self) -> Iterator[Path]:
        """Yields the pen's centre lines, page coordinates."""
        place = self._place()
        for glyph, at in self.glyphs():
            move = Similarity(cosine=place.cosine, sine=place.sine, shift=at)
            yield from map(move.path, glyph.strokes)

    def _place(self) -> Similarity:
        scale = self.height_mm / UNITS
        return Similarity(
            cosine=scale * math.cos(self.angle), sine=scale * math.sin(self.angle), shift=self.origin
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Inset:
    """Another page, moved and perhaps made smaller, seen through a window.

    Attributes:
        page: What is shown.
        place: From its coordinates to those of the page that shows it.
        window: What is seen of it, coordinates of the page that shows it.
    """

    page: "Page"
    place: Similarity
    window: Box


Item = Ink | Area | Words | Inset


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page.

    Attributes:
        title: What it is, for people.
        width_mm: Along x.
        height_mm: Along y.
        items: From the back to the front.
        name: Among the pages of a document, as its reader shows it: `B1`.
    """

    title: str
    width_mm: float
    height_mm: float
    items: tuple[Item, ...]
    name: str = ""


@lru_cache(maxsize=2048)  # pure; tables measure each text before they letter it
def _line(text: str) -> SetLine:
    return set_line(text, where="lettering of the plan", fractions=True)


def width_of(text: str, height: float) -> float:
    """Returns the width of a line of lettering in mm; 0 for no text.

    Raises:
        InputError: If the lettering lacks a character.
    """
    return _line(text).width * height / UNITS


def words(
    text: str,
    at: Point,
    *,
    height: float,
    colour: str,
    anchor: Anchor = Anchor.LEFT_BASELINE,
    angle: float = 0.0,
) -> Words:
    """Returns a line of lettering at a point.

    Args:
        text: One line.
        at: Where the anchor goes.
        height: Of capitals, mm.
        colour: `#rrggbb`.
        anchor: The place of the text that goes there.
        angle: Radians, counter-clockwise.

    Raises:
        InputError: If the lettering lacks a character.
    """
    line = _line(text)
    scale = height / UNITS
    corner = Point(anchor.across * line.width * scale, anchor.up * height)
    turn = Similarity(cosine=math.cos(angle), sine=math.sin(angle))
    return Words(line=line, height_mm=height, origin=at - turn.point(corner), angle=angle, colour=colour)


def moved(items: Iterable[Item], by: Point) -> Iterator[Item]:
    """Yields items moved across their page."""
    shift = Similarity(shift=by)
    for item in items:
        match item:
            case Ink():
                yield replace(item, paths=tuple(map(shift.path, item.paths)))
            case Area():
                yield replace(item, paths=tuple(map(shift.path, item.paths)))
            case Words():
                yield replace(item, origin=item.origin + by)
            case Inset():
                window = Box(item.window.low + by, item.window.high + by)
                yield replace(item, place=item.place.then(shift), window=window)
            case _:
                assert_never(item)

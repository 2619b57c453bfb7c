"""The title block: whose it is, what it is, which state it is in. Millimetres.

Source: ISO 7200:2004 for the fields and the width of 180 mm; ISO 5455 for the way in which the scale is given.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from jiggen import __version__
from jiggen.drawing.model import Ink, Item, width_of, words
from jiggen.drawing.style import HEADING, INK, NAME, OUTLINE, SMALL, SOFT, THIN, TINY, TITLE
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout

WIDTH, HEIGHT = 180.0, 40.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    name: str
    text: str
    x: float
    y: float
    width: float
    height: float
    letters: float = SMALL


def title_block(layout: Layout, design_id: str, corner: Point) -> Iterator[Item]:
    """Yields the block with its lower right corner at a point."""
    design = layout.spec.design
    low = corner - Point(WIDTH, 0.0)
    fields = (
        _Field(name="Legal owner", text=design.owner, x=0, y=0, width=52, height=24, letters=TITLE),
        _Field(name="Created by", text="", x=52, y=16, width=38, height=8),
        _Field(name="Approved by", text="", x=52, y=8, width=38, height=8),
        _Field(name="Drawn with", text=f"jiggen {__version__}", x=52, y=0, width=38, height=8),
        _Field(name="Title", text=design.name, x=90, y=24, width=90, height=16, letters=HEADING),
        _Field(name="Document type", text="Working plan", x=90, y=16, width=45, height=8),
        _Field(name="Document status", text="", x=135, y=16, width=45, height=8),
        _Field(name="Supplementary title", text=_kind(layout), x=0, y=24, width=90, height=16, letters=NAME),
        _Field(name="Identification number", text=design_id, x=90, y=8, width=45, height=8, letters=NAME),
        _Field(name="Rev.", text=design.revision, x=135, y=8, width=15, height=8, letters=NAME),
        _Field(name="Date of issue", text=design.date, x=150, y=8, width=30, height=8),
        _Field(name="Scale", text="SCALE 1:1", x=90, y=0, width=45, height=8, letters=NAME),
        _Field(name="Lang.", text="en", x=135, y=0, width=15, height=8),
        _Field(name="Sheet", text="1 of 1", x=150, y=0, width=30, height=8),
    )
    yield Ink(
        paths=tuple(
            rectangle(low + Point(each.x, each.y), low + Point(each.x + each.width, each.y + each.height))
            for each in fields
        ),
        pen=THIN,
    )
    yield Ink(paths=(rectangle(low, low + Point(WIDTH, HEIGHT)),), pen=OUTLINE, id="title-block")
    for each in fields:
        top = low + Point(each.x + 1.2, each.y + each.height - 1.0 - TINY)
        yield words(each.name, top, height=TINY, colour=SOFT)
        if each.text:
            letters = min(each.letters, each.letters * (each.width - 2.4) / width_of(each.text, each.letters))
            base = low + Point(each.x + 1.2, each.y + (each.height - TINY - 1.0 - letters) / 2.0)
            yield words(each.text, base, height=letters, colour=INK)


def _kind(layout: Layout) -> str:
    spec = layout.spec
    frets = _count(spec.frets.value, "fret") if spec.frets.value else "fretless"
    return f"{_count(spec.string_count.value, 'string')}, {frets}"


def _count(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"

"""The working plan: the neck at full size with its dimensions, its numbers and a title block, on one long page.

From top to bottom: the neck, then tables beside the scale check, with notes and the title block in the lower right
corner, where ISO 7200 has it. The page is as long as the neck asks for; its height is that of a common roll.
"""

import math
from collections.abc import Iterator, Sequence

from jiggen.drawing.model import Ink, Item, Page, moved, words
from jiggen.drawing.neck_view import neck_view
from jiggen.drawing.numbers import (
    body_table,
    fret_table,
    revision_table,
    spec_table,
    string_table,
    working_table,
)
from jiggen.drawing.scale_check import BAR, METRIC, bars
from jiggen.drawing.style import ASSUMED_RED, INK, NAME, OUTLINE, SMALL
from jiggen.drawing.table import PITCH, Table, in_columns
from jiggen.drawing.title_block import HEIGHT as BLOCK_HEIGHT
from jiggen.drawing.title_block import WIDTH as BLOCK_WIDTH
from jiggen.drawing.title_block import title_block
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.layout.setup import StringSetup
from jiggen.lettering.fit import wrap_text

#: Border of the page: left for filing, and elsewhere (ISO 5457, from memory).
_FILING, _BORDER = 20.0, 10.0
#: Free between the frame and what it holds, and between blocks.
_AIR, _GUTTER = 5.0, 8.0
#: Heights of rolls that large printers hold: A3, A2, A1 and A0 laid across (ISO 216).
_ROLLS = (297.0, 420.0, 594.0, 841.0)
#: Longest column of frets.
_LONGEST_COLUMN = 20
#: Room for the scale check, which stands in a corner of its own.
_CHECK = METRIC + 2.0 * BAR + 9.0

#: From the top of the notes to the foot of their first line.
_TO_FIRST_LINE = NAME + 5.0

_PRINT = "PRINT AT 100 % (ACTUAL SIZE). Lay a rule on both bars before you trust a print: paper and printers stretch."
_UNITS = (
    "Dimensions in millimetres, inches in brackets. Frets are measured from the front of the nut along the centre"
    " line, strings from the centre line, + toward the treble side. The saddle line is uncompensated."
)
_ASSUMED = "Numbers in red are assumed: nobody has decided them yet."


def draw_plan(layout: Layout, setup: StringSetup, *, design_id: str) -> Page:
    """Returns the plan.

    Args:
        layout: Of the neck.
        setup: Of the strings on it.
        design_id: Of its spec.
    """
    view = neck_view(layout, setup)
    spec = spec_table(layout)
    working, body = working_table(layout), body_table(layout)
    columns: list[tuple[Table, ...]] = [
        *((table,) for table in in_columns(fret_table(layout), _LONGEST_COLUMN)),
        (string_table(layout, setup), *([working] if working else [])),
        (spec,),
        *([(body,)] if body else []),
    ]
    notes = [_PRINT, _UNITS, *([_ASSUMED] if spec.marked else [])]
    revision = revision_table(layout)
    notes_height = _TO_FIRST_LINE + PITCH * len(_lines(notes)) + _GUTTER
    corner = [*_notes(notes), *revision.draw(Point(0.0, -notes_height))]
    corner_height = notes_height + revision.size.y + _GUTTER + BLOCK_HEIGHT - _AIR
    sizes = [_size(column) for column in columns]
    across = _CHECK + _GUTTER + sum(size.x + _GUTTER for size in sizes) + BLOCK_WIDTH
    lower = max(corner_height, *(size.y for size in sizes))
    upper = max(view.room.height, _CHECK - lower)  # the check may stand beside the lower part of the neck
    width = math.ceil(max(view.room.width, across - _AIR) + 2.0 * _AIR + _FILING + _BORDER)
    needed = upper + _GUTTER + lower + 2.0 * (_AIR + _BORDER)
    height = next((roll for roll in _ROLLS if roll >= needed), math.ceil(needed))
    inside = width - _FILING - _BORDER
    middle = Point(
        _FILING + (inside - view.room.width) / 2.0 - view.room.low.x,
        height - _BORDER - _AIR - (height - needed) / 2.0 - view.room.high.y,
    )
    floor = _BORDER + _AIR
    top = floor + lower
    items: list[Item] = [
        _frame(width, height),
        *moved(view.items, middle),
        *_scale_check(Point(_FILING + _AIR, floor)),
        *title_block(layout, design_id, Point(width - _BORDER, _BORDER)),
        *moved(corner, Point(width - _BORDER - BLOCK_WIDTH, top)),
        *_in_a_row(columns, Point(_FILING + _AIR + _CHECK + _GUTTER, top)),
    ]
    title = f"{layout.spec.design.name}, working plan"
    return Page(title=title, width_mm=float(width), height_mm=float(height), items=tuple(items))


def _frame(width: float, height: float) -> Ink:
    low, high = Point(_FILING, _BORDER), Point(width - _BORDER, height - _BORDER)
    return Ink(paths=(rectangle(low, high),), pen=OUTLINE, id="frame")


def _scale_check(corner: Point) -> Iterator[Item]:
    """Yields bars along both axes that leave from one corner, so that their inner sides make a square."""
    yield from bars(corner + Point(2.0 * BAR + 3.0, BAR), "x")
    yield from bars(corner + Point(BAR, 2.0 * BAR + 3.0), "y")
    at = corner + Point(2.0 * BAR + 6.0, 2.0 * BAR + 6.0)
    yield words("Scale check", at + Point(0.0, 2.0 * PITCH), height=NAME, colour=INK)
    for number, line in enumerate(("print at 100 %,", "both ways must fit the rule")):
        yield words(line, at + Point(0.0, (1 - number) * PITCH - 1.0), height=SMALL, colour=INK)


def _size(column: Sequence[Table]) -> Point:
    sizes = [table.size for table in column]
    return Point(max(size.x for size in sizes), sum(size.y for size in sizes) + _GUTTER * (len(sizes) - 1))


def _in_a_row(columns: Sequence[Sequence[Table]], corner: Point) -> Iterator[Item]:
    """Yields columns of tables side by side, hanging from one height."""
    x = corner.x
    for column in columns:
        y = corner.y
        for table in column:
            yield from table.draw(Point(x, y))
            y -= table.size.y + _GUTTER
        x += _size(column).x + _GUTTER


def _lines(notes: Sequence[str]) -> list[tuple[str, str]]:
    return [
        (line, ASSUMED_RED if note == _ASSUMED else INK)
        for note in notes
        for line in wrap_text(note, BLOCK_WIDTH - _AIR, SMALL)
    ]


def _notes(notes: Sequence[str]) -> Iterator[Item]:
    """Yields the notes, hanging from y = 0."""
    yield words("Notes", Point(0.0, -NAME), height=NAME, colour=INK)
    for number, (line, colour) in enumerate(_lines(notes)):
        yield words(line, Point(0.0, -_TO_FIRST_LINE - number * PITCH), height=SMALL, colour=colour)

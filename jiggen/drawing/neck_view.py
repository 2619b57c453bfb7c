"""The neck from above, full size, and its dimensions. Millimetres; layout coordinates, which the plan then moves.

Nothing is taken for square or even: frets may fan out, the sides may differ, and treble may lie below bass.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from jiggen.drawing.dimension import (
    Running,
    both_units,
    horizontal,
    running,
    running_height,
    spread_out,
    vertical,
)
from jiggen.drawing.model import Ink, Item, Pen, width_of, words
from jiggen.drawing.scale_check import RULE_UNIT, long_rule
from jiggen.drawing.style import ASSUMED_RED, FRET, INK, NAME, OUTLINE, SMALL, STRING, STRING_BLUE, THIN
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line, Path, circle, segment
from jiggen.geometry.point import Point, between
from jiggen.layout.fan import x_at_centre
from jiggen.layout.model import Layout
from jiggen.layout.setup import StringSetup
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import CENTRE_LINE, DASHED_LINE, broken

#: The centre line goes on past the board's start, and past the saddle line, where the strings' names stand.
_PAST_START, _PAST_SADDLE = 14.0, 2.5
#: From the neck to its first dimension line, and from one to the next.
_FIRST, _NEXT = 14.0, 8.5
#: Room for fret numbers below the board.
_NUMBERS = 8.0
#: From the neck to the names of strings, and from those to the first dimension line.
_NAMES, _PAST_NAMES = 3.0, 6.0
#: From name to name, where strings lie closer together.
_NAME_PITCH = SMALL + 0.8
#: Ends nearer than this along the neck are opposite each other.
_OPPOSITE = 0.005
#: Places nearer than this are one, and are dimensioned once.
_ONE_PLACE = 0.01
#: Diameter of position marks when the design gives none; a common size.
_DOT = 6.0
_ESTIMATE = Pen(THIN.width_mm, ASSUMED_RED)


@dataclass(frozen=True, slots=True, kw_only=True)
class NeckView:
    """What is drawn, and the room it takes.

    Attributes:
        items: Layout coordinates.
        room: Round all of them.
    """

    items: tuple[Item, ...]
    room: Box


def neck_view(layout: Layout, setup: StringSetup) -> NeckView:
    """Returns the neck with strings, frets, nut and saddle line, and its dimensions."""
    neck = _bounds(layout)
    above, top = _above(layout, neck)
    below, bottom = _below(layout, neck)
    aside, left, right = _aside(layout, setup, neck)
    drawn = (*_strings(layout), *_inlays(layout), *_board(layout), *_frets(layout), *_saddle(setup, layout))
    return NeckView(items=(*drawn, *above, *below, *aside), room=Box(Point(left, bottom), Point(right, top)))


def _bounds(layout: Layout) -> Box:
    lines = (layout.nut, layout.saddle, *(string.line for string in layout.strings))
    return around((bounds(layout.board), *(Box.spanning(line.start, line.end) for line in lines)))


def _upper(line: Line) -> Point:
    return max(line.start, line.end, key=lambda point: point.y)


def _lower(line: Line) -> Point:
    return min(line.start, line.end, key=lambda point: point.y)


def _line(line: Line, pen: Pen, id: str) -> Ink:
    return Ink(paths=(Path((line,)),), pen=pen, id=id)


def _strings(layout: Layout) -> Iterator[Item]:
    for string in layout.strings:
        yield _line(string.line, STRING, f"string.{string.number}")


def _inlays(layout: Layout) -> Iterator[Item]:
    given = layout.spec.inlays.diameter
    radius = (given.value if given else _DOT) / 2.0
    for inlay in layout.inlays:
        dots = tuple(circle(centre, radius) for centre in inlay.centres)
        yield Ink(paths=dots, pen=THIN, id=f"inlay.{inlay.fret}")


def _board(layout: Layout) -> Iterator[Item]:
    """Wide lines for the board, dashes for its edges where they are only thought, a chain for the centre line."""
    yield Ink(paths=(layout.board,), pen=OUTLINE, id="board")
    for side, edge, end in (
        ("bass", layout.bass_edge, layout.board_end.start),
        ("treble", layout.treble_edge, layout.board_end.end),
    ):
        if end.distance(edge.end) > _ONE_PLACE:
            dashes = broken(f"edge.{side}.projected", end, edge.end, DASHED_LINE)
            yield Ink(paths=dashes.paths, pen=THIN, id=dashes.id)
    yield _line(layout.nut, OUTLINE, "nut")
    yield _line(layout.saddle, FRET, "saddle")
    middles = [x_at_centre(line) for line in (layout.board_start, layout.saddle)]
    start, end = Point(middles[0] - _PAST_START, 0.0), Point(middles[1] + _PAST_SADDLE, 0.0)
    yield Ink(paths=broken("centre", start, end, CENTRE_LINE).paths, pen=THIN, id="centre")


def _frets(layout: Layout) -> Iterator[Item]:
    ends = [_lower(fret.line) for fret in layout.frets]
    closest = min((after.x - before.x for before, after in pairwise(ends)), default=NAME * 2.0)
    height = NAME if closest >= NAME * 2.0 else SMALL
    aside = (
        Point(-0.8, -2.5) if _is_fanned(layout) else Point(0.0, -2.5)
    )  # beside the extension line, if there is one
    anchor = Anchor.RIGHT_TOP if _is_fanned(layout) else Anchor.CENTRE_TOP
    for fret, end in zip(layout.frets, ends, strict=True):
        yield _line(fret.line, FRET, f"fret.{fret.number}")
        yield words(fret.label, end + aside, height=height, colour=INK, anchor=anchor)


def _saddle(setup: StringSetup, layout: Layout) -> Iterator[Item]:
    """Yields the saddle as it is reckoned to stand, from the first string to the last and a little past both."""
    if setup.saddle is None:
        return
    straight = setup.saddle.straight
    ends = [layout.strings[0].line.end, layout.strings[-1].line.end]
    low, high = min(end.y for end in ends) - 4.0, max(end.y for end in ends) + 4.0

    def at(y: float) -> Point:
        share = (y - ends[0].y) / (ends[1].y - ends[0].y) if ends[1].y != ends[0].y else 0.0
        return Point(between(ends[0], ends[1], share).x + straight.setback_at(y), y)

    yield Ink(paths=(segment(at(low), at(high)),), pen=_ESTIMATE, id="saddle.reckoned")
    yield words(
        "saddle, reckoned",
        at(low) - Point(-1.0, 4.0),
        height=SMALL,
        colour=ASSUMED_RED,
        anchor=Anchor.LEFT_BASELINE,
    )


def _places(layout: Layout, *, upper: bool) -> list[Running]:
    """Everything that is measured from the nut along one side."""
    side = _upper if upper else _lower
    origin = side(layout.nut).x
    named = [(fret.label, side(fret.line)) for fret in layout.frets]
    named += [("end", side(layout.board_end)), ("saddle", side(layout.saddle))]
    return [
        Running(point, f"{name} · {both_units(point.x - origin)}")
        for name, point in sorted(named, key=lambda each: each[1].x)
        if point.x - origin > _ONE_PLACE
    ]


def _is_fanned(layout: Layout) -> bool:
    lines = (layout.nut, layout.saddle, *(fret.line for fret in layout.frets))
    return any(abs(line.start.x - line.end.x) > _OPPOSITE for line in lines)


def _above(layout: Layout, neck: Box) -> tuple[list[Item], float]:
    """Places of the frets along the upper side, and how high that reaches."""
    places = _places(layout, upper=True)
    y = neck.high.y + _FIRST
    return [*running(_upper(layout.nut), places, y)], y + running_height(places)


def _below(layout: Layout, neck: Box) -> tuple[list[Item], float]:
    """Main lengths along the lower side, and how low that reaches; where frets fan out their places there too."""
    y = neck.low.y - _NUMBERS
    items: list[Item] = []
    if _is_fanned(layout):
        places = _places(layout, upper=False)
        y -= _NEXT
        items += running(_lower(layout.nut), places, y, up=False)
        y -= running_height(places)
    else:
        lengths, y = _lengths(layout, y)
        items += lengths
    y -= 6.0
    items += long_rule(Point(0.0, y), neck.high.x + 10.0)
    return items, y - 6.5


def _lengths(layout: Layout, y: float) -> tuple[list[Item], float]:
    """Main lengths, one below the other, and how low they reach; extension lines keep clear of fret numbers."""
    nut, saddle, end = (_lower(line) for line in (layout.nut, layout.saddle, layout.board_end))
    twelfth = next((_lower(fret.line) for fret in layout.frets if fret.label == "12"), None)
    rows = [[(nut, end)], [(nut, saddle)]]
    if twelfth:
        rows.insert(0, [(nut, twelfth), (twelfth, saddle)])
    numbers = [_lower(fret.line).x for fret in layout.frets]

    def below_numbers(point: Point) -> Point:
        near = any(abs(point.x - x) < _NUMBERS / 2.0 for x in numbers)
        return point - Point(0.0, _NUMBERS if near else 0.0)

    items: list[Item] = []
    for index, row in enumerate(rows):
        y -= _NEXT
        passing = [point.x for below in rows[index + 1 :] for pair in below for point in pair]
        for start, finish in row:
            text = both_units(finish.x - start.x)
            items += horizontal(below_numbers(start), below_numbers(finish), y, text, passing=passing)
    return items, y


def _aside(layout: Layout, setup: StringSetup, neck: Box) -> tuple[list[Item], float, float]:
    """Widths at both ends and the strings' names, and how far that reaches to the left and to the right."""
    items: list[Item] = []
    outer = [layout.strings[0].line, layout.strings[-1].line]
    left = neck.low.x - _PAST_START + _NEXT - 2.0
    for across in (Line(outer[1].start, outer[0].start), layout.nut):
        left -= _NEXT
        items += _width(across, left)
    names, right = _names(layout, neck.high.x + _NAMES + _reach(setup))
    items += names
    clear = right
    right += _PAST_NAMES - _NEXT
    for across, start in ((Line(outer[1].end, outer[0].end), clear), (layout.saddle, None)):
        right += _NEXT
        items += _width(across, right, start)
    rule_end = neck.high.x + 10.0 + width_of(RULE_UNIT, SMALL) + 4.0
    return items, left - SMALL - 3.0, max(right + 3.0, rule_end)


def _reach(setup: StringSetup) -> float:
    """How far the reckoned saddle stands behind the saddle line at most."""
    if setup.saddle is None:
        return 0.0
    straight = setup.saddle.straight
    return max(0.0, *(straight.setback_at(each.across_mm) for each in straight.break_points)) + 2.0


def _width(across: Line, x: float, clear: float | None = None) -> Iterator[Item]:
    """Yields a dimension across the neck; its extension lines start at `clear` where words stand before that."""
    low, high = _lower(across), _upper(across)
    if high.y - low.y > _ONE_PLACE:
        ends = [point if clear is None else Point(clear, point.y) for point in (low, high)]
        yield from vertical(ends[0], ends[1], x, both_units(high.y - low.y))


def _names(layout: Layout, x: float) -> tuple[list[Item], float]:
    """Numbers and gauges of the strings beside their ends, and how far to the right they reach."""
    items: list[Item] = []
    reach = x
    strings = sorted(layout.strings, key=lambda string: string.line.end.y)
    for string, y in zip(
        strings, spread_out([each.line.end.y for each in strings], _NAME_PITCH), strict=True
    ):
        text = f"{string.number}" + (f"  ⌀{string.gauge:.2f}" if string.gauge else "")
        at = Point(x, y)
        items.append(words(text, at, height=SMALL, colour=STRING_BLUE, anchor=Anchor.LEFT_MIDDLE))
        reach = max(reach, x + width_of(text, SMALL))
    return items, reach

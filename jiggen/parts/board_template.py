"""The board template: the board itself at finished size, its fret lines scored, with pin holes at two frets.

It lies on the blank, held by two pins in fret slots, where wire hides the holes, and is drawn or routed round. A free
band along the middle keeps the lettering off the fret lines.
"""

import math
from collections.abc import Sequence
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import segment
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import FretLine, Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, rise, text_width
from jiggen.parts.locating import locating_holes, locating_places
from jiggen.parts.marks import CENTRE_LINE, arrow, broken, label
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.spec_block import scale_words

NAME, TITLE = "board-template", "Board template"

_GAP = 1.5  # from lettering to anything else
_FROM_END = 8.0  # from lettering to the board's ends: a pattern for a router is shorter
_CENTRE_GAP = 1.0  # from a hole's edge to the centre line
_BAND = 1.5  # height of a row with all that hangs below it, in heights of capitals
_BELOW = 0.35  # of that below the baseline, where accents stand above
_LEAST_LINE = 2.0  # of a fret line beside the band


def board_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the board is too narrow to letter.
    """
    layout, letters = neck.layout, bench.smallest_lettering_mm
    row = max(_BAND * letters, rise(layout.spec.design.name, letters) + _BELOW * letters)
    band = 2.0 * _GAP + row
    _check_width(layout, band)
    holes = locating_holes(layout)
    start = max(x_at(layout.board_start, y) for y in (-band, band)) + _FROM_END
    end = min(x_at(layout.board_end, y) for y in (-band, band)) - _FROM_END
    if layout.spec.zero_fret.value:
        start = max(start, *(x_at(layout.nut, y) + _GAP for y in (-band, band)))
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(layout.board,), led=True),
            *holes,
            *(line for fret in layout.frets if (line := _fret_line(fret, band))),
            *_centre(layout, holes),
            *_numbers(layout, band, letters),
            *_ends(layout, band, letters),
            _title(neck, Box(Point(start, _GAP), Point(end, band - _GAP)), letters),
        ),
        tag_box=Box(Point(start, _GAP - band), Point(end, -_GAP)),
        lies_on_work=True,
    )
    return (part,)


def _check_width(layout: Layout, band: float) -> None:
    narrowest = abs(layout.board_start.end.y - layout.board_start.start.y)
    least = 2.0 * (band + _LEAST_LINE)
    if narrowest < least:
        raise LimitError(
            where=f"part {NAME}",
            got=f"a board {narrowest:.2f} mm wide",
            expected=f"at least {least:.2f} mm, so that it can be lettered",
            mend="Choose a machine that can letter smaller, or leave this part out",
        )


def _fret_line(fret: FretLine, band: float) -> Feature | None:
    """A fret's line from both ends to the band; None where a partial fret lies wholly in the band."""
    ends: tuple[Point, ...] = (fret.line.start, fret.line.end)
    inner = band
    if fret.line.start.y * fret.line.end.y > 0.0:  # a partial fret on one side of the centre line
        near, far = sorted(ends, key=lambda end: abs(end.y))
        ends, inner = (far,), max(band, abs(near.y))
    ys = [(end, math.copysign(inner, end.y)) for end in ends if abs(end.y) > inner + _LEAST_LINE]
    paths = [segment(end, Point(x_at(fret.line, y), y)) for end, y in ys]
    if not paths:
        return None
    return Feature(id=f"fret.{fret.number}", role=Role.LINE, paths=tuple(paths), datum=fret.line)


def _numbers(layout: Layout, band: float, letters: float) -> tuple[Feature, ...]:
    """Each fret's name on its nut side, between band and bass edge."""
    features: list[Feature] = []
    for fret in layout.frets:
        edge = fret.line.start
        if fret.number == 0 or abs(edge.y) < band + letters + _GAP:
            continue
        y = math.copysign((abs(edge.y) + band) / 2.0, edge.y)
        x = min(x_at(fret.line, y + letters * side) for side in (-0.5, 0.5)) - _GAP / 2.0
        at = Point(x, y)
        features.append(
            label(f"number.{fret.number}", fret.label, at, height=letters, anchor=Anchor.RIGHT_MIDDLE)
        )
    return tuple(features)


def _ends(layout: Layout, band: float, letters: float) -> tuple[Feature, ...]:
    """What tells the ends and the sides apart: an arrow to the nut on the treble side, `bass` and `treble` further on.

    Where the first fret is too near for the word beside the arrow, the arrow stands alone.
    """
    side = math.copysign(1.0, layout.nut.end.y)
    half = min(abs(layout.board_start.start.y), abs(layout.board_start.end.y))
    y = side * (half + band) / 2.0
    start = max(x_at(layout.board_start, y), x_at(layout.nut, y)) + _GAP
    tail = Point(start + 3.0 * letters, y)
    word = "zero fret" if layout.spec.zero_fret.value else "nut"
    word_end = tail.x + _GAP + text_width(word, letters)
    first = next((fret.line for fret in layout.frets if fret.number > 0), None)
    features = [arrow("arrow.nut", tail, Point(start, y))]
    if first is None or word_end + _GAP < min(x_at(first, y + letters * up) for up in (-0.5, 0.5)):
        at = tail + Point(_GAP, 0.0)
        features.append(label("name.nut-end", word, at, height=letters, anchor=Anchor.LEFT_MIDDLE))
    for name, sign in (("bass", -side), ("treble", side)):
        at_y = sign * (half + band) / 2.0
        x = word_end + 4.0 * _GAP
        if first is not None:
            x = max(x_at(first, at_y + letters * up) for up in (-0.5, 0.5)) + _GAP
        features.append(
            label(f"name.{name}", name, Point(x, at_y), height=letters, anchor=Anchor.LEFT_MIDDLE)
        )
    return tuple(features)


def _title(neck: Neck, room: Box, letters: float) -> Feature:
    """The heading in the band's upper half, as long as there is room for."""
    spec = neck.spec
    pin = f"{spec.tools.locating_pin.value:.2f} mm pins at frets " + " and ".join(
        name for name, _ in locating_places(neck.layout)
    )
    texts = (
        f"{spec.design.name} · {TITLE} · {scale_words(spec)} · {pin} · finished size",
        f"{spec.design.name} · {TITLE} · {scale_words(spec)}",
        f"{spec.design.name} · {TITLE}",
    )
    text = next((each for each in texts if text_width(each, letters) <= room.width), texts[-1])
    height = min(1.2 * letters, room.height, room.width / text_width(text, 1.0))
    middle = Point(room.low.x, room.centre.y)
    return label("title", text, middle, height=height, anchor=Anchor.LEFT_MIDDLE)


def _centre(layout: Layout, holes: Sequence[Feature]) -> tuple[Feature, ...]:
    """The centre line from end to end, broken round the pin holes."""
    ends = [x_at(layout.board_start, 0.0)]
    for hole in holes:
        middle = _centre_of(hole).x
        aside = (hole.width_mm or 0.0) / 2.0 + _CENTRE_GAP
        ends += [middle - aside, middle + aside]
    ends.append(x_at(layout.board_end, 0.0))
    pieces = [(left, right) for left, right in list(pairwise(ends))[::2] if right > left]
    return tuple(
        broken(f"centre.{number}", Point(left, 0.0), Point(right, 0.0), CENTRE_LINE)
        for number, (left, right) in enumerate(pieces, start=1)
    )


def _centre_of(hole: Feature) -> Point:
    if not isinstance(hole.datum, Point):
        raise TypeError(f"hole {hole.id} stands for no point")
    return hole.datum

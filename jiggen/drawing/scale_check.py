"""Bars to lay a rule on, so that a print of the wrong size shows before it does harm. Millimetres."""

import math
from collections.abc import Iterator
from typing import Literal

from jiggen.drawing.model import Area, Ink, Item, words
from jiggen.drawing.style import INK, SMALL, THIN, TINY
from jiggen.geometry.path import Path, polyline, rectangle, segment
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import IDENTITY, QUARTER_TURN, Similarity
from jiggen.lettering.fit import Anchor
from jiggen.units import MM_PER_INCH

Axis = Literal["x", "y"]

#: Lengths of the bars.
METRIC, INCHES = 100.0, 4
#: Said at the end of the long rule.
RULE_UNIT = "mm from the nut"
#: Width of a bar.
BAR = 2.0


def bars(start: Point, axis: Axis) -> Iterator[Item]:
    """Yields two bars side by side, 100 mm in steps of 10 and 4 in in steps of 1, with their figures.

    Args:
        start: Where both begin, between them; the metric one lies above along x, and left of it along y.
        axis: Along which they run.
    """
    turn = IDENTITY if axis == "x" else QUARTER_TURN
    place = turn.then(Similarity(shift=start))
    yield from _bar(place, 10.0, round(METRIC / 10.0), 0.0, "100 mm")
    yield from _bar(place, MM_PER_INCH, INCHES, -BAR, f"{INCHES} in")


def _bar(place: Similarity, step: float, count: int, low: float, text: str) -> Iterator[Item]:
    outline = rectangle(Point(0.0, low), Point(step * count, low + BAR))
    filled = [rectangle(Point(step * n, low), Point(step * (n + 1), low + BAR)) for n in range(0, count, 2)]
    yield Area(paths=tuple(map(place.path, filled)), colour=INK)
    yield Ink(paths=(place.path(outline),), pen=THIN)
    angle = Point(place.cosine, place.sine).angle()
    at = place.point(Point(step * count + 1.5, low + BAR / 2.0))
    yield words(text, at, height=TINY, colour=INK, anchor=Anchor.LEFT_MIDDLE, angle=angle)


def long_rule(start: Point, length: float) -> Iterator[Item]:
    """Yields a rule along x in millimetres, from zero to `length`: to check a whole print, across its seams.

    Args:
        start: Its zero, on its upper side, from which ticks hang down.
        length: Rounded down to whole centimetres.
    """
    centimetres = math.floor(length / 10.0)
    ticks: list[Path] = [segment(start, start + Point(10.0 * centimetres, 0.0))]
    for mm in range(0, 10 * centimetres + 1, 5):
        tall = 3.2 if mm % 50 == 0 else 2.2 if mm % 10 == 0 else 1.2
        top = start + Point(float(mm), 0.0)
        ticks.append(polyline((top, top - Point(0.0, tall))))
    yield Ink(paths=tuple(ticks), pen=THIN, id="rule")
    for mm in range(0, 10 * centimetres + 1, 50):
        at = start + Point(float(mm), -4.0)
        yield words(str(mm), at, height=TINY, colour=INK, anchor=Anchor.CENTRE_TOP)
    end = start + Point(10.0 * centimetres + 3.0, -1.2)
    yield words(RULE_UNIT, end, height=SMALL, colour=INK, anchor=Anchor.LEFT_MIDDLE)

"""The plan template: a clear plate with the neck and its strings from nut to saddle line, and the whole spec.

Laid on the work it shows where everything falls; a pencil or knife in the V notches carries the centre line, nut,
12th fret and saddle line over. The lettering has a band of its own beside the neck, so that it hides no line.
"""

import math

from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.model import Layout
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import CENTRE_LINE, DASHED_LINE, broken, label, scored, string_on_centre
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import Notch, Side, plate
from jiggen.parts.spec_block import spec_block

NAME, TITLE = "plan-template", "Plan template"

_PAST_ENDS = 12.0  # plate beyond nut and saddle line, so that both are inside it
_PAST_EDGES = 9.0  # plate beyond the widest place of the neck
_NOTCH_WIDTH, _NOTCH_DEPTH = 4.0, 2.0  # a V for the point of a pencil or knife
_CORNER = 3.0
_GAP = 2.0  # between lettering and anything else


def plan_template(layout: Layout, bench: Bench) -> Part:
    """Returns the part.

    Args:
        layout: Of the neck.
        bench: Sets the lettering's height.
    """
    scale = layout.spec.scale.value
    half = max(layout.saddle.end.y, layout.nut.end.y)
    letters = bench.smallest_lettering_mm
    band = 11.0 * letters
    box = Box(Point(-_PAST_ENDS, -half - _PAST_EDGES), Point(scale + _PAST_ENDS, half + _PAST_EDGES + band))
    crossings = {"nut": layout.nut.start.x, "fret.12": scale / 2.0, "saddle": layout.saddle.start.x}
    band_low, band_high = half + _PAST_EDGES / 2.0, box.high.y - _GAP - 1.0
    left = Box(Point(_GAP, band_low), Point(scale / 2.0 - _GAP, band_high))
    right = Box(Point(scale / 2.0 + _GAP, band_low), Point(scale - _GAP, band_high))
    tag_box = Box(right.low, Point(right.high.x, right.low.y + 4.0 * letters))
    return Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER, notches=_notches(crossings)),
            *_lines(layout, box, crossings),
            *_names(layout, box, crossings, letters * 1.4),
            *spec_block(
                layout, bench, title=TITLE, boxes=(left, Box(Point(right.low.x, tag_box.high.y), right.high))
            ),
        ),
        tag_box=tag_box,
        lies_on_work=True,
    )


def _notches(crossings: dict[str, float]) -> tuple[Notch, ...]:
    ends = [
        Notch(id=f"centre.{end}", side=side, at=0.0, width=_NOTCH_WIDTH, depth=_NOTCH_DEPTH, pointed=True)
        for end, side in (("nut-end", Side.LEFT), ("saddle-end", Side.RIGHT))
    ]
    sides = [
        Notch(id=f"{name}.{which}", side=side, at=x, width=_NOTCH_WIDTH, depth=_NOTCH_DEPTH, pointed=True)
        for name, x in crossings.items()
        for which, side in (("bass-mark", Side.BOTTOM), ("treble-mark", Side.TOP))
    ]
    return (*ends, *sides)


def _lines(layout: Layout, box: Box, crossings: dict[str, float]) -> tuple[Feature, ...]:
    def across(name: str, x: float) -> Feature:
        return scored(name, Point(x, box.low.y + _NOTCH_DEPTH), Point(x, box.high.y - _NOTCH_DEPTH))

    along = layout.board_end.start.x / layout.spec.scale.value
    edges = [
        feature
        for name, edge in (("edge.bass", layout.bass_edge), ("edge.treble", layout.treble_edge))
        for feature in _edge(name, edge, between(edge.start, edge.end, along))
    ]
    strings = [
        scored(f"string.{string.number}", string.line.start, string.line.end) for string in layout.strings
    ]
    centre = _centre(layout, Point(box.low.x + _NOTCH_DEPTH, 0.0), Point(box.high.x - _NOTCH_DEPTH, 0.0))
    crosswise = [across(name, x) for name, x in crossings.items()]
    end = scored("board-end", layout.board_end.start, layout.board_end.end)
    return (*centre, *edges, *crosswise, end, *strings)


def _centre(layout: Layout, start: Point, end: Point) -> tuple[Feature, ...]:
    """The centre line; where a string runs along it, its ends only."""
    if not any(string_on_centre(string) for string in layout.strings):
        return (broken("centre", start, end, CENTRE_LINE),)
    nut, saddle = Point(layout.nut.start.x, 0.0), Point(layout.saddle.start.x, 0.0)
    return scored("centre.nut", start, nut), scored("centre.saddle", saddle, end)


def _edge(name: str, edge: Line, board_end: Point) -> tuple[Feature, ...]:
    """An edge of the board, then its projection to the saddle line as a broken line."""
    return scored(name, edge.start, board_end), broken(f"{name}.projected", board_end, edge.end, DASHED_LINE)


def _names(layout: Layout, box: Box, crossings: dict[str, float], height: float) -> tuple[Feature, ...]:
    words = {"nut": "nut", "fret.12": "12th fret", "saddle": "saddle"}
    y = box.low.y + _NOTCH_DEPTH + 1.0
    inward = {"saddle": Anchor.RIGHT_BASELINE}
    labels = [
        label(
            f"name.{name}",
            words[name],
            Point(x + (-_GAP if name in inward else _GAP), y),
            height=height,
            anchor=inward.get(name, Anchor.LEFT_BASELINE),
        )
        for name, x in crossings.items()
    ]
    end = layout.board_end.start
    labels.append(
        label(
            "name.board-end",
            "board end",
            Point(end.x + _GAP, y),
            height=height,
            anchor=Anchor.LEFT_BASELINE,
        )
    )
    turned = math.pi / 2.0
    for word, side in (("bass", -1.0), ("treble", 1.0)):
        labels.append(
            label(
                f"name.{word}",
                word,
                Point(-_PAST_ENDS / 2.0 - 1.0, side * layout.nut.end.y * 0.55),
                height=height,
                angle=turned,
            )
        )
    return tuple(labels)

"""The truss-rod guide: the rod's slot, with a wider place for its anchor, on the centre line of the neck.

The ends of the slot are as round as its own width, so that a bit of that width, or a bush led along a pattern, gets
everywhere.
"""

import math
from collections.abc import Iterator
from typing import assert_never

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, Segment, reverse_segment
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.caption import caption
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import Notch, Side, plate

NAME, TITLE = "truss-rod-guide", "Truss-rod guide"

_PAST = 16.0  # of the plate beyond the slot's ends
_BESIDE = 12.0  # of the plate beyond the board's edges: room for clamps and a bush
_NOTCH_WIDTH, _NOTCH_DEPTH = 4.0, 2.0
_CLEAR = 9.0  # from the slot to the nut's line: more than a guide bush moves its edge out
_GAP = 1.5
_CORNER = 3.0
_QUARTER = 0.41421356237309503  # bulge of a quarter turn


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    rod = neck.spec.truss_rod
    if rod.length is None or rod.width is None:
        return ""  # what is missing is named as a number that is needed
    begin = rod.from_nut.value if rod.from_nut else 0.0
    end = min(neck.layout.board_end.start.x, neck.layout.board_end.end.x)
    if begin + rod.length.value > end:
        return f"its truss rod would end {begin + rod.length.value - end:.2f} mm beyond the board"
    return ""


def truss_rod_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for; length and width of the slot are known.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the anchor's place is narrower than the slot or longer than it.
    """
    layout, letters = neck.layout, bench.smallest_lettering_mm
    slot = _slot(layout)
    begin, end, width, anchor, anchor_width = slot
    half = (
        max(
            abs(point.y)
            for line in (layout.board_start, layout.board_end)
            for point in (line.start, line.end)
        )
        + _BESIDE
    )
    left, right = begin - _PAST, end + _PAST
    nut = min(layout.board_start.start.x, layout.board_start.end.x, layout.nut.start.x, layout.nut.end.x)
    left = min(left, nut - _PAST)
    text = caption(
        neck.spec,
        TITLE,
        _words(neck),
        left=max(begin, 0.0),
        top=-half,
        width=right - max(begin, 0.0) - _PAST,
        letters=letters,
    )
    box = Box(Point(left, text.low - _CORNER), Point(right, half))
    notches = [
        Notch(id=id, side=side, at=0.0, width=_NOTCH_WIDTH, depth=_NOTCH_DEPTH, pointed=True)
        for id, side in (("centre.nut-end", Side.LEFT), ("centre.far-end", Side.RIGHT))
    ]
    opening = Feature(
        id="slot",
        role=Role.OPENING,
        paths=(_contour(begin, end, width, anchor, anchor_width),),
        datum=Line(Point(begin, 0.0), Point(end, 0.0)),
        led=True,
    )
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER, notches=notches),
            opening,
            *_board(layout, width / 2.0 + _CLEAR, right),
            *_names(layout, half, letters),
            *text.features,
        ),
        tag_box=text.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _slot(layout: Layout) -> tuple[float, float, float, float, float]:
    """Where the slot begins and ends, its width, and length and width of the anchor's place; 0 where there is none."""
    rod = layout.spec.truss_rod
    if rod.length is None or rod.width is None:
        raise RuntimeError("a truss rod of unknown size")
    begin = rod.from_nut.value if rod.from_nut else 0.0
    anchor = rod.anchor_length.value if rod.anchor_length else 0.0
    anchor_width = rod.anchor_width.value if rod.anchor_width else 0.0
    if anchor and not (anchor_width > rod.width.value and anchor < rod.length.value - rod.width.value):
        raise LimitError(
            where=f"part {NAME}, truss-rod.anchor-width, truss-rod.anchor-length",
            got=f"an anchor's place {anchor:.2f} mm long and {anchor_width:.2f} mm wide",
            expected=f"one wider than the slot, {rod.width.value:.2f} mm, and shorter than it",
            mend="Leave both out for a rod without an anchor.",
        )
    return begin, begin + rod.length.value, rod.width.value, anchor, anchor_width


def _contour(begin: float, end: float, width: float, anchor: float, anchor_width: float) -> Path:
    """The slot, counter-clockwise from its rounded beginning; an anchor's place has round corners at the far end."""
    half = width / 2.0
    low, high = Point(begin + half, -half), Point(begin + half, half)
    first = Arc(high, low, 1.0)
    if not anchor:
        low_end, high_end = Point(end - half, -half), Point(end - half, half)
        return Path(
            (first, Line(low, low_end), Arc(low_end, high_end, 1.0), Line(high_end, high)), closed=True
        )
    wide, step = anchor_width / 2.0, end - anchor
    low_side = _into_anchor(step, half, wide)
    far_low, far_high = Point(end, -wide + half), Point(end, wide - half)
    corner_low, corner_high = Point(end - half, -wide), Point(end - half, wide)
    high_side = [reverse_segment(_mirrored(piece)) for piece in reversed(low_side)]
    segments: list[Segment] = [
        first,
        Line(low, low_side[0].start),
        *low_side,
        Line(low_side[-1].end, corner_low),
        Arc(corner_low, far_low, _QUARTER),
        Line(far_low, far_high),
        Arc(far_high, corner_high, _QUARTER),
        Line(corner_high, high_side[0].start),
        *high_side,
        Line(high_side[-1].end, high),
    ]
    return Path(tuple(segments), closed=True)


def _into_anchor(step: float, half: float, wide: float) -> list[Segment]:
    """The corner where the slot's lower side widens to the anchor's place, as round as the slot's own end.

    Where the place is hardly wider than the slot the rounding starts on the slot's side.
    """
    centre = Point(step + half, half - wide)
    end = Point(step + half, -wide)
    if wide >= 2.0 * half:
        round_from = Point(step, half - wide)
        wall = [Line(Point(step, -half), round_from)] if wide > 2.0 * half else []
        return [*wall, Arc(round_from, end, _QUARTER)]
    down = 2.0 * half - wide
    start = Point(centre.x - math.sqrt(half * half - down * down), -half)
    sweep = math.acos(down / half)
    return [Arc(start, end, math.tan(sweep / 4.0))]


def _mirrored(piece: Segment) -> Segment:
    """The same on the other side of the centre line."""
    start, end = (Point(point.x, -point.y) for point in (piece.start, piece.end))
    match piece:
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, -piece.bulge)
        case _:
            assert_never(piece)


def _board(layout: Layout, clear: float, right: float) -> Iterator[Feature]:
    """The board's edges as far as the plate goes, and the nut's line on both sides of the slot."""
    for name, edge in (("bass", layout.bass_edge), ("treble", layout.treble_edge)):
        run = edge.end - edge.start
        far = min(right - _GAP, layout.board_end.start.x if name == "bass" else layout.board_end.end.x)
        begin = layout.board_start.start if name == "bass" else layout.board_start.end
        yield scored(f"edge.{name}", begin, begin + run * ((far - begin.x) / run.x))
    for name, end in (("bass", layout.nut.start), ("treble", layout.nut.end)):
        side = math.copysign(min(clear, abs(end.y) / 2.0), end.y)
        yield scored(f"nut.{name}", end, Point(x_at(layout.nut, side), side))


def _names(layout: Layout, half: float, letters: float) -> Iterator[Feature]:
    """An arrow to the nut's line with its name, and which side is which, outside the board."""
    for name, end in (("bass", layout.board_start.start), ("treble", layout.board_start.end)):
        y = (abs(end.y) + half) / 2.0 * (1.0 if end.y > 0.0 else -1.0)
        yield label(
            f"name.{name}", name, Point(end.x + 6.0 * letters, y), height=letters, anchor=Anchor.LEFT_MIDDLE
        )
    end = layout.nut.end
    y = end.y * 0.6
    start = x_at(layout.nut, y)
    tail = Point(start + 3.0 * letters, y)
    yield arrow("arrow.nut", tail, Point(start + 0.5, y))
    word = "zero fret" if layout.spec.zero_fret.value else "nut"
    yield label("name.nut", word, tail + Point(_GAP, 0.0), height=letters, anchor=Anchor.LEFT_MIDDLE)


def _words(neck: Neck) -> tuple[str, ...]:
    begin, end, width, anchor, anchor_width = _slot(neck.layout)
    depth = neck.spec.truss_rod.depth
    deep = f", {depth.value:.2f} mm deep" if depth else ""
    wide = f" · anchor {anchor:.2f} × {anchor_width:.2f} mm" if anchor else ""
    return (
        f"slot {end - begin:.2f} × {width:.2f} mm{deep}, from {begin:.2f} to {end:.2f} mm from the nut{wide}",
        "lines: board's edges and nut · notches on the centre line",
    )

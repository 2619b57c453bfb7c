"""Radius gauges and sanding-block ends for the board's curve.

A gauge is hollow below, to stand on the board, and round above by the same radius, to stand under the strings or in a
hollow block. A compound board gets one for each station along it. The ends of a sanding block are hollow by the radius
and the abrasive's thickness more, so that the sheet's face, not the wood, has the radius.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.layout.places import fret_place, width_at
from jiggen.layout.radius import sagitta
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import Caption, caption
from jiggen.parts.marks import arrow, hole, label
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import MM_PER_INCH, format_mm

NAME, TITLE = "radius-gauges", "Radius gauge"
BLOCK_NAME, BLOCK_TITLE = "sanding-block-ends", "Sanding-block end"

_STATIONS = (5, 12)  # frets that get a gauge of their own on a compound board, besides nut and end
_BEYOND_BOARD = 6.0  # on each side of the widest place of the board
_LEAST_WIDTH = 76.0  # leaves room for lettering, and for two hands
_INSET = 4.0  # from the ends to lettering
_GAP = 1.6  # from the curved edges to lettering
_ARROW_ASIDE = 4.0  # from words to the arrow beside them
_ARROW_GAP = 0.6  # from an arrow's tip to the edge
_WEB = 3.0  # beside a hole
_BLOCK_HEIGHT = 40.0  # of a block's end at least: what a hand holds
_FROM_SIDE = 9.0  # from the middle of a dowel's hole to the block's side


@dataclass(frozen=True, slots=True, kw_only=True)
class _Curve:
    """A radius that is wanted.

    Attributes:
        key: Tells its parts from those of others.
        radius: mm.
        words: Where on the board it belongs; empty where it is only listed.
    """

    key: str
    radius: float
    words: str


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have any; empty when it can."""
    if neck.layout.radius or neck.spec.radius_gauges.radii:
        return ""
    return "its board is flat: give neck.radius, or radii to [radius-gauges]"


def radius_gauges(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns a gauge for each radius of the board, nut to end, then for each one that is listed.

    Args:
        neck: Whose board has a radius, or whose design lists some.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If a radius is too small for the board's width.
    """
    return tuple(_gauge(neck, bench, curve) for curve in _curves(neck.layout))


def sanding_block_ends(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns two ends of a sanding block for each radius; arguments and errors are those of `radius_gauges`."""
    return tuple(
        _block_end(neck, bench, curve, which) for curve in _curves(neck.layout) for which in ("a", "b")
    )


def _curves(layout: Layout) -> Iterator[_Curve]:
    board = layout.radius
    known: list[float] = []
    if board and board.at_nut != board.at_end:
        stations = [("nut", 0.0), *_fret_stations(layout), ("end", board.length)]
        for name, place in stations:
            known.append(board.at(place))
            words = {"nut": "at the nut", "end": "at the board's end"}.get(
                name, f"at {name.replace('-', ' ')}"
            )
            yield _Curve(key=name, radius=board.at(place), words=words)
    elif board:
        known.append(board.at_nut)
        yield _Curve(key="board", radius=board.at_nut, words="of the board")
    listed = layout.spec.radius_gauges.radii
    for number, radius in enumerate(listed.value if listed else (), start=1):
        if radius not in known:
            known.append(radius)
            yield _Curve(key=str(number), radius=radius, words="")


def _fret_stations(layout: Layout) -> Iterator[tuple[str, float]]:
    for fret in _STATIONS:
        if layout.radius and fret <= layout.spec.frets.value:
            place = fret_place(layout, fret, where="neck.frets")
            if place < layout.radius.length:
                yield f"fret-{fret}", place


def radius_words(radius: float) -> str:
    """Returns a radius as the trade calls it, in inches where it is one of whole eighths, else in mm."""
    eighths = radius / MM_PER_INCH * 8.0
    if abs(eighths - round(eighths)) < 1e-6:
        return f"{round(eighths) / 8.0:g} in"
    return f"{radius:.1f} mm"


def _width(layout: Layout) -> float:
    ends = [end.x for line in (layout.board_start, layout.board_end) for end in (line.start, line.end)]
    return max(_LEAST_WIDTH, *(width_at(layout, x) + 2.0 * _BEYOND_BOARD for x in ends))


def _rise(curve: _Curve, radius: float, width: float) -> float:
    """How much higher the middle of a curved edge is than its ends.

    Raises:
        LimitError: If the edge is wider than the circle.
    """
    try:
        return sagitta(radius, width)
    except LimitError as error:
        raise error.at(f"gauge for a radius of {radius_words(curve.radius)}") from error


def _gauge(neck: Neck, bench: Bench, curve: _Curve) -> Part:
    letters, width = bench.smallest_lettering_mm, _width(neck.layout)
    half, rise = width / 2.0, _rise(curve, curve.radius, width)
    row = letters + 2.0 * _GAP
    title = f"{TITLE} {radius_words(curve.radius)}"
    words = [" · ".join(filter(None, (curve.words, f"radius {format_mm(curve.radius)} on both edges")))]
    low = rise + row
    block = _caption(neck, title, words, half=half, low=low, letters=letters)
    sides = block.high + row
    return Part(
        name=f"radius-gauge-{curve.key}",
        title=title,
        features=(
            _outline(half, sides, curve.radius, curve.radius),
            *block.features,
            *_beside_edge("on-board", "on the board", rise, curve.radius, letters, up=-1.0),
            *_beside_edge("under-strings", "under the strings", sides + rise, curve.radius, letters, up=1.0),
        ),
        tag_box=block.tag_box,
    )


def _block_end(neck: Neck, bench: Bench, curve: _Curve, which: str) -> Part:
    letters, width = bench.smallest_lettering_mm, _width(neck.layout)
    abrasive = neck.spec.radius_gauges.abrasive
    radius = curve.radius + (abrasive.value if abrasive else 0.0)
    half, rise = width / 2.0, _rise(curve, radius, width)
    title = f"{BLOCK_TITLE} {radius_words(curve.radius)}"
    sheet = f"for a sheet of {format_mm(abrasive.value)}" if abrasive else "without a sheet"
    hollow = f"hollow {format_mm(radius)}, {sheet}"
    words = [
        " · ".join(filter(None, (curve.words, f"{which} of a and b"))),
        hollow,
        "dowels join both ends and the block",
    ]
    dowel = neck.spec.tools.stop_pin.value + neck.spec.tools.pin_clearance.value
    block = _caption(neck, title, words, half=half, low=rise + letters + 2.0 * _GAP, letters=letters)
    holes_at = block.high + _GAP + dowel / 2.0
    top = max(_BLOCK_HEIGHT, holes_at + dowel / 2.0 + _WEB)
    return Part(
        name=f"sanding-block-end-{curve.key}-{which}",
        title=title,
        features=(
            _outline(half, top, radius, None),
            *(
                hole(f"dowel.{number}", Point(x, holes_at), dowel)
                for number, x in enumerate((_FROM_SIDE - half, half - _FROM_SIDE), start=1)
            ),
            *block.features,
            label(
                "name.dowels",
                f"{format_mm(neck.spec.tools.stop_pin.value)} dowels",
                Point(0.0, holes_at),
                height=letters,
            ),
            *_beside_edge("to-board", "to the board", rise, radius, letters, up=-1.0),
        ),
        tag_box=block.tag_box,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Block:
    features: tuple[Feature, ...]
    tag_box: Box
    high: float


def _caption(
    neck: Neck, title: str, words: Sequence[str], *, half: float, low: float, letters: float
) -> _Block:
    """The caption from side to side, standing on some height."""

    def at(top: float) -> Caption:
        return caption(
            neck.spec, title, words, left=_INSET - half, top=top, width=2.0 * (half - _INSET), letters=letters
        )

    high = low - at(0.0).low
    block = at(high)
    return _Block(features=block.features, tag_box=block.tag_box, high=high)


def _outline(half: float, sides: float, hollow: float, round_: float | None) -> Feature:
    """A plate, hollow below and round above, or flat there."""
    low_left, low_right = Point(-half, 0.0), Point(half, 0.0)
    high_left, high_right = Point(-half, sides), Point(half, sides)
    top: Segment = Line(high_right, high_left)
    if round_ is not None:
        top = Arc(high_right, high_left, _bulge(half, round_))
    path = Path(
        (
            Arc(low_left, low_right, -_bulge(half, hollow)),
            Line(low_right, high_right),
            top,
            Line(high_left, low_left),
        ),
        closed=True,
    )
    return Feature(id="outline", role=Role.EDGE, paths=(path,))


def _bulge(half: float, radius: float) -> float:
    """tan(sweep / 4) of an arc over a chord: half the sweep's sine is half the chord over the radius."""
    return math.tan(math.asin(half / radius) / 2.0)


def _beside_edge(
    id: str, words: str, crown: float, radius: float, letters: float, *, up: float
) -> Iterator[Feature]:
    """Words inside a curved edge, with an arrow to it on either side.

    Args:
        id: Tells them apart.
        words: What goes against the edge.
        crown: y of the edge's highest place.
        radius: Of the edge.
        letters: Height of capitals.
        up: 1 for the upper edge, -1 for the lower.
    """
    aside = text_width(words, letters) / 2.0 + _ARROW_ASIDE
    edge = crown - sagitta(radius, 2.0 * aside)
    baseline = crown + _GAP if up < 0.0 else edge - _GAP - letters
    yield label(f"name.{id}", words, Point(0.0, baseline), height=letters, anchor=Anchor.CENTRE_BASELINE)
    tip = (crown if up < 0.0 else edge) - up * _ARROW_GAP
    tail = baseline + (letters if up < 0.0 else 0.0)
    for side, x in (("left", -aside), ("right", aside)):
        yield arrow(f"arrow.{id}.{side}", Point(x, tail), Point(x, tip), size=1.5)

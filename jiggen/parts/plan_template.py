"""The plan template: a clear plate with the neck and its strings from nut to saddle line, and the whole spec.

Laid on the work it shows where everything falls; a pencil or knife in the V notches carries the centre line, nut,
octave and saddle line over. The lettering has a band of its own beside the neck, so that it hides no line.
"""

import math
from dataclasses import dataclass

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point, between
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.marks import CENTRE_LINE, DASHED_LINE, broken, label, scored, string_on_centre
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import Notch, Side, plate
from jiggen.parts.spec_block import ROW_PITCH, has_room, spec_block

NAME, TITLE = "plan-template", "Plan template"

_PAST_ENDS = 12.0  # plate beyond nut and saddle line, so that both are inside it
_PAST_EDGES = 9.0  # plate beyond the widest place of the neck
_NOTCH_WIDTH, _NOTCH_DEPTH = 4.0, 2.0  # a V for the point of a pencil or knife
_CORNER = 3.0
_ABOVE_EDGE = 1.8  # from the board's edge to lettering above it
_MOST_LINES = 20  # of the spec, one below the other
_GAP = 2.0  # between lettering and anything else


def plan_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.
    """
    layout = neck.layout
    letters = bench.smallest_lettering_mm
    half = max(abs(end.y) for line in (layout.nut, layout.saddle) for end in (line.start, line.end))
    across = _across(layout)
    band = _band(neck, bench, across, half + _ABOVE_EDGE + 1.4 * letters + 1.0)
    low = -half - _PAST_EDGES
    high = band.spec[0].high.y + _GAP + 1.0
    ends = [x_at(line, y) for line in (layout.board_start, *across.values()) for y in (low, high)]
    box = Box(Point(min(ends) - _PAST_ENDS, low), Point(max(ends) + _PAST_ENDS, high))
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER, notches=_notches(across, box)),
            *_lines(layout, box, across),
            *_names(layout, box, across, letters * 1.4),
            *spec_block(neck, bench, title=TITLE, boxes=band.spec),
        ),
        tag_box=band.tag,
        lies_on_work=True,
    )
    return (part,)


@dataclass(frozen=True, slots=True)
class _Band:
    """Room for lettering beside the neck: two boxes for the spec, one for the tag."""

    spec: tuple[Box, Box]
    tag: Box


def _band(neck: Neck, bench: Bench, across: dict[str, Line], low: float) -> _Band:
    """The narrowest band that holds the whole spec, from nut to octave and from octave to saddle.

    Raises:
        LimitError: If no band does.
    """
    letters = bench.smallest_lettering_mm
    for lines in range(4, _MOST_LINES):
        high = low + (3.2 + ROW_PITCH * lines) * letters
        left = _between(across["nut"], across["octave"], low, high)
        right = _between(across["octave"], across["saddle"], low, high)
        tag = Box(right.low, Point(right.high.x, right.low.y + 4.0 * letters))
        boxes = (left, Box(Point(right.low.x, tag.high.y + 0.5 * letters), right.high))
        if has_room(neck, bench, boxes):
            return _Band(boxes, tag)
    raise LimitError(
        where=f"part {NAME}, lettering of the spec",
        got=f"{neck.spec.scale.value:.1f} mm from nut to saddle",
        expected=f"room for the spec at {letters:.1f} mm",
        mend="Choose a machine that can letter smaller",
    )


def _across(layout: Layout) -> dict[str, Line]:
    """The lines that run right across the plate, by feature id: nut, octave (halfway along the strings) and saddle."""
    octave = Line(
        between(layout.bass_edge.start, layout.bass_edge.end, 0.5),
        between(layout.treble_edge.start, layout.treble_edge.end, 0.5),
    )
    return {"nut": layout.nut, "octave": octave, "saddle": layout.saddle}


def _between(left: Line, right: Line, low: float, high: float) -> Box:
    """The largest upright box between two lines across the plate, with a gap to both."""
    start = max(x_at(left, y) for y in (low, high)) + _GAP
    return Box(Point(start, low), Point(min(x_at(right, y) for y in (low, high)) - _GAP, high))


def _notches(across: dict[str, Line], box: Box) -> tuple[Notch, ...]:
    def notch(id: str, side: Side, at: float) -> Notch:
        return Notch(id=id, side=side, at=at, width=_NOTCH_WIDTH, depth=_NOTCH_DEPTH, pointed=True)

    return (
        notch("centre.nut-end", Side.LEFT, 0.0),
        notch("centre.saddle-end", Side.RIGHT, 0.0),
        *(
            notch(f"{name}.{which}", side, x_at(line, y))
            for name, line in across.items()
            for which, side, y in (("low-mark", Side.BOTTOM, box.low.y), ("high-mark", Side.TOP, box.high.y))
        ),
    )


def _lines(layout: Layout, box: Box, across: dict[str, Line]) -> tuple[Feature, ...]:
    def right_across(name: str, line: Line) -> Feature:
        low, high = box.low.y + _NOTCH_DEPTH, box.high.y - _NOTCH_DEPTH
        return scored(name, Point(x_at(line, low), low), Point(x_at(line, high), high))

    edges = [
        feature
        for name, edge, end in (
            ("edge.bass", layout.bass_edge, layout.board_end.start),
            ("edge.treble", layout.treble_edge, layout.board_end.end),
        )
        for feature in _edge(name, edge, end)
    ]
    strings = [
        scored(f"string.{string.number}", string.line.start, string.line.end) for string in layout.strings
    ]
    centre = _centre(layout, Point(box.low.x + _NOTCH_DEPTH, 0.0), Point(box.high.x - _NOTCH_DEPTH, 0.0))
    crosswise = [right_across(name, line) for name, line in across.items()]
    start = (
        [scored("board-start", layout.board_start.start, layout.board_start.end)]
        if layout.board_start != layout.nut
        else []
    )
    return (*centre, *edges, *crosswise, *start, _board_end(layout), *strings)


def _board_end(layout: Layout) -> Feature:
    """The board's end, straight or rounded."""
    end = layout.board_end
    rounding = [piece for piece in layout.board if isinstance(piece, Arc)]
    if not rounding:
        return scored("board-end", end.start, end.end)
    return Feature(id="board-end", role=Role.LINE, paths=(Path(tuple(rounding)),), datum=end)


def _centre(layout: Layout, start: Point, end: Point) -> tuple[Feature, ...]:
    """The centre line; where a string runs along it, its ends only."""
    if not any(string_on_centre(string) for string in layout.strings):
        return (broken("centre", start, end, CENTRE_LINE),)
    nut, saddle = Point(x_at(layout.nut, 0.0), 0.0), Point(x_at(layout.saddle, 0.0), 0.0)
    return scored("centre.nut", start, nut), scored("centre.saddle", saddle, end)


def _edge(name: str, edge: Line, board_end: Point) -> tuple[Feature, ...]:
    """An edge of the board, then its projection to the saddle line as a broken line."""
    return scored(name, edge.start, board_end), broken(f"{name}.projected", board_end, edge.end, DASHED_LINE)


def _names(layout: Layout, box: Box, across: dict[str, Line], height: float) -> tuple[Feature, ...]:
    spec = layout.spec
    at_octave = [
        fret.number for fret in layout.frets if abs(fret.distance - x_at(across["octave"], 0.0)) < 1e-6
    ]
    words = {
        "nut": "zero fret" if spec.zero_fret.value else "nut",
        "octave": f"{at_octave[0]}th fret" if at_octave == [12] else "octave",
        "saddle": "saddle",
    }
    y = box.low.y + _NOTCH_DEPTH + 1.0
    labels = [
        _beside(f"name.{name}", words[name], line, y, height, right=name != "saddle")
        for name, line in across.items()
    ]
    end = layout.board_end
    labels.append(_beside("name.board-end", "board end", end, _above(end), height, right=True))
    labels += [
        _side_name(layout, word, edge.y, box, height)
        for word, edge in (("bass", layout.nut.start), ("treble", layout.nut.end))
    ]
    return tuple(labels)


def _side_name(layout: Layout, word: str, edge: float, box: Box, height: float) -> Feature:
    """The name of a side beyond the nut, reading along it: by the board's edge, clear of the centre line."""
    room = min(-box.low.y, box.high.y) - 2.0 * _GAP
    height = min(height, room / text_width(word, 1.0))
    y = math.copysign(max(abs(edge) * 0.55, _GAP + text_width(word, height) / 2.0), edge)
    at = Point(x_at(layout.board_start, y) - _PAST_ENDS / 2.0 - 1.0, y)
    return label(f"name.{word}", word, at, height=height, angle=math.pi / 2.0)


def _above(line: Line) -> float:
    """A baseline beside the upper end of a line, clear of the board."""
    return max(line.start.y, line.end.y) + _ABOVE_EDGE


def _beside(id: str, text: str, line: Line, y: float, height: float, *, right: bool) -> Feature:
    """Lettering to the right or left of a line across the plate, on a baseline at y, clear of the line's slant."""
    places = (x_at(line, y), x_at(line, y + height))
    if right:
        return label(id, text, Point(max(places) + _GAP, y), height=height, anchor=Anchor.LEFT_BASELINE)
    return label(id, text, Point(min(places) - _GAP, y), height=height, anchor=Anchor.RIGHT_BASELINE)

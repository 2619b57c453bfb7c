"""The nut rule: strings at the nut along one edge and at the saddle along the other, with graduations beside.

The marks of string centres run to the edge, so that a knife can carry them over; those of strings' sides stand behind
them. The graduations in mm and inches are there to check the cut rule, and anything else, against a rule that is trusted.
"""

import math
from dataclasses import dataclass
from types import MappingProxyType

from jiggen.design.spec import Spec
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.lettering.wrap import wrap
from jiggen.parts.marks import SIDES, label, scored, slot_widths, string_on_centre, string_sides
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate
from jiggen.units import MM_PER_INCH

NAME, TITLE = "nut-rule", "Nut rule"

_MARGIN = 8.0
_CORNER = 1.5
_TEXT_INSET = 3.0
_MARK = 4.0  # a string's line
_BEHIND = 0.6  # from a string's line to the marks of its sides
_LONG_MARK = 10.0  # board edges and centre line
_MM_SPAN = 60  # mm graduated
_INCH_SPAN = 2.5  # inches graduated
_PER_INCH = 16
_BETWEEN = 14.0  # from the widest string marks to the graduations
_SIDES_OF_BOARD = ("bass", "treble")
#: How a side's name stands beside the board's edge, by whether marks run down and whether it is at the right.
_BESIDE = MappingProxyType(
    {
        (True, True): Anchor.LEFT_TOP,
        (True, False): Anchor.RIGHT_TOP,
        (False, True): Anchor.LEFT_BASELINE,
        (False, False): Anchor.RIGHT_BASELINE,
    }
)


def nut_rule(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part; its x runs along the nut and along the saddle line, zero where they cross the centre line.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.
    """
    layout = neck.layout
    letters = bench.smallest_lettering_mm
    nut, saddle = _Edge("nut", layout.nut), _Edge("saddle", layout.saddle)
    half = max(abs(edge.along(end)) for edge in (nut, saddle) for end in (edge.line.start, edge.line.end))
    row = 2.0 * letters
    beside = _TEXT_INSET + max(text_width(side, letters) for side in _SIDES_OF_BOARD)
    zero = half + max(_BETWEEN, beside + text_width("0 mm", letters) / 2.0)
    left = -half - max(_MARGIN, beside)
    right = zero + max(_MM_SPAN, _INCH_SPAN * MM_PER_INCH) + _MARGIN
    slots = _slot_lines(layout.spec, right - left - 2.0 * _TEXT_INSET, letters)
    height = 2.0 * _LONG_MARK + (5.0 + len(slots)) * row + letters
    box = Box(Point(left, 0.0), Point(right, height))
    first_row = height - _LONG_MARK - 2.0 * letters
    baselines = [first_row - row * index for index in range(5 + len(slots))]
    tag_box = Box(
        Point(box.low.x + _TEXT_INSET, baselines[3] - 0.3 * letters),
        Point(box.high.x - _TEXT_INSET, baselines[2] + 1.3 * letters),
    )
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER),
            *_string_marks(layout, nut, edge_y=box.high.y, inward=-1.0, letters=letters),
            *_string_marks(layout, saddle, edge_y=box.low.y, inward=1.0, letters=letters),
            *_millimetres(zero, box.high.y, letters),
            *_inches(zero, box.low.y, letters),
            *_words(layout, (nut, saddle), box, baselines, slots=slots, letters=letters),
        ),
        tag_box=tag_box,
    )
    return (part,)


@dataclass(frozen=True, slots=True)
class _Edge:
    """A line across the neck that an edge of the rule is laid along; where frets fan out it is slanted."""

    name: str
    line: Line

    def along(self, place: Point) -> float:
        """How far along the line a place on it is from the centre line, + toward +y."""
        crossing = x_at(self.line, 0.0)
        return math.copysign(place.distance(Point(crossing, 0.0)), place.y)


def _string_marks(
    layout: Layout, edge: _Edge, *, edge_y: float, inward: float, letters: float
) -> list[Feature]:
    def mark(id: str, x: float, length: float) -> Feature:
        return scored(id, Point(x, edge_y), Point(x, edge_y + inward * length))

    features = [
        mark(f"edge.bass.{edge.name}", edge.along(edge.line.start), _LONG_MARK),
        mark(f"edge.treble.{edge.name}", edge.along(edge.line.end), _LONG_MARK),
    ]
    if not any(string_on_centre(string) for string in layout.strings):
        features.append(mark(f"centre.{edge.name}", 0.0, _LONG_MARK))
    courses: dict[int, list[float]] = {}
    for string in layout.strings:
        x = edge.along(string.line.start if edge.name == "nut" else string.line.end)
        id = f"string.{string.number}.{edge.name}"
        features.append(mark(id, x, _MARK))
        behind = Point(x, edge_y + inward * (_MARK + _BEHIND))
        features.extend(string_sides(string, behind, Point(0.0, inward), id=id))
        courses.setdefault(string.course, []).append(x)
    anchor = Anchor.CENTRE_TOP if inward < 0.0 else Anchor.CENTRE_BASELINE
    number_y = edge_y + inward * (_MARK + _BEHIND + SIDES + 0.8)
    for course, places in courses.items():
        at = Point(sum(places) / len(places), number_y)
        features.append(label(f"number.{course}.{edge.name}", str(course), at, height=letters, anchor=anchor))
    for side, end in zip(_SIDES_OF_BOARD, (edge.line.start, edge.line.end), strict=True):
        outward = math.copysign(1.0, edge.along(end))
        at = Point(edge.along(end) + outward * _TEXT_INSET / 2.0, number_y)
        beside = _BESIDE[inward < 0.0, outward > 0.0]
        features.append(label(f"side.{side}.{edge.name}", side, at, height=letters, anchor=beside))
    return features


def _millimetres(zero: float, edge: float, letters: float) -> list[Feature]:
    features: list[Feature] = []
    for mm in range(_MM_SPAN + 1):
        length = 6.0 if mm % 10 == 0 else 4.5 if mm % 5 == 0 else 3.0
        x = zero + mm
        features.append(scored(f"mm.{mm}", Point(x, edge), Point(x, edge - length)))
        if mm % 10 == 0:
            at = Point(x, edge - length - 0.8)
            number = f"{mm}{'' if mm else ' mm'}"
            features.append(label(f"mm.{mm}.number", number, at, height=letters, anchor=Anchor.CENTRE_TOP))
    return features


def _inches(zero: float, edge: float, letters: float) -> list[Feature]:
    features: list[Feature] = []
    for tick in range(int(_INCH_SPAN * _PER_INCH) + 1):
        length = next(
            size for step, size in ((16, 6.0), (8, 5.0), (4, 4.2), (2, 3.4), (1, 2.6)) if tick % step == 0
        )
        x = zero + tick * MM_PER_INCH / _PER_INCH
        features.append(scored(f"inch.{tick}-{_PER_INCH}", Point(x, edge), Point(x, edge + length)))
        if tick % _PER_INCH == 0:
            at = Point(x, edge + length + 0.8)
            number = f"{tick // _PER_INCH}{'' if tick else ' in'}"
            features.append(
                label(
                    f"inch.{tick}-{_PER_INCH}.number",
                    number,
                    at,
                    height=letters,
                    anchor=Anchor.CENTRE_BASELINE,
                )
            )
    return features


def _slot_lines(spec: Spec, room: float, letters: float) -> tuple[str, ...]:
    """The widths of the nut's slots, in lines that fit; none if gauges are not known."""
    text = slot_widths(spec)
    return wrap(text, lambda line: text_width(line, letters) <= room) if text else ()


def _words(
    layout: Layout,
    edges: tuple[_Edge, _Edge],
    box: Box,
    baselines: list[float],
    *,
    slots: tuple[str, ...],
    letters: float,
) -> list[Feature]:
    spec = layout.spec

    def place(edge: _Edge) -> str:
        ends = (layout.strings[0].line, layout.strings[-1].line)
        first, last = (edge.along(line.start if edge.name == "nut" else line.end) for line in ends)
        board = edge.line.start.distance(edge.line.end)
        return f"{edge.name}: strings {abs(first - last):.2f} mm · long marks: board {board:.2f} mm, centre"

    nut, saddle = edges
    left, room = box.low.x + _TEXT_INSET, box.width - 2.0 * _TEXT_INSET
    side = "treble left" if spec.left_handed.value else "treble right"
    rows = (
        ("nut", place(nut), baselines[0], letters),
        ("title", f"{spec.design.name} · {TITLE} · {side}", baselines[1], letters * 1.4),
        *(
            (f"slots.{number}", line, baselines[3 + number], letters)
            for number, line in enumerate(slots, start=1)
        ),
        ("saddle", place(saddle), baselines[-1], letters),
    )
    return [
        label(
            f"words.{id}",
            text,
            Point(left, y),
            height=min(height, room / text_width(text, 1.0)),
            anchor=Anchor.LEFT_BASELINE,
        )
        for id, text, y, height in rows
    ]

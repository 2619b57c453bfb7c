"""Nut and saddle as windows to draw round: a flat seat, a top as round as the board, strings and slot depths marked."""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.layout.heights import string_lies
from jiggen.layout.model import Layout
from jiggen.layout.places import aside
from jiggen.layout.radius import sagitta
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import plate

NUT_NAME, NUT_TITLE = "nut-blank", "Nut blank"
SADDLE_NAME, SADDLE_TITLE = "saddle-blank", "Saddle blank"

_SHARE_IN_SLOT = 0.5  # of a string's thickness that lies below the nut's top (common practice)
_FLAT = 1e-6  # mm of rise: less is straight
_MARK = 4.0
_CORNER = 2.0
_MARGIN = 5.0
_GAP = 1.2
_LEAST_WIDTH = 84.0  # for the words


@dataclass(frozen=True, slots=True, kw_only=True)
class _Blank:
    """What a window shows.

    Attributes:
        left: Where its seat begins, x along nut or saddle.
        right: Where it ends.
        top: Height of its top above the seat at a place.
        strings: Course and place of each string, first string first.
        depths: By course, how deep its slot is; empty where there are none.
    """

    left: float
    right: float
    top: Callable[[float], float]
    strings: Sequence[tuple[int, float]]
    depths: dict[int, float]


def nut_blank(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the nut's window, seen from the bridge or through the sheet from behind; x runs along the nut.

    Args:
        neck: That it is for; gauges, action and height at the nut are known.
        bench: Sets the lettering's height.
    """
    layout, spec = neck.layout, neck.spec
    gauges = _gauges(layout)
    places = [aside(layout.nut, string.line.start) for string in layout.strings]
    seat = spec.nut.seat.value if spec.nut.seat else 0.0
    fret = spec.nut.fret_height.value if spec.nut.fret_height else 0.0
    lies = [lie.at_nut for lie in string_lies(spec)]
    sag = _sag(layout, 0.0)
    under = _straight(places, lies)
    sunk = _straight(places, [gauge * _SHARE_IN_SLOT for gauge in gauges])

    def top(x: float) -> float:
        return seat - sag(x) + fret + under(x) + sunk(x)

    ends = sorted(aside(layout.nut, end) for end in (layout.nut.start, layout.nut.end))
    blank = _Blank(
        left=ends[0],
        right=ends[1],
        top=top,
        strings=[(string.course, x) for string, x in zip(layout.strings, places, strict=True)],
        depths=_by_course(layout, [sunk(x) for x in places]),
    )
    words = (
        f"seat to board's face {seat:.2f}, frets {fret:.2f} mm high",
        "over the strings: depth of their slots in mm",
    )
    return (_part(neck, blank, words, name=NUT_NAME, title=NUT_TITLE, letters=bench.smallest_lettering_mm),)


def saddle_blank(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the saddle's window; x runs along the saddle. Arguments as for `nut_blank`; its height is known too."""
    layout, spec = neck.layout, neck.spec
    places = [aside(layout.saddle, string.line.end) for string in layout.strings]
    high = spec.bridge.saddle_height.value if spec.bridge.saddle_height else 0.0
    under = _straight(places, [lie.at(1.0) for lie in string_lies(spec)])
    sag = _sag(layout, spec.scale.value)

    def top(x: float) -> float:
        return high + under(x) - under(0.0) - sag(x)

    half = (spec.bridge.slot_length.value if spec.bridge.slot_length else 0.0) / 2.0
    blank = _Blank(
        left=-half,
        right=half,
        top=top,
        strings=[(string.course, x) for string, x in zip(layout.strings, places, strict=True)],
        depths={},
    )
    bass, treble = top(_bass(layout) * half), top(-_bass(layout) * half)
    words = (f"seat to top, mm · middle {high:.2f} · bass end {bass:.2f} · treble end {treble:.2f}",)
    return (
        _part(neck, blank, words, name=SADDLE_NAME, title=SADDLE_TITLE, letters=bench.smallest_lettering_mm),
    )


def _gauges(layout: Layout) -> tuple[float, ...]:
    return layout.spec.gauges.value if layout.spec.gauges else (0.0,) * len(layout.strings)


def _bass(layout: Layout) -> float:
    """1 where the bass side lies toward +x of the windows, else -1."""
    return math.copysign(1.0, layout.nut.start.y)


def _sag(layout: Layout, distance: float) -> Callable[[float], float]:
    """How much lower the board, carried on to some distance, is at a place than at its middle."""
    if layout.radius is None:
        return lambda _: 0.0
    radius = layout.radius.at(distance)
    return lambda x: sagitta(radius, 2.0 * abs(x))


def _straight(places: Sequence[float], values: Sequence[float]) -> Callable[[float], float]:
    """A value that changes evenly across, as it does from the first string to the last."""
    run = places[-1] - places[0]
    slope = (values[-1] - values[0]) / run if run else 0.0
    return lambda x: values[0] + slope * (x - places[0])


def _by_course(layout: Layout, values: Sequence[float]) -> dict[int, float]:
    found: dict[int, list[float]] = {}
    for string, value in zip(layout.strings, values, strict=True):
        found.setdefault(string.course, []).append(value)
    return {course: sum(each) / len(each) for course, each in found.items()}


def _part(neck: Neck, blank: _Blank, words: Sequence[str], *, name: str, title: str, letters: float) -> Part:
    sides = {side: text_width(side, letters) + 2.0 * _GAP for side in ("bass", "treble")}
    low_side = "bass" if neck.layout.nut.start.y < 0.0 else "treble"
    high_side = "treble" if low_side == "bass" else "bass"
    left = min(blank.left - sides[low_side], -_LEAST_WIDTH / 2.0)
    right = max(blank.right + sides[high_side], _LEAST_WIDTH / 2.0)
    seat_words = -letters - 2.0 * _GAP
    text = caption(
        neck.spec,
        title,
        words,
        left=left,
        top=seat_words - 2.0 * _GAP,
        width=right - left,
        letters=letters,
    )
    marks_at = max(blank.top(x) for x in (blank.left, 0.0, blank.right)) + _MARK
    deepest = max(
        (text_width(f"{depth:.2f}", letters) + _GAP for depth in blank.depths.values()), default=0.0
    )
    high = marks_at + _GAP + letters + _GAP + deepest
    box = Box(Point(left - _MARGIN, text.low - _MARGIN), Point(right + _MARGIN, high + _MARGIN))
    middle = (blank.left + blank.right) / 2.0
    seat_text = "seat"
    arrow_x = middle - text_width(seat_text, letters) / 2.0 - 3.0 * _GAP
    return Part(
        name=name,
        title=title,
        features=(
            *plate(box, radius=_CORNER),
            Feature(id="window", role=Role.OPENING, paths=(_window(blank),)),
            *_marks(blank, marks_at, letters),
            label(
                f"name.{low_side}",
                low_side,
                Point(blank.left - _GAP, letters),
                height=letters,
                anchor=Anchor.RIGHT_BASELINE,
            ),
            label(
                f"name.{high_side}",
                high_side,
                Point(blank.right + _GAP, letters),
                height=letters,
                anchor=Anchor.LEFT_BASELINE,
            ),
            arrow("arrow.seat", Point(arrow_x, seat_words), Point(arrow_x, -0.5)),
            label(
                "name.seat",
                seat_text,
                Point(middle, seat_words),
                height=letters,
                anchor=Anchor.CENTRE_BASELINE,
            ),
            *text.features,
        ),
        tag_box=text.tag_box,
    )


def _window(blank: _Blank) -> Path:
    """Seat, sides and top; the top is the arc through both its ends and its middle."""
    low_left, low_right = Point(blank.left, 0.0), Point(blank.right, 0.0)
    high_right, high_left = (Point(x, blank.top(x)) for x in (blank.right, blank.left))
    middle = (blank.left + blank.right) / 2.0
    chord = high_right.distance(high_left)
    across = (blank.right - blank.left) / chord
    rise = (blank.top(middle) - (high_left.y + high_right.y) / 2.0) * across
    over: Segment = Line(high_right, high_left)
    if abs(rise) > _FLAT:
        over = Arc(high_right, high_left, 2.0 * rise / chord)
    return Path(
        (Line(low_left, low_right), Line(low_right, high_right), over, Line(high_left, low_left)), closed=True
    )


def _marks(blank: _Blank, upto: float, letters: float) -> Iterator[Feature]:
    """A line over each string from the window's top, its course's number, and over that the slot's depth."""
    courses: dict[int, list[float]] = {}
    for number, (course, x) in enumerate(blank.strings, start=1):
        courses.setdefault(course, []).append(x)
        yield scored(f"string.{number}", Point(x, blank.top(x) + _GAP / 4.0), Point(x, upto))
    for course, places in courses.items():
        at = Point(sum(places) / len(places), upto + _GAP)
        yield label(f"number.{course}", str(course), at, height=letters, anchor=Anchor.CENTRE_BASELINE)
        if course in blank.depths:
            yield label(
                f"depth.{course}",
                f"{blank.depths[course]:.2f}",
                at + Point(0.0, letters + _GAP),
                height=letters,
                anchor=Anchor.LEFT_MIDDLE,
                angle=math.pi / 2.0,
            )

"""The nut card: where strings go at the nut for several widths of board, each width a window to lay on the nut.

Over a window every string's centre is marked, under it both sides of each string; the words give the width of each
slot. Where the nut is a little wider or narrower than drawn, the next window tells how far the
strings move.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from jiggen.design.model import Given
from jiggen.design.spec import Spec
from jiggen.geometry.box import Box
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out
from jiggen.layout.places import aside
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import label, scored, slot_widths, string_on_centre, string_sides
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import plate
from jiggen.units import format_inch, format_mm

NAME, TITLE = "nut-card", "Nut card"

_STEP = 1.0  # from the design's width to its neighbours
_WINDOW = 3.0  # high, so that the nut shows along all its length
_MARK, _LONG_MARK = 5.0, 7.0
_CORNER = 2.0
_MARGIN = 5.0
_GAP = 1.2
_BESIDE = 4.0  # of window beyond the board's edges, so that those can be seen to meet their marks
_LEAST_WIDTH = 84.0  # for the words


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One width: its window's lower side, and the strings across it."""

    number: int
    layout: Layout
    low: float


def nut_card(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part; x runs along the nut, zero where it crosses the centre line.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    layouts = [_with_width(neck.spec, width) for width in _widths(neck.spec)]
    pitch = _MARK + _WINDOW + _LONG_MARK + letters + 3.0 * _GAP
    rows = [
        _Row(number=number, layout=layout, low=pitch * (len(layouts) - number) + _MARK)
        for number, layout in enumerate(layouts, start=1)
    ]
    half = max(abs(aside(row.layout.nut, end)) for row in rows for end in _board_ends(row.layout)) + _BESIDE
    named = max(text_width(text, letters) for row in rows for text in _names(row.layout))
    left = -half - 2.0 * _GAP - named
    right = max(half, left + _LEAST_WIDTH)
    words = caption(
        neck.spec,
        TITLE,
        _words(neck.spec),
        left=left,
        top=-_GAP,
        width=right - left,
        letters=letters,
    )
    box = Box(Point(left - _MARGIN, words.low - _MARGIN), Point(right + _MARGIN, pitch * len(rows) + _MARGIN))
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER),
            *(feature for row in rows for feature in _window(row, half, letters)),
            *words.features,
        ),
        tag_box=words.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _widths(spec: Spec) -> tuple[float, ...]:
    if spec.nut.widths is not None:
        return spec.nut.widths.value
    own = spec.nut_width.value
    return own - _STEP, own, own + _STEP


def _with_width(spec: Spec, width: float) -> Layout:
    """Lays the neck out with another width at the nut, setbacks and all else alike."""
    return lay_out(replace(spec, nut_width=Given(width)))


def _board_ends(layout: Layout) -> tuple[Point, Point]:
    return layout.nut.start, layout.nut.end


def _names(layout: Layout) -> tuple[str, str]:
    width = layout.spec.nut_width.value
    return format_mm(width), format_inch(width)


def _window(row: _Row, half: float, letters: float) -> Iterator[Feature]:
    """A window with its marks and names."""
    layout, key = row.layout, f"width.{row.number}"
    low, high = row.low, row.low + _WINDOW
    yield Feature(
        id=f"{key}.window",
        role=Role.OPENING,
        paths=(rectangle(Point(-half, low), Point(half, high)),),
        width_mm=_WINDOW,
    )
    for name, end in zip(("bass", "treble"), _board_ends(layout), strict=True):
        yield _mark(f"{key}.edge.{name}", aside(layout.nut, end), high, _LONG_MARK)
    if not any(string_on_centre(string) for string in layout.strings):
        yield _mark(f"{key}.centre", 0.0, high, _LONG_MARK)
    courses: dict[int, list[float]] = {}
    for string in layout.strings:
        x = aside(layout.nut, string.line.start)
        courses.setdefault(string.course, []).append(x)
        yield _mark(f"{key}.string.{string.number}", x, high, _MARK)
        yield from string_sides(string, Point(x, low), Point(0.0, -1.0), id=f"{key}.string.{string.number}")
    for course, places in courses.items():
        at = Point(sum(places) / len(places), high + _MARK + _GAP / 2.0)
        yield label(f"{key}.number.{course}", str(course), at, height=letters, anchor=Anchor.CENTRE_BASELINE)
    mm, inch = _names(layout)
    for name, text, y, anchor in (
        ("mm", mm, (low + high) / 2.0 + _GAP / 2.0, Anchor.RIGHT_BASELINE),
        ("inch", inch, (low + high) / 2.0 - _GAP / 2.0, Anchor.RIGHT_TOP),
    ):
        yield label(f"{key}.name.{name}", text, Point(-half - 2.0 * _GAP, y), height=letters, anchor=anchor)


def _mark(id: str, x: float, edge: float, length: float) -> Feature:
    return scored(id, Point(x, edge), Point(x, edge + length))


def _words(spec: Spec) -> tuple[str, ...]:
    side = "left" if spec.left_handed.value else "right"
    lines = [f"lay a window along the nut, treble to the {side}: long marks are board edges and centre"]
    if spec.gauges is None:
        return (*lines, "above the window string centres; string gauges are not known")
    lines.append(
        "above the window string centres, below it the sides of strings, one below the other where thin"
    )
    return (*lines, slot_widths(spec))

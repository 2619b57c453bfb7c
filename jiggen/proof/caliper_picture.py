"""A picture of what readings are off by: along the neck, or over the size of a part's features."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from jiggen.drawing.model import Area, Ink, Item, Page, Pen, width_of, words
from jiggen.drawing.style import ASSUMED_RED, FINE, INK, MEDIUM, NARROW, SMALL, SOFT, STRING_BLUE, TINY
from jiggen.geometry.path import circle, polyline, segment
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor
from jiggen.proof.caliper import Group, Judgement, Measured, SaddleAdvice, Subject, Verdict

#: Width of the page, height of its head and of a diagram, and the room about that, mm.
_WIDTH, _HEAD, _DIAGRAM = 210.0, 14.0, 48.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 20.0, 8.0, 13.0, 13.0
#: Sine of the angle at which names lean.
_LEANING = 0.7
_DOT = 0.9
_BAND = "#e8eef0"
#: Steps of a scale, times a power of ten.
_STEPS = (1.0, 2.0, 5.0, 10.0)
_MOST_TICKS = 6

#: Where a place and a value of a diagram lie on the page.
_At = Callable[[float, float], Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """One point of a panel.

    Attributes:
        x: Its place.
        y: Its value.
        half: Half of the interval that holds it.
        limit: How far it may be off; None where no band is drawn for it.
        label: Its name; empty for none.
        below: Whether the name stands below it.
        bad: Whether it wants to be looked at.
        odd: Whether it does not follow the others.
        ring: Whether it is drawn as a ring.
    """

    x: float
    y: float
    half: float = 0.0
    limit: float | None = None
    label: str = ""
    below: bool = False
    bad: bool = False
    odd: bool = False
    ring: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Panel:
    """One diagram.

    Attributes:
        title: What it shows.
        across: What runs to the right; empty: marks stand side by side in their order, each with its own band and name.
        marks: Its points.
        trend: A line through them.
    """

    title: str
    across: str
    marks: tuple[_Mark, ...]
    trend: tuple[tuple[float, float], ...] = field(default=())

    @property
    def foot(self) -> float:
        """Room for what stands below the diagram."""
        if self.across:
            return _BOTTOM
        return 6.0 + _LEANING * max(width_of(mark.label, TINY) for mark in self.marks)

    @property
    def height(self) -> float:
        """All of it."""
        return _TOP + _DIAGRAM + self.foot


def picture(judgement: Judgement, title: str) -> Page:
    """Returns the picture: a panel for each group of readings, and one for the frets' cents.

    Args:
        judgement: What the readings tell.
        title: For the head.
    """
    panels = [
        _of_group(group, judgement) for group in judgement.groups if group.subject is not Subject.STRINGS
    ]
    if judgement.saddle is not None:
        panels.insert(1, _of_saddle(judgement, judgement.saddle))
    height = _HEAD + sum(panel.height for panel in panels) + 2.0
    items: list[Item] = [words(title, Point(8.0, height - 9.0), height=5.0, colour=INK)]
    top = height - _HEAD
    for panel in panels:
        top -= panel.height
        items += _drawn(panel, top + panel.foot)
    return Page(title=title, width_mm=_WIDTH, height_mm=height, items=tuple(items))


def _of_group(group: Group, judgement: Judgement) -> _Panel:
    along = group.subject is not Subject.PART
    marks = tuple(
        _Mark(
            x=_place(each, number, along=along),
            y=each.off_mm,
            half=each.expanded_mm,
            limit=each.gauge.limit_mm if each.gauge.name != "saddle" else None,
            label=_label(each),
            below=each.off_mm < 0.0,
            bad=each.verdict is Verdict.OUT or (each.odd and each.verdict is not Verdict.OK),
            odd=each.odd,
        )
        for number, each in enumerate(group.measured)
    )
    trend = sorted(
        (_place(each, number, along=along), each.explained_mm)
        for number, each in enumerate(group.measured)
        if each.explained_mm and along
    )
    cents = judgement.fret_cents_limit
    heads = {
        Subject.NECK: "off along the neck, mm: + is nearer the saddle; "
        f"band: {cents:g} cent{'' if cents == 1.0 else 's'} with the saddle where the design has it",
        Subject.BOARD: "width off, mm: + is too wide; band: allowed",
        Subject.PART: f"{group.part}: off, mm; bands: allowed",
    }
    return _Panel(
        title=heads[group.subject],
        across="mm from the nut" if along else "",
        marks=marks,
        trend=tuple(trend),
    )


def _place(each: Measured, number: int, *, along: bool) -> float:
    return each.gauge.at_mm if along and each.gauge.at_mm is not None else float(number)


def _label(each: Measured) -> str:
    name = each.gauge.name.removeprefix(f"{each.gauge.part}/")
    return (
        name.removeprefix("width@") if each.gauge.part else name.removeprefix("fret.").removeprefix("width@")
    )


def _of_saddle(judgement: Judgement, saddle: SaddleAdvice) -> _Panel:
    frets = {each.gauge.fret: each for each in judgement.measured if each.gauge.fret is not None}
    limit = judgement.fret_cents_limit
    marks: list[_Mark] = []
    for fret, before, after in zip(
        saddle.frets, saddle.shift.before_cents, saddle.shift.after_cents, strict=True
    ):
        each = frets[fret]
        x = _place(each, 0, along=True)
        marks += [
            _Mark(x=x, y=before, limit=limit, odd=each.odd, ring=True),
            _Mark(
                x=x,
                y=after,
                limit=limit,
                label=str(fret),
                below=before >= after,
                bad=each.odd or abs(after) > limit,
                odd=each.odd,
            ),
        ]
    return _Panel(
        title=f"frets off, cents: rings as it is, dots with the saddle moved by {saddle.move_mm:+.2f} mm; band: allowed",
        across="mm from the nut",
        marks=tuple(marks),
    )


def _drawn(panel: _Panel, bottom: float) -> Iterator[Item]:
    low, high = _range_x(panel)
    reach = _reach(panel)
    left, right = _LEFT, _WIDTH - _RIGHT
    middle = bottom + _DIAGRAM / 2.0

    def at(x: float, y: float) -> Point:
        share = (x - low) / (high - low)
        clipped = max(min(y / reach, 1.0), -1.0)
        return Point(left + share * (right - left), middle + clipped * _DIAGRAM / 2.0)

    yield words(panel.title, Point(8.0, bottom + _DIAGRAM + 5.0), height=SMALL, colour=SOFT)
    yield from _bands(panel, at)
    yield from _values(at, low, high, reach)
    yield from _ticks(panel, at, low, high, reach) if panel.across else _names(panel, at, reach)
    if len(panel.trend) > 1:
        yield Ink(paths=(polyline([at(x, y) for x, y in panel.trend]),), pen=Pen(NARROW, STRING_BLUE))
    for mark in panel.marks:
        yield from _mark(mark, at, named=bool(panel.across))


def _reach(panel: _Panel) -> float:
    """Returns how far the diagram reaches up and down: over all that follows the others; what is odd may be cut off."""
    usual = max((abs(mark.y) + mark.half for mark in panel.marks if not mark.odd), default=0.0)
    usual = max(usual, min((mark.limit for mark in panel.marks if mark.limit is not None), default=0.0), 1e-3)
    odd = max((abs(mark.y) + mark.half for mark in panel.marks if mark.odd), default=0.0)
    return 1.15 * max(usual, min(odd, 3.0 * usual))


def _range_x(panel: _Panel) -> tuple[float, float]:
    high = max(mark.x for mark in panel.marks)
    if not panel.across:
        return -0.7, high + 0.7
    return 0.0, max(1.03 * high, 1.0)


def _bands(panel: _Panel, at: _At) -> Iterator[Item]:
    """Yields how far things may be off, as a band about zero, or one for each where they stand side by side."""
    places = sorted({mark.x: mark.limit for mark in panel.marks if mark.limit is not None}.items())
    if not panel.across:
        for x, limit in places:
            corners = [at(x - 0.3, -limit), at(x + 0.3, -limit), at(x + 0.3, limit), at(x - 0.3, limit)]
            yield Area(paths=(polyline(corners, closed=True),), colour=_BAND)
    elif len(places) > 1:
        upper = [at(x, limit) for x, limit in places]
        lower = [at(x, -limit) for x, limit in reversed(places)]
        yield Area(paths=(polyline([*upper, *lower], closed=True),), colour=_BAND)


def _values(at: _At, low: float, high: float, reach: float) -> Iterator[Item]:
    """Yields the scale on the left, and its lines across."""
    left, right = at(low, 0.0), at(high, 0.0)
    step = _step(reach)
    for number in range(-math.floor(reach / step), math.floor(reach / step) + 1):
        y = at(low, number * step).y
        pen = Pen(FINE, _BAND) if number else Pen(MEDIUM, SOFT)
        yield Ink(paths=(segment(Point(left.x, y), Point(right.x, y)),), pen=pen)
        text = f"{number * step:+g}" if number else "0"
        yield words(text, Point(left.x - 1.5, y), height=TINY, colour=SOFT, anchor=Anchor.RIGHT_MIDDLE)


def _ticks(panel: _Panel, at: _At, low: float, high: float, reach: float) -> Iterator[Item]:
    """Yields the scale below."""
    step = _step((high - low) / 2.0)
    foot = at(low, -reach).y
    for number in range(math.ceil(low / step), math.floor(high / step) + 1):
        x = at(number * step, 0.0).x
        yield Ink(paths=(segment(Point(x, foot), Point(x, foot + 1.2)),), pen=Pen(FINE, SOFT))
        below = Point(x, foot - 3.4)
        yield words(f"{number * step:g}", below, height=TINY, colour=SOFT, anchor=Anchor.CENTRE_BASELINE)
    corner = Point(at(high, 0.0).x, foot - 7.4)
    yield words(panel.across, corner, height=TINY, colour=SOFT, anchor=Anchor.RIGHT_BASELINE)


def _names(panel: _Panel, at: _At, reach: float) -> Iterator[Item]:
    """Yields the names of what stands side by side, leaning below it."""
    for mark in panel.marks:
        foot = at(mark.x, -reach) + Point(0.6, -2.0)
        colour = ASSUMED_RED if mark.bad else INK
        yield words(
            mark.label,
            foot,
            height=TINY,
            colour=colour,
            anchor=Anchor.RIGHT_MIDDLE,
            angle=math.asin(_LEANING),
        )


def _step(reach: float) -> float:
    """Returns a round step that divides twice a reach into a few."""
    rough = 2.0 * reach / _MOST_TICKS
    power = 10.0 ** math.floor(math.log10(rough))
    return next(step * power for step in _STEPS if step * power >= rough)


def _mark(mark: _Mark, at: _At, *, named: bool) -> Iterator[Item]:
    place = at(mark.x, mark.y)
    colour = ASSUMED_RED if mark.bad else INK
    low, high = at(mark.x, mark.y - mark.half), at(mark.x, mark.y + mark.half)
    if low != high:
        yield Ink(paths=(segment(low, high),), pen=Pen(NARROW, colour))
    if mark.ring:
        yield Ink(paths=(circle(place, 0.8 * _DOT),), pen=Pen(NARROW, SOFT))
    else:
        yield Area(paths=(circle(place, _DOT),), colour=colour)
    if mark.label and named:
        y = min(low.y, place.y - _DOT) - 3.0 if mark.below else max(high.y, place.y + _DOT) + 1.2
        name = Point(place.x, y)
        yield words(mark.label, name, height=TINY, colour=colour, anchor=Anchor.CENTRE_BASELINE)

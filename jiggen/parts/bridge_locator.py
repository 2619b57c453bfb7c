"""The bridge locator: its narrow end sits against the nut, its wide end shows where bridge and saddle go.

Where the nut is not there yet, or too far away, it sits in the last two fret slots instead: slips of saw plate go through
it into them. The bridge is held to the plate by two pins in the saddle's slot, with the slot where the strings need it; windows on
the centre line keep the plate straight on the instrument.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from jiggen.design.fittings import LocateFrom
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line, polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.layout.bridge import BridgePlace, place_bridge, string_holes
from jiggen.layout.fan import x_at
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import DASHED_LINE, arrow, broken, hole, label, scored, slot
from jiggen.parts.model import Bench, Feature, Part, Role

NAME, TITLE = "bridge-locator", "Bridge locator"

_STRIP = 15.0  # half the width of the narrow end, which lies between the outer strings' places
_ROUND = 12.0  # plate round the bridge
_WINDOW, _WINDOW_WIDTH = 24.0, 4.0
_SLIP = 9.0  # half the length of a slot for a slip of saw plate
_BEFORE = 14.0  # plate before the first of them
_GAP = 1.5
_CLEAR = 1.2  # from a hole to a line
_LEAST_WEB = 1.6  # between two holes


def bridge_locator(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for; the bridge's size and place are known.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    place = place_bridge(neck.layout, neck.setup)
    marks = _string_marks(neck)
    head = _head(place, marks)
    seat = _seat(neck, head, letters)
    low, high = -_STRIP, _STRIP
    first = seat.reach + 2.0 * _GAP
    second = max(seat.window, first + 2.0 * _WINDOW)
    windows = tuple(
        Box(Point(x, -_WINDOW_WIDTH / 2.0), Point(x + _WINDOW, _WINDOW_WIDTH / 2.0)) for x in (first, second)
    )
    text = caption(
        neck.spec,
        TITLE,
        (*_words(neck, place), *seat.words),
        left=windows[0].high.x + 2.0 * _GAP,
        top=high - _GAP,
        width=windows[1].low.x - windows[0].high.x - 4.0 * _GAP,
        letters=letters,
    )
    low = min(low, text.low - _GAP)
    corners = (
        Point(x_at(seat.end, low), low),
        Point(head.low.x, low),
        head.low,
        Point(head.high.x, head.low.y),
        head.high,
        Point(head.low.x, head.high.y),
        Point(head.low.x, high),
        Point(x_at(seat.end, high), high),
    )
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(polyline(corners, closed=True),)),
            *(
                Feature(
                    id=f"window.{number}",
                    role=Role.OPENING,
                    paths=(rectangle(box.low, box.high),),
                    datum=Line(Point(box.low.x, 0.0), Point(box.high.x, 0.0)),
                    width_mm=_WINDOW_WIDTH,
                )
                for number, box in enumerate(windows, start=1)
            ),
            *seat.features,
            *_centre(place, windows, head),
            *_bridge(neck, place, head, letters),
            *(feature for feature, _ in marks),
            *text.features,
        ),
        tag_box=text.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _head(place: BridgePlace, marks: Sequence[tuple[Feature, Point]]) -> Box:
    """The wide end: round bridge and string holes."""
    points = [*place.corners, place.saddle.start, place.saddle.end, *(centre for _, centre in marks)]
    around = Box(
        Point(min(point.x for point in points), min(point.y for point in points)),
        Point(max(point.x for point in points), max(point.y for point in points)),
    )
    return around.grown(_ROUND)


def _string_marks(neck: Neck) -> tuple[tuple[Feature, Point], ...]:
    """Small holes through which an awl marks the strings' holes, one for two that lie too near each other."""
    if neck.spec.bridge.pin_distance is None:
        return ()
    tools = neck.spec.tools
    diameter = tools.locating_pin.value + tools.pin_clearance.value
    found: list[tuple[Feature, Point]] = []
    for number, at in string_holes(neck.layout):
        if all(at.distance(other) >= diameter + _LEAST_WEB for _, other in found):
            found.append((hole(f"string-hole.{number}", at, diameter), at))
    return tuple(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seat:
    """What holds the narrow end.

    Attributes:
        end: Line along which the plate ends.
        features: There.
        reach: x up to which they reach.
        window: x at which the second window goes, if the first leaves room.
        words: What to know of it.
    """

    end: Line
    features: tuple[Feature, ...]
    reach: float
    window: float
    words: tuple[str, ...] = ()


def _seat(neck: Neck, head: Box, letters: float) -> _Seat:
    given = neck.spec.bridge.locate_from
    if given is not None and given.value is LocateFrom.LAST_SLOTS:
        return _in_last_slots(neck, head, letters)
    layout = neck.layout
    board_end = max(layout.board_end.start.x, layout.board_end.end.x)
    return _Seat(
        end=layout.nut,
        features=tuple(_at_nut(neck, letters)),
        reach=max(x_at(layout.nut, y) for y in (-_STRIP, _STRIP)) + _words_at_nut(letters),
        window=(board_end + head.low.x - _WINDOW) / 2.0,
    )


def _in_last_slots(neck: Neck, head: Box, letters: float) -> _Seat:
    """Slots over those of the last two frets, into which a slip of saw plate is pushed through each.

    Raises:
        LimitError: If there are no two frets that run right under the plate.
    """
    tools = neck.spec.tools
    frets = [fret for fret in neck.layout.frets if fret.line.start.y < -_SLIP < _SLIP < fret.line.end.y]
    if len(frets) < 2:
        raise LimitError(
            where="bridge.locate-from",
            got=LocateFrom.LAST_SLOTS.value,
            expected=f"two frets that run {2.0 * _SLIP:.0f} mm about the centre line at least",
            mend=f'Say locate-from = "{LocateFrom.NUT.value}"',
        )
    before, last = frets[-2:]
    shift = Point(-_BEFORE, 0.0)
    end = Line(before.line.start + shift, before.line.end + shift)
    tip = x_at(end, 0.0) + 0.5
    features = [arrow("arrow.nut", Point(tip + 0.6 * _BEFORE, 0.0), Point(tip, 0.0))]
    for fret in (before, last):
        along = Line(*(Point(x_at(fret.line, y), y) for y in (-_SLIP, _SLIP)))
        width = tools.saw_plate.value + tools.saw_clearance.value
        features.append(slot(f"fret.{fret.number}", along, width, datum=along))
        y = _SLIP + _GAP + letters / 2.0
        at = Point(x_at(fret.line, y), y)
        features.append(label(f"name.fret.{fret.number}", str(fret.number), at, height=letters))
    words = (
        f"arrow to the nut · {tools.saw_plate.value:.2f} mm saw plate through both narrow slots"
        f" sits in those of frets {before.number} and {last.number}"
    )
    return _Seat(
        end=end,
        features=tuple(features),
        reach=max(x_at(last.line, y) for y in (-_STRIP, _STRIP)) + text_width("00", letters) / 2.0,
        window=head.low.x - _WINDOW - _GAP,
        words=(words,),
    )


_AT_NUT = ("this end", "to the")


def _start_words(neck: Neck) -> str:
    return "zero fret" if neck.spec.zero_fret.value else "nut"


def _words_at_nut(letters: float) -> float:
    """How far from the nut the words there reach."""
    return 3.0 * letters + _GAP + max(text_width(text, letters) for text in (*_AT_NUT, "zero fret"))


def _at_nut(neck: Neck, letters: float) -> Iterator[Feature]:
    """An arrow to the nut, and words beside it that say so."""
    layout = neck.layout
    start = max(x_at(layout.nut, y) for y in (-2.0 * letters, 2.0 * letters)) + 0.5
    yield arrow("arrow.nut", Point(start + 2.4 * letters, 0.0), Point(start, 0.0))
    for row, (text, y) in enumerate(
        zip((*_AT_NUT, _start_words(neck)), (1.7 * letters, 0.0, -1.7 * letters), strict=True), start=1
    ):
        at = Point(start + 2.4 * letters + _GAP, y)
        yield label(f"name.nut.{row}", text, at, height=letters, anchor=Anchor.LEFT_MIDDLE)


def _centre(place: BridgePlace, windows: Sequence[Box], head: Box) -> Iterator[Feature]:
    """The centre line from the second window to the bridge's front, and behind the bridge."""
    yield scored("centre.front", Point(windows[1].high.x, 0.0), Point(place.centre.x - _GAP, 0.0))
    yield scored("centre.back", Point(head.high.x - _ROUND / 2.0, 0.0), Point(head.high.x, 0.0))


def _bridge(neck: Neck, place: BridgePlace, head: Box, letters: float) -> Iterator[Feature]:
    """The bridge's outline, both saddle lines, the pins' holes, and which side is which."""
    yield Feature(id="bridge", role=Role.LINE, paths=(polyline(place.corners, closed=True),))
    tools, width = neck.spec.tools, neck.spec.bridge.slot_width
    diameter = (width.value if width else 0.0) + tools.pin_clearance.value
    saddle, paper = place.saddle, place.paper
    if place.pins:
        for number, pin in enumerate(place.pins, start=1):
            yield hole(f"saddle-pin.{number}", pin, diameter)
        along = (place.pins[1] - place.pins[0]).unit() * (diameter / 2.0 + _CLEAR)
        saddle = Line(place.pins[0] + along, place.pins[1] - along)
        aside = place.across * (saddle.start.distance(saddle.end) / 2.0)
        paper = Line(place.centre - aside, place.centre + aside)
    yield broken("saddle.paper", paper.start, paper.end, DASHED_LINE)
    if place.compensated:
        yield scored("saddle", saddle.start, saddle.end)
    treble_up = neck.layout.nut.end.y > 0.0
    for name, y in (
        ("treble", head.high.y - _ROUND / 2.0 if treble_up else head.low.y + _ROUND / 2.0),
        ("bass", head.low.y + _ROUND / 2.0 if treble_up else head.high.y - _ROUND / 2.0),
    ):
        yield label(f"name.{name}", name, Point(head.centre.x, y), height=letters)


def _words(neck: Neck, place: BridgePlace) -> tuple[str, ...]:
    spec = neck.spec
    start = _start_words(neck)
    lines = [f"saddle line on paper (broken) {place.centre.x:.2f} mm from the {start} along the centre line"]
    if place.pins:
        width = spec.bridge.slot_width.value if spec.bridge.slot_width else 0.0
        lines.append(f"{width:.2f} mm pins in the saddle's slot hold the bridge")
    if place.compensated and neck.setup.saddle is not None:
        straight = neck.setup.saddle.straight
        ends = [
            straight.setback_at(string.line.end.y)
            for string in (neck.layout.strings[0], neck.layout.strings[-1])
        ]
        lines[0] += f" · saddle (solid) behind it: first string {ends[0]:.2f}, last {ends[1]:.2f}"
    else:
        lines[0] += " · saddle not compensated"
    return tuple(lines)

"""Doubts about strings: on the board, beside one another, and for the notes they are tuned to.

All usual figures are common practice.
"""

import math
from collections.abc import Callable, Iterator
from itertools import pairwise

from jiggen.geometry.path import Line
from jiggen.layout.doubt import Doubt, below, outside
from jiggen.layout.model import Layout, StringLine
from jiggen.layout.pitch import Pitch, read_pitch
from jiggen.units import format_mm

#: mm; outer edge of a string to the board's edge. Nearer, it is pulled off the board when a finger bends it.
NEAR_EDGE = 1.5
#: mm; middle to middle, from course to course at the nut. Nearer, a finger stops two at once.
BETWEEN_AT_NUT = 4.0
#: mm; the same at the bridge, for the plucking hand.
BETWEEN_AT_BRIDGE = 7.0
#: mm; clear, between the strings of a course. Nearer, they strike each other.
WITHIN_COURSE = 0.8
#: mm; width of the board at the nut by number of courses.
NUT_WIDTHS = {
    3: (30.0, 50.0),
    4: (26.0, 47.0),
    5: (32.0, 54.0),
    6: (40.0, 57.0),
    7: (45.0, 64.0),
    8: (50.0, 72.0),
}
#: Lowest open note in Hz, and the shortest scale in mm that still tightens a string for it.
SHORTEST_SCALES = (
    (30.87, 800.0),  # B0
    (41.20, 740.0),  # E1
    (46.25, 650.0),  # F#1
    (61.74, 610.0),  # B1
    (82.41, 520.0),  # E2
    (98.00, 470.0),  # G2
    (110.0, 420.0),  # A2
    (130.8, 380.0),  # C3
    (196.0, 320.0),  # G3
    (261.6, 300.0),  # C4
    (440.0, 240.0),  # A4
)
#: m/s; frequency times length of a string. Above, even thin steel wire is near to breaking, whatever its gauge.
LARGEST_PITCH_LENGTH = 260.0


def off_board(layout: Layout) -> Doubt | None:
    """An outer string runs beside the board."""
    place, string, setback, _ = _nearest(layout)
    if setback > 0.0:
        return None
    return Doubt(
        name="string-off-board",
        reason=f"String {string.number} runs off the board at {place}, since the spread is too wide for it",
        number=f"{format_mm(setback)} from the edge to its centre",
        usual="2 mm or more",
    )


def over_edge(layout: Layout) -> Doubt | None:
    """An outer string lies on the edge of the board, which its setback leaves less than half its gauge."""
    place, string, setback, half = _nearest(layout)
    if not 0.0 < setback < half:
        return None
    return Doubt(
        name="string-over-edge",
        reason=f"String {string.number} hangs over the board's edge at {place}, since its setback is less than half its gauge",
        number=f"{format_mm(setback)} from the edge to its centre",
        usual="2 mm or more",
    )


def near_edge(layout: Layout) -> Doubt | None:
    """An outer string lies so near the edge that it slips off."""
    place, string, setback, half = _nearest(layout)
    if setback <= 0.0 or setback < half:
        return None
    reason = (
        f"String {string.number} lies near the board's edge at {place} and may slip off it when it is played"
    )
    return below("string-near-edge", reason, setback - half, NEAR_EDGE)


def close_strings(layout: Layout) -> Doubt | None:
    """Courses lie too near each other for a finger."""
    for place, at, least in (("nut", _at_nut, BETWEEN_AT_NUT), ("bridge", _at_bridge, BETWEEN_AT_BRIDGE)):
        between = [
            (distance, one, other)
            for distance, one, other in _neighbours(layout, at)
            if one.course != other.course
        ]
        if not between:
            return None
        distance, one, other = min(between, key=_nearest_first)
        reason = f"Strings {one.number} and {other.number} lie close together at the {place}"
        if doubt := below("close-strings", reason, distance, least):
            return doubt
    return None


def close_course(layout: Layout) -> Doubt | None:
    """Strings of a course lie so near each other that they touch."""
    for place, at in (("nut", _at_nut), ("bridge", _at_bridge)):
        clear = [
            (distance - ((one.gauge or 0.0) + (other.gauge or 0.0)) / 2.0, one, other)
            for distance, one, other in _neighbours(layout, at)
            if one.course == other.course
        ]
        if not clear:
            return None
        gap, one, other = min(clear, key=_nearest_first)
        reason = f"Strings {one.number} and {other.number} of a course may strike each other at the {place}, so small is the gap"
        if doubt := below("close-course", reason, gap, WITHIN_COURSE):
            return doubt
    return None


def narrow_nut(layout: Layout) -> Doubt | None:
    """The board is narrow at the nut for its courses."""
    return _nut_width("narrow-nut", "narrow", layout, lambda width, usual: width < usual[0])


def wide_nut(layout: Layout) -> Doubt | None:
    """The board is wide at the nut for its courses."""
    return _nut_width("wide-nut", "wide", layout, lambda width, usual: width > usual[1])


def narrowing_board(layout: Layout) -> Doubt | None:
    """The board narrows toward the bridge."""
    nut, saddle = layout.spec.nut_width.value, layout.spec.width_at_saddle.value
    if saddle >= nut:
        return None
    return Doubt(
        name="narrowing-board",
        reason="The board is narrower at the saddle than at the nut",
        number=f"{format_mm(nut)} at the nut and {format_mm(saddle)} at the saddle",
        usual="as wide or wider",
    )


def short_scale(layout: Layout) -> Doubt | None:
    """The lowest string is short for its note, so that it will be slack."""
    tuned = _tuned(layout)
    if not tuned:
        return None
    string, pitch = min(tuned, key=lambda each: each[1].frequency_hz)
    reason = f"String {string.number} is short for {pitch.name} and will be slack and dull"
    return below("short-scale", reason, string.scale, round(_shortest_scale(pitch.frequency_hz), 0))


def long_scale(layout: Layout) -> Doubt | None:
    """The highest string is long for its note, so that it may break."""
    tuned = _tuned(layout)
    if not tuned:
        return None
    string, pitch = max(tuned, key=lambda each: each[0].scale * each[1].frequency_hz)
    longest = LARGEST_PITCH_LENGTH / pitch.frequency_hz * 1000.0
    if string.scale <= longest:
        return None
    return Doubt(
        name="long-scale",
        reason=f"String {string.number} is long for {pitch.name} and may break before it gets there, whatever its gauge",
        number=format_mm(string.scale),
        usual=f"at most {longest:.0f} mm",
    )


def action(layout: Layout) -> Doubt | None:
    """The strings lie low or high over fret 12."""
    setup = layout.spec.setup
    for side, given in (("first", setup.action), ("last", setup.action_bass)):
        if given:
            reason = f"The action of the {side} string at fret 12 is out of the ordinary"
            if doubt := outside("action", reason, given.value, 1.0, 5.0):
                return doubt
    return None


def relief(layout: Layout) -> Doubt | None:
    """The neck bows much."""
    given = layout.spec.setup.relief
    reason = "The relief is large, as if the neck had bowed"
    return outside("relief", reason, given.value, 0.0, 0.6) if given else None


def nut_height(layout: Layout) -> Doubt | None:
    """The strings lie high at the nut."""
    given = layout.spec.setup.nut_height
    reason = "The strings lie high at the nut, so that the first frets sound sharp"
    return outside("nut-height", reason, given.value, 0.0, 1.5) if given else None


def _nearest(layout: Layout) -> tuple[str, StringLine, float, float]:
    """Where an outer string's edge comes nearest to the board's: place, string, setback to its centre, half its gauge."""
    side = 1.0 if layout.nut.end.y > layout.nut.start.y else -1.0
    found: list[tuple[str, StringLine, float, float]] = []
    for string, edge, end, sign in (
        (layout.strings[-1], layout.bass_edge, layout.board_end.start, side),
        (layout.strings[0], layout.treble_edge, layout.board_end.end, -side),
    ):
        share = (end.x - edge.start.x) / (edge.end.x - edge.start.x)
        at_nut, at_saddle = (
            (getattr(string.line, place).y - getattr(edge, place).y) * sign for place in ("start", "end")
        )
        half = (string.gauge or 0.0) / 2.0
        found += [
            ("the nut", string, at_nut, half),
            ("the board's end", string, at_nut + (at_saddle - at_nut) * share, half),
        ]
    return min(found, key=lambda each: round(each[2] - each[3], 6))


def _nearest_first(each: tuple[float, StringLine, StringLine]) -> float:
    """A distance without its last bits, so that the first of equals comes first."""
    return round(each[0], 6)


def _at_nut(line: Line) -> float:
    return line.start.y


def _at_bridge(line: Line) -> float:
    return line.end.y


def _neighbours(
    layout: Layout, at: Callable[[Line], float]
) -> Iterator[tuple[float, StringLine, StringLine]]:
    """Neighbouring strings and how far their centres are from each other square across, mm."""
    for one, other in pairwise(layout.strings):
        yield abs(at(one.line) - at(other.line)), one, other


def _nut_width(
    name: str, word: str, layout: Layout, is_odd: Callable[[float, tuple[float, float]], bool]
) -> Doubt | None:
    courses, width = len(layout.spec.courses.value), layout.spec.nut_width.value
    usual = NUT_WIDTHS.get(courses)
    if usual is None or not is_odd(width, usual):
        return None
    what = "courses" if layout.spec.string_count.value > courses else "strings"
    return outside(name, f"The nut is {word} for {courses} {what}", width, *usual)


def _tuned(layout: Layout) -> list[tuple[StringLine, Pitch]]:
    """Strings with their notes; empty when no tuning is known."""
    spec = layout.spec
    if spec.tuning is None:
        return []
    where = f'design "{spec.design.name}", strings.tuning'
    return [
        (string, read_pitch(note, a4_hz=spec.pitch_standard.value, where=where))
        for string, note in zip(layout.strings, spec.tuning.value, strict=True)
    ]


def _shortest_scale(frequency_hz: float) -> float:
    """The shortest usual scale for a lowest note, mm, even steps of it to even musical steps; 0 above the table."""
    notes = SHORTEST_SCALES
    if frequency_hz <= notes[0][0]:
        return notes[0][1]
    for (low, longer), (high, shorter) in pairwise(notes):
        if frequency_hz <= high:
            return longer + (shorter - longer) * math.log(frequency_hz / low) / math.log(high / low)
    return 0.0

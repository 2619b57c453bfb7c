"""Doubts about frets and board. All usual figures are common practice."""

import math
from collections.abc import Iterator
from itertools import pairwise

from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.doubt import Doubt, below
from jiggen.layout.fan import x_at_centre
from jiggen.layout.model import FretLine, Layout
from jiggen.units import format_mm

#: mm; from a slot to the end of the board. Nearer, the wood breaks out when the fret is driven in.
TO_END = 2.0
#: mm; a bend that a saw's slot takes up.
BEND = 0.02
#: Degrees from square: where the hand can still follow frets and nut, and strings still press on the saddle.
STEEPEST_FRET, STEEPEST_SADDLE = 28.0, 35.0
#: mm; wood between two slots, so that it does not break out under the saw.
BETWEEN_SLOTS = 1.5
#: mm; from fret to fret, for a finger tip.
BETWEEN_FRETS = 6.0
#: mm; tighter, a bent string strikes the next frets.
TIGHTEST_RADIUS = 150.0
#: Radius at the end over that at the nut.
FLATTEST_COMPOUND = 2.0


def last_fret(layout: Layout) -> Doubt | None:
    """A fret stands past the board's end or too near it."""
    found = [
        (min(_inside(end, layout.board_end, layout.nut) for end in (fret.line.start, fret.line.end)), fret)
        for fret in layout.frets
    ]
    if not found:
        return None
    distance, fret = min(found, key=lambda each: each[0])
    reason = (
        f"Fret {fret.label} runs past the end of the board"
        if distance < 0.0
        else f"Fret {fret.label} stands so near the end of the board that the wood may break out"
    )
    return below("last-fret", reason, distance, TO_END)


def past_hole(layout: Layout) -> Doubt | None:
    """The last fret stands past the near edge of the sound hole."""
    hole = layout.spec.sound_hole
    if hole.width is None or hole.from_saddle is None or not layout.frets:
        return None
    along = hole.length or hole.width
    edge = x_at_centre(layout.saddle) - hole.from_saddle.value - along.value / 2.0
    last = layout.frets[-1]
    if last.distance <= edge:
        return None
    return Doubt(
        name="past-sound-hole",
        reason=f"Fret {last.label} stands past the edge of the sound hole",
        number=f"{last.distance - edge:.2f} mm",
        usual="before it",
    )


def bent_frets(layout: Layout) -> Doubt | None:
    """Frets of a fan would have to be bent; they are laid out straight and miss some strings."""
    worst = max(layout.frets, key=lambda fret: round(fret.bend, 6), default=None)
    if worst is None or worst.bend <= BEND:
        return None
    return Doubt(
        name="bent-frets",
        reason=f"Strings spread in other proportions at the bridge than at the nut would bend the frets, and the best "
        f"straight fret {worst.label} misses a string's right place",
        number=format_mm(worst.bend),
        usual=f"at most {BEND:g} mm",
        mend=f"To straighten them all: strings.positions-at-bridge = [{', '.join(_in_proportion(layout))}].",
    )


def steep_fan(layout: Layout) -> Doubt | None:
    """Frets, nut or saddle lie far from square."""
    frets = max(layout.frets, key=lambda fret: abs(fret.skew), default=None)
    slants = [
        ("The nut", _slant(layout.nut), STEEPEST_FRET),
        ("The saddle line", _slant(layout.saddle), STEEPEST_SADDLE),
    ]
    if frets is not None:
        slants.insert(0, (f"Fret {frets.label}", math.degrees(abs(frets.skew)), STEEPEST_FRET))
    for what, degrees, most in slants:
        if degrees > most:
            return Doubt(
                name="steep-fan",
                reason=f"{what} lies far from square across, which is hard on the hand and on the strings' bends",
                number=f"{degrees:.1f} deg",
                usual=f"at most {most:g} deg",
            )
    return None


def close_slots(layout: Layout) -> Doubt | None:
    """Slots lie so near each other that the wood between them breaks out."""
    saw = layout.spec.tools.saw_plate.value
    apart = [(distance - saw, one, other) for distance, one, other in _neighbours(layout)]
    if not apart:
        return None
    wood, one, other = min(apart, key=lambda each: each[0])
    reason = (
        f"Little wood is left between the slots of frets {one.label} and {other.label}, cut {saw:g} mm wide"
    )
    return below("close-slots", reason, wood, BETWEEN_SLOTS)


def close_frets(layout: Layout) -> Doubt | None:
    """Frets stand so near each other that a finger finds no room."""
    apart = [(other.from_previous, other) for _, _, other in _neighbours(layout)]
    if not apart:
        return None
    distance, fret = min(apart, key=lambda each: each[0])
    reason = f"A finger finds little room before fret {fret.label}"
    return below("close-frets", reason, distance, BETWEEN_FRETS)


def tight_radius(layout: Layout) -> Doubt | None:
    """The face is curved so much that bent strings choke."""
    if layout.radius is None:
        return None
    reason = "The board is curved so much that a string pushed aside strikes the frets beyond"
    return below("tight-radius", reason, min(layout.radius.at_nut, layout.radius.at_end), TIGHTEST_RADIUS)


def compound_radius(layout: Layout) -> Doubt | None:
    """A compound radius gets tighter toward the bridge, or flatter than strings can follow."""
    radius = layout.radius
    if radius is None or radius.at_nut <= radius.at_end <= FLATTEST_COMPOUND * radius.at_nut:
        return None
    tighter = radius.at_end < radius.at_nut
    return Doubt(
        name="compound-radius",
        reason=f"The board gets {'tighter' if tighter else 'much flatter'} toward its end",
        number=f"{format_mm(radius.at_nut)} at the nut and {format_mm(radius.at_end)} at the end",
        usual=f"as flat as at the nut, up to {FLATTEST_COMPOUND:g} times as flat",
    )


def _inside(place: Point, end: Line, nut: Line) -> float:
    """How far a place lies inside the board from the line of its end, mm; negative beyond."""
    along = (end.end - end.start).unit()
    side = 1.0 if along.cross(nut.start - end.start) > 0.0 else -1.0
    return along.cross(place - end.start) * side


def _in_proportion(layout: Layout) -> Iterator[str]:
    """String positions at the bridge that keep the proportions of the nut, as a design says them."""
    first, last = layout.strings[0].line, layout.strings[-1].line
    grows = (first.end.y - last.end.y) / (first.start.y - last.start.y)
    for string in layout.strings:
        yield f'"{abs(first.start.y - string.line.start.y) * grows:.2f}mm"'


def _slant(line: Line) -> float:
    """How far a line across the neck lies from square, degrees."""
    return math.degrees(math.atan2(abs(line.end.x - line.start.x), abs(line.end.y - line.start.y)))


def _neighbours(layout: Layout) -> Iterator[tuple[float, FretLine, FretLine]]:
    """Frets beside one another, and how near they come square to the first of them, mm."""
    for one, other in pairwise(layout.frets):
        along = (one.line.end - one.line.start).unit()
        yield (
            min(abs(along.cross(end - one.line.start)) for end in (other.line.start, other.line.end)),
            one,
            other,
        )

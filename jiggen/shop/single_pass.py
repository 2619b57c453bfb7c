"""Slots hardly wider than the beam: cut in one pass on their centre line, as wide as the kerf. Millimetres."""

from jiggen.geometry.path import Arc, Line, Path, segment
from jiggen.geometry.segment import length_of, point_on

#: Ends of a slot that differ by less than this, in mm, are alike.
_ALIKE = 1e-3


def centre_line(slot: Path, kerf_mm: float) -> Path | None:
    """Returns the line that the beam's centre follows to cut a slot from end to end; None if it has no such line.

    Args:
        slot: Closed: two straight sides of equal length, with straight or round ends.
        kerf_mm: The beam stops half of this before the slot's ends.
    """
    if len(slot) != 4:
        return None
    first, second = slot.segments[0::2], slot.segments[1::2]
    ends, sides = (
        (first, second) if sum(map(length_of, first)) < sum(map(length_of, second)) else (second, first)
    )
    chords = [end.start.distance(end.end) for end in ends]
    straight = all(isinstance(side, Line) for side in sides)
    alike = abs(length_of(sides[0]) - length_of(sides[1])) < _ALIKE and abs(chords[0] - chords[1]) < _ALIKE
    tips = [point_on(end, 0.5) for end in ends]
    length = tips[0].distance(tips[1])
    if not straight or not alike or length <= kerf_mm:
        return None
    trim = (tips[1] - tips[0]) * (kerf_mm / 2.0 / length)
    return segment(tips[0] + trim, tips[1] - trim)


def swept(line: Path, kerf_mm: float) -> Path:
    """Returns the slot that a beam leaves along a straight line: with round ends, as wide as the kerf."""
    aside = (line.end - line.start).unit().left() * (kerf_mm / 2.0)
    low, high = (line.start - aside, line.end - aside), (line.end + aside, line.start + aside)
    return Path(
        (Line(*low), Arc(low[1], high[0], 1.0), Line(*high), Arc(high[1], low[0], 1.0)),
        closed=True,
    )

"""How glyphs are written down, and read into lines and arcs.

A stroke is a row of points in font units, where the pen goes without being lifted:

    x,y        straight to (x, y); the first one is where the pen goes down
    ~x,y       by the arc that leaves smoothly from what went before
    x,y~       by the arc that runs smoothly into what comes after
    x,y<turn   by the arc that turns left by `turn` degrees
    x,y>turn   by the arc that turns right by `turn` degrees

Smoothness is thus written, not computed by hand, and a bowl cannot have a kink where its arc meets its stem.
A stroke that ends where it started is closed.
"""

import math
import re
from dataclasses import dataclass

from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point

#: A glyph as it is written in the tables: its width in font units, then its strokes in the notation above.
Drawing = tuple[int, *tuple[str, ...]]

_STEP = re.compile(r"(~?)(-?[\d.]+),(-?[\d.]+)(?:(~)|([<>])([\d.]+))?")


@dataclass(frozen=True, slots=True)
class _Step:
    """One point of a stroke and how the pen gets there; `bulge` is 0 for a line, None until it is known."""

    end: Point
    leaves_smoothly: bool
    arrives_smoothly: bool
    bulge: float | None


def stroke(text: str) -> Path:
    """Returns the path of one stroke.

    Args:
        text: In the notation above.

    Returns:
        A path in font units.

    Raises:
        ValueError: If the notation is broken: a mistake in a table of glyphs, found by the tests.
    """
    steps = [_step(word) for word in text.split()]
    ends = [step.end for step in steps]
    bulges = {at: step.bulge for at, step in enumerate(steps) if at > 0 and step.bulge is not None}
    for at in range(1, len(steps)):
        if steps[at].leaves_smoothly:
            bulges[at] = _half_turn_tangent(
                _heading(ends, bulges, at - 1, at_end=True), ends[at] - ends[at - 1]
            )
    for at in reversed(range(1, len(steps))):
        if steps[at].arrives_smoothly:
            chord = ends[at] - ends[at - 1]
            bulges[at] = -_half_turn_tangent(_heading(ends, bulges, at + 1, at_end=False), chord)
    segments = tuple(_segment(ends[at - 1], ends[at], bulges[at]) for at in range(1, len(ends)))
    return Path(segments, closed=len(segments) > 1 and ends[0] == ends[-1])


def _segment(start: Point, end: Point, bulge: float) -> Segment:
    return Arc(start, end, bulge) if bulge else Line(start, end)


def dot(x: int, y: int) -> str:
    """Returns the stroke of a dot: upright, and so short that the pen's width makes it round."""
    return f"{x},{y + 3} {x},{y - 3}"


def _step(word: str) -> _Step:
    match = _STEP.fullmatch(word)
    if match is None:
        raise ValueError(f"not a step of a stroke: {word!r}")
    leaves, x, y, arrives, side, turn = match.groups()
    bulge: float | None = None if leaves or arrives else 0.0
    if turn is not None:
        size = 1.0 if float(turn) == 180.0 else math.tan(math.radians(float(turn)) / 4.0)
        bulge = size if side == "<" else -size
    return _Step(Point(float(x), float(y)), bool(leaves), bool(arrives), bulge)


def _heading(ends: list[Point], bulges: dict[int, float], at: int, *, at_end: bool) -> Point:
    """The unit direction of the pen on the way to point `at`, when it sets out or when it gets there."""
    if at not in bulges:
        raise ValueError(f"nothing to be smooth with beside {ends[min(at, len(ends) - 1)]}")
    bulge = bulges[at]
    chord = (ends[at] - ends[at - 1]).unit()
    # An arc heads off its chord by half its sweep, whose tangent is 2 bulge / (1 - bulge²).
    cosine, sine = (1.0 - bulge**2) / (1.0 + bulge**2), 2.0 * bulge / (1.0 + bulge**2)
    return chord * cosine + chord.left() * (sine if at_end else -sine)


def _half_turn_tangent(heading: Point, chord: Point) -> float:
    """The bulge of the arc over a chord that sets out in the unit direction `heading`.

    Its sweep is twice the angle from heading to chord, so the bulge is the tangent of half that angle.
    """
    return heading.cross(chord) / (chord.length() + heading.dot(chord))

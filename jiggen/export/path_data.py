"""Paths as SVG path data, for drawings and for the manifest."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import assert_never

from jiggen.export.numbers import DECIMALS, is_written_straight, number
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point, polar

#: Longest arc written in one piece, radians. SVG finds the centre again from ends and radius, and near a half
#: turn a last decimal lost in these moves it by hundredths of a millimetre; up to 120 degrees by no more than
#: the last decimal itself. It also settles the large-arc flag, which is then always 0.
LONGEST_ARC = math.radians(120.0)


def path_data(paths: Iterable[Path], *, flip_at: float | None = None, decimals: int = DECIMALS) -> str:
    """Returns all paths as the value of one `d` attribute.

    Args:
        paths: Open ones stay open, closed ones end in `Z`.
        flip_at: The y that becomes zero while y turns to point down, as in SVG; None leaves y pointing up.
        decimals: Of every number.

    Source:
        SVG 1.1 (2011), section 8.3: in numbers, sweep flag 1 turns from +x toward +y.
    """

    def at(point: Point) -> str:
        y = point.y if flip_at is None else flip_at - point.y
        return f"{number(point.x, decimals)} {number(y, decimals)}"

    words: list[str] = []
    for path in paths:
        words.append(f"M {at(path.start)}")
        last = len(path) - 1
        for index, piece in enumerate(path):
            match piece:
                case Line():
                    if not (path.closed and index == last):  # Z draws that one
                        words.append(f"L {at(piece.end)}")
                case Arc() if is_written_straight(piece):
                    words.append(f"L {at(piece.end)}")
                case Arc():
                    radius = number(piece.radius, decimals)
                    sweep = 1 if (piece.bulge > 0.0) == (flip_at is None) else 0
                    words.extend(f"A {radius} {radius} 0 0 {sweep} {at(end)}" for end in _arc_ends(piece))
                case _:
                    assert_never(piece)
        if path.closed:
            words.append("Z")
    return " ".join(words)


def _arc_ends(arc: Arc) -> Iterator[Point]:
    """Yields the end of each piece of the arc, no piece longer than `LONGEST_ARC`."""
    pieces = math.ceil(abs(arc.sweep) / LONGEST_ARC - 1e-9)
    if pieces > 1:
        centre, radius = arc.centre, arc.radius
        start_angle = (arc.start - centre).angle()
        for index in range(1, pieces):
            yield centre + polar(radius, start_angle + arc.sweep * index / pieces)
    yield arc.end


@dataclass(frozen=True, slots=True)
class Steps:
    """A run of pen strokes as relative path data, for lettering, of which the same signs stand in many places.

    Attributes:
        start: Where the first stroke starts, y pointing down.
        text: How it goes on from there.
        end: Where it ends, from its start, rounded as the text is.
    """

    start: tuple[float, float]
    text: str
    end: tuple[float, float]


def steps(paths: Sequence[Path], *, decimals: int) -> Steps:
    """Returns strokes as steps from point to point.

    Steps lie between places rounded as seen from the start, so that what is lost does not add up.

    Args:
        paths: One or more, y pointing up.
        decimals: Of every number.
    """
    origin = paths[0].start
    here = (0.0, 0.0)
    text: list[str] = []

    def step_to(point: Point) -> str:
        nonlocal here
        there = (round(point.x - origin.x, decimals), round(origin.y - point.y, decimals))
        step = relative_step(here, there, decimals)
        here = there
        return step

    for path in paths:
        if path is not paths[0]:
            text.append(f"m{step_to(path.start)}")
        begun = here
        for piece in path.segments[:-1] if path.closed and isinstance(path.segments[-1], Line) else path:
            match piece:
                case Arc() if not is_written_straight(piece):
                    radius = _short(piece.radius, decimals)
                    turn = 0 if piece.bulge > 0.0 else 1
                    text += (
                        f"a{_run(radius, radius)}{_after_flag(f' 0 0 {turn}', step_to(end))}"
                        for end in _arc_ends(piece)
                    )
                case Line() | Arc():
                    text.append(_line(step_to(piece.end)))
                case _:
                    assert_never(piece)
        if path.closed:
            text.append("z")
            here = begun
    return Steps((origin.x, -origin.y), "".join(text), here)


def relative_step(here: tuple[float, float], there: tuple[float, float], decimals: int) -> str:
    """Returns the two numbers that lead from one place to another, as short as path data allows."""
    return _run(*(_short(b - a, decimals) for a, b in zip(here, there, strict=True)))


def _run(one: str, other: str) -> str:
    """Returns two numbers with nothing between them where a sign or a second point parts them."""
    parted = other.startswith("-") or ("." in one and other.startswith("."))
    return f"{one}{'' if parted else ' '}{other}"


def _line(step: str) -> str:
    if step.startswith("0"):
        return f"v{step[1:].strip()}"
    return f"h{step.removesuffix(' 0')}" if step.endswith(" 0") else f"l{step}"


def _after_flag(flags: str, step: str) -> str:
    return f"{flags}{'' if step.startswith('-') else ' '}{step}"


def _short(value: float, decimals: int) -> str:
    """Returns a number without the nought before its point."""
    text = number(value, decimals)
    return text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) else text

"""Paths as SVG path data, for drawings and for the manifest."""

import math
from collections.abc import Iterable, Iterator
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


def relative_path_data(path: Path, *, decimals: int) -> str:
    """Returns how a path goes on from its start, in steps from point to point, y pointing down.

    Steps lie between places rounded as seen from the start, so that what they lose does not add up.

    Args:
        path: y pointing up.
        decimals: Of every number.
    """
    words: list[str] = []
    x, y = 0.0, 0.0
    last = len(path) - 1
    for index, piece in enumerate(path):
        if path.closed and index == last and isinstance(piece, Line):
            break  # z draws that one
        straight = not isinstance(piece, Arc) or is_written_straight(piece)
        for end in [piece.end] if isinstance(piece, Line) else _arc_ends(piece):
            to_x = round(end.x - path.start.x, decimals)
            to_y = round(path.start.y - end.y, decimals)
            step = f"{number(to_x - x, decimals)} {number(to_y - y, decimals)}".replace(" -", "-")
            x, y = to_x, to_y
            if isinstance(piece, Line) or straight:
                words.append(f"l{step}")
            else:
                radius = number(piece.radius, decimals)
                words.append(f"a{radius} {radius} 0 0 {0 if piece.bulge > 0.0 else 1} {step}")
    if path.closed:
        words.append("z")
    return "".join(words).replace(" 0.", " .").replace("-0.", "-.").replace("l0.", "l.").replace("a0.", "a.")

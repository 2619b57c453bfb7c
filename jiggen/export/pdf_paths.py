"""Paths as PDF operators. Coordinates in mm: pages set their unit to a millimetre first.

Source: ISO 32000-1:2008, section 8.5.2 for the operators.
"""

import math
from collections.abc import Iterable, Iterator
from typing import assert_never

from jiggen.export.numbers import DECIMALS, is_written_straight, number
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point, polar

#: One millimetre in PDF's own unit, 1/72 in (ISO 32000-1, 8.3.2.3).
POINTS_PER_MM = 72.0 / 25.4
#: How far a Bézier curve may leave the arc that it stands for, mm.
BEZIER_ERROR = 2e-5


def path_operators(paths: Iterable[Path], decimals: int = DECIMALS) -> str:
    """Returns the operators that construct paths; closed ones end in `h`."""

    def at(point: Point) -> str:
        return f"{number(point.x, decimals)} {number(point.y, decimals)}"

    words: list[str] = []
    for path in paths:
        words.append(f"{at(path.start)} m")
        last = len(path) - 1
        for index, piece in enumerate(path):
            match piece:
                case Arc() if not is_written_straight(piece):
                    words += [
                        f"{' '.join([number(each, decimals) for each in curve])} c"
                        for curve in _beziers(piece)
                    ]
                case Line() | Arc():
                    if not (path.closed and index == last):  # h draws that one
                        words.append(f"{at(piece.end)} l")
                case _:
                    assert_never(piece)
        if path.closed:
            words.append("h")
    return "\n".join(words)


def _beziers(arc: Arc) -> Iterator[tuple[float, ...]]:
    """Yields x and y of the two control points and of the end of each cubic curve, none longer than the error allows.

    Source: with handles of 4/3 tan(θ/4) r a cubic leaves an arc of angle θ by at most about
    2/27 sin⁶(θ/4) / cos²(θ/4) of the radius (from memory; measured in the tests).
    """
    centre, radius = arc.centre, arc.radius
    widest = 4.0 * math.asin(min((13.5 * BEZIER_ERROR / radius) ** (1.0 / 6.0), math.sin(math.pi / 8.0)))
    count = math.ceil(abs(arc.sweep) / widest - 1e-9)
    step = arc.sweep / count
    handle = 4.0 / 3.0 * math.tan(step / 4.0)
    angle, x, y = (arc.start - centre).angle(), arc.start.x, arc.start.y
    for index in range(1, count + 1):
        end = arc.end if index == count else centre + polar(radius, angle + step * index)
        yield (
            x - (y - centre.y) * handle,
            y + (x - centre.x) * handle,
            end.x + (end.y - centre.y) * handle,
            end.y - (end.x - centre.x) * handle,
            end.x,
            end.y,
        )
        x, y = end.x, end.y

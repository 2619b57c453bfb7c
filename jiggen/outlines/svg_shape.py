"""Shapes of SVG as curves: paths, and what the other elements draw. In user units, y down, as in the file.

Path data and transforms are read by svgelements, once it is clear that nothing in them would be passed over in silence.
Source: W3C SVG 2, chapters 8.5 (transforms), 9 (paths) and 10 (shapes).
"""

import itertools
import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from jiggen.errors import InputError, quoted
from jiggen.geometry.affine import Affine, as_arcs, with_ends
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.path import COINCIDENT, Line
from jiggen.geometry.point import Point
from jiggen.outlines.drawn import MOST_PIECES, Piece
from jiggen.units import MM_PER_INCH

SHAPES = ("path", "circle", "line", "polyline", "polygon", "rect", "ellipse")
#: Characters of path data or points in one file.
MOST_CHARACTERS = 1_500_000
#: Numbers in one path: as many as so many elliptical arcs have.
MOST_NUMBERS = 7 * MOST_PIECES
#: Takes as much as it can and gives nothing back, as the standard wants it; so no text takes long to refuse.
_NUMBER = r"[-+]?+(?:\d++(?:\.\d*+)?+|\.\d++)(?:[eE][-+]?+\d++)?+"
_PATH_DATA = re.compile(rf"(?:[\sMmLlHhVvCcSsQqTtAaZz,]|{_NUMBER})*+", re.ASCII)
_POINTS = re.compile(rf"(?:[\s,]|{_NUMBER})*+", re.ASCII)
_ONE = re.compile(rf"\s*+(\w++)\s*+\(\s*+((?:{_NUMBER}[\s,]*+)++)\)\s*+,?+", re.ASCII)
_ARGUMENTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewX": (1,),
    "skewY": (1,),
}
#: User units in one of each unit. Source: CSS Values 4, 6.2; exact, which the table of svgelements is not.
UNITS_PX = {
    "": 1.0,
    "px": 1.0,
    "in": 96.0,
    "pt": 96.0 / 72.0,
    "pc": 16.0,
    "mm": 96.0 / MM_PER_INCH,
    "cm": 960.0 / MM_PER_INCH,
    "q": 24.0 / MM_PER_INCH,
}
_LENGTH = re.compile(rf"\s*({_NUMBER})\s*({'|'.join(UNITS_PX)}|%)\s*", re.ASCII | re.IGNORECASE)
#: Coordinates farther out than this, in user units, are none of a drawing.
_FARTHEST = 1e9
_EXPECTED = "numbers that a drawing could have"


class Sub(NamedTuple):
    """A part of a shape that is drawn in one go."""

    pieces: list[Piece]
    closed: bool


class View(NamedTuple):
    """Size of what shares of a length are of, in user units."""

    width: float
    height: float


def read_transform(text: str, *, where: str) -> Affine:
    """Returns the map that a `transform` attribute stands for.

    Raises:
        InputError: If it is none, or one that leaves no area.
    """
    from svgelements import Matrix

    end, found = 0, list(_ONE.finditer(text)) if len(text) <= 10_000 else []
    for each in found:
        count = len(re.findall(_NUMBER, each[2]))
        if text[end : each.start()].strip() or count not in _ARGUMENTS.get(each[1], ()):
            break
        end = each.end()
    if text[end:].strip():
        raise InputError(where=where, got=f"transform {quoted(text)}", expected="functions such as scale(2)")
    matrix = Matrix(text) if found else Matrix()
    return Affine(matrix.a, matrix.b, matrix.c, matrix.d, matrix.e, matrix.f)


def read_length(text: str, whole: float, *, where: str) -> float:
    """Returns a length in user units.

    Args:
        text: As it stands in the file.
        whole: What a share in percent is of.
        where: Its place, for errors.

    Raises:
        InputError: If it is none.
    """
    found = _LENGTH.fullmatch(text) if len(text) <= 100 else None
    if found is None:
        raise InputError(where=where, got=quoted(text), expected="a length such as 12 or 12mm")
    if found[2] == "%":
        return float(found[1]) / 100.0 * whole
    return float(found[1]) * UNITS_PX[found[2].lower()]


def draw_shape(kind: str, attributes: Mapping[str, str], view: View, *, where: str) -> list[Sub]:
    """Returns what a shape draws, without parts that have no length.

    Args:
        kind: One of `SHAPES`.
        attributes: Of the element.
        view: What shares in percent are of.
        where: Its place, for errors.

    Raises:
        InputError: If anything in it cannot be read, or lies out of all bounds.
    """
    try:
        subs = [Sub(_meeting(sub.pieces), sub.closed) for sub in _draw(kind, attributes, view, where)]
    except (
        ValueError,
        ArithmeticError,
    ):  # lines and curves need finite numbers, not too small to be told apart
        raise InputError(
            where=where, got=f"numbers in {kind} that draw nothing", expected=_EXPECTED
        ) from None
    for sub in subs:
        for piece in sub.pieces:
            for place in (piece.start, piece.end):
                if not (abs(place.x) <= _FARTHEST and abs(place.y) <= _FARTHEST):
                    got = f"the place ({place.x:g}, {place.y:g}) in {kind}"
                    raise InputError(where=where, got=got, expected=_EXPECTED)
    return subs


def _draw(kind: str, attributes: Mapping[str, str], view: View, where: str) -> list[Sub]:
    diagonal = math.hypot(view.width, view.height) / math.sqrt(2.0)

    def length(name: str, whole: float) -> float:
        return read_length(attributes.get(name, "0") or "0", whole, where=f"{where}, {name}")

    def number(name: str) -> float:
        whole = view.width if name in _ALONG else view.height if name in _ACROSS else diagonal
        return length(name, whole)

    match kind:
        case "path":
            return _path(attributes.get("d", ""), where)
        case "line":
            start, end = Point(number("x1"), number("y1")), Point(number("x2"), number("y2"))
            return [Sub([Line(start, end)], closed=False)] if start != end else []
        case "polyline" | "polygon":
            return _polyline(attributes.get("points", ""), where, closed=kind == "polygon")
        case "circle" | "ellipse":
            wide = number("r") if kind == "circle" else number("rx")
            high = wide if kind == "circle" else number("ry")
            return _ellipse(Point(number("cx"), number("cy")), wide, high)
        case _:
            radii = [number(name) if name in attributes else None for name in ("rx", "ry")]
            return _rect(Point(number("x"), number("y")), number("width"), number("height"), radii)


_ALONG = frozenset({"x", "x1", "x2", "cx", "rx", "width"})
_ACROSS = frozenset({"y", "y1", "y2", "cy", "ry", "height"})


def _polyline(text: str, where: str, *, closed: bool) -> list[Sub]:
    if not _POINTS.fullmatch(text):
        raise InputError(where=where, got=f"points {quoted(text)}", expected="pairs of numbers")
    numbers = [float(each) for each in re.findall(_NUMBER, text)]
    if len(numbers) % 2:
        raise InputError(where=where, got=f"{len(numbers)} numbers in points", expected="pairs of numbers")
    places = [Point(x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    apart = [place for index, place in enumerate(places) if index == 0 or place != places[index - 1]]
    pieces: list[Piece] = [Line(one, other) for one, other in itertools.pairwise(apart)]
    return [Sub(pieces, closed=closed)] if pieces else []


def _ellipse(centre: Point, wide: float, high: float) -> list[Sub]:
    if not (wide > 0.0 and high > 0.0 and math.isfinite(wide + high + centre.x + centre.y)):
        return []
    whole = EllipseArc(centre=centre, major=Point(wide, 0.0), minor=Point(0.0, high))
    return [Sub([*(as_arcs(whole) or (whole,))], closed=True)]


def _rect(corner: Point, width: float, height: float, radii: Sequence[float | None]) -> list[Sub]:
    if not (width > 0.0 and height > 0.0):
        return []
    along, across = radii
    along = along if along is not None else across or 0.0
    across = across if across is not None else along
    along, across = min(along, width / 2.0), min(across, height / 2.0)
    if not (along > 0.0 and across > 0.0):
        along = across = 0.0
    pieces: list[Piece] = []
    centres = (
        (corner + Point(width - along, across), -math.pi / 2.0),
        (corner + Point(width - along, height - across), 0.0),
        (corner + Point(along, height - across), math.pi / 2.0),
        (corner + Point(along, across), math.pi),
    )
    turns = [
        EllipseArc(
            centre=centre,
            major=Point(along, 0.0),
            minor=Point(0.0, across),
            start_rad=angle,
            sweep_rad=math.pi / 2.0,
        )
        for centre, angle in centres
        if along > 0.0
    ]
    if not turns:
        ends = [
            corner,
            corner + Point(width, 0.0),
            corner + Point(width, height),
            corner + Point(0.0, height),
        ]
        return [Sub([Line(ends[index], ends[(index + 1) % 4]) for index in range(4)], closed=True)]
    for index, turn in enumerate(turns):
        following = turns[(index + 1) % 4]
        pieces += as_arcs(turn) or (turn,)
        if turn.end.distance(following.start) > COINCIDENT:
            pieces.append(Line(turn.end, following.start))
    return [Sub(pieces, closed=True)]


def _path(data: str, where: str) -> list[Sub]:
    """Returns what path data draw."""
    from svgelements import Path

    if not data.strip() or data.strip() == "none":
        return []
    fault = _PATH_DATA.match(data)
    if fault is None or fault.end() != len(data) or data.lstrip()[:1] not in {"M", "m"}:
        at = fault.end() if fault and fault.end() != len(data) else 0
        raise InputError(
            where=where,
            got=f"path data {quoted(data[at:])}",
            expected="path data: letters and finite numbers, M first",
        )
    count = sum(1 for _ in re.finditer(_NUMBER, data, re.ASCII))
    if count > MOST_NUMBERS:
        got = f"path data of {count} numbers, for more than {MOST_PIECES} lines and curves"
        raise InputError(where=where, got=got, expected="an outline, which takes some hundred")
    try:
        segments = list(Path(data))
    except (ValueError, IndexError, TypeError, ZeroDivisionError, OverflowError):
        raise InputError(
            where=where,
            got=f"path data {quoted(data)}",
            expected="as many numbers after each letter as it needs",
        ) from None
    subs: list[Sub] = []
    here: list[Piece] = []
    for segment in segments:
        name = type(segment).__name__
        if name == "Move":
            if here:
                subs.append(Sub(here, closed=False))
            here = []
            continue
        if name == "Close":
            end = _point(segment.end) if segment.end is not None else None
            if here and end is not None and here[-1].end.distance(end) > 0.0:
                here.append(Line(here[-1].end, end))
            if here:
                subs.append(Sub(here, closed=True))
            here = []
            continue
        here += _segment(name, segment)
    if here:
        subs.append(Sub(here, closed=False))
    return subs


def _segment(name: str, segment: Any) -> list[Piece]:
    start, end = _point(segment.start), _point(segment.end)
    match name:
        case "Line":
            return [Line(start, end)] if start != end else []
        case "QuadraticBezier":
            return [QuadraticBezier(start, _point(segment.control), end)]
        case "CubicBezier":
            return [CubicBezier(start, _point(segment.control1), _point(segment.control2), end)]
        case _:
            return _arc(segment, start, end)


def _arc(segment: Any, start: Point, end: Point) -> list[Piece]:
    """Returns an elliptical arc with its ends where the path says; a line where it has no radius."""
    centre = _point(segment.center)
    major, minor = _point(segment.prx) - centre, _point(segment.pry) - centre
    sweep = float(segment.sweep)
    if start == end:
        return []
    if major.cross(minor) == 0.0 or sweep == 0.0:
        return [Line(start, end)]
    curve = EllipseArc(
        centre=centre,
        major=major,
        minor=minor,
        start_rad=float(segment.get_start_t()),
        sweep_rad=max(min(sweep, 2.0 * math.pi), -2.0 * math.pi),
    )
    arcs = as_arcs(curve)
    if not arcs:
        return [with_ends(curve, start, end)]
    if len(arcs) == 1:
        return [with_ends(arcs[0], start, end)]
    middle = arcs[0].end
    return [with_ends(arcs[0], start, middle), with_ends(arcs[1], middle, end)]


def _point(place: Any) -> Point:
    return Point(float(place.x), float(place.y))


def _meeting(pieces: Sequence[Piece]) -> list[Piece]:
    """Returns pieces with each starting at the very floats where the one before it ended, where rounding kept them apart."""
    found: list[Piece] = []
    for piece in pieces:
        if found and found[-1].end != piece.start and piece.end != found[-1].end:
            found.append(with_ends(piece, found[-1].end, piece.end))
        else:
            found.append(piece)
    return found

"""One half of a body from its numbers: lines, arcs and curves from neck end to tail. Millimetres from the neck end.

The simplest form that keeps every width exactly as given: a quarter oval from the neck end to the upper bout, a curve
of two arcs to the waist and one to the lower bout, and a quarter oval to the tail. Without upper bout and waist it is
a pear, one arc from the board's edge to the lower bout. Where the design asks for it the arcs follow a curve whose bend
changes gradually (`body_curve`); a cutaway (`cutaway`) takes the place of the first piece.
"""

import math
from collections.abc import Sequence

from jiggen.design.given import Given, known
from jiggen.design.instrument import Body, Smoothness
from jiggen.errors import LimitError
from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.path import Arc, Line, Path, Segment, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.geometry.two_arcs import fullness_of, quarter_oval, s_curve
from jiggen.layout.body_curve import bend_at, smooth_figure, smooth_pear
from jiggen.layout.cutaway import Piece, cutaway_half
from jiggen.units import format_mm

#: How full the quarter ovals are, as `quarter_oval` has it (common practice).
_FULLNESS = 0.8
#: How far the arcs may lie off a curve that they stand for, mm.
TOLERANCE = 0.01


def half_pieces(
    body: Body, length: float, places: Sequence[Point], *, board: float, is_cut: bool
) -> tuple[Piece, ...]:
    """Returns what a half follows, on the side of positive y.

    Args:
        body: Whose radii, cutaway and way of bending apply.
        length: Of it.
        places: Where it is widest and narrowest: upper bout, waist and lower bout, or the last alone for a pear.
        board: Half the width of the board where the body begins.
        is_cut: Whether this half has the cutaway.

    Raises:
        LimitError: If the numbers make no body.
    """
    if len(places) == 1:
        return _pear(body, length, places[0], board)
    return _figure(body, length, places, board=board, is_cut=is_cut)


def fitted(pieces: Sequence[Piece], places: Sequence[Point]) -> Path:
    """Returns arcs along curves, run by run, so that they pass through `places` exactly and along the centre line."""
    runs: list[list[Piece]] = [[]]
    for piece in pieces:
        runs[-1].append(piece)
        if piece.end in places:
            runs.append([])
    return Path(tuple(segment for run in runs if run for segment in _followed(run)))


def _figure(
    body: Body, length: float, places: Sequence[Point], *, board: float, is_cut: bool
) -> tuple[Piece, ...]:
    upper, waist, lower = places
    gradual = known(body.smooth) is Smoothness.CURVATURE
    neck_radius, tail_radius = _value(body.neck_end_radius), _value(body.tail_radius)
    if gradual:
        pieces: tuple[Piece, ...] = smooth_figure(
            length, places, neck_radius=None if is_cut else neck_radius, tail_radius=tail_radius
        )
        if is_cut:
            bend = bend_at(length, places, 0)
            pieces = (*cutaway_half(body, board=board, bout=upper, bend=bend), *pieces[1:])
        return pieces
    tail = _tail(length, lower, _fullness(length - lower.x, lower.y, tail_radius, "body.tail-radius"))
    if is_cut:
        neck_end = cutaway_half(body, board=board, bout=upper)
        radius = math.inf
    else:
        fullness = _fullness(upper.x, upper.y, neck_radius, "body.neck-end-radius")
        oval = quarter_oval(upper.x, upper.y, fullness).segments
        neck_end, radius = oval, _radius(oval[-1])
    try:
        to_waist = s_curve(upper, waist, radius)
        # walked from the lower bout, so that its arc carries on that of the tail
        from_waist = _MIRRORED.path(s_curve(_flipped(lower), _flipped(waist), _radius(tail.segments[0])))
    except LimitError as error:
        raise error.at("body, from bout to waist") from error
    return (*neck_end, *to_waist.segments, *reverse(from_waist).segments, *tail.segments)


def _pear(body: Body, length: float, widest: Point, board: float) -> tuple[Piece, ...]:
    """One arc from the board's edge at the neck end to the lower bout, where it runs along the centre line."""
    corner = Point(0.0, board)
    run, rise = widest.x, widest.y - corner.y
    if not 0.0 < rise < run:
        raise LimitError(
            where="body",
            got=f"a pear {format_mm(2.0 * board)} wide at its neck end and {format_mm(2.0 * widest.y)} at {format_mm(widest.x)}",
            expected="one that widens by less on each side than it is far",
        )
    tail_radius = _value(body.tail_radius)
    if known(body.smooth) is Smoothness.CURVATURE:
        curves = smooth_pear(length, corner, widest, tail_radius=tail_radius)
        return (Line(Point(0.0, 0.0), corner), *curves)
    # tan(sweep / 4) of an arc whose chord leans by half its sweep
    half = rise / run  # tan(sweep / 2)
    bulge = -half / (1.0 + (1.0 + half**2) ** 0.5)
    fullness = _fullness(length - widest.x, widest.y, tail_radius, "body.tail-radius")
    tail = _tail(length, widest, fullness)
    return (Line(Point(0.0, 0.0), corner), Arc(corner, widest, bulge), *tail.segments)


def _followed(run: Sequence[Piece]) -> tuple[Segment, ...]:
    """Lines and arcs as they are, where there is nothing else; fitted ones where there is a curve among them."""
    segments = tuple(piece for piece in run if not isinstance(piece, CubicBezier))
    if len(segments) == len(run):
        return segments
    # Late, since the fit takes numpy, whose import takes longer than any layout without such curves.
    from jiggen.geometry.fit import fit_curves

    return fit_curves(run, TOLERANCE, closed=False).path.segments


def _value(given: Given[float] | None) -> float | None:
    return given.value if given else None


def _fullness(along: float, across: float, radius: float | None, where: str) -> float:
    """How full an end is that has a radius on the centre line; as usual where none is given."""
    if radius is None:
        return _FULLNESS
    try:
        return fullness_of(along, across, radius)
    except LimitError as error:
        raise error.at(where) from error


#: From the other end: x is negated.
_MIRRORED = Similarity(cosine=-1.0, mirrored=True)


def _flipped(point: Point) -> Point:
    return Point(-point.x, point.y)


def _radius(piece: Segment) -> float:
    if not isinstance(piece, Arc):
        raise TypeError("an oval is made of arcs")
    return piece.radius


def _tail(length: float, lower: Point, fullness: float) -> Path:
    """From the lower bout to the tail: a quarter oval from the other end."""
    oval = quarter_oval(length - lower.x, lower.y, fullness)
    place = Similarity(cosine=-1.0, mirrored=True, shift=Point(length, 0.0))
    turned = reverse(place.path(oval))
    first, *rest = turned.segments
    return Path((_starting(first, lower), *rest))


def _starting(piece: Segment, start: Point) -> Segment:
    """The same piece from the very point where the one before it ends, a rounding away."""
    return Arc(start, piece.end, piece.bulge) if isinstance(piece, Arc) else Line(start, piece.end)

"""Maps of curves: placed, stretched, sheared, led to other ends, walked the other way. Millimetres and radians."""

import math
from dataclasses import dataclass, replace
from typing import assert_never

from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import CubicBezier, EllipseArc, QuadraticBezier
from jiggen.geometry.path import LARGEST_SWEEP, Arc, Line, Segment, reverse_segment
from jiggen.geometry.point import Point
from jiggen.geometry.trace import Curve

#: An ellipse whose half axes differ by less than this share is a circle: under 0.0001 mm at a radius of a metre.
ROUND = 1e-7


@dataclass(frozen=True, slots=True)
class Affine:
    """x goes to a x + c y + e, y goes to b x + d y + f.

    Source: W3C SVG 2, chapter 8.5: the order of `matrix(a b c d e f)`.
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @property
    def determinant(self) -> float:
        """By how much areas grow; negative when it mirrors."""
        return self.a * self.d - self.b * self.c

    def is_sound(self) -> bool:
        """Tells whether it is finite and can be undone."""
        return math.isfinite(self.a + self.b + self.c + self.d + self.e + self.f) and (
            abs(self.determinant) > 1e-12 * (abs(self.a) + abs(self.c)) * (abs(self.b) + abs(self.d)) > 0.0
        )

    def keeps_circles(self) -> bool:
        """Tells whether circles stay round."""
        along, across = math.hypot(self.a, self.b), math.hypot(self.c, self.d)
        leaning = abs(self.a * self.c + self.b * self.d)
        return abs(along - across) <= ROUND * along and leaning <= ROUND * along * across

    def after(self, inner: "Affine") -> "Affine":
        """Returns the map that does `inner` first and this one second."""
        shift = self.point(Point(inner.e, inner.f))
        along, across = self.vector(Point(inner.a, inner.b)), self.vector(Point(inner.c, inner.d))
        return Affine(along.x, along.y, across.x, across.y, shift.x, shift.y)

    def vector(self, vector: Point) -> Point:
        """Returns where a displacement goes."""
        return Point(self.a * vector.x + self.c * vector.y, self.b * vector.x + self.d * vector.y)

    def point(self, point: Point) -> Point:
        """Returns where a point goes."""
        return Point(
            self.a * point.x + self.c * point.y + self.e, self.b * point.x + self.d * point.y + self.f
        )

    def curve(self, curve: Curve | Segment) -> tuple[Curve | Segment, ...]:
        """Returns where a curve goes, in order: one, or two arcs for more of a circle than one may have.

        What is a part of a circle afterwards is an arc, whatever it was before.
        """
        match curve:
            case Line():
                return (Line(self.point(curve.start), self.point(curve.end)),)
            case Arc() if self.keeps_circles():
                bulge = math.copysign(curve.bulge, curve.bulge * self.determinant)
                return (Arc(self.point(curve.start), self.point(curve.end), bulge),)
            case Arc():
                out = curve.start - curve.centre
                around = EllipseArc(centre=curve.centre, major=out, minor=out.left(), sweep_rad=curve.sweep)
                return self._ellipse(around)
            case QuadraticBezier():
                return (QuadraticBezier(*map(self.point, curve.controls)),)
            case CubicBezier():
                return (CubicBezier(*map(self.point, curve.controls)),)
            case BSpline():
                return (replace(curve, controls=tuple(map(self.point, curve.controls))),)
            case EllipseArc():
                return self._ellipse(curve)
            case _:
                assert_never(curve)

    def _ellipse(self, curve: EllipseArc) -> tuple[Curve | Segment, ...]:
        moved = replace(
            curve,
            centre=self.point(curve.centre),
            major=self.vector(curve.major),
            minor=self.vector(curve.minor),
        )
        return as_arcs(moved) or (moved,)


IDENTITY = Affine()


def as_arcs(curve: EllipseArc) -> tuple[Arc, ...]:
    """Returns the circular arcs that an arc of an ellipse is: one, two for most of a circle, none if it is not round."""
    major, minor = curve.major.length(), curve.minor.length()
    if abs(major - minor) > ROUND * major or abs(curve.major.dot(curve.minor)) > ROUND * major * minor:
        return ()
    sweep = curve.sweep_rad if curve.major.cross(curve.minor) > 0.0 else -curve.sweep_rad
    if abs(sweep) <= LARGEST_SWEEP - 1e-9:
        return () if curve.start == curve.end else (Arc(curve.start, curve.end, math.tan(sweep / 4.0)),)
    half = curve.point(0.5)
    bulge = math.copysign(1.0, sweep) if curve.is_whole else math.tan(sweep / 8.0)
    return (Arc(curve.start, half, bulge), Arc(half, curve.end, bulge))


def with_ends(curve: Curve | Segment, start: Point, end: Point) -> Curve | Segment:
    """Returns a curve turned, stretched and shifted as a whole so that its ends lie at given places.

    Raises:
        ValueError: If its own ends are one, or the given ones are.
    """
    has, wants = curve.end - curve.start, end - start
    square = has.dot(has)
    if square == 0.0 or wants == Point(0.0, 0.0):
        raise ValueError(f"no map takes {curve.start} and {curve.end} to {start} and {end}")
    cosine, sine = has.dot(wants) / square, has.cross(wants) / square
    turn = Affine(cosine, sine, -sine, cosine)
    shift = start - turn.point(curve.start)
    turn = replace(turn, e=shift.x, f=shift.y)
    match curve:  # the ends themselves, without rounding
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, curve.bulge)
        case QuadraticBezier():
            return QuadraticBezier(start, turn.point(curve.control), end)
        case CubicBezier():
            return CubicBezier(start, turn.point(curve.first), turn.point(curve.second), end)
        case EllipseArc() | BSpline():
            (moved,) = turn.curve(curve)
            return moved
        case _:
            assert_never(curve)


def backward(curve: Curve | Segment) -> Curve | Segment:
    """Returns a curve walked the other way."""
    match curve:
        case Line() | Arc():
            return reverse_segment(curve)
        case QuadraticBezier():
            return QuadraticBezier(curve.end, curve.control, curve.start)
        case CubicBezier():
            return CubicBezier(curve.end, curve.second, curve.first, curve.start)
        case EllipseArc():
            return replace(curve, start_rad=curve.start_rad + curve.sweep_rad, sweep_rad=-curve.sweep_rad)
        case BSpline():
            both = curve.knots[0] + curve.knots[-1]
            return replace(
                curve,
                knots=tuple(both - knot for knot in reversed(curve.knots)),
                controls=tuple(reversed(curve.controls)),
                weights=None if curve.weights is None else tuple(reversed(curve.weights)),
            )
        case _:
            assert_never(curve)

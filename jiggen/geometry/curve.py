"""Curves that drawings are made of, besides lines and arcs: Béziers, arcs of ellipses. B-splines: `bspline.py`.

A curve is a map from 0..1 to the plane. `point(t)` is exactly its ends at 0 and 1; `direction(t)` is the unit vector
along which it runs there, also where its speed is zero. Millimetres and radians; nothing here is fitted or flattened.
"""

import abc
import itertools
import math
from dataclasses import dataclass

from jiggen.geometry.point import Point, between


class NoDirectionError(ValueError):
    """A curve that is one point runs nowhere."""


class _Bezier(abc.ABC):
    """What Bézier curves of any number of control points share."""

    __slots__ = ()

    @property
    @abc.abstractmethod
    def controls(self) -> tuple[Point, ...]:
        """Its control points, the ends included."""

    def point(self, t: float) -> Point:
        """Returns the place at `t`, 0..1."""
        return bezier_point(self.controls, t)

    def direction(self, t: float) -> Point:
        """Returns the unit vector along the curve at `t`, 0..1."""
        return bezier_direction(self.controls, t)

    def curvature(self, t: float) -> float:
        """Returns one over the radius at `t`, in 1/mm, positive where it turns left."""
        return bezier_curvature(self.controls, t)


@dataclass(frozen=True, slots=True)
class QuadraticBezier(_Bezier):
    """A Bézier curve of three control points."""

    start: Point
    control: Point
    end: Point

    def __post_init__(self) -> None:
        _check_finite("quadratic Bézier", self.controls)

    @property
    def controls(self) -> tuple[Point, ...]:
        """Its control points, the ends included."""
        return (self.start, self.control, self.end)


@dataclass(frozen=True, slots=True)
class CubicBezier(_Bezier):
    """A Bézier curve of four control points."""

    start: Point
    first: Point
    second: Point
    end: Point

    def __post_init__(self) -> None:
        _check_finite("cubic Bézier", self.controls)

    @property
    def controls(self) -> tuple[Point, ...]:
        """Its control points, the ends included."""
        return (self.start, self.first, self.second, self.end)


@dataclass(frozen=True, slots=True, kw_only=True)
class EllipseArc:
    """A part of an ellipse, or a whole one: centre + major·cos(a) + minor·sin(a), a from `start_rad` on.

    Attributes:
        centre: Of the ellipse.
        major: A half axis as a vector, mm.
        minor: The other half axis. Any two conjugate half diameters do as well, so that a sheared ellipse needs no
            other form.
        start_rad: The parameter's value at the start (not the angle seen from the centre).
        sweep_rad: How far the parameter goes, a full turn at most; negative goes backward.
    """

    centre: Point
    major: Point
    minor: Point
    start_rad: float = 0.0
    sweep_rad: float = 2.0 * math.pi

    def __post_init__(self) -> None:
        _check_finite("ellipse", (self.centre, self.major, self.minor))
        if not (math.isfinite(self.start_rad) and 0.0 < abs(self.sweep_rad) <= 2.0 * math.pi + 1e-9):
            raise ValueError(f"an arc of an ellipse needs a sweep up to a full turn, got {self}")
        if self.major.cross(self.minor) == 0.0:
            raise ValueError(f"an ellipse needs two half axes that span an area, got {self}")

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self._place(self.start_rad)

    @property
    def end(self) -> Point:
        """Where it ends: its start again when it goes all the way round."""
        return self._place(self.start_rad if self.is_whole else self.start_rad + self.sweep_rad)

    @property
    def is_whole(self) -> bool:
        """Whether it goes all the way round."""
        return abs(self.sweep_rad) >= 2.0 * math.pi - 1e-9

    def point(self, t: float) -> Point:
        """Returns the place at `t`, 0..1."""
        return self.end if t == 1.0 else self._place(self.start_rad + self.sweep_rad * t)

    def direction(self, t: float) -> Point:
        """Returns the unit vector along the curve at `t`, 0..1."""
        angle = self.start_rad + self.sweep_rad * t
        along = self.minor * math.cos(angle) - self.major * math.sin(angle)
        return along.unit() if self.sweep_rad > 0.0 else -along.unit()

    def curvature(self, t: float) -> float:
        """Returns one over the radius at `t`, in 1/mm, positive where it turns left."""
        angle = self.start_rad + self.sweep_rad * t
        along = self.minor * math.cos(angle) - self.major * math.sin(angle)
        return math.copysign(1.0, self.sweep_rad) * self.major.cross(self.minor) / along.length() ** 3

    def _place(self, angle: float) -> Point:
        return self.centre + self.major * math.cos(angle) + self.minor * math.sin(angle)


def bezier_point(controls: tuple[Point, ...], t: float) -> Point:
    """Returns the place at `t` on the Bézier curve of any degree through `controls`.

    Source: de Casteljau's construction.
    """
    row = controls
    while len(row) > 1:
        row = tuple(between(one, other, t) for one, other in itertools.pairwise(row))
    return row[0]


def bezier_direction(controls: tuple[Point, ...], t: float) -> Point:
    """Returns the unit vector along a Bézier curve at `t`; where its speed is zero, that of what follows.

    At the very end, what came before counts instead.

    Raises:
        NoDirectionError: If all control points are one.
    """
    size = max(point.distance(controls[0]) for point in controls)
    row = controls
    for order in range(len(controls) - 1):
        row = _differences(row)
        rate = bezier_point(row, t)
        if rate.length() > 1e-9 * size:
            # just before t = 1 the k-th derivative's term has the sign of (t - 1)^(k - 1)
            return -rate.unit() if t == 1.0 and order % 2 else rate.unit()
    raise NoDirectionError(f"a curve whose control points are all one runs nowhere: {controls[0]}")


def bezier_curvature(controls: tuple[Point, ...], t: float) -> float:
    """Returns one over the radius of a Bézier curve at `t`, in 1/mm, positive where it turns left.

    Infinite where its speed is zero and its direction is about to change.
    """
    degree = len(controls) - 1
    first = _differences(controls)
    rate = bezier_point(first, t) * degree
    bend = bezier_point(_differences(first), t) * (degree * (degree - 1.0))
    speed = rate.length()
    return rate.cross(bend) / speed**3 if speed > 0.0 else math.inf


def tightest(curve: QuadraticBezier | CubicBezier, turn: float) -> float:
    """Returns the `t` at which a Bézier curve bends most to the left (`turn` 1) or right (-1), to about 1e-9.

    A curve that bends to the other side only has it where it bends least.
    """
    steps = 64
    bends = [turn * curve.curvature(step / steps) for step in range(steps + 1)]
    at = bends.index(max(bends))
    low, high = max(at - 1, 0) / steps, min(at + 1, steps) / steps
    while high - low > 1e-9:
        one, other = low + (high - low) / 3.0, high - (high - low) / 3.0
        if turn * curve.curvature(one) < turn * curve.curvature(other):
            low = one
        else:
            high = other
    return max((at / steps, low, high), key=lambda t: turn * curve.curvature(t))


def _differences(row: tuple[Point, ...]) -> tuple[Point, ...]:
    return tuple(other - one for one, other in itertools.pairwise(row))


def _check_finite(what: str, points: tuple[Point, ...]) -> None:
    if not all(point.is_finite() for point in points):
        raise ValueError(f"a {what} needs finite points, got {points}")

"""B-splines, plain or weighted (NURBS), and their parts as Bézier curves. Millimetres."""

import itertools
import math
from dataclasses import dataclass

from jiggen.geometry.curve import NoDirectionError
from jiggen.geometry.point import Point

#: A control point times its weight, and the weight.
Weighted = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BSpline:
    """A B-spline curve.

    Attributes:
        degree: 1 to 10.
        knots: As many as control points, and `degree` + 1 more; never falling. The curve runs from knot number
            `degree` to the one as many from the end; none between may be repeated more than `degree` times.
        controls: At least `degree` + 1.
        weights: One for each control point, positive; or none, for a plain one.
    """

    degree: int
    knots: tuple[float, ...]
    controls: tuple[Point, ...]
    weights: tuple[float, ...] | None = None

    def __post_init__(self) -> None:
        count = len(self.controls)
        if not 1 <= self.degree <= 10 or count <= self.degree:
            raise ValueError(
                f"a B-spline needs a degree of 1 to 10 and more control points than that, "
                f"got degree {self.degree} and {count} control points"
            )
        if len(self.knots) != count + self.degree + 1:
            raise ValueError(
                f"a B-spline of degree {self.degree} with {count} control points needs "
                f"{count + self.degree + 1} knots, got {len(self.knots)}"
            )
        if not all(point.is_finite() for point in self.controls) or not all(map(math.isfinite, self.knots)):
            raise ValueError("a B-spline needs finite control points and knots")
        if any(after < before for before, after in zip(self.knots, self.knots[1:], strict=False)):
            raise ValueError(f"the knots of a B-spline may not fall, got {self.knots}")
        low, high = self.domain
        if not low < high:
            raise ValueError(f"a B-spline needs a stretch of knots to run along, got {low} to {high}")
        inner = [knot for knot in self.knots if low < knot < high]
        if any(inner.count(knot) > self.degree for knot in set(inner)):
            raise ValueError(f"a knot repeated more than {self.degree} times breaks the curve: {self.knots}")
        if self.weights is not None and (
            len(self.weights) != count or not all(0.0 < weight < math.inf for weight in self.weights)
        ):
            raise ValueError(f"a B-spline needs a positive weight for each of {count} control points")

    @property
    def domain(self) -> tuple[float, float]:
        """The knots between which the curve runs; `t` 0 is the first, 1 the second."""
        return self.knots[self.degree], self.knots[len(self.controls)]

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.point(0.0)

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.point(1.0)

    def point(self, t: float) -> Point:
        """Returns the place at `t`, 0..1."""
        return self._at(t)[0]

    def direction(self, t: float) -> Point:
        """Returns the unit vector along the curve at `t`, 0..1.

        Raises:
            NoDirectionError: If the curve stands still there.
        """
        _, rate, bend = self._at(t)
        size = max(point.distance(self.controls[0]) for point in self.controls)
        low, high = self.domain
        if rate.length() * (high - low) > 1e-9 * size:
            return rate.unit()
        if bend.length() * (high - low) ** 2 > 1e-9 * size:
            return -bend.unit() if t == 1.0 else bend.unit()
        raise NoDirectionError(f"the B-spline stands still at {t} of its way")

    def curvature(self, t: float) -> float:
        """Returns one over the radius at `t`, in 1/mm, positive where it turns left; infinite at a standstill."""
        _, rate, bend = self._at(t)
        speed = rate.length()
        return rate.cross(bend) / speed**3 if speed > 0.0 else math.inf

    def beziers(self) -> tuple[tuple[Weighted, ...], ...]:
        """Returns the curve's parts between different knots, each as the weighted controls of a Bézier curve.

        Source: Boehm's knot insertion: once every inner knot is there `degree` times, the control points are those
        of Bézier curves.
        """
        degree = self.degree
        knots, rows = list(self.knots), self._weighted()
        low, high = self.domain
        places = sorted({knot for knot in knots if low <= knot <= high})
        for place in places:
            while knots.count(place) < degree:
                knots, rows = _insert(knots, rows, degree, place, from_left=place == high)
        first = knots.index(low) + knots.count(low) - 1 - degree
        spans = len(places) - 1
        return tuple(
            tuple(rows[first + span * degree : first + span * degree + degree + 1]) for span in range(spans)
        )

    def _weighted(self) -> list[Weighted]:
        weights = self.weights or (1.0,) * len(self.controls)
        return [
            (point.x * weight, point.y * weight, weight)
            for point, weight in zip(self.controls, weights, strict=True)
        ]

    def _at(self, t: float) -> tuple[Point, Point, Point]:
        """Returns place, rate and rate of the rate by the knots' parameter.

        Source: de Boor's construction, on control points and their differences; quotient rule for the weights.
        """
        low, high = self.domain
        place = high if t == 1.0 else low + (high - low) * t
        span = next(
            index
            for index in range(len(self.controls) - 1, self.degree - 1, -1)
            if self.knots[index] <= place and self.knots[index] < self.knots[index + 1]
        )
        rows, knots = self._weighted(), list(self.knots)
        found: list[Weighted] = []
        degree, first = self.degree, 0
        for _ in range(3):
            if degree < 0:
                found.append((0.0, 0.0, 0.0))
                continue
            found.append(_de_boor(rows, knots, degree, span - first, place))
            rows = _rates(rows, knots, degree)
            knots = knots[1:-1]
            degree, first = degree - 1, first + 1
        (x, y, w), (x1, y1, w1), (x2, y2, w2) = found
        spot = Point(x / w, y / w)
        rate = (Point(x1, y1) - spot * w1) * (1.0 / w)
        bend = (Point(x2, y2) - rate * (2.0 * w1) - spot * w2) * (1.0 / w)
        return spot, rate, bend


def _blend(one: Weighted, other: Weighted, share: float) -> Weighted:
    kept = 1.0 - share
    return (
        one[0] * kept + other[0] * share,
        one[1] * kept + other[1] * share,
        one[2] * kept + other[2] * share,
    )


def _de_boor(rows: list[Weighted], knots: list[float], degree: int, span: int, place: float) -> Weighted:
    row = rows[span - degree : span + 1]
    for level in range(1, degree + 1):
        for step in range(degree, level - 1, -1):
            left = knots[span - degree + step]
            right = knots[span + 1 + step - level]
            row[step] = _blend(row[step - 1], row[step], (place - left) / (right - left))
    return row[degree]


def _rates(rows: list[Weighted], knots: list[float], degree: int) -> list[Weighted]:
    """Returns the control points of the derivative; zero where knots coincide, since nothing runs there."""
    rates: list[Weighted] = []
    for index, (one, other) in enumerate(itertools.pairwise(rows)):
        width = knots[index + degree + 1] - knots[index + 1]
        factor = degree / width if width > 0.0 else 0.0
        rates.append(
            ((other[0] - one[0]) * factor, (other[1] - one[1]) * factor, (other[2] - one[2]) * factor)
        )
    return rates


def _insert(
    knots: list[float], rows: list[Weighted], degree: int, place: float, *, from_left: bool
) -> tuple[list[float], list[Weighted]]:
    """Returns knots and control points of the same curve with one knot more, set before its equals or after them."""
    span = max(index for index, knot in enumerate(knots) if knot < place or (knot == place and not from_left))
    fresh: list[Weighted] = []
    for index in range(len(rows) + 1):
        if index <= span - degree:
            fresh.append(rows[index])
        elif index > span:
            fresh.append(rows[index - 1])
        else:
            width = knots[index + degree] - knots[index]
            share = (place - knots[index]) / width if width > 0.0 else 0.0
            fresh.append(_blend(rows[index - 1], rows[index], share))
    return [*knots[: span + 1], place, *knots[span + 1 :]], fresh

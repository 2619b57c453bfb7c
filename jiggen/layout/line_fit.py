"""A straight line through readings, with its uncertainty, and the readings that are slips rather than scatter."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

#: How many times the scatter a reading may lie off before it counts as a slip: common practice, three sigma.
CUT = 3.0
#: Makes the median of absolute deviations a standard deviation, for normal scatter: 1/Φ⁻¹(3/4).
NORMAL_MAD = 1.4826
#: With fewer readings than this to spare, none can be called a slip against the others.
_SPARE_TO_JUDGE = 3
_MOST_ROUNDS = 20

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFit:
    """A least-squares line y = intercept + slope · x.

    Attributes:
        slope: In units of y per unit of x.
        intercept: In units of y; 0 for a line held to the origin.
        slope_uncertainty: Standard uncertainty, type A.
        intercept_uncertainty: The same; 0 for a line held to the origin.
        covariance: Of slope and intercept.
        scatter: Standard deviation of the points about the line, √(Σr²/freedom), or the least that was allowed.
        freedom: Degrees of freedom: points less fitted numbers.
        residuals: Point less line, in the order of the points.
    """

    slope: float
    intercept: float
    slope_uncertainty: float
    intercept_uncertainty: float
    covariance: float
    scatter: float
    freedom: int
    residuals: tuple[float, ...]

    @property
    def rms(self) -> float:
        """Root mean square of the residuals."""
        return math.sqrt(self.square_sum / len(self.residuals))

    @property
    def square_sum(self) -> float:
        """Sum of the squared residuals."""
        return math.fsum(residual * residual for residual in self.residuals)

    def at(self, x: float) -> tuple[float, float]:
        """Returns the line's y at an x and its standard uncertainty, by the law of propagation."""
        variance = self.intercept_uncertainty**2 + 2 * x * self.covariance + (x * self.slope_uncertainty) ** 2
        return self.intercept + self.slope * x, math.sqrt(max(variance, 0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """All readings at one x that are not slips.

    Attributes:
        x: Where.
        y: Their mean.
        count: How many there are.
    """

    x: float
    y: float
    count: int


def fit_line(points: Points, *, through_origin: bool = False, least_scatter: float = 0.0) -> LineFit:
    """Returns the least-squares line through points of equal weight. The order of the points plays no part.

    Args:
        points: x and y of each; more of them than fitted numbers, and at more than one x (not all at zero for a line
            held to the origin).
        through_origin: Holds the intercept to zero.
        least_scatter: The scatter is taken as no smaller than this, whatever the residuals say.

    Raises:
        ValueError: If there are too few points, or all at one x.

    Source: JCGM 100:2008, H.3.2 and H.3.3 (line with intercept); the same with one unknown for a line held to the
        origin.
    """
    unknowns = 1 if through_origin else 2
    freedom = len(points) - unknowns
    mean_x = 0.0 if through_origin else math.fsum(x for x, _ in points) / max(len(points), 1)
    mean_y = 0.0 if through_origin else math.fsum(y for _, y in points) / max(len(points), 1)
    spread = math.fsum((x - mean_x) ** 2 for x, _ in points)
    if freedom < 1 or spread == 0.0:
        raise ValueError(f"{len(points)} points cannot tell a line of {unknowns} unknowns and its scatter")
    slope = math.fsum((x - mean_x) * (y - mean_y) for x, y in points) / spread
    intercept = mean_y - slope * mean_x
    residuals = tuple((y - mean_y) - slope * (x - mean_x) for x, y in points)
    scatter = max(math.sqrt(math.fsum(r * r for r in residuals) / freedom), least_scatter)
    return LineFit(
        slope=slope,
        intercept=intercept,
        slope_uncertainty=scatter / math.sqrt(spread),
        intercept_uncertainty=0.0
        if through_origin
        else scatter * math.sqrt(1 / len(points) + mean_x**2 / spread),
        covariance=-mean_x * scatter**2 / spread,
        scatter=scatter,
        freedom=freedom,
        residuals=residuals,
    )


def places(readings: Points) -> tuple[Place, ...]:
    """Returns the readings gathered by their x, in ascending order.

    A place counts once however often it was read: reading it again tells nothing new of where it was made.
    """
    at: dict[float, list[float]] = {}
    for x, y in readings:
        at.setdefault(x, []).append(y)
    return tuple(Place(x=x, y=math.fsum(ys) / len(ys), count=len(ys)) for x, ys in sorted(at.items()))


def fit_places(found: Sequence[Place], *, through_origin: bool, least_scatter: float) -> LineFit:
    """Returns `fit_line` through places, each with the same weight."""
    points = [(place.x, place.y) for place in found]
    return fit_line(points, through_origin=through_origin, least_scatter=least_scatter)


def sound_readings(readings: Points, *, through_origin: bool, least_scatter: float) -> tuple[bool, ...]:
    """Tells which readings follow one line; the others are slips.

    A line that half of the readings cannot pull is found first: the median of the slopes to the origin, or the
    repeated median of the slopes between readings. Readings further from it than three times the scatter, taken from
    the median of the absolute residuals, are left out, the line is fitted to the rest by least squares, and the cut
    is made anew until it no longer changes.

    Args:
        readings: x and y of each, as many of one x as there are.
        through_origin: Whether the line is held to the origin.
        least_scatter: Above 0; the scatter is taken as no smaller than this.

    Returns:
        For each reading whether it is kept. All are where there are too few to judge.

    Source: A. F. Siegel, Robust regression using repeated medians, Biometrika 69(1), 242 (1982); scale estimate
        1.4826 · (1 + 5/(n − p)) · median |r| with its small-sample factor, n counting places, P. J. Rousseeuw and
        A. M. Leroy, Robust Regression and Outlier Detection, Wiley 1987, chapter 5 (both from memory).
    """
    unknowns = 1 if through_origin else 2
    if len(readings) - unknowns < _SPARE_TO_JUDGE:
        return (True,) * len(readings)
    line = _median_slope(readings) if through_origin else _repeated_median(readings)
    widen = CUT * NORMAL_MAD * (1 + 5 / max(len({x for x, _ in readings}) - unknowns, 1))
    seen: list[tuple[bool, ...]] = []
    for _ in range(_MOST_ROUNDS):
        off = [abs(y - line[0] - line[1] * x) for x, y in readings]
        limit = max(widen * median(off), CUT * least_scatter)
        kept = tuple(each <= limit for each in off)
        if kept in seen:
            return kept
        seen.append(kept)
        rest = places([reading for reading, keep in zip(readings, kept, strict=True) if keep])
        if len(rest) <= unknowns:
            return kept
        fit = fit_places(rest, through_origin=through_origin, least_scatter=least_scatter)
        line = fit.intercept, fit.slope
    return seen[-1]


def _median_slope(readings: Points) -> tuple[float, float]:
    return 0.0, median([y / x for x, y in readings if x != 0.0])


def _repeated_median(readings: Points) -> tuple[float, float]:
    slope = median(
        [
            median([(y - b) / (x - a) for x, y in readings if x != a]) for a, b in readings
        ]  # from one to all others
    )
    return median([y - slope * x for x, y in readings]), slope

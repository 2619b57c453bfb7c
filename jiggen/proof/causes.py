"""Two causes for what readings are off by: everything too large by one share, and everything off by one amount.

A reading of something that should be x long is off by y = a · x + b · g. The share a is a machine's or the warmth's; the
amount b is a kerf's, a nut's or a board's edge; g says how b shows in this reading: 1 as it is, -1 the other way round,
0 not at all. Least squares tells both, with their uncertainties, and Student's t and the F distribution whether chance
would not do as well.

Source: JCGM 100:2008, H.3 (least squares and its uncertainties); the F test of nested models, any textbook of
regression. With two degrees of freedom in the numerator F's tail is (1 + 2F/ν)^(-ν/2), by integrating its density.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median

from jiggen.layout.line_fit import CUT, NORMAL_MAD
from jiggen.layout.student import chance, coverage_factor

#: A cause that chance alone would show as large more often than this is none.
SIGNIFICANT = 0.01
#: Two causes of which one looks so much like the other are not told apart.
_ALIKE = 1e-6
#: With fewer places than this to spare, none can be called odd against the others.
_SPARE_TO_JUDGE = 3
_MOST_ROUNDS = 20


@dataclass(frozen=True, slots=True)
class Point:
    """One place that was read.

    Attributes:
        x: What it should be, mm; or, for a taper, where it is.
        g: How an offset shows in it: 1, -1 or 0.
        y: What it is off by, mm.
    """

    x: float
    g: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A figure with its uncertainty.

    Attributes:
        value: Of the cause: a share, or mm.
        uncertainty: Standard uncertainty, in the same.
        freedom: Degrees of freedom.
    """

    value: float
    uncertainty: float
    freedom: int

    @property
    def expanded(self) -> float:
        """Half of the interval that holds it with a probability of 95 % (JCGM 100:2008, G.3)."""
        return coverage_factor(self.freedom) * self.uncertainty


@dataclass(frozen=True, slots=True, kw_only=True)
class Causes:
    """What readings are off by, and why.

    Attributes:
        scale: The share by which all is too large; None when chance explains it as well.
        offset: The amount by which all is off; None when chance explains it as well.
        scatter: Standard deviation about what the causes explain, mm.
        freedom: Its degrees of freedom; 0 when there were too few places to tell.
        sound: For each point whether it follows the others.
    """

    scale: Estimate | None
    offset: Estimate | None
    scatter: float
    freedom: int
    sound: tuple[bool, ...]

    def explained(self, x: float, g: float) -> float:
        """Returns what the causes make of a place, in mm."""
        a = self.scale.value if self.scale else 0.0
        b = self.offset.value if self.offset else 0.0
        return a * x + b * g


def find_causes(points: Sequence[Point], *, least_scatter: float) -> Causes:
    """Returns the causes of what readings are off by.

    Points that do not follow the others are found first: the median of what pairs of points tell is a start that a
    quarter of them cannot pull; those further from it than three times the scatter are left out, and the causes are
    fitted to the rest, until that no longer changes.

    Args:
        points: One for each place, however often it was read.
        least_scatter: Above 0, mm; the scatter is taken as no smaller than this.
    """
    sound = _sound(points, least_scatter)
    kept = [point for point, keep in zip(points, sound, strict=True) if keep]
    return _chosen(kept, least_scatter, sound)


@dataclass(frozen=True, slots=True)
class _Sums:
    """Sums over points."""

    xx: float
    xg: float
    gg: float
    xy: float
    gy: float
    yy: float

    @property
    def both(self) -> bool:
        """Whether both causes can be told apart."""
        return self.xx > 0.0 and self.gg > 0.0 and self.det > _ALIKE * self.xx * self.gg

    @property
    def det(self) -> float:
        return self.xx * self.gg - self.xg**2


def _sums(points: Sequence[Point]) -> _Sums:
    def over(pairs: Sequence[tuple[float, float]]) -> float:
        return math.fsum(one * other for one, other in pairs)

    return _Sums(
        xx=over([(p.x, p.x) for p in points]),
        xg=over([(p.x, p.g) for p in points]),
        gg=over([(p.g, p.g) for p in points]),
        xy=over([(p.x, p.y) for p in points]),
        gy=over([(p.g, p.y) for p in points]),
        yy=over([(p.y, p.y) for p in points]),
    )


def _fitted(sums: _Sums) -> tuple[float, float]:
    """Returns the share and the amount that fit best, one of them 0 where both cannot be told apart."""
    if sums.both:
        a = (sums.gg * sums.xy - sums.xg * sums.gy) / sums.det
        return a, (sums.xx * sums.gy - sums.xg * sums.xy) / sums.det
    if sums.gg > 0.0:
        return 0.0, sums.gy / sums.gg
    return (sums.xy / sums.xx if sums.xx > 0.0 else 0.0), 0.0


def _rest(points: Sequence[Point], a: float, b: float) -> float:
    """Returns the sum of the squares that are left."""
    return math.fsum((p.y - a * p.x - b * p.g) ** 2 for p in points)


def _chosen(points: Sequence[Point], least: float, sound: tuple[bool, ...]) -> Causes:
    """Returns the fewest causes that explain all but chance."""
    sums = _sums(points)
    unknowns = 2 if sums.both else 1
    freedom = len(points) - unknowns
    if freedom < 1:
        return Causes(scale=None, offset=None, scatter=least, freedom=0, sound=sound)
    a, b = _fitted(sums)
    left = _rest(points, a, b)
    variance = max(left / freedom, least**2)
    if unknowns == 1:
        told = chance(math.sqrt(max(sums.yy - left, 0.0) / variance), freedom) < SIGNIFICANT
        return _with(points, least, sound, scale=told and b == 0.0, offset=told and b != 0.0)
    if _chance_of_two((sums.yy - left) / 2.0 / variance, freedom) >= SIGNIFICANT:
        return _with(points, least, sound, scale=False, offset=False)
    without_offset = _rest(points, sums.xy / sums.xx, 0.0)
    without_scale = _rest(points, 0.0, sums.gy / sums.gg)
    offset = chance(math.sqrt(max(without_offset - left, 0.0) / variance), freedom) < SIGNIFICANT
    scale = chance(math.sqrt(max(without_scale - left, 0.0) / variance), freedom) < SIGNIFICANT
    if not scale and not offset:  # one of them there is, and either would do: the better one
        scale = without_offset <= without_scale
        offset = not scale
    return _with(points, least, sound, scale=scale, offset=offset)


def _chance_of_two(ratio: float, freedom: int) -> float:
    return float((1.0 + 2.0 * max(ratio, 0.0) / freedom) ** (-freedom / 2.0))


def _with(
    points: Sequence[Point], least: float, sound: tuple[bool, ...], *, scale: bool, offset: bool
) -> Causes:
    """Returns the fit of the causes that there are, and no others."""
    used = [Point(p.x if scale else 0.0, p.g if offset else 0.0, p.y) for p in points]
    sums = _sums(used)
    a, b = _fitted(sums) if scale or offset else (0.0, 0.0)
    freedom = len(points) - scale - offset
    scatter = max(math.sqrt(_rest(used, a, b) / freedom), least)
    det = sums.det if sums.both else 0.0
    spread_a = math.sqrt(sums.gg / det) if det else 1.0 / math.sqrt(sums.xx) if scale else 0.0
    spread_b = math.sqrt(sums.xx / det) if det else 1.0 / math.sqrt(sums.gg) if offset else 0.0
    return Causes(
        scale=Estimate(value=a, uncertainty=scatter * spread_a, freedom=freedom) if scale else None,
        offset=Estimate(value=b, uncertainty=scatter * spread_b, freedom=freedom) if offset else None,
        scatter=scatter,
        freedom=freedom,
        sound=sound,
    )


def _sound(points: Sequence[Point], least: float) -> tuple[bool, ...]:
    """Tells which points follow the others; all do where there are too few to judge."""
    spare = len(points) - 2
    if spare < _SPARE_TO_JUDGE:
        return (True,) * len(points)
    widen = CUT * NORMAL_MAD * (1.0 + 5.0 / spare)
    a, b = _start(points)
    seen: list[tuple[bool, ...]] = []
    for _ in range(_MOST_ROUNDS):
        off = [abs(p.y - a * p.x - b * p.g) for p in points]
        limit = max(widen * median(off), CUT * least)
        kept = tuple(each <= limit for each in off)
        if kept in seen:
            return kept
        seen.append(kept)
        rest = [point for point, keep in zip(points, kept, strict=True) if keep]
        if len(rest) <= 2:
            return kept
        a, b = _fitted(_sums(rest))
    return seen[-1]


def _start(points: Sequence[Point]) -> tuple[float, float]:
    """Returns the medians of what pairs of points tell, or of single ones where pairs do not tell both."""
    pairs: list[tuple[float, float]] = []
    for one, other in combinations(points, 2):
        sums = _sums((one, other))
        if sums.both:
            pairs.append(_fitted(sums))
    if pairs and len({(p.x, p.g) for p in points}) > 2:
        return median([a for a, _ in pairs]), median([b for _, b in pairs])
    if all(p.g for p in points):
        return 0.0, median([p.y * p.g for p in points])
    return median([p.y / p.x for p in points if p.x] or [0.0]), 0.0

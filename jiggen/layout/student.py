"""Student's distribution: how far a fitted number may stray by chance when few readings tell the scatter."""

import math
import operator
from itertools import accumulate


def within(t: float, freedom: int) -> float:
    """Returns the probability that a t-distributed number lies between −t and t.

    Args:
        t: 0 or more.
        freedom: Degrees of freedom, 1 or more.

    Source: finite series for whole degrees of freedom, M. Abramowitz and I. A. Stegun, Handbook of Mathematical
        Functions, formulas 26.7.3 and 26.7.4 (from memory; tested against tables and other people's code).
    """
    angle = math.atan(t / math.sqrt(freedom))
    sine, cosine = math.sin(angle), math.cos(angle)
    first, start = (cosine, 3) if freedom % 2 else (1.0, 2)
    factors = [(n - 1) / n * cosine**2 for n in range(start, freedom - 1, 2)]
    series = sine * math.fsum(accumulate([first, *factors], operator.mul))
    if freedom % 2 == 0:
        return series
    return 2.0 / math.pi * (angle + (series if freedom > 1 else 0.0))


def chance(t: float, freedom: int) -> float:
    """Returns the two-sided significance of a t statistic: how often chance alone gives one at least as large."""
    return max(0.0, 1.0 - within(abs(t), freedom))


def coverage_factor(freedom: int, probability: float = 0.95) -> float:
    """Returns the factor that expands a standard uncertainty to an interval of the given coverage.

    Args:
        freedom: Degrees of freedom, 1 or more.
        probability: Above 0 and below 1.

    Source: JCGM 100:2008, annex G.3: t_p(ν).
    """
    low, high = 0.0, 1.0
    while within(high, freedom) < probability:
        low, high = high, 2.0 * high
    while (middle := (low + high) / 2.0) not in {low, high}:
        low, high = (middle, high) if within(middle, freedom) < probability else (low, middle)
    return high

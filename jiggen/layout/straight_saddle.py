"""A straight saddle for strings that would each have their own setback: the line that suits them best.

Setbacks are those of `compensation.py`, from the saddle line on paper, away from the nut.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.errors import InputError
from jiggen.layout.compensation import Compensation
from jiggen.layout.intonation import Setbacks, fret_errors
from jiggen.layout.quantity import require_finite, require_positive


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakPoint:
    """Where a string should break over the saddle. Millimetres.

    Attributes:
        across_mm: y of the string there, toward the treble.
        setback_mm: From the saddle line on paper, away from the nut.
        weight: How much it counts beside the others.
    """

    across_mm: float
    setback_mm: float
    weight: float = 1.0

    def __post_init__(self) -> None:
        require_finite("place of a string across the saddle", self.across_mm, "mm")
        require_finite("setback", self.setback_mm, "mm")
        require_positive("weight of a string", self.weight, "")


@dataclass(frozen=True, slots=True, kw_only=True)
class StraightSaddle:
    """A straight line of setbacks.

    Attributes:
        setback_at_centre_mm: Where y is 0.
        slope: Growth of the setback with y, mm per mm: negative when the bass side is set back further.
        break_points: What it was fitted to.
    """

    setback_at_centre_mm: float
    slope: float
    break_points: tuple[BreakPoint, ...]

    def setback_at(self, across_mm: float) -> float:
        """Returns the setback at a place across the saddle, mm."""
        return self.setback_at_centre_mm + self.slope * across_mm

    @property
    def slant_rad(self) -> float:
        """Angle between it and a square saddle, positive when the bass side is set back further."""
        return -math.atan(self.slope)

    @property
    def misses_mm(self) -> tuple[float, ...]:
        """How much further back than it should each string breaks, first string first."""
        return tuple(self.setback_at(each.across_mm) - each.setback_mm for each in self.break_points)


def best_straight_saddle(break_points: Sequence[BreakPoint]) -> StraightSaddle:
    """Returns the line whose misses, squared and weighted, are least in sum.

    For strings of one scale length and one list of frets that is, very nearly, also the line with the least squared
    error in cents. Strings of different scales would weigh 1/scale².

    Args:
        break_points: One for each string, at places of their own; a single string gets a square saddle.

    Raises:
        InputError: If there are none, or several at one place.

    Source: weighted linear least squares.
    """
    count = len(break_points)
    if count == 0:
        raise InputError(where="straight saddle", got="no string", expected="at least one")
    if count > 1 and len({each.across_mm for each in break_points}) == 1:
        raise InputError(
            where="straight saddle", got=f"{count} strings at one place", expected="strings side by side"
        )
    total = math.fsum(each.weight for each in break_points)
    across = math.fsum(each.weight * each.across_mm for each in break_points) / total
    setback = math.fsum(each.weight * each.setback_mm for each in break_points) / total
    slope = 0.0
    if count > 1:
        spread = math.fsum(each.weight * (each.across_mm - across) ** 2 for each in break_points)
        slope = (
            math.fsum(
                each.weight * (each.across_mm - across) * (each.setback_mm - setback) for each in break_points
            )
            / spread
        )
    return StraightSaddle(
        setback_at_centre_mm=setback - slope * across, slope=slope, break_points=tuple(break_points)
    )


def straight_saddle_errors_cents(
    saddle: StraightSaddle, compensations: Sequence[Compensation]
) -> tuple[tuple[float, ...], ...]:
    """Returns what the reported frets of each string are off by on a straight saddle, the nut as compensated.

    Args:
        saddle: Fitted to one break point for each string.
        compensations: Of the same strings in the same order.

    Returns:
        Cents, sharp positive: a row for each string, first string first, with its reported frets.

    Raises:
        ValueError: If there are not as many strings as break points.
    """
    return tuple(
        tuple(
            error.cents
            for error in fret_errors(
                each.stretch,
                each.fretting,
                Setbacks(saddle.setback_at(point.across_mm), each.setbacks.nut_mm),
                each.reported_frets,
            )
        )
        for point, each in zip(saddle.break_points, compensations, strict=True)
    )

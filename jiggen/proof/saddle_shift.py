"""Where the saddle should stand for frets as they are. Millimetres, cents."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

#: Cents for each unit of ln(frequency).
_CENTS = 1200.0 / math.log(2.0)
_MOST_ROUNDS = 50
_CLOSE_MM = 1e-10


@dataclass(frozen=True, slots=True)
class FretStand:
    """Where a fret should stand and where it does, mm from the front of the nut."""

    wanted: float
    found: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SaddleShift:
    """The best place of the saddle.

    Attributes:
        at_mm: From the front of the nut, for a string that needs no compensation.
        before_cents: What each fret is off by with the saddle where it is, sharp positive.
        after_cents: What each fret is off by with the saddle at its best place.
    """

    at_mm: float
    before_cents: tuple[float, ...]
    after_cents: tuple[float, ...]


def fret_cents(frets: Sequence[FretStand], *, scale_mm: float, saddle_mm: float) -> tuple[float, ...]:
    """Returns what frets are off by, sharp positive, with the open string in tune.

    Args:
        frets: Of one string, none of them beyond the saddle.
        scale_mm: That they were laid out for.
        saddle_mm: Where the saddle stands, from the front of the nut.

    Source: a string sounds in inverse proportion to its length; 1200 cents to the octave.
    """
    return tuple(
        _CENTS * math.log(saddle_mm / (saddle_mm - fret.found) * (scale_mm - fret.wanted) / scale_mm)
        for fret in frets
    )


def best_saddle(frets: Sequence[FretStand], *, scale_mm: float, saddle_mm: float) -> SaddleShift:
    """Returns the place of the saddle with the least sum of squared cents.

    Args:
        frets: One or more, as they are.
        scale_mm: That they were laid out for.
        saddle_mm: Where the saddle stands.

    Source: Gauss's and Newton's method for least squares; compared with scipy's optimiser in tests.
    """
    at = saddle_mm
    for _ in range(_MOST_ROUNDS):
        cents = fret_cents(frets, scale_mm=scale_mm, saddle_mm=at)
        slopes = [_CENTS * (1.0 / at - 1.0 / (at - fret.found)) for fret in frets]
        curve = math.fsum(slope * slope for slope in slopes)
        if curve == 0.0:
            break  # only a fret at the nut, which no saddle helps
        step = -math.fsum(slope * cent for slope, cent in zip(slopes, cents, strict=True)) / curve
        nearest = max(fret.found for fret in frets)
        at = max(at + step, (at + nearest) / 2.0)  # never onto the last fret
        if abs(step) < _CLOSE_MM:
            break
    return SaddleShift(
        at_mm=at,
        before_cents=fret_cents(frets, scale_mm=scale_mm, saddle_mm=saddle_mm),
        after_cents=fret_cents(frets, scale_mm=scale_mm, saddle_mm=at),
    )

"""Where the steps of a traced chain meet: corners, slight kinks, and common tangents. Millimetres and radians."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np

from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.smooth_run import angles, lengths
from jiggen.geometry.trace import Curve, Flags, Floats, Numbers, Steps

#: Two arcs drawn to meet with a common tangent may turn by this: what the digits of a drawing leave over.
_TOUCH = 2e-4
#: A line holds its direction where it meets an arc, and an arc where it meets a curve.
_LINE, _ARC, _CURVE = 1e12, 1e6, 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Joints:
    """What is at the start of each step: n rows. At the first it is about the last step too.

    Attributes:
        is_corner: Whether the chain turns there at once, and what is fitted shall as well.
        is_bound: Whether a line or arc begins or ends there without a corner, and shall in what is fitted, so that it
            comes through as it is. Lines in a row are no such case: they may stand for a curve.
        is_row: Whether a line meets a line there without a corner, so that both may stand for a curve.
        share: By how much of the turn there the direction to take is past that of arrival.
    """

    is_corner: Flags
    is_bound: Flags
    is_row: Flags
    share: Floats

    @classmethod
    def of(
        cls, steps: Steps, curves: Sequence[Curve | Segment], corner: float, tolerance: float, *, keep: bool
    ) -> Self:
        """Returns the joints of steps along curves.

        Args:
            steps: In order.
            curves: That the steps were traced along.
            corner: A turn by more than this is a corner.
            tolerance: mm. A turn that no arc could round off so nearly is a corner too.
            keep: Whether lines and arcs shall keep their directions at both ends: there all is then a corner.

        Source: an arc over a chord c, turned at one end by φ, bows by c φ / 8 at most, in small angles.
        """
        held = np.array([_held(curve) for curve in curves])[steps.source]
        chord = lengths(steps.ends - steps.starts)
        held_before, chord_before = np.roll(held, 1), np.roll(chord, 1)
        weight, weight_before = held * chord, held_before * chord_before
        share = weight / (weight_before + weight)
        turn = np.abs(angles(np.roll(steps.arrives, 1, axis=0), steps.sets_out))
        bow = turn / 8.0 * np.maximum(chord_before * share, chord * (1.0 - share))
        changes = steps.source != np.roll(steps.source, 1)
        touching_arcs = (held == _ARC) & (turn <= _TOUCH) & changes
        is_corner = (turn > corner) | (bow > tolerance)
        if keep:
            is_corner |= changes & (np.maximum(held, held_before) > _CURVE)
        alike = held == held_before
        return cls(
            is_corner=is_corner,
            is_bound=~is_corner & (~alike | touching_arcs),
            is_row=~is_corner & alike & (held == _LINE),
            share=share,
        )

    def rows(self, chosen: Numbers) -> "Joints":
        """Returns some of them."""
        return Joints(**{name: getattr(self, name)[chosen] for name in self.__slots__})


def _held(curve: Curve | Segment) -> float:
    """Returns how firmly a curve keeps to its direction where it meets another."""
    match curve:
        case Line():
            return _LINE
        case Arc():
            return _ARC
        case _:
            return _CURVE

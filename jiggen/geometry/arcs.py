"""Many arcs at once, laid along a run: through ends, and in pairs with a common tangent. Millimetres and radians."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Self

import numpy as np

from jiggen.geometry.smooth_run import angles, dot, lengths
from jiggen.geometry.trace import Flags, Floats, Numbers

#: An arc turns by half a turn at most: so far does its chord lean from its ends, in radians, but for rounding.
STEEPEST = math.pi / 2.0 + 1e-9


@dataclass(frozen=True, slots=True)
class Arcs:
    """Arcs and, where they do not bend, lines: n rows.

    Attributes:
        first: The run's place at which each starts, or the last one before its start.
        last: The place at which it ends, or the next one.
        starts: (n, 2) mm.
        ends: (n, 2) mm.
        sets_out: (n, 2) unit vectors: its direction at the start.
        arrives: (n, 2) unit vectors: its direction at the end.
        lean: (n,) by how much its chord lies to the left of `sets_out`: half the sweep.
    """

    first: Numbers
    last: Numbers
    starts: Floats
    ends: Floats
    sets_out: Floats
    arrives: Floats
    lean: Floats

    @classmethod
    def through(cls, first: Numbers, last: Numbers, starts: Floats, sets_out: Floats, ends: Floats) -> Self:
        """Returns the arcs with these ends, which must differ, and these directions at the start.

        Source: a chord makes the same angle with both tangents.
        """
        chords = ends - starts
        share = 2.0 * dot(chords, sets_out) / dot(chords, chords)
        arrives = chords * share[:, None] - sets_out
        return cls(first, last, starts, ends, sets_out, arrives, angles(sets_out, chords))

    @classmethod
    def joined(cls, parts: Sequence["Arcs"]) -> Self:
        """Returns all of them, one after the other."""
        return cls(*(np.concatenate([getattr(part, name) for part in parts]) for name in cls.__slots__))

    def __len__(self) -> int:
        return len(self.first)

    def rows(self, chosen: Numbers | Flags) -> "Arcs":
        """Returns some of them."""
        at = np.flatnonzero(chosen) if chosen.dtype == np.bool_ else chosen
        return Arcs(*(getattr(self, name).take(at, axis=0) for name in self.__slots__))

    def between(self, first: Numbers, last: Numbers) -> "Arcs":
        """Returns the same arcs for other parts of the run."""
        return replace(self, first=first, last=last)

    def spots(self, shares: Floats) -> Numbers:
        """Returns (n, k) places at some shares of the steps from `first` to `last`."""
        steps = (self.last - self.first)[:, None] * shares
        return self.first[:, None] + steps.astype(np.intp)

    def bend(self) -> Floats:
        """Returns one over the radius in 1/mm, positive where an arc turns left."""
        found: Floats = 2.0 * np.sin(self.lean) / lengths(self.ends - self.starts)
        return found


def biarc_joints(starts: Floats, sets_out: Floats, ends: Floats, arrives: Floats, share: Floats) -> Floats:
    """Returns where two arcs meet with a common tangent that run from ends to ends; no numbers where none do.

    Args:
        starts: (n, 2) mm.
        sets_out: (n, 2) unit vectors: directions there.
        ends: (n, 2) mm.
        arrives: (n, 2) unit vectors: directions there.
        share: (n,) the first arc's tangent, in units of the one for which both arcs' tangents are equally long.

    Source: with v from start to end and tangents of lengths d and e along the directions t and u,
    v² - 2d(v·t) - 2e(v·u) + 2de(t·u - 1) = 0, e.g. Bolton 1975, "Biarc curves".
    """
    chords = ends - starts
    square, ahead, behind = dot(chords, chords), dot(chords, sets_out), dot(chords, arrives)
    apart = 1.0 - dot(sets_out, arrives)
    across = ahead + behind
    root = np.sqrt(across * across + 2.0 * apart * square)
    with np.errstate(invalid="ignore", divide="ignore"):
        even = np.where(across > 0.0, square / (across + root), (root - across) / (2.0 * apart))
        first = even * share
        second = (square / 2.0 - first * ahead) / (behind + first * apart)
        part = first / (first + second)
    part[~((first > 0.0) & (second > 0.0))] = np.nan
    joints: Floats = (starts + sets_out * first[:, None]) * (1.0 - part)[:, None] + (
        ends - arrives * second[:, None]
    ) * part[:, None]
    return joints

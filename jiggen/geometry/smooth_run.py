"""A traced chain as places in a row, with the source's directions there. Millimetres and radians."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from jiggen.geometry.trace import Flags, Floats, Steps


@dataclass(frozen=True, slots=True)
class Run:
    """Places along a chain, n + 1 of them.

    Attributes:
        places: (n + 1, 2) mm, on the source.
        sets_out: (n + 1, 2) unit vectors: the source's directions there, onward. At a slight kink that is in between;
            at the end of a row of lines, as if it were a curve.
        arrives: The same from behind, which differs at corners only.
        chords: (n + 1,) mm: the length of the step from each place; 0 at the last.
        slacks: (n + 1,) mm: how far the source lies off each chord; 0 at the last.
        way: (n + 1,) mm along the chords from the first place.
    """

    places: Floats
    sets_out: Floats
    arrives: Floats
    chords: Floats
    slacks: Floats
    way: Floats

    @classmethod
    def of(cls, steps: Steps, corners: Flags, rows: Flags, share: Floats, *, closed: bool) -> Self:
        """Returns the run over all steps.

        Args:
            steps: In order, n of them.
            corners: (n,) whether there is a corner at the start of each.
            rows: (n,) whether two lines of a row that stands for a curve meet at the start of each.
            share: (n,) what part of a slight kink at its start lies before the run's direction there.
            closed: Whether the last step ends where the first begins.
        """
        first, last = steps.sets_out, np.roll(steps.arrives, 1, axis=0)
        middle = first * share[:, None] + last * (1.0 - share)[:, None]
        is_sharp = corners[:, None].copy()
        is_sharp[0] |= not closed
        middle /= np.where(is_sharp[:, 0], 1.0, lengths(middle))[:, None]
        sets_out, arrives = np.where(is_sharp, first, middle), np.where(is_sharp, last, middle)
        places = np.concatenate([steps.starts, steps.ends[-1:]])
        chords = lengths(np.diff(places, axis=0))
        sets_out, arrives = np.append(sets_out, arrives[:1], axis=0), np.append(arrives, arrives[:1], axis=0)
        chord = np.diff(places, axis=0) / chords[:, None]
        heads = np.flatnonzero(is_sharp[:-1, 0] & rows[1:])
        tails = np.flatnonzero(np.append(is_sharp[1:, 0], is_sharp[0, 0]) & rows)
        sets_out[heads] = _mirrored(arrives[heads + 1], chord[heads])
        arrives[tails + 1] = _mirrored(sets_out[tails], chord[tails])
        return cls(
            places=places,
            sets_out=sets_out,
            arrives=arrives,
            chords=np.append(chords, 0.0),
            slacks=np.append(steps.slack, 0.0),
            way=np.concatenate([[0.0], chords.cumsum()]),
        )

    def __len__(self) -> int:
        return len(self.slacks) - 1


def _mirrored(along: Floats, chord: Floats) -> Floats:
    """Returns the directions at one end of arcs, from those at the other and of their chords."""
    found: Floats = chord * (2.0 * dot(chord, along))[:, None] - along
    return found


def lengths(vectors: Floats) -> Floats:
    """Returns the lengths of (n, 2) vectors."""
    found: Floats = np.hypot(vectors[:, 0], vectors[:, 1])
    return found


def dot(one: Floats, other: Floats) -> Floats:
    """Returns the scalar products of (n, 2) vectors."""
    found: Floats = one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1]
    return found


def cross(one: Floats, other: Floats) -> Floats:
    """Returns the z of the vector products of (n, 2) vectors: positive where `other` lies to the left."""
    found: Floats = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    return found


def angles(one: Floats, other: Floats) -> Floats:
    """Returns the angles from (n, 2) vectors to others, positive to the left."""
    found: Floats = np.arctan2(cross(one, other), dot(one, other))
    return found

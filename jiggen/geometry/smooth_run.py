"""A stretch of a traced chain without corners, and arcs measured against it. Millimetres and radians."""

import math
from dataclasses import dataclass
from typing import Self, assert_never

import numpy as np

from jiggen.geometry.path import Arc, Line, Segment
from jiggen.geometry.trace import Floats, Numbers, Steps


@dataclass(frozen=True, slots=True)
class Run:
    """Places along a smooth stretch, n + 1 of them.

    Attributes:
        places: (n + 1, 2) mm, on the source.
        along: (n + 1, 2) unit vectors: the source's directions there.
        slack: (n,) mm: how far the source lies off each chord.
        source: (n,) the curve each step lies on.
    """

    places: Floats
    along: Floats
    slack: Floats
    source: Numbers

    @classmethod
    def of(cls, steps: Steps, rows: Numbers) -> Self:
        """Returns the run over `rows` of the steps; at a slight kink it takes the direction midway."""
        sets_out, arrives = steps.sets_out[rows], steps.arrives[rows]
        along = np.concatenate([sets_out[:1], sets_out[1:] + arrives[:-1], arrives[-1:]])
        along /= np.hypot(along[:, 0], along[:, 1])[:, None]
        places = np.concatenate([steps.starts[rows], steps.ends[rows[-1:]]])
        return cls(places=places, along=along, slack=steps.slack[rows], source=steps.source[rows])

    def __len__(self) -> int:
        return len(self.slack)


def signed_distance(places: Floats, x: float, y: float, along: tuple[float, float], bend: float) -> Floats:
    """Returns how far places lie to the left of a circle or line, in mm.

    Source: with q the place seen from the start, n the left normal and k the bend, 1 - 2k(n·q - k q²/2) is the
    square of the distance from the centre in radii; the root's difference from 1, over k, is written without loss
    for small k.
    """
    qx, qy = places[..., 0] - x, places[..., 1] - y
    lift = along[0] * qy - along[1] * qx - bend * (qx * qx + qy * qy) / 2.0
    return 2.0 * lift / (1.0 + np.sqrt(np.maximum(1.0 - 2.0 * bend * lift, 0.0)))


def start_of(piece: Segment) -> tuple[tuple[float, float], float]:
    """Returns the direction in which a segment sets out, as a unit vector, and its bend in 1/mm."""
    chord = piece.end - piece.start
    length = chord.length()
    ux, uy = chord.x / length, chord.y / length
    match piece:
        case Line():
            return (ux, uy), 0.0
        case Arc():
            half = -2.0 * math.atan(piece.bulge)
            cosine, sine = math.cos(half), math.sin(half)
            return (ux * cosine - uy * sine, ux * sine + uy * cosine), -2.0 * sine / length
        case _:
            assert_never(piece)


def end_of(piece: Segment) -> tuple[float, float]:
    """Returns the direction in which a segment arrives, as a unit vector."""
    (ux, uy), _ = start_of(piece)
    match piece:
        case Line():
            return (ux, uy)
        case Arc():
            cosine, sine = math.cos(piece.sweep), math.sin(piece.sweep)
            return (ux * cosine - uy * sine, ux * sine + uy * cosine)
        case _:
            assert_never(piece)

"""Curves to fit arcs to: random Béziers, kind or nasty, and a smooth outline of many pieces."""

import math
from collections.abc import Callable

import numpy as np

from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.point import Point

Draw = np.random.Generator


def _plain(draw: Draw) -> np.ndarray:
    return draw.uniform(0.0, 100.0, (4, 2))


def _cusp(draw: Draw) -> np.ndarray:
    """Handles that cross so that the speed is zero at the middle, exactly or within a hair."""
    (a, b) = draw.uniform(-50.0, 50.0, (2, 2))
    near = draw.choice([0.0, 1e-9, 1e-6, 1e-3, 0.03]) * draw.normal(size=(2, 2))
    # derivative at 1/2 is 3/4 (d + c - a - b) for a, b, c, d: zero when c = a + b - d
    d = draw.uniform(-50.0, 50.0, 2)
    b2, c2 = b + near[0], a + b - d + near[1]
    return np.array([a, b2, c2, d])


def _loop(draw: Draw) -> np.ndarray:
    width, reach = draw.uniform(1.0, 60.0), draw.uniform(20.0, 120.0)
    row = np.array([(0.0, 0.0), (width + reach, reach), (-reach, reach), (width, 0.0)])
    return row + draw.normal(scale=3.0, size=(4, 2))


def _nearly_straight(draw: Draw) -> np.ndarray:
    along = np.sort(draw.uniform(0.0, 100.0, 4))
    return np.stack([along, draw.normal(scale=10.0 ** draw.uniform(-9.0, -1.0), size=4)], axis=1)


def _in_line(draw: Draw) -> np.ndarray:
    """All control points on a line, in any order: it may go back over itself."""
    return np.outer(draw.uniform(-50.0, 100.0, 4), draw.normal(size=2)) + draw.uniform(0.0, 50.0, 2)


def _without_handles(draw: Draw) -> np.ndarray:
    row = _plain(draw)
    match int(draw.integers(4)):
        case 0:
            row[1] = row[0]
        case 1:
            row[2] = row[3]
        case 2:
            row[1], row[2] = row[0], row[3]
        case _:
            row[2] = row[1] = row[0]
    return row


def _tiny(draw: Draw) -> np.ndarray:
    return _plain(draw) * 10.0 ** draw.uniform(-6.0, -2.0)


def _huge(draw: Draw) -> np.ndarray:
    return _plain(draw) * 10.0 ** draw.uniform(1.0, 2.5)


def _far_away(draw: Draw) -> np.ndarray:
    return _plain(draw) + draw.uniform(-1.0, 1.0, 2) * 1e5


def _closing(draw: Draw) -> np.ndarray:
    row = _plain(draw)
    row[3] = row[0]
    return row


#: Kinds of cubic Béziers by name, each with how one is drawn: (4, 2) control points in mm.
KINDS: dict[str, Callable[[Draw], np.ndarray]] = {
    "plain": _plain,
    "cusp": _cusp,
    "loop": _loop,
    "nearly straight": _nearly_straight,
    "in line": _in_line,
    "without handles": _without_handles,
    "tiny": _tiny,
    "huge": _huge,
    "far away": _far_away,
    "closing": _closing,
}


def random_cubic(seed: int, kind: str) -> CubicBezier:
    """Returns a Bézier curve of a kind."""
    draw = np.random.default_rng([seed, list(KINDS).index(kind)])
    return CubicBezier(*(Point(x, y) for x, y in KINDS[kind](draw).tolist()))


def wavy_outline(pieces: int, waves: int = 5) -> list[CubicBezier]:
    """Returns a smooth closed outline, about 400 mm across, of so many cubic Béziers."""
    angle = np.linspace(0.0, 2.0 * math.pi, pieces, endpoint=False)
    radius = 170.0 + 40.0 * np.cos(2.0 * angle) + 8.0 * np.sin(waves * angle)
    growth = -80.0 * np.sin(2.0 * angle) + 8.0 * waves * np.cos(waves * angle)
    out, up = np.stack([np.cos(angle), np.sin(angle)], 1), np.stack([-np.sin(angle), np.cos(angle)], 1)
    at = radius[:, None] * out
    handle = (growth[:, None] * out + radius[:, None] * up) * (2.0 * math.pi / pieces / 3.0)
    rows = zip(at, at + handle, np.roll(at - handle, -1, axis=0), np.roll(at, -1, axis=0), strict=True)
    return [CubicBezier(*(Point(*spot.tolist()) for spot in row)) for row in rows]


def clothoid(length: float, turn_rad: float) -> list[CubicBezier]:
    """Returns cubic Béziers along a curve whose bend grows evenly from none, and which turns by so much in all."""
    fine, pieces = 20000, 20
    way = np.linspace(0.0, length, fine + 1)
    middle = turn_rad * ((way[1:] + way[:-1]) / 2.0 / length) ** 2
    steps = np.stack([np.cos(middle), np.sin(middle)], axis=1) * (length / fine)
    at = np.concatenate([[(0.0, 0.0)], steps.cumsum(axis=0)])[:: fine // pieces]
    angle = turn_rad * (way[:: fine // pieces] / length) ** 2
    handle = np.stack([np.cos(angle), np.sin(angle)], axis=1) * (length / pieces / 3.0)
    rows = zip(at[:-1], at[:-1] + handle[:-1], at[1:] - handle[1:], at[1:], strict=True)
    return [CubicBezier(*(Point(*spot.tolist()) for spot in row)) for row in rows]

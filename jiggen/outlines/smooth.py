"""A smooth curve through noisy readings along it: a smoothing spline, whose stiffness the readings decide. Millimetres.

Source: P. J. Green and B. W. Silverman, Nonparametric Regression and Generalized Linear Models, 1994, chapter 2 (the
matrices Q and R, and cyclic ones for a closed curve); P. Craven and G. Wahba, Numerische Mathematik 31, 377 (1979)
(generalised cross validation).
"""

from collections.abc import Sequence

import numpy as np

from jiggen.geometry.curve import CubicBezier
from jiggen.geometry.point import Point
from jiggen.geometry.trace import Floats

#: Stiffnesses that are tried, from none to hardly any bend left, times the mean bend's own.
_TRIED = np.logspace(-12.0, 4.0, 321)


def smooth_through(points: Sequence[Point], most_rms: float, *, closed: bool) -> tuple[CubicBezier, ...]:
    """Returns curves along points in order, one between each two: x goes through exactly, y is smoothed.

    They meet with a common tangent and a common bend.

    Args:
        points: Four or more, no two neighbours in one place.
        most_rms: How far the curve may pass the points in y, root mean square, at most.
        closed: Whether the last is joined to the first, which is not repeated.
    """
    x = np.array([point.x for point in points])
    y = np.array([point.y for point in points])
    ahead = (np.roll(x, -1) - x, np.roll(y, -1) - y)
    steps = np.hypot(*ahead)[: len(points) if closed else -1]
    q, r = (_cyclic if closed else _open)(steps)
    rough = q @ np.linalg.solve(r, q.T)
    y = _smoothed(y, (rough + rough.T) / 2.0, most_rms)
    bends = [np.linalg.solve(r, q.T @ values) for values in (x, y)]
    if not closed:
        bends = [np.concatenate([[0.0], bend, [0.0]]) for bend in bends]
    count = len(points)
    found = []
    for index, step in enumerate(steps.tolist()):
        after = (index + 1) % count
        legs = [
            _legs(values[index], values[after], bend[index], bend[after], step)
            for values, bend in zip((x, y), bends, strict=True)
        ]
        found.append(
            CubicBezier(*(Point(float(one), float(other)) for one, other in zip(*legs, strict=True)))
        )
    return tuple(found)


def _legs(
    one: float, other: float, bend: float, next_bend: float, step: float
) -> tuple[float, float, float, float]:
    """Returns the control values of a cubic piece with given ends and second derivatives there."""
    slope = (other - one) / step - step * (2.0 * bend + next_bend) / 6.0
    next_slope = (other - one) / step + step * (bend + 2.0 * next_bend) / 6.0
    return one, one + slope * step / 3.0, other - next_slope * step / 3.0, other


def _open(steps: Floats) -> tuple[Floats, Floats]:
    """Returns Q, (n, n - 2), and R, (n - 2, n - 2), for an open curve that runs straight at its ends."""
    count = len(steps) + 1
    q, r = np.zeros((count, count - 2)), np.zeros((count - 2, count - 2))
    for column in range(count - 2):
        before, after = steps[column], steps[column + 1]
        q[column : column + 3, column] = 1.0 / before, -1.0 / before - 1.0 / after, 1.0 / after
        r[column, column] = (before + after) / 3.0
        if column + 1 < count - 2:
            r[column, column + 1] = r[column + 1, column] = after / 6.0
    return q, r


def _cyclic(steps: Floats) -> tuple[Floats, Floats]:
    """Returns Q and R, both (n, n), for a closed curve."""
    count = len(steps)
    q, r = np.zeros((count, count)), np.zeros((count, count))
    for here in range(count):
        before, after, following = steps[here - 1], steps[here], (here + 1) % count
        q[here - 1, here] += 1.0 / before
        q[here, here] -= 1.0 / before + 1.0 / after
        q[following, here] += 1.0 / after
        r[here, here] = (before + after) / 3.0
        r[here, following] += after / 6.0
        r[following, here] += after / 6.0
    return q, r


def _smoothed(values: Floats, rough: Floats, most_rms: float) -> Floats:
    """Returns the values smoothed as much as their own scatter asks for, and no more than is allowed."""
    weights, modes = np.linalg.eigh(rough)
    weights = np.maximum(weights, 0.0)
    weights[weights <= 1e-12 * weights[-1]] = 0.0
    shares = modes.T @ values
    best, chosen = np.inf, 0.0
    for stiffness in _TRIED / weights[weights > 0.0].mean() * 1e3:
        lost = stiffness * weights / (1.0 + stiffness * weights)
        off = float(((lost * shares) ** 2).mean())
        if off > most_rms**2:
            break
        score = off / float(lost.mean()) ** 2
        if score < best:
            best, chosen = score, stiffness
    kept: Floats = modes @ (shares / (1.0 + chosen * weights))
    return kept

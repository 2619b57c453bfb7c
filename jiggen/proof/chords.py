"""Curves that are neither straight nor circular, taken to chords: other software writes them, ours never does.

Every chord lies within a stated error of its curve. Source of the bound: a curve of which the second derivative is at
most M departs from the chord over a step h of its parameter by at most M h²/8 (any textbook of numerical analysis).
"""

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from jiggen.proof.trace import Place

Floats = NDArray[np.float64]

#: More chords than this no curve of a template needs.
_MOST = 20_000


def bezier(points: Sequence[Place], error: float) -> list[Place]:
    """Returns the places along a Bézier curve after its start, ending at its end.

    Args:
        points: Its control points, three for a quadratic curve, four for a cubic one.
        error: Largest distance between chord and curve, in the same unit.
    """
    controls = np.array(points)
    order = len(controls) - 1
    bend = float(np.abs(np.diff(controls, 2, axis=0)).sum(axis=1).max()) * order * (order - 1)
    share = np.linspace(0.0, 1.0, _count(math.sqrt(bend / (8.0 * error))) + 1)[1:, None]
    levels = [np.broadcast_to(point, (len(share), 2)) for point in controls]
    while len(levels) > 1:  # de Casteljau
        levels = [one * (1.0 - share) + other * share for one, other in pairwise(levels)]
    return [(float(x), float(y)) for x, y in levels[0][:-1]] + [points[-1]]


def elliptic_arc(start: Place, fields: Sequence[float], error: float) -> list[Place]:
    """Returns the places along an elliptic arc of SVG after its start, ending at its end.

    Args:
        start: Where it starts.
        fields: As path data has them: radii, turn of the axes in degrees, large-arc and sweep flag, end.
        error: Largest distance between chord and curve, in the same unit.

    Source: W3C SVG 2, appendix B.2.4 (from ends to centre) and B.2.5 (radii that are too small).
    """
    radius_x, radius_y, degrees, large, sweep, end_x, end_y = fields
    a, b = abs(radius_x), abs(radius_y)
    turn = math.radians(degrees)
    cosine, sine = math.cos(turn), math.sin(turn)
    half_x, half_y = (start[0] - end_x) / 2.0, (start[1] - end_y) / 2.0
    x, y = cosine * half_x + sine * half_y, -sine * half_x + cosine * half_y
    short = math.hypot(x / a, y / b)
    if short > 1.0:
        a, b = a * short, b * short
    left = max((a * b) ** 2 - (a * y) ** 2 - (b * x) ** 2, 0.0) / ((a * y) ** 2 + (b * x) ** 2)
    factor = math.sqrt(left) * (1.0 if bool(large) != bool(sweep) else -1.0)
    middle_x, middle_y = factor * a * y / b, -factor * b * x / a
    centre_x = cosine * middle_x - sine * middle_y + (start[0] + end_x) / 2.0
    centre_y = sine * middle_x + cosine * middle_y + (start[1] + end_y) / 2.0
    first = math.atan2((y - middle_y) / b, (x - middle_x) / a)
    last = math.atan2((-y - middle_y) / b, (-x - middle_x) / a)
    angle = (last - first) % math.tau if sweep else -((first - last) % math.tau)
    count = _count(abs(angle) * math.sqrt(max(a, b) / (8.0 * error)))
    angles = first + angle * np.arange(1, count) / count
    xs, ys = a * np.cos(angles), b * np.sin(angles)
    places = zip(centre_x + cosine * xs - sine * ys, centre_y + sine * xs + cosine * ys, strict=True)
    return [*((float(px), float(py)) for px, py in places), (end_x, end_y)]


def ellipse(
    centre: Place, axis: Place, *, ratio: float, first: float, last: float, error: float
) -> list[Place]:
    """Returns the places along an ellipse's arc as DXF has it.

    Args:
        centre: Of the ellipse.
        axis: From the centre to the end of the longer axis.
        ratio: Of the shorter axis to the longer.
        first: Parameter where it starts, radians.
        last: Parameter where it ends.
        error: Largest distance between chord and curve, in the same unit.

    Source: DXF reference, ELLIPSE.
    """
    sweep = (last - first) % math.tau or math.tau
    length = math.hypot(*axis)
    count = _count(sweep * math.sqrt(length / (8.0 * error)))
    angles = first + sweep * np.arange(count + 1) / count
    along, across = np.cos(angles), ratio * np.sin(angles)
    xs = centre[0] + axis[0] * along - axis[1] * across
    ys = centre[1] + axis[1] * along + axis[0] * across
    return [(float(x), float(y)) for x, y in zip(xs, ys, strict=True)]


def spline(
    *,
    degree: int,
    knots: Sequence[float],
    controls: Sequence[Place],
    weights: Sequence[float],
    error: float,
) -> list[Place]:
    """Returns the places along a B-spline, rational if it has weights, from its start to its end.

    Args:
        degree: 1 or more.
        knots: As many as controls, and one more than the degree.
        controls: Its control points.
        weights: One for each control point, or none.
        error: Largest distance between chord and curve, in the same unit.

    Source: de Boor's algorithm, C. de Boor, A Practical Guide to Splines (from memory); compared with ezdxf in tests.
    """
    values = np.array(weights) if weights else np.ones(len(controls))
    raised = np.column_stack([np.array(controls) * values[:, None], values])
    steps = np.array(knots)
    places: list[Place] = []
    for span in range(degree, len(controls)):
        low, high = steps[span], steps[span + 1]
        if high > low:
            found = _span(raised, steps, degree, span, error)
            places += found if not places else found[1:]
    return places


def _span(raised: Floats, knots: Floats, degree: int, span: int, error: float) -> list[Place]:
    """Returns the places along one span: twice as many until the middles of chords lie on the curve too."""
    count = 8
    while True:
        at = np.linspace(knots[span], knots[span + 1], 2 * count + 1)
        places = _de_boor(raised, knots, degree, span, at)
        middles = (places[0:-2:2] + places[2::2]) / 2.0
        off = np.hypot(*(places[1::2] - middles).T).max()
        if off <= error or count >= _MOST:
            return [(float(x), float(y)) for x, y in places[::2]]
        count *= 2


def _de_boor(raised: Floats, knots: Floats, degree: int, span: int, at: Floats) -> Floats:
    levels = [
        np.broadcast_to(raised[span - degree + index], (len(at), 3)).copy() for index in range(degree + 1)
    ]
    for level in range(1, degree + 1):
        for index in range(degree, level - 1, -1):
            low = knots[index + span - degree]
            high = knots[index + 1 + span - level]
            share = ((at - low) / (high - low))[:, None]
            levels[index] = (1.0 - share) * levels[index - 1] + share * levels[index]
    result: Floats = levels[degree][:, :2] / levels[degree][:, 2:]
    return result


def _count(number: float) -> int:
    return min(max(math.ceil(number), 1), _MOST)

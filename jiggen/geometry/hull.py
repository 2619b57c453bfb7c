"""The convex hull of points. Millimetres."""

from collections.abc import Sequence

from jiggen.geometry.point import Point


def convex_hull(points: Sequence[Point]) -> list[Point]:
    """Returns the corners of the smallest convex shape round points, counter-clockwise.

    Source: A. M. Andrew, Another efficient algorithm for convex hulls in two dimensions, Inf. Process. Lett. 9(5), 1979.
    """
    ordered = sorted(set(points), key=lambda point: (point.x, point.y))
    return [*_half_hull(ordered)[:-1], *_half_hull(ordered[::-1])[:-1]]


def _half_hull(ordered: Sequence[Point]) -> list[Point]:
    found: list[Point] = []
    for point in ordered:
        while len(found) > 1 and (found[-1] - found[-2]).cross(point - found[-1]) <= 0.0:
            found.pop()
        found.append(point)
    return found

"""Seeded random contours of lines and arcs, none of which meets itself."""

import math
from random import Random

from jiggen.geometry.measure import faults, from_bulges
from jiggen.geometry.path import Path, polyline, reverse, rounded
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on

#: No corner turns by more than this: its mitre reaches 1/cos(70°) = 2.92 of the offset.
SHARPEST = math.radians(140.0)


def star(chance: Random) -> Path:
    """Corners all round a centre, near and far, sides bulging in and out."""
    count = chance.randint(3, 14)
    angles = sorted(chance.uniform(0.0, 2.0 * math.pi) for _ in range(count))
    radii = [chance.uniform(4.0, 20.0) for _ in angles]
    bulges = [chance.choice((0.0, 0.0, chance.uniform(-0.9, 0.9), chance.uniform(-0.3, 0.3))) for _ in angles]
    return from_bulges(
        [
            (radius * math.cos(angle), radius * math.sin(angle), bulge)
            for angle, radius, bulge in zip(angles, radii, bulges, strict=True)
        ],
        closed=True,
    )


def comb(chance: Random) -> Path:
    """A bar with notches in its upper edge, square or round at the bottom, some narrow, some wide."""
    corners, x = [(0.0, 0.0, 0.0)], 0.0
    for _ in range(chance.randint(1, 9)):
        tooth, gap, depth = chance.uniform(0.3, 4.0), chance.uniform(0.3, 4.0), chance.uniform(0.5, 8.0)
        bulge = chance.choice((0.0, -1.0, -0.4, 0.4))
        if bulge > 0.0:
            depth = max(depth, gap)
        lean = chance.uniform(-0.2, 0.2)
        corners += [
            (x, 10.0, 0.0),
            (x + tooth, 10.0, 0.0),
            (x + tooth + lean, 10.0 - depth + 0.0, -bulge),
            (x + tooth + gap + lean, 10.0 - depth, 0.0),
        ]
        x += tooth + gap
    corners += [(x, 10.0, 0.0), (x + 3.0, 10.0, 0.0), (x + 3.0, -1.0, 0.0)]
    unique = [
        corner for index, corner in enumerate(corners) if index == 0 or corner[:2] != corners[index - 1][:2]
    ]
    return reverse(from_bulges(unique, closed=True))


def smooth(chance: Random) -> Path:
    """A star polygon with every corner rounded: all joints tangent, hollows and humps alike."""
    count = chance.randint(4, 12)
    angles = [2.0 * math.pi * (index + chance.uniform(-0.3, 0.3)) / count for index in range(count)]
    corners = []
    for angle in angles:
        radius = chance.uniform(6.0, 20.0)
        corners.append(Point(radius * math.cos(angle), radius * math.sin(angle)))
    return rounded(corners, chance.choice((0.05, 0.3, 1.0, 2.0)))


def ring(chance: Random) -> Path:
    """A letter C whose mouth is open by a little or a lot."""
    mouth, inner, outer = chance.uniform(0.05, 1.0), chance.uniform(3.0, 6.0), chance.uniform(7.0, 12.0)
    turn = chance.uniform(0.0, 2.0 * math.pi)
    bulge = math.tan((2.0 * math.pi - 2.0 * mouth) / 2.0 / 4.0)
    places = [
        (outer, mouth),
        (outer, math.pi),
        (outer, -mouth),
        (inner, -mouth),
        (inner, math.pi),
        (inner, mouth),
    ]
    bulges = (bulge, bulge, 0.0, -bulge, -bulge, 0.0)
    return from_bulges(
        [
            (radius * math.cos(turn + angle), radius * math.sin(turn + angle), bend)
            for (radius, angle), bend in zip(places, bulges, strict=True)
        ],
        closed=True,
    )


def outline(chance: Random) -> Path:
    """A straight-sided star, walked clockwise."""
    count = chance.randint(3, 25)
    angles = sorted(chance.uniform(0.0, 2.0 * math.pi) for _ in range(count))
    corners = []
    for angle in angles:
        radius = chance.uniform(3.0, 20.0)
        corners.append(Point(radius * math.cos(angle), radius * math.sin(angle)))
    return reverse(polyline(corners, closed=True))


def skyline(chance: Random) -> Path:
    """Level roofs and upright walls on whole millimetres: notches close exactly, edges fall on one another."""
    corners, x, before = [Point(0.0, 0.0)], 0.0, 0
    for _ in range(chance.randint(2, 12)):
        height = chance.choice([each for each in range(1, 9) if each != before])
        corners.append(Point(x, float(height)))
        x += float(chance.randint(1, 4))
        corners.append(Point(x, float(height)))
        before = height
    return reverse(polyline([*corners, Point(x, 0.0)], closed=True))


KINDS = (star, comb, smooth, ring, outline, skyline)


def contour(seed: int) -> Path:
    """The contour of a seed: of each kind in turn, drawn again until it is sound and blunt enough."""
    chance = Random(seed)  # noqa: S311 - chance for tests, not for secrets
    while True:
        try:
            path = KINDS[seed % len(KINDS)](chance)
        except ValueError:  # its rounding or its corners did not fit
            continue
        if not faults(path) and sharpest_turn(path) <= SHARPEST:
            return path


def sharpest_turn(path: Path) -> float:
    """The largest change of heading at a joint, in radians."""
    joints = zip(path.segments, [*path.segments[1:], path.segments[0]], strict=True)
    return max(
        math.acos(min(max(heading_on(before, 1.0).dot(heading_on(after, 0.0)), -1.0), 1.0))
        for before, after in joints
    )

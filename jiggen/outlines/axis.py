"""Finds the line on which one side of an outline mirrors the other best. Millimetres and radians."""

import math
from dataclasses import dataclass

import numpy as np

from jiggen.geometry.point import Point
from jiggen.geometry.trace import Floats
from jiggen.outlines.mirror import Ring, evenly_along
from jiggen.outlines.model import Axis

#: Places round the outline that are mirrored: for a first look, and for the last word.
_LOOK, _PLACES = 96, 400
#: Vertices that stand for the outline meanwhile.
_VERTICES = 1500
#: Directions that are looked at besides those of the area's moments.
_DIRECTIONS = 24
#: Two lines mirror as well if their misses, root mean square, differ by less than this, mm and share.
_AS_WELL_MM, _AS_WELL = 0.02, 0.05
#: Where the best line misses by more than this share of the length, nothing mirrors; drawings mostly lie upright then.
POOR = 0.005
_ROUNDS = 12


@dataclass(frozen=True, slots=True)
class CentreLine:
    """A line.

    Attributes:
        on: A point on it.
        angle: Of its direction, -π/2 to π/2.
        miss_mm: By how much mirrored places lie off the outline, root mean square.
    """

    on: Point
    angle: float
    miss_mm: float


def find_axis(corners: Floats, axis: Axis, *, y_down: bool) -> CentreLine:
    """Returns the centre line of an outline.

    Args:
        corners: (n, 2) mm, a polyline along the outline that ends where it starts.
        axis: What is asked.
        y_down: Whether the file's y grows downward, so that places of the maker's have y negated.

    Source: Green's theorem for the area's moments; Gauss and Newton's method for the rest, where a place moves by the
    normal of the outline at the nearest one.
    """
    ring, look, places = (
        Ring(corners, _VERTICES),
        evenly_along(corners, _LOOK),
        evenly_along(corners, _PLACES),
    )
    centre, principal = _moments(corners)
    if axis.along is not None:
        angle = 0.0 if axis.along == "x" else math.pi / 2.0
        if axis.at_mm is not None:
            at = -axis.at_mm if axis.along == "x" and y_down else axis.at_mm
            on = Point(0.0, at) if axis.along == "x" else Point(at, 0.0)
            return CentreLine(on, angle, _miss(ring, look, angle, on))
        return _refined(Ring(corners), places, angle, centre, free=False)
    angles = {0.0, math.pi / 2.0, principal, principal + math.pi / 2.0}
    angles |= {math.pi * step / _DIRECTIONS for step in range(_DIRECTIONS)}
    looked = sorted((_miss(ring, look, angle, centre), angle) for angle in angles)
    refined = [_refined(ring, places, angle, centre, free=True) for _, angle in looked[:4]]
    close = Ring(corners)
    upright = [_refined(close, places, angle, centre, free=False) for angle in (0.0, math.pi / 2.0)]
    best = min((*refined, *upright), key=lambda each: each.miss_mm)
    if best.miss_mm > POOR * _extent(corners, best.angle):
        return min(upright, key=lambda each: each.miss_mm)
    most = best.miss_mm * (1.0 + _AS_WELL) + _AS_WELL_MM
    if as_well := [each for each in upright if each.miss_mm <= most]:
        return max(as_well, key=lambda each: (round(_extent(corners, each.angle), 1), -each.angle))
    as_well = [each for each in refined if each.miss_mm <= most]
    chosen = max(as_well, key=lambda each: (round(_extent(corners, each.angle), 1), -abs(each.angle)))
    return _refined(close, places, chosen.angle, chosen.on, free=True)


def _moments(corners: Floats) -> tuple[Point, float]:
    """Returns the middle of the area, and the direction along which it is longest."""
    origin = corners[0]
    one, other = corners[:-1] - origin, corners[1:] - origin
    cross = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    whole = cross.sum() / 2.0
    middle = ((one + other) * cross[:, None]).sum(axis=0) / (6.0 * whole)
    one, other = one - middle, other - middle
    cross = one[:, 0] * other[:, 1] - one[:, 1] * other[:, 0]
    xx, yy = ((one**2 + one * other + other**2) * cross[:, None]).sum(axis=0) / 12.0
    xy = (
        (
            one[:, 0] * other[:, 1]
            + 2.0 * one[:, 0] * one[:, 1]
            + 2.0 * other[:, 0] * other[:, 1]
            + other[:, 0] * one[:, 1]
        )
        * cross
    ).sum() / 24.0
    angle = math.atan2(2.0 * float(xy), float(xx - yy)) / 2.0
    middle += origin
    return Point(float(middle[0]), float(middle[1])), angle


def _mirrored(places: Floats, angle: float, on: Point) -> Floats:
    normal = np.array([-math.sin(angle), math.cos(angle)])
    lift = (places - (on.x, on.y)) @ normal
    moved: Floats = places - 2.0 * lift[:, None] * normal
    return moved


def _miss(ring: Ring, places: Floats, angle: float, on: Point) -> float:
    seen = _mirrored(places, angle, on)
    near, _ = ring.nearest(seen)
    return float(np.sqrt(((near - seen) ** 2).sum(axis=1).mean()))


def _refined(ring: Ring, places: Floats, angle: float, on: Point, *, free: bool) -> CentreLine:
    """Returns the best line near a given one; one along the same direction unless it is free to turn."""
    best = CentreLine(on, angle, math.inf)
    for _ in range(_ROUNDS):
        seen = _mirrored(places, angle, on)
        near, along = ring.nearest(seen)
        miss = float(np.sqrt(((near - seen) ** 2).sum(axis=1).mean()))
        if miss < best.miss_mm:
            best = CentreLine(on, angle, miss)
        normals = np.column_stack([-along[:, 1], along[:, 0]])
        off = ((seen - near) * normals).sum(axis=1)
        aside = np.array([-math.sin(angle), math.cos(angle)])
        rates = [2.0 * (normals @ aside)]  # by shifting the line aside
        if free:  # by turning it about `on`: what is mirrored turns twice as far
            arm = seen - (on.x, on.y)
            rates.append(2.0 * (np.column_stack([-arm[:, 1], arm[:, 0]]) * normals).sum(axis=1))
        change = np.linalg.lstsq(np.column_stack(rates), -off, rcond=None)[0]
        shift = float(change[0])
        on = Point(on.x + shift * float(aside[0]), on.y + shift * float(aside[1]))
        angle += float(change[1]) if free else 0.0
        if abs(shift) < 1e-6 and (not free or abs(float(change[1])) < 1e-8):
            break
    turned = (best.angle + math.pi / 2.0) % math.pi - math.pi / 2.0 if free else best.angle
    return CentreLine(best.on, turned, best.miss_mm)


def _extent(corners: Floats, angle: float) -> float:
    along = corners @ np.array([math.cos(angle), math.sin(angle)])
    return float(along.max() - along.min())

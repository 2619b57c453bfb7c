"""Points, which serve as vectors too. Millimetres."""

import math
from dataclasses import dataclass
from typing import Final


@dataclass(slots=True, unsafe_hash=True)
class Point:
    """A place or a displacement in the plane, in mm; x along, y across.

    Never changed once it is made, as `Final` says to the type checker: one run makes a quarter of a million of them, and
    a frozen dataclass takes nearly three times as long to make.
    """

    x: Final[float]
    y: Final[float]

    def __add__(self, other: "Point") -> "Point":
        return Point(self.x + other.x, self.y + other.y)

    def __sub__(self, other: "Point") -> "Point":
        return Point(self.x - other.x, self.y - other.y)

    def __mul__(self, factor: float) -> "Point":
        return Point(self.x * factor, self.y * factor)

    def __neg__(self) -> "Point":
        return Point(-self.x, -self.y)

    def dot(self, other: "Point") -> float:
        """Returns the scalar product, in mm²."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: "Point") -> float:
        """Returns the z of the vector product, in mm²: positive when `other` lies to the left."""
        return self.x * other.y - self.y * other.x

    def length(self) -> float:
        """Returns the distance from the origin, in mm."""
        return math.hypot(self.x, self.y)

    def distance(self, other: "Point") -> float:
        """Returns the distance to another point, in mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def unit(self) -> "Point":
        """Returns the same direction at length 1.

        Raises:
            ZeroDivisionError: If the length is zero, since zero has no direction.
        """
        return self * (1.0 / self.length())

    def left(self) -> "Point":
        """Returns the vector turned a quarter turn to the left (counter-clockwise)."""
        return Point(-self.y, self.x)

    def angle(self) -> float:
        """Returns the direction in radians, in (-π, π], counter-clockwise from x."""
        return math.atan2(self.y, self.x)

    def is_finite(self) -> bool:
        """Tells whether both coordinates are ordinary numbers."""
        return math.isfinite(self.x) and math.isfinite(self.y)


ORIGIN = Point(0.0, 0.0)


def polar(radius: float, angle: float) -> Point:
    """Returns the point at `radius` mm from the origin in direction `angle` (radians)."""
    return Point(radius * math.cos(angle), radius * math.sin(angle))


def between(start: Point, end: Point, fraction: float) -> Point:
    """Returns the point at `fraction` of the way; exactly `start` at 0 and `end` at 1."""
    if fraction == 1.0:
        return end
    return Point(start.x + (end.x - start.x) * fraction, start.y + (end.y - start.y) * fraction)

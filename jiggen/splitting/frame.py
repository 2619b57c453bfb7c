"""The frame of a joint: u across it, v along it, so that every joint is upright there. Millimetres."""

import math
from dataclasses import dataclass

from jiggen.geometry.point import Point


@dataclass(frozen=True, slots=True)
class Frame:
    """Axes turned by an angle about the part's origin.

    Attributes:
        slant_rad: By which the joint leans to the left of square across the part.
    """

    slant_rad: float = 0.0

    def turned(self, place: Point) -> Point:
        """Returns a place of the part in the frame: x is u, y is v."""
        cosine, sine = math.cos(self.slant_rad), math.sin(self.slant_rad)
        return Point(place.x * cosine + place.y * sine, place.y * cosine - place.x * sine)

    def back(self, place: Point) -> Point:
        """Returns a place of the frame in the part."""
        cosine, sine = math.cos(self.slant_rad), math.sin(self.slant_rad)
        return Point(place.x * cosine - place.y * sine, place.x * sine + place.y * cosine)

"""Upright rectangles: bounds, and room for lettering. Millimetres."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from jiggen.geometry.point import ORIGIN, Point


@dataclass(slots=True, unsafe_hash=True)
class Box:
    """A rectangle with sides along x and y, from its `low` corner to its `high` one; it may have no area.

    Never changed, as a `Point` is not.
    """

    low: Final[Point]
    high: Final[Point]

    def __post_init__(self) -> None:
        low, high = self.low, self.high
        if not (low.x <= high.x and low.y <= high.y):
            raise ValueError(f"no box from {self.low} to {self.high}")

    @staticmethod
    def of_size(width: float, height: float) -> "Box":
        """Returns the box of a size in mm with its low corner at the origin."""
        return Box(ORIGIN, Point(width, height))

    @staticmethod
    def spanning(one: Point, other: Point) -> "Box":
        """Returns the box of which two opposite corners are given, in any order."""
        x_low, x_high = (one.x, other.x) if one.x <= other.x else (other.x, one.x)
        y_low, y_high = (one.y, other.y) if one.y <= other.y else (other.y, one.y)
        return Box(Point(x_low, y_low), Point(x_high, y_high))

    @property
    def width(self) -> float:
        """Size along x, in mm."""
        return self.high.x - self.low.x

    @property
    def height(self) -> float:
        """Size along y, in mm."""
        return self.high.y - self.low.y

    @property
    def centre(self) -> Point:
        """The middle."""
        return Point((self.low.x + self.high.x) / 2.0, (self.low.y + self.high.y) / 2.0)

    def grown(self, by: float) -> "Box":
        """Returns the box with every side moved out by `by` mm, or in when negative."""
        return Box(self.low - Point(by, by), self.high + Point(by, by))

    def contains(self, other: "Box", slack: float = 0.0) -> bool:
        """Tells whether the other box lies within this one, give or take `slack` mm."""
        return (
            self.low.x - slack <= other.low.x
            and self.low.y - slack <= other.low.y
            and other.high.x <= self.high.x + slack
            and other.high.y <= self.high.y + slack
        )

    def overlaps(self, other: "Box") -> bool:
        """Tells whether the two share more than an edge."""
        return (
            self.low.x < other.high.x
            and other.low.x < self.high.x
            and self.low.y < other.high.y
            and other.low.y < self.high.y
        )


def around(boxes: Iterable[Box]) -> Box:
    """Returns the smallest box round all of `boxes`.

    Raises:
        ValueError: If there are none.
    """
    every = list(boxes)
    if not every:
        raise ValueError("no box round nothing")
    return Box(
        Point(min(box.low.x for box in every), min(box.low.y for box in every)),
        Point(max(box.high.x for box in every), max(box.high.y for box in every)),
    )

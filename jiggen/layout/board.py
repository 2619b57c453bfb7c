"""The board's straight taper. Millimetres; x from the nut, y across."""

from dataclasses import dataclass

from jiggen.geometry.path import Line, Path, polyline
from jiggen.geometry.point import Point


@dataclass(frozen=True, slots=True, kw_only=True)
class Taper:
    """A board whose edges run straight from the nut to the saddle line, alike on both sides.

    Attributes:
        scale: Distance from nut to saddle line, mm.
        width_at_nut: mm.
        width_at_saddle: mm, of the edges carried on beyond the board's end.
    """

    scale: float
    width_at_nut: float
    width_at_saddle: float

    def width(self, distance: float) -> float:
        """Returns the width in mm at a distance from the nut."""
        return self.width_at_nut + (self.width_at_saddle - self.width_at_nut) * distance / self.scale

    def across(self, distance: float) -> Line:
        """Returns the line across the board at a distance from the nut, bass edge to treble edge."""
        half = self.width(distance) / 2.0
        return Line(Point(distance, -half), Point(distance, half))

    def outline(self, length: float) -> Path:
        """Returns the board from the nut to `length` mm as a closed path, counter-clockwise."""
        nut, end = self.across(0.0), self.across(length)
        return polyline((nut.start, end.start, end.end, nut.end), closed=True)

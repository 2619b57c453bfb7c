"""What a reader hands on: strokes as the file holds them, each with the names the file gives it. Millimetres.

A stroke is kept exact, by its points and the bulge of each piece between two of them (bulge = tan(sweep / 4), the
DXF measure: 0 is straight, + turns left, 1 is a half turn). Flattening is a named step with a stated error.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from jiggen.proof.report import Finding

Place = tuple[float, float]

#: Nothing that is cut reaches farther than 100 m from the sheet's corner.
FARTHEST_MM = 1e5
#: An arc within a thousandth of a degree of a full turn.
_LARGEST_BULGE = 4e5


@dataclass(frozen=True, slots=True)
class Stroke:
    """A run of lines and arcs.

    Attributes:
        points: Key points in mm, each once.
        bulges: Of the piece that starts at each point; one fewer than the points when open.
        closed: Whether a last piece leads back to the first point.
    """

    points: tuple[Place, ...]
    bulges: tuple[float, ...]
    closed: bool

    def is_plausible(self) -> bool:
        """Tells whether all coordinates and bulges are numbers of a size that some sheet could have."""
        most = FARTHEST_MM
        for x, y in self.points:
            if not (-most <= x <= most and -most <= y <= most):  # nor is NaN
                return False
        return all(-_LARGEST_BULGE <= bulge <= _LARGEST_BULGE for bulge in self.bulges)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """One thing in a file that the machine would follow, in sheet coordinates (y up).

    Attributes:
        operation: Name of its layer or group.
        part: Name of the part, as the file says; None when it does not.
        feature: Id of the feature, as the file says; None when it does not.
        stroke: Its geometry.
        where: Its place in the file, for messages.
        turns: When its pieces come, counted through all that the file has the machine follow; none for what it has not.
    """

    operation: str
    part: str | None
    feature: str | None
    stroke: Stroke
    where: str
    turns: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """All that one file says.

    Attributes:
        traced: In the order of the file.
        findings: What could not be taken as the contract has it.
        tags: The tags found, by part: field name to its text.
        size_mm: Width and height of the sheet, when the file states them.
    """

    traced: tuple[Traced, ...]
    findings: tuple[Finding, ...] = ()
    tags: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    size_mm: tuple[float, float] | None = None


def length(stroke: Stroke) -> float:
    """Returns the length along a stroke, in mm."""
    ends = (*stroke.points, stroke.points[0]) if stroke.closed else stroke.points
    total = 0.0
    for (one, other), bulge in zip(pairwise(ends), stroke.bulges, strict=True):
        chord, half = math.dist(one, other), 2.0 * math.atan(abs(bulge))  # half the sweep
        total += chord * half / math.sin(half) if half else chord
    return total


def circle(x: float, y: float, radius: float) -> Stroke:
    """Returns a full circle as two half turns to the left."""
    return Stroke(((x + radius, y), (x - radius, y)), (1.0, 1.0), closed=True)


def arc(x: float, y: float, radius: float, start: float, sweep: float) -> Stroke:
    """Returns the arc about (x, y) from angle `start` through `sweep` (radians, + is left) as two equal pieces."""
    points = tuple(
        (x + radius * math.cos(start + part * sweep), y + radius * math.sin(start + part * sweep))
        for part in (0.0, 0.5, 1.0)
    )
    bulge = math.tan(sweep / 8.0)
    return Stroke(points, (bulge, bulge), closed=False)

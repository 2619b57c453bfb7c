"""Paths: ordered runs of lines and arcs, open or closed. Millimetres and radians.

An arc is kept by its two ends and its bulge, tan(sweep / 4), the form DXF uses: the ends of neighbours can
then be the very same floats, and mirroring or scaling an arc cannot pull it off its neighbours. A full circle
is two half-turn arcs, for which `circle()` and `as_circle()` are the doors in and out.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final, assert_never

from jiggen.geometry.box import Box, around
from jiggen.geometry.point import Point, between, polar

#: Ends nearer than this, in mm, are the same place: a thousandth of what a laser can show.
COINCIDENT = 1e-6
#: An arc may sweep at most this much (radians); nearer to a full turn its bulge no longer holds its radius.
LARGEST_SWEEP = math.radians(350.0)
_LARGEST_BULGE = math.tan(LARGEST_SWEEP / 4.0)


@dataclass(slots=True, unsafe_hash=True)
class Line:
    """A straight segment from `start` to `end`; never changed, as a `Point` is not."""

    start: Final[Point]
    end: Final[Point]

    def __post_init__(self) -> None:
        start, end = self.start, self.end
        if not math.isfinite(start.x + start.y + end.x + end.y):
            raise ValueError(f"a line needs finite ends, got {self.start} to {self.end}")

    @property
    def box(self) -> Box:
        """The smallest upright box round it."""
        return Box.spanning(self.start, self.end)


@dataclass(slots=True, unsafe_hash=True)
class Arc:
    """A circular arc from `start` to `end`; never changed, as a `Point` is not.

    Attributes:
        bulge: tan(sweep / 4): positive turns left (counter-clockwise), 1 is a half turn. Never zero.
    """

    start: Final[Point]
    end: Final[Point]
    bulge: Final[float]

    def __post_init__(self) -> None:
        start, end, bulge = self.start, self.end, self.bulge
        if not math.isfinite(start.x + start.y + end.x + end.y + bulge):
            raise ValueError(f"an arc needs finite ends and bulge, got {self}")
        if bulge == 0.0 or (start.x == end.x and start.y == end.y):
            raise ValueError(f"an arc needs a bulge and two different ends, got {self}")
        if abs(bulge) > _LARGEST_BULGE:
            raise ValueError(
                f"an arc may sweep {math.degrees(LARGEST_SWEEP):.0f} degrees at most, got {self}"
            )

    @property
    def sweep(self) -> float:
        """The angle turned through, in radians; positive is counter-clockwise."""
        return 4.0 * math.atan(self.bulge)

    @property
    def radius(self) -> float:
        """The radius in mm, always positive."""
        return self.start.distance(self.end) * (1.0 + self.bulge**2) / (4.0 * abs(self.bulge))

    @property
    def centre(self) -> Point:
        """The centre of the circle the arc lies on."""
        chord = self.end - self.start
        along_normal = (1.0 - self.bulge**2) / (4.0 * self.bulge)
        return between(self.start, self.end, 0.5) + chord.left() * along_normal

    @property
    def box(self) -> Box:
        """The smallest upright box round it, its belly included."""
        centre, radius = self.centre, self.radius
        x, y = self.start.x, self.start.y
        along, across = self.end.x - x, self.end.y - y
        x_low, x_high = (x, self.end.x) if along >= 0.0 else (self.end.x, x)
        y_low, y_high = (y, self.end.y) if across >= 0.0 else (self.end.y, y)
        # An outermost point of the circle is on the arc when it lies on its side of the chord.
        side = self.bulge * (along * (centre.y - y) - across * (centre.x - x))
        bent_along, bent_across = self.bulge * along * radius, self.bulge * across * radius
        if side < bent_across:
            x_high = max(x_high, centre.x + radius)
        if side < -bent_across:
            x_low = min(x_low, centre.x - radius)
        if side < -bent_along:
            y_high = max(y_high, centre.y + radius)
        if side < bent_along:
            y_low = min(y_low, centre.y - radius)
        return Box(Point(x_low, y_low), Point(x_high, y_high))


Segment = Line | Arc


@dataclass(slots=True, unsafe_hash=True)
class Path:
    """A run of segments, each starting at the exact point where the one before it ended; never changed.

    Attributes:
        segments: At least one.
        closed: Whether the last segment ends where the first starts, and the path bounds an area.
    """

    segments: Final[tuple[Segment, ...]]
    closed: Final[bool] = False
    _box: Box | None = field(
        default=None, init=False, repr=False, compare=False
    )  # once it has been asked for

    def __post_init__(self) -> None:
        if not self.segments:
            raise ValueError("a path needs at least one segment")
        first, *others = self.segments
        here = first.end
        for piece in others:
            if here is not piece.start and here != piece.start:  # mostly one and the same point
                raise ValueError(f"a path may not jump: {here} is not {piece.start}")
            here = piece.end
        if self.closed and here != first.start:
            raise ValueError(f"a closed path must end at {first.start}, not {here}")

    @property
    def start(self) -> Point:
        """Where the path begins."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where the path ends; its start again when closed."""
        return self.segments[-1].end

    @property
    def box(self) -> Box:
        """The smallest upright box round the path, the bellies of arcs included."""
        if self._box is not None:
            return self._box
        boxes = [piece.box for piece in self.segments]
        return know_box(self, around(boxes) if len(boxes) > 1 else boxes[0])

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.segments)

    def __len__(self) -> int:
        return len(self.segments)


def know_box(path: Path, box: Box) -> Box:
    """Lets a path know its box, for a caller that knows it without looking at each piece; returns the box."""
    path._box = box  # noqa: SLF001 - it is what this function is for
    return box


def polyline(points: Sequence[Point], *, closed: bool = False) -> Path:
    """Returns the straight-sided path through `points`, which are joined back to the first when closed.

    Raises:
        ValueError: If fewer than two points are given, or two neighbours are equal.
    """
    ends = [*points[1:], points[0]] if closed else list(points[1:])
    if not ends or any(start == end for start, end in zip(points, ends, strict=False)):
        raise ValueError(f"a polyline needs two or more points, none twice in a row: {points}")
    return Path(tuple(Line(start, end) for start, end in zip(points, ends, strict=False)), closed=closed)


def segment(start: Point, end: Point) -> Path:
    """Returns the open path of one straight line."""
    return Path((Line(start, end),))


def rectangle(low: Point, high: Point, *, radius: float = 0.0) -> Path:
    """Returns a counter-clockwise rectangle, its corners rounded by `radius` mm.

    Raises:
        ValueError: If a side is not positive or the radius is more than half of the shorter one.
    """
    width, height = high.x - low.x, high.y - low.y
    if width <= 0.0 or height <= 0.0 or not 0.0 <= radius <= min(width, height) / 2.0:
        raise ValueError(f"no rectangle from {low} to {high} with corner radius {radius}")
    corners = (low, Point(high.x, low.y), high, Point(low.x, high.y))
    return rounded(corners, radius) if radius > 0.0 else polyline(corners, closed=True)


def rounded(corners: Sequence[Point], radius: float | Sequence[float]) -> Path:
    """Returns the closed polygon through `corners` with each corner replaced by an arc of `radius` mm.

    The arcs join the sides with a common tangent. Corners that go straight on are left alone.

    Args:
        corners: In order.
        radius: Of all corners, positive; or of each corner, where 0 leaves it sharp.

    Raises:
        ValueError: If a radius is not such a number, two neighbouring corners are one, or the arcs do not fit on a
            side.
    """
    radii = [radius] * len(corners) if isinstance(radius, int | float) else list(radius)
    if radius == 0.0 or not all(math.isfinite(each) and each >= 0.0 for each in radii):
        raise ValueError(f"a corner radius must be positive, got {radius}")
    if any(corner == corners[index - 1] for index, corner in enumerate(corners)):
        raise ValueError(f"a polygon needs corners that differ, none twice in a row: {corners}")
    pieces: list[tuple[Point, Point, float]] = []  # where each corner's arc starts, ends, and its bulge
    count = len(corners)
    for index, corner in enumerate(corners):
        back = (corners[index - 1] - corner).unit()
        ahead = (corners[(index + 1) % count] - corner).unit()
        turn = math.atan2((-back).cross(ahead), (-back).dot(ahead))
        if radii[index] == 0.0:
            pieces.append((corner, corner, 0.0))
            continue
        trim = radii[index] * math.tan(abs(turn) / 2.0)
        pieces.append((corner + back * trim, corner + ahead * trim, math.tan(turn / 4.0)))
    segments: list[Segment] = []
    for index, (start, end, bulge) in enumerate(pieces):
        following = pieces[(index + 1) % count][0]
        side = corners[(index + 1) % count] - corners[index]
        if abs(bulge) > 1e-12:
            segments.append(Arc(start, end, bulge))
        leaves = (
            end if abs(bulge) > 1e-12 else start
        )  # a straight-on corner has no arc: its two ends are one place
        if (following - leaves).dot(side) < -COINCIDENT * side.length():
            raise ValueError(f"corner radius {radius} is too large for the side from {corners[index]}")
        if following.distance(leaves) > COINCIDENT:
            segments.append(Line(leaves, following))
        else:  # the arcs meet: let the next one start where this one ends
            pieces[(index + 1) % count] = (leaves, *pieces[(index + 1) % count][1:])
            if index == count - 1:
                segments[0] = _starting_at(segments[0], leaves)
    return Path(tuple(segments), closed=True)


def _starting_at(piece: Segment, start: Point) -> Segment:
    match piece:
        case Line():
            return Line(start, piece.end)
        case Arc():
            return Arc(start, piece.end, piece.bulge)
        case _:
            assert_never(piece)


def circle(centre: Point, radius: float) -> Path:
    """Returns a counter-clockwise circle as two half turns, starting at its rightmost point.

    Raises:
        ValueError: If the radius is not a positive number.
    """
    if not (math.isfinite(radius) and radius > 0.0):
        raise ValueError(f"a circle needs a positive radius, got {radius}")
    right, left = centre + Point(radius, 0.0), centre - Point(radius, 0.0)
    return Path((Arc(right, left, 1.0), Arc(left, right, 1.0)), closed=True)


def as_circle(path: Path) -> tuple[Point, float] | None:
    """Returns centre and radius (mm) if the path is one full circle of two half turns, else None."""
    match path.segments:
        case (Arc() as one, Arc() as other) if (
            path.closed and one.bulge == other.bulge and abs(one.bulge) == 1.0
        ):
            return between(one.start, one.end, 0.5), one.start.distance(one.end) / 2.0
        case _:
            return None


def arc_around(centre: Point, radius: float, start_angle: float, sweep: float) -> Arc:
    """Returns the arc of `radius` mm around `centre` from `start_angle` through `sweep` (radians, + is left).

    Raises:
        ValueError: If the radius is not positive, or the sweep is zero or more than an arc may have.
    """
    if not (
        radius > 0.0 and 0.0 < abs(sweep) <= LARGEST_SWEEP
    ):  # past a full turn the tangent comes round again
        raise ValueError(f"no arc of radius {radius} through {math.degrees(sweep)} degrees")
    start = centre + polar(radius, start_angle)
    end = centre + polar(radius, start_angle + sweep)
    return Arc(start, end, math.tan(sweep / 4.0))


def reverse(path: Path) -> Path:
    """Returns the same path walked the other way."""
    return Path(tuple(reverse_segment(piece) for piece in reversed(path.segments)), closed=path.closed)


def reverse_segment(piece: Segment) -> Segment:
    """Returns the same segment walked the other way."""
    match piece:
        case Line():
            return Line(piece.end, piece.start)
        case Arc():
            return Arc(piece.end, piece.start, -piece.bulge)
        case _:
            assert_never(piece)

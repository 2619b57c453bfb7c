"""Outlines of flat plates with rounded corners, and notches in their sides. Millimetres."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, Segment, polyline
from jiggen.geometry.point import Point, between
from jiggen.geometry.similarity import QUARTER_TURN, Similarity
from jiggen.parts.model import Feature, Role


class Side(StrEnum):
    """A side of an upright plate."""

    BOTTOM = "bottom"
    RIGHT = "right"
    TOP = "top"
    LEFT = "left"


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A notch in a side, either square-bottomed for a pin or pointed for a pencil.

    Attributes:
        id: Feature id.
        side: The side that it opens to.
        at: Its centre: x on the bottom and top, y on the left and right.
        width: Clear width at the mouth.
        depth: From the side to its bottom.
        pointed: Whether it is a V; else it has a flat bottom as wide as its mouth.
        narrowed_to: Clear width of its inner half, for a gauge that lets something in halfway; None: it stays as wide.
    """

    id: str
    side: Side
    at: float
    width: float
    depth: float
    pointed: bool = False
    narrowed_to: float | None = None


def plate(box: Box, *, radius: float, notches: Sequence[Notch] = ()) -> tuple[Feature, ...]:
    """Returns the features of a plate: its outside edge `outline`, then each notch that lies in it.

    Args:
        box: The plate.
        radius: Of its corners.
        notches: In any order.

    Raises:
        ValueError: If notches touch one another or a corner.
    """
    segments: list[Segment] = []
    found: dict[str, Feature] = {}
    for side, turn, start, end in _sides(box):
        along = turn.inverse()  # brings the side to lie along +x with the plate above it
        here = sorted(
            (notch for notch in notches if notch.side is side),
            key=lambda notch: along.point(_mouth(box, notch)).x,
        )
        reach = along.point(start).x + radius
        base = along.point(start).y
        pen = turn.point(Point(reach, base))
        for notch in here:
            centre = along.point(_mouth(box, notch)).x
            corners = [turn.point(corner) for corner in _profile(notch, centre, base)]
            if centre - notch.width / 2.0 <= reach:
                raise ValueError(f"notch {notch.id} touches its neighbour or a corner")
            segments.append(Line(pen, corners[0]))
            segments.extend(polyline(corners).segments)
            pen = corners[-1]
            reach = centre + notch.width / 2.0
            for feature in _notch_features(notch, corners):
                found[feature.id] = feature
        corner_start = along.point(end).x - radius
        if reach >= corner_start and here:
            raise ValueError(f"notch {here[-1].id} touches a corner")
        before_corner = turn.point(Point(corner_start, base))
        after_corner = turn.point(Point(along.point(end).x, base + radius))
        segments.append(Line(pen, before_corner))
        segments.append(Arc(before_corner, after_corner, math.tan(math.pi / 8.0)))
    outline = Path(tuple(segments), closed=True)
    edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
    order = [id for notch in notches for id in _feature_ids(notch)]
    return (edge, *(found[id] for id in order))


def _feature_ids(notch: Notch) -> tuple[str, ...]:
    return (notch.id,) if notch.narrowed_to is None else (f"{notch.id}.outer", f"{notch.id}.inner")


def _notch_features(notch: Notch, corners: Sequence[Point]) -> Iterator[Feature]:
    """Yields the notch, or where it narrows its outer half and its inner one.

    Args:
        notch: Any.
        corners: Along it from mouth to mouth.
    """
    runs: list[tuple[tuple[Path, ...], Point, Point, float]] = []
    mouth = between(corners[0], corners[-1], 0.5)
    if notch.narrowed_to is None:
        half = len(corners) // 2
        bottom = between(corners[half], corners[-half - 1], 0.5)
        runs.append(((polyline(corners),), mouth, bottom, notch.width))
    else:
        halfway, bottom = between(corners[1], corners[-2], 0.5), between(corners[3], corners[4], 0.5)
        walls = (polyline(corners[:2]), polyline(corners[-2:]))
        runs += [
            (walls, mouth, halfway, notch.width),
            ((polyline(corners[2:-2]),), halfway, bottom, notch.narrowed_to),
        ]
    for id, (paths, start, end, width) in zip(_feature_ids(notch), runs, strict=True):
        yield Feature(
            id=id,
            role=Role.OPENING,
            paths=paths,
            datum=Line(start, end),
            width_mm=width,
            cut_in="outline",
        )


def _sides(box: Box) -> tuple[tuple[Side, Similarity, Point, Point], ...]:
    """The four sides counter-clockwise: the turn that takes the +x direction along it, its start and its end."""
    low, high = box.low, box.high
    half_turn = Similarity(cosine=-1.0)
    return (
        (Side.BOTTOM, Similarity(), low, Point(high.x, low.y)),
        (Side.RIGHT, QUARTER_TURN, Point(high.x, low.y), high),
        (Side.TOP, half_turn, high, Point(low.x, high.y)),
        (Side.LEFT, Similarity(cosine=0.0, sine=-1.0), Point(low.x, high.y), low),
    )


def _mouth(box: Box, notch: Notch) -> Point:
    match notch.side:
        case Side.BOTTOM:
            return Point(notch.at, box.low.y)
        case Side.TOP:
            return Point(notch.at, box.high.y)
        case Side.LEFT:
            return Point(box.low.x, notch.at)
        case Side.RIGHT:
            return Point(box.high.x, notch.at)


def _profile(notch: Notch, centre: float, base: float) -> tuple[Point, ...]:
    left, right = Point(centre - notch.width / 2.0, base), Point(centre + notch.width / 2.0, base)
    if notch.pointed:
        return left, Point(centre, base + notch.depth), right
    up = Point(0.0, notch.depth)
    if notch.narrowed_to is None:
        return left, left + up, right + up, right
    halfway, inward = up * 0.5, Point((notch.width - notch.narrowed_to) / 2.0, 0.0)
    return (
        left,
        left + halfway,
        left + halfway + inward,
        left + up + inward,
        right + up - inward,
        right + halfway - inward,
        right + halfway,
        right,
    )

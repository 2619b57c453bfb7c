"""Entities of DXF as curves, in the units of the drawing.

Source: AutoCAD DXF reference, section ENTITIES, and "Object Coordinate Systems (OCS)": what faces down is mirrored.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from jiggen.geometry.affine import IDENTITY, Affine, as_arcs
from jiggen.geometry.bspline import BSpline
from jiggen.geometry.curve import EllipseArc
from jiggen.geometry.path import COINCIDENT, LARGEST_SWEEP, Arc, Line
from jiggen.geometry.point import Point, between
from jiggen.outlines.drawn import MOST_PIECES, Piece

#: Entities that are read.
CURVES = ("LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE")
#: Points of one spline.
MOST_CONTROLS = 1500
_FLAT = 1e-6
_FROM_BELOW = Affine(-1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
_LARGEST_BULGE = math.tan(LARGEST_SWEEP / 4.0)


class NotFlatError(ValueError):
    """What does not lie in the plane of the drawing."""


class Drawn(NamedTuple):
    """What an entity draws."""

    pieces: tuple[Piece, ...]
    closed: bool


def draw_entity(entity: Any) -> Drawn:
    """Returns what an entity draws; no pieces where it has no length.

    Args:
        entity: One of `CURVES`, as ezdxf has it.

    Raises:
        NotFlatError: If it does not lie in the plane.
        ValueError: If its numbers make no such curve.
    """
    dxf = entity.dxf
    match entity.dxftype():
        case "LINE":
            _check_flat(dxf.start.z - dxf.end.z)
            start, end = _point(dxf.start), _point(dxf.end)
            return Drawn((Line(start, end),) if start != end else (), closed=False)
        case "ARC":
            start_rad, end_rad = math.radians(dxf.start_angle), math.radians(dxf.end_angle)
            return _round(entity, start_rad, (end_rad - start_rad) % math.tau or math.tau)
        case "CIRCLE":
            return _round(entity, 0.0, math.tau)
        case "ELLIPSE":
            return _ellipse(dxf)
        case "LWPOLYLINE":
            _check_count(len(entity), MOST_PIECES)
            rows = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
            return _placed(_polyline(rows, closed=bool(entity.closed)), _facing(dxf))
        case "POLYLINE":
            return _old_polyline(entity)
        case _:
            return _spline(entity)


def _round(entity: Any, start_rad: float, sweep_rad: float) -> Drawn:
    dxf = entity.dxf
    radius = float(dxf.radius)
    if not radius > 0.0:
        return Drawn((), closed=False)
    curve = EllipseArc(
        centre=_point(dxf.center),
        major=Point(radius, 0.0),
        minor=Point(0.0, radius),
        start_rad=start_rad,
        sweep_rad=sweep_rad,
    )
    return _placed(Drawn(as_arcs(curve), closed=curve.is_whole), _facing(dxf))


def _ellipse(dxf: Any) -> Drawn:
    major, up = dxf.major_axis, dxf.extrusion
    _check_flat(major.z, up.x, up.y)
    out = _point(major)
    if not (out.length() > 0.0 and dxf.ratio > 0.0):
        return Drawn((), closed=False)
    across = out.left() * (float(dxf.ratio) * (1.0 if up.z > 0.0 else -1.0))
    sweep = float(dxf.end_param) - float(dxf.start_param)
    sweep = sweep % math.tau if abs(sweep) < math.tau - 1e-9 else math.tau
    curve = EllipseArc(
        centre=_point(dxf.center),
        major=out,
        minor=across,
        start_rad=float(dxf.start_param),
        sweep_rad=sweep or math.tau,
    )
    return Drawn(as_arcs(curve) or (curve,), closed=curve.is_whole)


def _polyline(rows: Sequence[tuple[float, float, float]], *, closed: bool) -> Drawn:
    places = [Point(x, y) for x, y, _ in rows]
    bulges = [bulge for _, _, bulge in rows]
    if closed and places:
        places.append(places[0])
    pieces: list[Piece] = []
    for (start, end), bulge in zip(pairwise(places), bulges, strict=False):
        if start != end:
            pieces += _bulged(start, end, bulge)
    return Drawn(tuple(pieces), closed=closed)


def _bulged(start: Point, end: Point, bulge: float) -> tuple[Piece, ...]:
    """Returns a side of a polyline: a line, an arc, or two of more than one may have."""
    if abs(bulge) < 1e-12:
        return (Line(start, end),)
    if abs(bulge) <= _LARGEST_BULGE:
        return (Arc(start, end, bulge),)
    middle = between(start, end, 0.5) - (end - start).left() * (bulge / 2.0)
    half = math.tan(math.atan(bulge) / 2.0)
    return (Arc(start, middle, half), Arc(middle, end, half))


def _old_polyline(entity: Any) -> Drawn:
    _check_count(len(entity.vertices), MOST_PIECES)
    closed = bool(entity.is_closed)
    vertices = [each.dxf for each in entity.vertices if not each.dxf.flags & 16]  # 16: of a spline's frame
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        raise NotFlatError("a mesh")
    _check_flat(*(vertex.location.z - vertices[0].location.z for vertex in vertices))
    flat = entity.is_2d_polyline
    rows = [(*_pair(vertex.location), float(vertex.bulge) if flat else 0.0) for vertex in vertices]
    drawn = _polyline(rows, closed=closed)
    return _placed(drawn, _facing(entity.dxf)) if flat else drawn


def _spline(entity: Any) -> Drawn:
    _check_count(max(len(entity.control_points), len(entity.fit_points)), MOST_CONTROLS)
    tool = entity.construction_tool()
    controls = list(tool.control_points)
    _check_flat(*(place.z - controls[0].z for place in controls))
    weights = tuple(float(each) for each in tool.weights())
    curve = BSpline(
        degree=int(tool.degree),
        knots=tuple(float(each) for each in tool.knots()),
        controls=tuple(_point(each) for each in controls),
        weights=weights if weights and any(each != weights[0] for each in weights) else None,
    )
    return Drawn((curve,), closed=curve.start.distance(curve.end) <= COINCIDENT)


def _placed(drawn: Drawn, affine: Affine) -> Drawn:
    if affine is IDENTITY:
        return drawn
    return Drawn(tuple(moved for piece in drawn.pieces for moved in affine.curve(piece)), drawn.closed)


def _facing(dxf: Any) -> Affine:
    up = dxf.extrusion if dxf.hasattr("extrusion") else None
    if up is None:
        return IDENTITY
    _check_flat(up.x, up.y)
    return IDENTITY if up.z > 0.0 else _FROM_BELOW


def insert_map(insert: Any) -> Affine:
    """Returns the map from a block's coordinates to those of what it is inserted in.

    Args:
        insert: A single INSERT, as ezdxf has it.

    Raises:
        NotFlatError: If it stands out of the plane.
    """
    matrix = insert.matrix44()
    along, across = matrix.transform_direction((1.0, 0.0, 0.0)), matrix.transform_direction((0.0, 1.0, 0.0))
    origin = matrix.transform((0.0, 0.0, 0.0))
    _check_flat(along.z, across.z)
    return Affine(along.x, along.y, across.x, across.y, origin.x, origin.y)


def _check_count(count: int, most: int) -> None:
    if count > most:
        raise ValueError(f"{count} points, at most {most} can be read")


def _check_flat(*heights: float) -> None:
    worst = max((abs(each) for each in heights), default=0.0)
    if not worst <= _FLAT:
        raise NotFlatError(f"{worst:g} out of the plane")


def _point(place: Any) -> Point:
    return Point(*_pair(place))


def _pair(place: Iterable[float]) -> tuple[float, float]:
    x, y, *_ = place
    return float(x), float(y)

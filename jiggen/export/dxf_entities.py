"""Paths as DXF entities: LINE, ARC, CIRCLE and polylines, as the software of a machine can take them.

Source: the published DXF reference, for group codes, bulges and the direction in which arcs turn.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import assert_never

from jiggen.export.dxf_frame import DxfVersion
from jiggen.export.numbers import DECIMALS, is_written_straight, number
from jiggen.geometry.measure import Vertex, flatten, to_bulges
from jiggen.geometry.path import Arc, Line, Path, Segment, as_circle, polyline
from jiggen.geometry.point import Point

#: Decimals of centres, radii (mm) and angles (degrees) of arcs: their ends are reckoned from these, and an arc across
#: a sheet has to end within the last decimal of a coordinate all the same.
_FINE_DECIMALS = 8


class DxfEntities(StrEnum):
    """Which entities are used, since no single way suits every machine."""

    POLYLINE = "polyline"  #: a contour in one piece, its arcs as bulges
    PRIMITIVES = "primitives"  #: lines, arcs and circles one by one, end to end
    SEGMENTS = "segments"  #: straight lines only, a contour in one piece, its arcs in chords


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Draws the paths of one mark.

    Attributes:
        version: Release of the format.
        style: Which entities are used.
        layer: Name of the layer.
        aci: Colour index: that of the layer, written once more in R12 for controllers that do not look there.
        decimals: Of coordinates in mm.
        chord_error_mm: How far chords may leave their arc.
        meaning: Extended data for each entity, as lines of the file.
    """

    version: DxfVersion
    style: DxfEntities
    layer: str
    aci: int
    decimals: int
    chord_error_mm: float
    meaning: str

    def draw(self, path: Path, handles: Iterator[int]) -> Iterator[str]:
        """Yields the entities of a path, each with a handle of its own."""
        circle = as_circle(path)
        match self.style:
            case DxfEntities.SEGMENTS:
                points = flatten(path, self.chord_error_mm)
                chords = polyline(points[:-1] if path.closed else points, closed=path.closed)
                yield self._in_one_piece(chords, handles)
            case DxfEntities.PRIMITIVES | DxfEntities.POLYLINE if circle:
                yield self._circle(*circle, handles)
            case DxfEntities.PRIMITIVES:
                yield from (self._single(piece, handles) for piece in path)
            case DxfEntities.POLYLINE:
                yield self._in_one_piece(path, handles)
            case _:
                assert_never(self.style)

    def _in_one_piece(self, path: Path, handles: Iterator[int]) -> str:
        return self._single(path.segments[0], handles) if len(path) == 1 else self._polyline(path, handles)

    def _single(self, piece: Segment, handles: Iterator[int]) -> str:
        match piece:
            case Arc() if not is_written_straight(piece):
                return self._arc(piece, handles)
            case Line() | Arc():
                ends = self._place(piece.start) + self._place(piece.end, 1)
                return self._head("LINE", handles) + self._subclass("AcDbLine") + ends + self.meaning
            case _:
                assert_never(piece)

    def _circle(self, centre: Point, radius: float, handles: Iterator[int]) -> str:
        return (
            self._head("CIRCLE", handles)
            + self._subclass("AcDbCircle")
            + f"{self._place(centre)}40\n{number(radius, self.decimals)}\n"
            + self.meaning
        )

    def _arc(self, arc: Arc, handles: Iterator[int]) -> str:
        """Returns an arc, which in DXF always turns counter-clockwise."""
        centre = arc.centre
        first, last = (arc.start, arc.end) if arc.bulge > 0.0 else (arc.end, arc.start)
        x, y, radius = (number(each, _FINE_DECIMALS) for each in (centre.x, centre.y, arc.radius))
        return (
            self._head("ARC", handles)
            + self._subclass("AcDbCircle")
            + f"10\n{x}\n20\n{y}\n40\n{radius}\n"
            + self._subclass("AcDbArc")
            + f"50\n{_degrees(first - centre)}\n51\n{_degrees(last - centre)}\n"
            + self.meaning
        )

    def _polyline(self, path: Path, handles: Iterator[int]) -> str:
        """Returns a polyline; a closed one leaves its last side to the closed flag."""
        vertices = [
            f"10\n{number(x, self.decimals)}\n20\n{number(y, self.decimals)}\n{_bulge(x, y, bulge, after, self.decimals)}"
            for (x, y, bulge), after in _with_next(to_bulges(path))
        ]
        closed = int(path.closed)
        if self.version is DxfVersion.R12:
            vertex = self._head("VERTEX", handles)
            head = (
                f"{self._head('POLYLINE', handles)}66\n1\n10\n0\n20\n0\n30\n0\n70\n{closed}\n{self.meaning}"
            )
            return head + "".join(vertex + each for each in vertices) + self._head("SEQEND", handles)
        head = self._head("LWPOLYLINE", handles) + self._subclass("AcDbPolyline")
        flag = "70\n1\n" if closed else ""  # open is what goes without saying
        return f"{head}90\n{len(vertices)}\n{flag}{''.join(vertices)}{self.meaning}"

    def _head(self, kind: str, handles: Iterator[int]) -> str:
        if self.version is DxfVersion.R12:
            return f"0\n{kind}\n8\n{self.layer}\n62\n{self.aci}\n"
        return f"0\n{kind}\n5\n{next(handles):X}\n100\nAcDbEntity\n8\n{self.layer}\n"  # coloured as its layer

    def _subclass(self, name: str) -> str:
        return "" if self.version is DxfVersion.R12 else f"100\n{name}\n"

    def _place(self, point: Point, end: int = 0) -> str:
        x, y = number(point.x, self.decimals), number(point.y, self.decimals)
        return f"1{end}\n{x}\n2{end}\n{y}\n"  # z is nought where it is not said


def _with_next(vertices: Sequence[Vertex]) -> Iterator[tuple[Vertex, Vertex]]:
    """Yields each vertex with the one after it, the first again after the last."""
    return zip(vertices, (*vertices[1:], vertices[0]), strict=True)


def _bulge(x: float, y: float, bulge: float, after: Vertex, decimals: int) -> str:
    """Returns the group of a bulge, with so many decimals that belly and radius stay; nothing for a line.

    Source: the belly rises by bulge × chord / 2, and the radius is chord (1 + bulge²) / 4 bulge, so that it falls by
    no more than radius / bulge times what the bulge grows.
    """
    half_chord = math.hypot(after[0] - x, after[1] - y) / 2.0
    if bulge == 0.0 or abs(bulge) * half_chord < 10.0**-DECIMALS:
        return ""
    radius = half_chord * (1.0 + bulge**2) / (2.0 * abs(bulge))
    keeps_belly = half_chord * 10.0 ** (decimals + 1)
    keeps_radius = radius / abs(bulge) * 10.0**decimals / 2.0
    return f"42\n{number(bulge, max(math.ceil(math.log10(max(keeps_belly, keeps_radius))), 1))}\n"


def _degrees(direction: Point) -> str:
    return number(round(math.degrees(direction.angle()) % 360.0, _FINE_DECIMALS) % 360.0, _FINE_DECIMALS)

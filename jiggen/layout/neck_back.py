"""The section of the neck's back, half by half, as lines and arcs. Millimetres.

A section lies square across the neck. Its x runs from the ridge, the deepest line, outward to the board's edge; its y
is nought at the middle of the board's face and falls toward the back.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.design.given import known
from jiggen.design.instrument import BackShape, DepthAt
from jiggen.errors import InputError, LimitError
from jiggen.geometry.path import Arc, Line, Path
from jiggen.geometry.point import Point, polar
from jiggen.geometry.similarity import Similarity
from jiggen.geometry.two_arcs import quarter_oval
from jiggen.layout.model import Layout
from jiggen.layout.places import edge_at, fret_place
from jiggen.layout.radius import sagitta

#: How full C and D are, as `quarter_oval` has it: C is about an ellipse (common practice).
_FULLNESS = {BackShape.C: 0.72, BackShape.D: 0.92}
#: Radii of shoulder and ridge of the Vs, as shares of the height below the board, or of the half width where that is less (common practice).
_V_RADII = {BackShape.SOFT_V: (0.60, 0.80), BackShape.V: (0.50, 0.35)}

#: Half widths that differ by less, in mm, are alike: one gauge turned over does for both.
_ALIKE = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfSection:
    """Half of the neck's back at one fret.

    Attributes:
        fret: Its number; 0 for the nut.
        sides: `bass`, `treble`, or `both` where they are alike.
        half_width: From the ridge to the board's edge, mm.
        depth: From the middle of the board's face to the back, at the ridge.
        curve: From the edge of the board's face down its side and round to the ridge.
    """

    fret: int
    sides: str
    half_width: float
    depth: float
    curve: Path


def half_sections(layout: Layout) -> tuple[HalfSection, ...]:
    """Returns the half sections that a design asks for, nut to bridge, bass before treble.

    Args:
        layout: Of a neck with depths.

    Raises:
        InputError: If a fret is named that is not there.
        LimitError: If there is no room for the rounding.
    """
    back = layout.spec.neck_back
    depths = known(back.depths)
    frets = back.frets.value if back.frets else tuple(each.fret for each in depths)
    return tuple(section for fret in sorted(set(frets)) for section in _at_fret(layout, fret, depths))


def _at_fret(layout: Layout, fret: int, depths: Sequence[DepthAt]) -> tuple[HalfSection, ...]:
    back = layout.spec.neck_back
    place, depth = fret_place(layout, fret, where="neck-back.frets"), _depth(layout, fret, depths)
    bass, treble = (abs(edge_at(edge, place)) for edge in (layout.bass_edge, layout.treble_edge))
    rim = sagitta(layout.radius.at(place), bass + treble) if layout.radius else 0.0
    ridge = known(back.ridge)
    halves = {"bass": bass - ridge, "treble": treble + ridge}
    if abs(halves["bass"] - halves["treble"]) < _ALIKE:
        halves = {"both": (bass + treble) / 2.0}
    return tuple(
        HalfSection(
            fret=fret,
            sides=sides,
            half_width=half,
            depth=depth,
            curve=half_curve(half, rim=rim, board=known(back.board), depth=depth, shape=known(back.shape)),
        )
        for sides, half in halves.items()
    )


def _depth(layout: Layout, fret: int, depths: Sequence[DepthAt]) -> float:
    """The depth at a fret: between two that are given it grows evenly along the neck, beyond them as between the last two."""
    places = sorted((fret_place(layout, each.fret, where="neck-back.depths"), each.depth) for each in depths)
    if len({place for place, _ in places}) < len(places):
        raise InputError(where="neck-back.depths", got="a fret twice", expected="one depth for each fret")
    at = fret_place(layout, fret, where="neck-back.frets")
    if len(places) == 1:
        return places[0][1]
    right = next((index for index in range(1, len(places) - 1) if places[index][0] >= at), len(places) - 1)
    (x, depth), (further, deeper) = places[right - 1 : right + 1]
    return depth + (deeper - depth) * (at - x) / (further - x)


def half_curve(half_width: float, *, rim: float, board: float, depth: float, shape: BackShape) -> Path:
    """Returns half of a neck's contour, from the edge of the board's face to the ridge.

    Args:
        half_width: From the ridge to the board's edge, mm.
        rim: How much lower the edge of the board's face lies than its middle.
        board: Thickness of the board at its middle: the rounding starts below it.
        depth: From the middle of the board's face to the back.
        shape: Of the rounding.

    Raises:
        LimitError: If there is no room for the rounding.
    """
    height = depth - board
    if height <= 0.0 or board <= rim:
        raise LimitError(
            where="neck-back",
            got=f"a neck {depth:.2f} mm deep under a board {board:.2f} mm thick and {rim:.2f} mm lower at its edge",
            expected="a board thinner than the neck and thicker than its own curve",
            mend="Change neck-back.board or neck-back.depths",
        )
    if half_width <= 0.0:
        raise LimitError(
            where="neck-back.ridge",
            got=f"half a neck {half_width:.2f} mm wide",
            expected="a ridge between the board's edges",
        )
    if shape in _FULLNESS:
        rounding = quarter_oval(half_width, height, _FULLNESS[shape])
    else:
        rounding = _vee(half_width, height, *(share * min(height, half_width) for share in _V_RADII[shape]))
    place = Similarity(cosine=-1.0, shift=Point(half_width, -board))
    side = Line(Point(half_width, -rim), place.point(rounding.start))
    return Path((side, *place.path(rounding).segments))


def _vee(along: float, across: float, shoulder: float, ridge: float) -> Path:
    """An arc, a straight flank and an arc from (0, 0), where it runs along y, to (along, across), along x.

    Source: a common tangent of two circles on one side of it; its normal n has n · (C₂ − C₁) = r₁ − r₂.
    """
    first, last = Point(shoulder, 0.0), Point(along, across - ridge)
    apart = last - first
    lean = apart.angle() + math.acos((shoulder - ridge) / apart.length())
    normal = polar(1.0, lean)
    leaves, joins = first + normal * shoulder, last + normal * ridge
    return Path(
        (
            Arc(Point(0.0, 0.0), leaves, math.tan((lean - math.pi) / 4.0)),
            Line(leaves, joins),
            Arc(joins, Point(along, across), math.tan((math.pi / 2.0 - lean) / 4.0)),
        )
    )

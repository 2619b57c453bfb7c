"""Curves of two arcs that meet with a common tangent. Millimetres."""

from jiggen.errors import LimitError
from jiggen.geometry.path import COINCIDENT, Arc, Line, Path, Segment
from jiggen.geometry.point import Point


def quarter_oval(along: float, across: float, fullness: float) -> Path:
    """Returns a quarter of an oval of four arcs, from (0, 0), where it runs along y, to (along, across), along x.

    The sharper of its two arcs has `fullness` times the shorter half axis for its radius: 0.7 is near an ellipse, at
    1 it is a stadium, at 0.5 a lens. The oval's middle is at (along, 0).

    Args:
        along: Half axis along x, mm.
        across: Half axis along y, mm.
        fullness: Above 0 and below 1.

    Raises:
        LimitError: If a half axis is not positive.

    Source: geometry of the four-centred oval. With half axes a > b and the sharper radius r, the flatter radius is
    R = (a² + b² − 2ar) / 2(b − r), from the centres' distance (a − r)² + (R − b)² = (R − r)².
    """
    if min(along, across) <= 0.0:
        raise LimitError(
            where="oval",
            got=f"half axes of {along:.2f} and {across:.2f} mm",
            expected="both above zero",
        )
    middle, end = Point(along, 0.0), Point(along, across)
    longer, shorter = max(along, across), min(along, across)
    if longer - shorter <= COINCIDENT:
        return Path((_tangent_arc(Point(0.0, 0.0), end, middle),))
    sharp = fullness * shorter
    flat = (longer**2 + shorter**2 - 2.0 * longer * sharp) / (2.0 * (shorter - sharp))
    first, second = (flat, sharp) if across > along else (sharp, flat)
    first_centre, second_centre = Point(first, 0.0), Point(along, across - second)
    outward = (
        (second_centre - first_centre).unit() if first > second else (first_centre - second_centre).unit()
    )
    joint = first_centre + outward * first
    return Path((_tangent_arc(Point(0.0, 0.0), joint, first_centre), _tangent_arc(joint, end, second_centre)))


def fullness_of(along: float, across: float, start_radius: float) -> float:
    """Returns how full a `quarter_oval` is whose arc at (0, 0) has a given radius.

    Args:
        along: Half axis along x, mm.
        across: Half axis along y, mm.
        start_radius: mm.

    Raises:
        LimitError: If no such oval has that radius there.

    Source: the relation of both radii in `quarter_oval`, solved for the sharper one.
    """
    longer, shorter = max(along, across), min(along, across)
    if across > along:
        least = (longer**2 + shorter**2) / (2.0 * shorter)
        if start_radius <= least:
            raise LimitError(
                where="oval", got=f"{start_radius:.2f} mm", expected=f"a radius above {least:.2f} mm"
            )
        sharp = (2.0 * shorter * start_radius - longer**2 - shorter**2) / (2.0 * (start_radius - longer))
        return sharp / shorter
    if not start_radius < shorter:
        raise LimitError(
            where="oval", got=f"{start_radius:.2f} mm", expected=f"a radius below {shorter:.2f} mm"
        )
    return start_radius / shorter


def s_curve(start: Point, end: Point, first: float) -> Path:
    """Returns two arcs, one bent each way, from a place to another, along x at both and toward larger x.

    Args:
        start: Where it begins.
        end: Where it ends, at another y.
        first: Radius of the first arc; where there is no room for it, or none is left for the second, both are alike.

    Raises:
        LimitError: If it would have to run backward.

    Source: both centres lie square above and below the ends, first + second radius apart, so that
    first + second = (Δx² + Δy²) / 2Δy.
    """
    run, rise = end.x - start.x, end.y - start.y
    if run <= abs(rise):
        raise LimitError(
            where="curve of two arcs",
            got=f"{abs(rise):.2f} mm sideways within {run:.2f} mm",
            expected="a longer way than that sideways",
        )
    both = (run**2 + rise**2) / (2.0 * abs(rise))
    radius = first if first < 0.75 * both else both / 2.0
    up = Point(0.0, 1.0 if rise > 0.0 else -1.0)
    first_centre, second_centre = start + up * radius, end - up * (both - radius)
    joint = first_centre + (second_centre - first_centre) * (radius / both)
    return Path((_tangent_arc(start, joint, first_centre), _tangent_arc(joint, end, second_centre)))


def _tangent_arc(start: Point, end: Point, centre: Point) -> Segment:
    """The shorter arc about a centre."""
    one, other = start - centre, end - centre
    # tan(sweep / 4) from sine and cosine of the whole: exact enough for flat arcs too
    sine, cosine = one.cross(other), one.dot(other)
    length = (sine**2 + cosine**2) ** 0.5
    half = sine / (length + cosine)  # tan(sweep / 2)
    bulge = half / (1.0 + (1.0 + half**2) ** 0.5)
    return Arc(start, end, bulge) if bulge else Line(start, end)

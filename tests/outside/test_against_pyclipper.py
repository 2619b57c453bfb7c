"""Growing and shrinking against another offsetter: pyclipper 1.4.0 (Clipper 6.4.2), on scaled whole numbers."""

import pyclipper
import pytest
from shapely import Geometry, Polygon, make_valid
from support.contours import KINDS, contour
from support.shapes import MICRON, assert_same_shape, region

from jiggen.errors import LimitError
from jiggen.geometry.measure import flatten, length
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path, circle, rectangle
from jiggen.geometry.point import ORIGIN, Point

UNITS = 1e6  # a millimetre in Clipper's whole numbers: it counts nanometres
CHORD = 1e-5  # mm, how far the chords that Clipper gets lie off the arcs
MITRE_LIMIT = 4.0
KERFS = (0.1, -0.1)  # mm, half of a usual kerf, out and in
WIDE = (0.73, -0.73, 1.61, -1.61)  # mm, enough to fold most of the contours below over themselves

#: Clipper carries a corner on along the last chord, we along the arc's tangent. The two differ by up to half of a
#: chord's turn, which shows at the tip of a sharp corner, in proportion to the offset.
TIP = 0.015


def clipper_offset(path: Path, by: float) -> Geometry:
    """What Clipper makes of the path grown by `by` mm, or shrunk when negative."""
    offsetter = pyclipper.PyclipperOffset(miter_limit=MITRE_LIMIT)
    chords = [(round(point.x * UNITS), round(point.y * UNITS)) for point in flatten(path, CHORD)[:-1]]
    offsetter.AddPath(chords, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    shape: Geometry = Polygon()
    for loop in offsetter.Execute(by * UNITS):
        polygon = make_valid(Polygon([(x / UNITS, y / UNITS) for x, y in loop]))
        if polygon.area > 1e-6:  # mm²: Clipper leaves crumbs of its rounding
            shape = shape.symmetric_difference(polygon)
    return shape


def check(path: Path, by: float) -> bool:
    """Compares the two; tells whether anything was left to compare."""
    theirs = clipper_offset(path, by)
    try:
        ours = (
            grow(path, by, mitre_limit=MITRE_LIMIT)
            if by > 0.0
            else shrink(path, -by, mitre_limit=MITRE_LIMIT)
        )
    except LimitError:
        assert theirs.area < MICRON * length(path)
        return False
    tolerance = MICRON + TIP * abs(by)
    shape = region(ours, CHORD)
    assert_same_shape(shape, theirs, tolerance)
    assert shape.symmetric_difference(theirs).area < MICRON * length(path) + tolerance**2 * len(path)
    return True


@pytest.mark.parametrize("offsets", [KERFS, WIDE], ids=["kerfs", "wide"])
@pytest.mark.parametrize("kind", range(len(KINDS)), ids=[kind.__name__ for kind in KINDS])
def test_random_contours(kind: int, offsets: tuple[float, ...]) -> None:
    compared = [
        check(contour(kind + seed * len(KINDS)), by) for seed in range(24 // len(offsets)) for by in offsets
    ]
    assert sum(compared) > 0.75 * len(compared)


@pytest.mark.parametrize("by", [*KERFS, *WIDE])
def test_simple_shapes(by: float) -> None:
    for path in (
        rectangle(ORIGIN, Point(20.0, 4.0)),
        rectangle(ORIGIN, Point(20.0, 4.0), radius=2.0),
        circle(Point(5.0, 5.0), 30.0),
    ):
        assert check(path, by)


def test_a_hundredth_too_little_is_caught() -> None:
    path = contour(1)
    with pytest.raises(AssertionError, match="lie more than 0.0025 mm outside"):
        assert_same_shape(region(grow(path, 0.09), CHORD), clipper_offset(path, 0.1), 0.0025)

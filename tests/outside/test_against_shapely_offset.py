"""Growing and shrinking against shapely 2.2.0 (GEOS 3.14.1): its mitred offset, and a round beam sent along ours."""

from itertools import pairwise

import pytest
from shapely import Geometry, LineString, union_all
from support.contours import KINDS, contour
from support.shapes import MICRON, assert_same_shape, region

from jiggen.errors import LimitError
from jiggen.geometry.measure import area, bounds, flatten, length
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path, circle, polyline, rectangle, rounded
from jiggen.geometry.point import ORIGIN, Point

CHORD = 1e-5  # mm, how far the chords that GEOS gets lie off the arcs
MITRE_LIMIT = 4.0
#: mm. Half of any kerf; with offsets past 1 mm GEOS itself goes wrong on notches with arcs in them.
OFFSETS = (0.05, -0.05, 0.15, -0.15, 0.3, -0.3)
#: GEOS simplifies what it offsets by a hundredth of the offset, and carries corners on along the last chord.
TIP = 0.02

L_SHAPE = [
    Point(x, y) for x, y in ((0.0, 0.0), (30.0, 0.0), (30.0, 8.0), (8.0, 8.0), (8.0, 30.0), (0.0, 30.0))
]


def offset(path: Path, by: float, mitre_limit: float = MITRE_LIMIT) -> tuple[Path, ...]:
    return grow(path, by, mitre_limit=mitre_limit) if by > 0.0 else shrink(path, -by, mitre_limit=mitre_limit)


def geos_offset(path: Path, by: float, mitre_limit: float = MITRE_LIMIT) -> Geometry:
    return region(path, CHORD).buffer(by, quad_segs=16, join_style="mitre", mitre_limit=mitre_limit)


def beam_along(paths: tuple[Path, ...], half: float) -> Geometry:
    """All that a round beam of `half` mm radius touches, chord by chord."""
    return union_all(
        [
            LineString([(start.x, start.y), (end.x, end.y)]).buffer(half, quad_segs=64)
            for path in paths
            for start, end in pairwise(flatten(path, 10.0 * CHORD))
        ]
    )


@pytest.mark.parametrize("kind", range(len(KINDS)), ids=[kind.__name__ for kind in KINDS])
def test_random_contours(kind: int) -> None:
    compared = 0
    for seed in range(1000, 1022):
        path, by = contour(kind + seed * len(KINDS)), OFFSETS[seed % len(OFFSETS)]
        theirs = geos_offset(path, by)
        try:
            shape = region(offset(path, by), CHORD)
        except LimitError:
            assert theirs.is_empty
            continue
        tolerance = MICRON + TIP * abs(by)
        assert_same_shape(shape, theirs, tolerance)
        assert shape.symmetric_difference(theirs).area < MICRON * length(path) + tolerance**2 * len(path)
        compared += 1
    assert compared > 17


@pytest.mark.parametrize("mitre_limit", [1.0, 1.3, 2.0, 5.0])
@pytest.mark.parametrize("seed", [*range(4, 200, 18)])
def test_corners_past_the_limit_are_cut_off_alike(seed: int, mitre_limit: float) -> None:
    path = contour(seed)  # straight-sided stars, so that not even chords differ
    assert not any(hasattr(piece, "bulge") for piece in path)
    for by in (0.15, -0.15):
        assert_same_shape(
            offset(path, by, mitre_limit), geos_offset(path, by, mitre_limit), 0.01 * abs(by) + 0.01 * MICRON
        )


@pytest.mark.parametrize("by", [0.05, 0.1, 0.25])
@pytest.mark.parametrize(
    "path",
    [
        rectangle(ORIGIN, Point(30.0, 3.0), radius=1.5),
        circle(Point(4.0, 4.0), 12.0),
        rounded(L_SHAPE, 0.5),
    ],
    ids=["slot", "disc", "rounded angle"],
)
def test_what_the_beam_leaves_is_the_part_or_the_opening(path: Path, by: float) -> None:
    part, opening = grow(path, by), shrink(path, by)
    assert_same_shape(region(part, CHORD).difference(beam_along(part, by)), path, MICRON)
    assert_same_shape(region(opening, CHORD).union(beam_along(opening, by)), path, MICRON)


@pytest.mark.parametrize("by", [0.05, 0.1, 0.25])
@pytest.mark.parametrize(
    "corners",
    [
        [Point(0.0, 0.0), Point(30.0, 0.0), Point(30.0, 8.0), Point(0.0, 8.0)],
        [Point(0.0, 0.0), Point(12.0, 1.0), Point(3.0, 9.0)],
    ],
    ids=["plate", "wedge"],
)
def test_a_round_beam_leaves_sharp_parts_and_rounds_openings(corners: list[Point], by: float) -> None:
    path = polyline(corners, closed=True)
    part, opening = grow(path, by), shrink(path, by)
    assert_same_shape(region(part, CHORD).difference(beam_along(part, by)), path, MICRON)
    assert_same_shape(region(opening, CHORD).union(beam_along(opening, by)), rounded(corners, by), MICRON)


@pytest.mark.parametrize("kind", range(len(KINDS)), ids=[kind.__name__ for kind in KINDS])
def test_the_beam_never_cuts_into_what_stays(kind: int) -> None:
    for seed in range(2000, 2004):
        path = contour(kind + seed * len(KINDS))
        shape = region(path, CHORD)
        assert shape.intersection(beam_along(grow(path, 0.15), 0.15 - MICRON)).area < 1e-9
        try:
            opening = shrink(path, 0.15)
        except LimitError:
            continue
        assert beam_along(opening, 0.15 - MICRON).difference(shape).area < 1e-9


def test_area_and_bounds_agree() -> None:
    for seed in range(3000, 3060):
        path = contour(seed)
        shape = region(path, CHORD)
        assert abs(shape.area - abs(area(path))) < CHORD * length(path)
        assert abs(shape.exterior.length - length(path)) < MICRON
        box = bounds(path)
        found = zip(shape.bounds, (box.low.x, box.low.y, box.high.x, box.high.y), strict=True)
        assert all(abs(theirs - ours) < 2.0 * CHORD for theirs, ours in found)


def test_a_hundredth_too_much_is_caught() -> None:
    path = contour(1)
    with pytest.raises(AssertionError, match="lie more than 0.004 mm outside"):
        assert_same_shape(offset(path, 0.16), geos_offset(path, 0.15), 0.004)

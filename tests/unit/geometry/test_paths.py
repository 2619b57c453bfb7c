import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.contours import contour

from jiggen.geometry.measure import area, bounds, faults, length
from jiggen.geometry.path import (
    LARGEST_SWEEP,
    Arc,
    Line,
    Path,
    arc_around,
    as_circle,
    circle,
    polyline,
    rectangle,
    reverse,
    rounded,
    segment,
)
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import MIRROR, turned

NANOMETRE = 1e-6  # mm


def test_bulge_radius_and_centre() -> None:
    # DXF reference, LWPOLYLINE group 42: the tangent of a quarter of the angle swept, positive to the left.
    half_turn = Arc(ORIGIN, Point(10.0, 0.0), 1.0)
    assert (half_turn.radius, half_turn.centre, half_turn.sweep) == (5.0, Point(5.0, 0.0), math.pi)
    flatter = Arc(ORIGIN, Point(10.0, 0.0), 0.5)
    assert flatter.radius == 6.25
    assert flatter.centre == Point(5.0, 3.75)  # the bow hangs 0.5 · 10 / 2 = 2.5 below the chord
    assert math.isclose(math.degrees(flatter.sweep), 106.2602047083)  # 4 arctan ½, exact arithmetic
    assert Arc(ORIGIN, Point(10.0, 0.0), -0.5).centre == Point(5.0, -3.75)


@pytest.mark.parametrize(
    ("start", "end", "bulge"),
    [
        (ORIGIN, Point(1.0, 0.0), 0.0),
        (ORIGIN, ORIGIN, 1.0),
        (ORIGIN, Point(1.0, math.nan), 1.0),
        (ORIGIN, Point(1.0, 0.0), math.inf),
        (ORIGIN, Point(1.0, 0.0), math.tan(math.radians(351.0) / 4.0)),
    ],
)
def test_what_is_no_arc_is_refused(start: Point, end: Point, bulge: float) -> None:
    with pytest.raises(ValueError, match="an arc"):
        Arc(start, end, bulge)


def test_a_line_needs_finite_ends() -> None:
    with pytest.raises(ValueError, match="finite ends"):
        Line(ORIGIN, Point(math.inf, 0.0))


def test_a_path_neither_jumps_nor_stays_open_when_closed() -> None:
    one, far = Line(ORIGIN, Point(1.0, 0.0)), Line(Point(1.0, 1e-12), ORIGIN)
    with pytest.raises(ValueError, match="may not jump"):
        Path((one, far))
    with pytest.raises(ValueError, match="must end at"):
        Path((one,), closed=True)
    with pytest.raises(ValueError, match="at least one"):
        Path(())


def test_polylines() -> None:
    assert len(polyline([ORIGIN, Point(1.0, 0.0), Point(1.0, 1.0)])) == 2
    assert len(polyline([ORIGIN, Point(1.0, 0.0), Point(1.0, 1.0)], closed=True)) == 3
    for points in ([], [ORIGIN], [ORIGIN, ORIGIN]):
        with pytest.raises(ValueError, match="two or more points"):
            polyline(points)
    with pytest.raises(ValueError, match="none twice in a row"):
        polyline([ORIGIN, Point(1.0, 0.0), ORIGIN], closed=True)
    assert segment(ORIGIN, Point(1.0, 0.0)) == polyline([ORIGIN, Point(1.0, 0.0)])


def test_a_circle_goes_in_and_out() -> None:
    path = circle(Point(3.0, 4.0), 2.5)
    assert as_circle(path) == (Point(3.0, 4.0), 2.5)
    assert as_circle(reverse(path)) == (Point(3.0, 4.0), 2.5)
    moved = as_circle(turned(0.7).then(MIRROR).path(path))
    assert moved is not None
    assert math.isclose(moved[1], 2.5)


def test_other_closed_paths_are_no_circle() -> None:
    lens = Path((Arc(ORIGIN, Point(1.0, 0.0), 0.5), Arc(Point(1.0, 0.0), ORIGIN, 0.5)), closed=True)
    there_and_back = Path(
        (Arc(ORIGIN, Point(1.0, 0.0), 1.0), Arc(Point(1.0, 0.0), ORIGIN, -1.0)), closed=True
    )
    open_turn = Path(circle(ORIGIN, 1.0).segments)
    for path in (lens, there_and_back, open_turn, rectangle(ORIGIN, Point(2.0, 2.0), radius=1.0)):
        assert as_circle(path) is None


@pytest.mark.parametrize("radius", [0.0, -1.0, math.nan, math.inf])
def test_a_circle_needs_a_radius(radius: float) -> None:
    with pytest.raises(ValueError, match="positive radius"):
        circle(ORIGIN, radius)


def test_an_arc_around_a_centre() -> None:
    arc = arc_around(Point(1.0, 1.0), 2.0, 0.0, -math.pi / 2.0)
    assert arc.start == Point(3.0, 1.0)
    assert arc.end.distance(Point(1.0, -1.0)) < NANOMETRE
    assert math.isclose(arc.sweep, -math.pi / 2.0)


@pytest.mark.parametrize(
    ("radius", "sweep"),
    [(0.0, 1.0), (-1.0, 1.0), (1.0, 0.0), (1.0, 3.0 * math.pi), (1.0, -6.2), (1.0, math.nan)],
)
def test_no_arc_sweeps_past_its_limit(radius: float, sweep: float) -> None:
    # three half turns have the bulge of one half turn the other way, so they must not get through
    assert not abs(sweep) <= LARGEST_SWEEP or radius <= 0.0 or sweep == 0.0
    with pytest.raises(ValueError, match="no arc of radius"):
        arc_around(ORIGIN, radius, 0.0, sweep)


def test_a_rounded_rectangle() -> None:
    path = rectangle(ORIGIN, Point(20.0, 10.0), radius=2.0)
    assert len(path) == 8
    assert math.isclose(area(path), 200.0 - (4.0 - math.pi) * 4.0)
    assert math.isclose(length(path), 2.0 * 16.0 + 2.0 * 6.0 + 4.0 * math.pi)


def test_round_ends_have_no_straight_between_their_quarters() -> None:
    path = rectangle(ORIGIN, Point(20.0, 2.0), radius=1.0)
    assert [type(piece) for piece in path] == [Arc, Line, Arc, Arc, Line, Arc]
    assert math.isclose(area(path), 18.0 * 2.0 + math.pi)
    assert faults(path) == ()


def test_a_square_can_be_rounded_to_four_quarters() -> None:
    path = rectangle(ORIGIN, Point(2.0, 2.0), radius=1.0)
    assert [type(piece) for piece in path] == [Arc] * 4
    assert math.isclose(area(path), math.pi)
    assert faults(path) == ()


@pytest.mark.parametrize(
    ("high", "radius"), [((2.0, 4.0), 1.01), ((0.0, 4.0), 0.0), ((2.0, -1.0), 0.0), ((2.0, 4.0), -1.0)]
)
def test_what_is_no_rectangle_is_refused(high: tuple[float, float], radius: float) -> None:
    with pytest.raises(ValueError, match="no rectangle"):
        rectangle(ORIGIN, Point(*high), radius=radius)


def test_hollow_corners_are_rounded_the_other_way() -> None:
    corners = [
        Point(x, y) for x, y in ((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (4.0, 4.0), (4.0, 10.0), (0.0, 10.0))
    ]
    path = rounded(corners, 1.0)
    arcs = [piece for piece in path if isinstance(piece, Arc)]
    assert [arc.bulge > 0.0 for arc in arcs] == [True, True, True, False, True, True]
    assert math.isclose(area(path), 64.0 - 5.0 * (1.0 - math.pi / 4.0) + (1.0 - math.pi / 4.0))
    assert all(math.isclose(arc.radius, 1.0) for arc in arcs)
    clockwise = rounded(corners[::-1], 1.0)
    assert math.isclose(area(clockwise), -area(path))


def test_a_corner_that_goes_straight_on_is_left_alone() -> None:
    corners = [Point(x, y) for x, y in ((0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0))]
    for turn in range(5):  # whichever corner comes first
        path = rounded(corners[turn:] + corners[:turn], 1.0)
        assert math.isclose(area(path), 50.0 - (4.0 - math.pi))
        assert sum(isinstance(piece, Arc) for piece in path) == 4
        assert faults(path) == ()


def test_arcs_that_meet_may_come_first_or_last() -> None:
    corners = [Point(x, y) for x, y in ((0.0, 0.0), (20.0, 0.0), (20.0, 2.0), (0.0, 2.0))]
    for turn in range(4):
        path = rounded(corners[turn:] + corners[:turn], 1.0)
        assert len(path) == 6
        assert math.isclose(area(path), 36.0 + math.pi)


@pytest.mark.parametrize("radius", [1.1, 0.0, -0.5, math.nan])
def test_a_corner_radius_that_cannot_be_is_refused(radius: float) -> None:
    corners = [Point(x, y) for x, y in ((0.0, 0.0), (20.0, 0.0), (20.0, 2.0), (0.0, 2.0))]
    with pytest.raises(ValueError, match="corner radius"):
        rounded(corners, radius)


def test_each_corner_may_have_a_radius_of_its_own_and_none_stays_sharp() -> None:
    corners = [Point(0.0, 0.0), Point(40.0, 0.0), Point(40.0, 30.0), Point(0.0, 30.0)]
    path = rounded(corners, (0.0, 5.0, 0.0, 10.0))
    assert [piece.radius for piece in path if isinstance(piece, Arc)] == pytest.approx([5.0, 10.0])
    assert {Point(0.0, 0.0), Point(40.0, 30.0)} <= {piece.start for piece in path}
    lost = (1.0 - math.pi / 4.0) * (5.0**2 + 10.0**2)  # at a square corner: r² − πr²/4
    assert area(path) == pytest.approx(1200.0 - lost)


def test_a_corner_that_doubles_back_cannot_be_rounded() -> None:
    corners = [Point(x, y) for x, y in ((0.0, 0.0), (10.0, 0.0), (5.0, 0.0), (5.0, 5.0))]
    with pytest.raises(ValueError, match="corner radius"):
        rounded(corners, 0.5)


@given(st.integers(0, 10_000).map(contour))
def test_walked_back_it_is_the_same_contour(path: Path) -> None:
    back = reverse(path)
    assert math.isclose(area(back), -area(path))
    assert math.isclose(length(back), length(path))
    assert bounds(back).low.distance(bounds(path).low) < NANOMETRE
    assert bounds(back).high.distance(bounds(path).high) < NANOMETRE
    assert (back.start, back.end) == (path.end, path.start)
    assert reverse(back) == path

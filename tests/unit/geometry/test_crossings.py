import math

import pytest

from jiggen.geometry.cross import first_crossing, meetings, neighbours
from jiggen.geometry.path import Arc, Line, Path, Segment, arc_around, circle, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import QUARTER_TURN

NANOMETRE = 1e-6  # mm


def line(x0: float, y0: float, x1: float, y1: float) -> Line:
    return Line(Point(x0, y0), Point(x1, y1))


UPPER = arc_around(ORIGIN, 5.0, 0.0, math.pi)  # the upper half of a circle of 5 mm round the origin

CASES: list[tuple[str, Segment, Segment, list[tuple[float, float]]]] = [
    ("lines that cross", line(0, 0, 4, 4), line(0, 4, 4, 0), [(2, 2)]),
    ("lines that would cross further on", line(0, 0, 1, 1), line(0, 4, 4, 0), []),
    ("a line that ends on another", line(0, 0, 4, 0), line(2, 0, 2, 3), [(2, 0)]),
    ("a line that ends just short of another", line(0, 0, 4, 0), line(2, 1e-5, 2, 3), []),
    ("lines end to end", line(0, 0, 4, 0), line(4, 0, 9, 0), [(4, 0)]),
    ("lines along each other", line(0, 0, 4, 0), line(6, 0, 1, 0), [(1, 0), (4, 0)]),
    ("a line within another", line(0, 0, 4, 0), line(1, 0, 3, 0), [(1, 0), (3, 0)]),
    ("parallel lines", line(0, 0, 4, 0), line(0, 1e-3, 4, 1e-3), []),
    ("lines that cross at a very small angle", line(-50, 0, 50, 0), line(-50, -0.01, 50, 0.01), [(0, 0)]),
    ("a line across an arc", UPPER, line(-9, 3, 9, 3), [(4, 3), (-4, 3)]),
    ("a line across half of it", UPPER, line(0, 3, 9, 3), [(4, 3)]),
    ("a line under it", UPPER, line(-9, -3, 9, -3), []),
    ("a line that touches it", line(-9, 5, 9, 5), UPPER, [(0, 5)]),
    ("a line above it", line(-9, 5.001, 9, 5.001), UPPER, []),
    ("a line from within", line(0, 0, 0, 9), UPPER, [(0, 5)]),
    ("arcs that cross", UPPER, arc_around(Point(6.0, 0.0), 5.0, 0.0, math.pi), [(3, 4)]),
    ("arcs that touch", UPPER, arc_around(Point(0.0, 8.0), 3.0, math.pi, math.pi), [(0, 5)]),
    ("arcs apart", UPPER, arc_around(Point(0.0, 9.0), 3.0, math.pi, math.pi), []),
    ("an arc round another", UPPER, arc_around(ORIGIN, 6.0, 0.0, math.pi), []),
    ("arcs of one circle, end to end", UPPER, arc_around(ORIGIN, 5.0, math.pi, math.pi), [(5, 0), (-5, 0)]),
    (
        "arcs of one circle, overlapping",
        UPPER,
        arc_around(ORIGIN, 5.0, -1.0, 1.0 + math.pi / 2),
        [(5, 0), (0, 5)],
    ),
]


@pytest.mark.parametrize(
    ("one", "other", "places"), [case[1:] for case in CASES], ids=[case[0] for case in CASES]
)
def test_where_segments_meet(one: Segment, other: Segment, places: list[tuple[float, float]]) -> None:
    for here, there in ((one, other), (QUARTER_TURN.segment(one), QUARTER_TURN.segment(other))):
        expected = [Point(*place) if here is one else QUARTER_TURN.point(Point(*place)) for place in places]
        for found in (meetings(here, there), meetings(there, here)):
            assert len(found) == len(expected)
            for place in expected:
                assert min(meeting.at.distance(place) for meeting in found) < 2.0 * NANOMETRE


def test_meetings_come_in_order_along_the_first() -> None:
    assert [round(meeting.at.x) for meeting in meetings(line(-9, 3, 9, 3), UPPER)] == [-4, 4]
    assert [round(meeting.at.x) for meeting in meetings(UPPER, line(-9, 3, 9, 3))] == [4, -4]
    first = meetings(line(-9, 3, 9, 3), UPPER)[0]
    assert math.isclose(first.first, 5.0 / 18.0)
    assert math.isclose(first.second, (math.pi - math.asin(0.6)) / math.pi)


def test_only_near_segments_are_paired() -> None:
    pieces = [line(0, 0, 1, 1), line(5, 5, 6, 6), line(1, 1, 5, 0), line(5.5, 0, 5.5, 9)]
    assert sorted(neighbours(pieces)) == [(0, 2), (1, 3)]
    upright = [QUARTER_TURN.segment(piece) for piece in pieces]
    assert sorted(neighbours(upright)) == [(0, 2), (1, 3)]


def test_sound_contours_do_not_meet_themselves() -> None:
    for path in (circle(ORIGIN, 3.0), rectangle(ORIGIN, Point(4.0, 2.0), radius=1.0), Path((UPPER,))):
        assert first_crossing(path) is None


def test_a_bow_tie_crosses_itself() -> None:
    place = first_crossing(polyline([Point(0, 0), Point(2, 2), Point(2, 0), Point(0, 2)], closed=True))
    assert place is not None
    assert place.distance(Point(1.0, 1.0)) < NANOMETRE


def test_an_arc_may_bulge_through_another_side() -> None:
    sides = (
        line(0, 0, 10, 0),
        line(10, 0, 10, 2),
        Arc(Point(10.0, 2.0), Point(0.0, 2.0), -0.6),
        line(0, 2, 0, 0),
    )
    place = first_crossing(Path(sides, closed=True))
    assert place is not None
    assert abs(place.y) < NANOMETRE
    flat = (*sides[:2], Arc(Point(10.0, 2.0), Point(0.0, 2.0), -0.39), sides[3])  # 1.95 mm deep
    assert first_crossing(Path(flat, closed=True)) is None


def test_a_path_that_touches_or_retraces_itself_is_found_out() -> None:
    touching = polyline([Point(0, 0), Point(4, 0), Point(4, 4), Point(2, 0), Point(0, 4)], closed=True)
    retracing = polyline([Point(0, 0), Point(4, 0), Point(4, 4), Point(4, -3), Point(0, -3)], closed=True)
    assert first_crossing(touching) is not None
    assert first_crossing(retracing) is not None


def test_a_cusp_is_no_crossing() -> None:
    # a drop whose two arcs come to a point with one tangent
    drop = Path(
        (
            Arc(Point(0.0, 0.0), Point(-3.0, 3.0), math.tan(math.pi / 8.0)),
            Arc(Point(-3.0, 3.0), Point(3.0, 3.0), -1.0),
            Arc(Point(3.0, 3.0), Point(0.0, 0.0), math.tan(math.pi / 8.0)),
        ),
        closed=True,
    )
    assert first_crossing(drop) is None

import math

import pytest

from jiggen.geometry.measure import area, bounds, from_bulges, to_bulges
from jiggen.geometry.path import Arc, Path, circle, polyline, rectangle, reverse
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.untangle import untangle

NANOMETRE = 1e-6  # mm


def run(*places: tuple[float, float]) -> Path:
    return polyline([Point(float(x), float(y)) for x, y in places], closed=True)


def areas(path: Path) -> list[float]:
    return [round(area(loop), 9) for loop in untangle(path.segments)]


def test_a_simple_loop_comes_back_whole() -> None:
    for path in (rectangle(ORIGIN, Point(4.0, 2.0), radius=0.5), circle(ORIGIN, 3.0)):
        (loop,) = untangle(path.segments)
        assert math.isclose(area(loop), area(path))


def test_what_is_gone_round_clockwise_is_outside() -> None:
    assert untangle(reverse(circle(ORIGIN, 3.0)).segments) == ()
    # a bow tie: its lower half runs counter-clockwise, its upper half the other way
    (loop,) = untangle(run((0, 0), (4, 0), (0, 4), (4, 4)).segments)
    assert math.isclose(area(loop), 4.0)
    assert bounds(loop).high.distance(Point(4.0, 2.0)) < NANOMETRE


def test_what_is_gone_round_twice_is_inside_once() -> None:
    # a curl: the small loop lies within the large one and runs the same way
    curl = run((0, 0), (10, 0), (10, 10), (2, 10), (2, 4), (6, 4), (6, 8), (0, 8))
    assert areas(curl) == [10.0 * 10.0 - 2.0 * 2.0]


def test_two_lobes_that_cross_over_each_other_leave_a_hole() -> None:
    # a band that runs round and over its own beginning
    band = run((0, 0), (10, 0), (10, 10), (0, 10), (0, -2), (2, -2), (2, 8), (8, 8), (8, 2), (0, 2))
    loops = untangle(band.segments)
    assert sorted(round(area(loop), 9) for loop in loops) == [-36.0, 104.0]


def test_edges_on_edges_are_counted_not_drawn_twice() -> None:
    # two squares that share a wall, gone round in one run: there and back along it
    assert areas(run((0, 0), (4, 0), (4, 4), (4, 0), (8, 0), (8, 4), (0, 4))) == [32.0]
    # a pocket with no width leads in from the left
    assert areas(run((0, 0), (8, 0), (8, 4), (0, 4), (0, 2), (5, 2), (0, 2))) == [32.0]
    # the upper edge overlaps itself from 3 to 5, where a notch of no width hangs from it
    assert areas(run((0, 0), (8, 0), (8, 4), (3, 4), (3, 2), (5, 2), (5, 4), (0, 4))) == [32.0]


def test_loops_that_touch_in_one_point_are_two() -> None:
    loops = untangle(run((0, 0), (2, 2), (4, 0), (4, 4), (2, 2), (0, 4)).segments)
    assert [round(area(loop), 9) for loop in loops] == [4.0, 4.0]


def test_a_hole_that_touches_the_outside_is_still_a_hole() -> None:
    # a frame that meets itself in one corner: run up to it, round the hole, and on
    frame = run((0, 0), (4, 0), (4, 2), (2, 2), (2, 4), (4, 4), (4, 2), (6, 2), (6, 6), (0, 6))
    loops = untangle(frame.segments)
    assert sorted(round(area(loop), 9) for loop in loops) == [-4.0, 32.0]


def test_arcs_are_cut_where_they_cross_and_stay_arcs() -> None:
    # two discs of radius 5, 6 apart, gone round in one figure
    path = from_bulges([(8, 0, 1), (-2, 0, 1), (8, 0, 0.0), (11, 0, 1), (1, 0, 1), (11, 0, 0.0)], closed=True)
    (loop,) = untangle(path.segments)
    centres = {
        (round(piece.centre.x, 6), round(piece.centre.y, 6)) for piece in loop if isinstance(piece, Arc)
    }
    assert centres == {(3.0, 0.0), (6.0, 0.0)}
    apart = 3.0
    lens = 2.0 * 25.0 * math.acos(apart / 10.0) - apart / 2.0 * math.sqrt(
        100.0 - apart**2
    )  # MathWorld: circle-circle
    assert math.isclose(area(loop), 50.0 * math.pi - lens)


def test_slivers_below_a_nanometre_are_left_out() -> None:
    thin = run((0, 0), (10, 0), (10, 5), (30, 5), (30, 5 + 1e-7), (10, 5 + 1e-7), (10, 10), (0, 10))
    assert areas(thin) == [100.0]


def test_straight_pieces_are_joined_up_again() -> None:
    (loop,) = untangle(run((0, 0), (8, 0), (8, 4), (3, 4), (3, 2), (5, 2), (5, 4), (0, 4)).segments)
    assert len(loop) == 4
    assert {vertex[:2] for vertex in to_bulges(loop)} == {(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (0.0, 4.0)}


@pytest.mark.parametrize("turn", range(8))
def test_it_does_not_matter_where_the_run_starts(turn: int) -> None:
    pieces = run((0, 0), (8, 0), (8, 4), (3, 4), (3, 2), (5, 2), (5, 4), (0, 4)).segments
    (loop,) = untangle((*pieces[turn:], *pieces[:turn]))
    assert math.isclose(area(loop), 32.0)

"""Path data: the letters of the SVG grammar, both ways up."""

import math

import pytest

from jiggen.export.path_data import path_data
from jiggen.geometry.path import Arc, Line, Path, arc_around, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point


def test_an_open_line() -> None:
    assert path_data([segment(Point(1.0, 2.0), Point(3.5, -4.0))]) == "M 1 2 L 3.5 -4"


def test_a_closed_path_lets_z_draw_its_last_side() -> None:
    square = rectangle(ORIGIN, Point(2.0, 1.0))
    assert path_data([square]) == "M 0 0 L 2 0 L 2 1 L 0 1 Z"
    assert path_data([square], flip_at=10.0) == "M 0 10 L 2 10 L 2 9 L 0 9 Z"


def test_left_turns_have_sweep_1_with_y_up_and_0_with_y_down() -> None:
    left = Path((arc_around(ORIGIN, 5.0, 0.0, math.pi / 2.0),))
    assert path_data([left]) == "M 5 0 A 5 5 0 0 1 0 5"
    assert path_data([left], flip_at=0.0) == "M 5 0 A 5 5 0 0 0 0 -5"


def test_right_turns_have_sweep_0_with_y_up_and_1_with_y_down() -> None:
    right = Path((arc_around(ORIGIN, 5.0, 0.0, -math.pi / 2.0),))
    assert path_data([right]) == "M 5 0 A 5 5 0 0 0 0 -5"
    assert path_data([right], flip_at=0.0) == "M 5 0 A 5 5 0 0 1 0 5"


@pytest.mark.parametrize(
    ("degrees", "pieces"),
    [(10.0, 1), (120.0, 1), (121.0, 2), (180.0, 2), (-180.0, 2), (240.0, 2), (350.0, 3)],
)
def test_long_arcs_are_written_in_pieces_without_the_large_flag(degrees: float, pieces: int) -> None:
    arc = arc_around(Point(3.0, 4.0), 7.0, 0.3, math.radians(degrees))
    words = path_data([Path((arc,))], decimals=9).split()
    assert words.count("A") == pieces
    for at in (index for index, word in enumerate(words) if word == "A"):
        rx, ry, turn, large, sweep, x, y = words[at + 1 : at + 8]
        assert (rx, ry, turn, large, sweep) == ("7", "7", "0", "0", "1" if degrees > 0.0 else "0")
        assert math.dist((float(x), float(y)), (3.0, 4.0)) == pytest.approx(7.0, abs=1e-8)
    assert (float(words[-2]), float(words[-1])) == pytest.approx((arc.end.x, arc.end.y), abs=1e-8)


def test_several_paths_share_one_value() -> None:
    dashes = [segment(Point(x, 0.0), Point(x + 1.0, 0.0)) for x in (0.0, 2.0)]
    assert path_data(dashes) == "M 0 0 L 1 0 M 2 0 L 3 0"


def test_a_circle_is_four_quarters() -> None:
    words = path_data([circle(ORIGIN, 3.0)])
    assert words == "M 3 0 A 3 3 0 0 1 0 3 A 3 3 0 0 1 -3 0 A 3 3 0 0 1 0 -3 A 3 3 0 0 1 3 0 Z"


def test_an_arc_too_flat_to_write_is_a_line() -> None:
    path = Path((Arc(ORIGIN, Point(10.0, 0.0), 1e-9), Line(Point(10.0, 0.0), Point(20.0, 0.0))))
    assert path_data([path]) == "M 0 0 L 10 0 L 20 0"


def test_decimals_are_as_asked() -> None:
    third = polyline([ORIGIN, Point(1.0 / 3.0, 2.0 / 3.0)])
    assert path_data([third]) == "M 0 0 L 0.3333 0.6667"
    assert path_data([third], decimals=6) == "M 0 0 L 0.333333 0.666667"

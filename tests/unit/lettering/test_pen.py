import math

import pytest

from jiggen.geometry.path import Arc, Line
from jiggen.geometry.point import Point
from jiggen.lettering.pen import dot, stroke

EXACT = 1e-12  # font units


def test_points_are_joined_by_lines():
    path = stroke("0,0 30,90 60.5,-2")
    assert path.segments == (
        Line(Point(0.0, 0.0), Point(30.0, 90.0)),
        Line(Point(30.0, 90.0), Point(60.5, -2.0)),
    )
    assert not path.closed


def test_arc_leaves_smoothly_from_a_line():
    _, arc = stroke("0,0 30,0 ~50,20")
    assert isinstance(arc, Arc)
    assert arc.centre.distance(Point(30.0, 20.0)) < EXACT
    assert arc.sweep == pytest.approx(math.pi / 2.0, abs=EXACT)


def test_arc_leaves_smoothly_from_an_arc():
    _, first, second = stroke("0,0 30,0 ~50,20 ~30,40")
    assert isinstance(first, Arc)
    assert isinstance(second, Arc)
    assert second.centre.distance(first.centre) < EXACT


def test_arc_arrives_smoothly_at_a_line():
    arc, _ = stroke("50,20 30,0~ 0,0")
    assert isinstance(arc, Arc)
    assert arc.centre.distance(Point(30.0, 20.0)) < EXACT
    assert arc.sweep == pytest.approx(-math.pi / 2.0, abs=EXACT)


def test_half_turn_is_exactly_one():
    assert [arc.bulge for arc in stroke("10,0 0,0<180 10,0>180")] == [1.0, -1.0]


@pytest.mark.parametrize(("mark", "sign"), [("<", 1.0), (">", -1.0)])
def test_turn_is_in_degrees_to_the_left_or_right(mark, sign):
    (arc,) = stroke(f"0,0 10,10{mark}90")
    assert isinstance(arc, Arc)
    assert math.degrees(arc.sweep) == pytest.approx(sign * 90.0, abs=EXACT)


def test_stroke_that_ends_where_it_started_is_closed():
    assert stroke("0,0 10,0 5,9 0,0").closed


def test_dot_is_shorter_than_the_pen_is_wide():
    assert list(stroke(dot(3, 83))) == [Line(Point(3.0, 86.0), Point(3.0, 80.0))]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("0,0 1;2", "not a step of a stroke: '1;2'"),
        ("0,0 ~10,0", "nothing to be smooth with beside Point(x=0.0, y=0.0)"),
        ("0,0 10,0~", "nothing to be smooth with beside Point(x=10.0, y=0.0)"),
        ("0,0", "a path needs at least one segment"),
    ],
)
def test_broken_notation_is_refused(text, message):
    with pytest.raises(
        ValueError, match="^" + message.translate(str.maketrans({"(": r"\(", ")": r"\)"})) + "$"
    ):
        stroke(text)

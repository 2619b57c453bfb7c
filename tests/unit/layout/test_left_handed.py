"""A left-handed neck is the same neck in a mirror."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st
from support.random_designs import random_design
from support.specs import wren

from jiggen.design.model import Given, PartialFret
from jiggen.design.solve import solve
from jiggen.geometry.measure import is_counter_clockwise
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out


def in_mirror(line: Line) -> Line:
    return Line(Point(line.start.x, -line.start.y), Point(line.end.x, -line.end.y))


def assert_mirrored(left: Layout, right: Layout) -> None:
    """Every line, number and name of one in the other, across the centre line, to the last bit."""
    for name in ("nut", "saddle", "bass_edge", "treble_edge", "board_start", "board_end"):
        assert getattr(left, name) == in_mirror(getattr(right, name))
    for one, other in zip(left.strings, right.strings, strict=True):
        assert (one.number, one.course, one.gauge) == (other.number, other.course, other.gauge)
        assert one.line == in_mirror(other.line)
        assert one.scale == other.scale
    for one, other in zip(left.frets, right.frets, strict=True):
        assert (one.number, one.label, one.distance, one.from_previous, one.spread, one.bend) == (
            other.number,
            other.label,
            other.distance,
            other.from_previous,
            other.spread,
            other.bend,
        )
        assert one.line == in_mirror(other.line)
        assert one.crossings == tuple(place and Point(place.x, -place.y) for place in other.crossings)
        assert (one.width, one.skew) == (other.width, other.skew)
    for one, other in zip(left.inlays, right.inlays, strict=True):
        assert one.centres == tuple(Point(place.x, -place.y) for place in other.centres)
        assert one.side == Point(other.side.x, -other.side.y)
    assert is_counter_clockwise(left.board)
    assert is_counter_clockwise(right.board)
    assert {piece.start for piece in left.board} == {
        Point(each.start.x, -each.start.y) for each in right.board
    }
    assert left.radius == right.radius


def both(**more) -> tuple[Layout, Layout]:
    return lay_out(wren(**more, left_handed=True)), lay_out(wren(**more, left_handed=False))


FAN = {"scale": None, "scale_bass": 660.0, "scale_treble": 628.0, "straight_fret": 7.0}


@pytest.mark.parametrize(
    "more",
    [
        {},
        FAN,
        {**FAN, "zero_fret": True, "nut_offset": 0.4},
        {"setback": None, "setback_bass": 4.0, "setback_treble": 3.0},
        {
            **FAN,
            "partial_frets": (PartialFret(fret=7, strings=(1, 2)), PartialFret(fret=9, strings=(4, 5, 6))),
        },
    ],
)
def test_everything_is_mirrored(more: dict) -> None:
    assert_mirrored(*both(**more))


def test_bass_lies_on_the_side_of_growing_y() -> None:
    left, right = both()
    assert right.strings[0].line.start.y > 0.0 > right.strings[-1].line.start.y
    assert left.strings[0].line.start.y < 0.0 < left.strings[-1].line.start.y
    assert left.nut.start.y > 0.0 > left.nut.end.y  # from the bass edge to the treble edge


def test_what_is_symmetrical_looks_the_same() -> None:
    left, right = both()
    assert left.board_end == Line(right.board_end.end, right.board_end.start)
    assert [fret.distance for fret in left.frets] == [fret.distance for fret in right.frets]


@settings(derandomize=True, deadline=None)
@always(st.integers(0, 2**32))
def test_a_mirrored_design_gives_a_mirrored_layout(seed: int) -> None:
    design, _ = random_design(Random(seed))  # noqa: S311 - no secrets here
    left, right = (lay_out(solve(replace(design, left_handed=Given(hand)))) for hand in (True, False))
    assert_mirrored(left, right)

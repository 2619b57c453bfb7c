"""Strokes are joined end to end; gaps and doubles are told with their places."""

import itertools
import math

import pytest
from support.outlines import of_svg

from jiggen.errors import JiggenError
from jiggen.geometry.measure import area
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.outlines.chain import chain, gaps_of
from jiggen.outlines.drawn import Stroke


def line(*numbers: float) -> Stroke:
    x1, y1, x2, y2 = numbers
    return Stroke(pieces=(Line(Point(x1, y1), Point(x2, y2)),), closed=False, where="here")


SIDES = [(0, 0, 40, 0), (40, 0, 40, 30), (0, 30, 40, 30), (0, 30, 0, 0)]


@pytest.mark.parametrize("order", list(itertools.permutations(range(4)))[::3])
def test_lines_in_any_order_and_direction_make_one_contour(order):
    found = chain([line(*SIDES[index]) for index in order], 0.05, file="f")
    assert len(found.loops) == 1
    assert not found.open
    assert not found.joined
    assert len(found.loops[0].pieces) == 4


def test_a_gap_below_the_tolerance_is_closed_and_told(tmp_path):
    body = '<path d="M10,10 L50,10 L50,40"/><path d="M50,40.04 L10,40 L10,10.02"/>'
    found = of_svg(tmp_path, body)
    assert "2 gaps closed, the widest 0.0400 mm at (50.00, 40.02) mm" in found.took
    assert area(found.outline) == pytest.approx(1200.4, abs=0.5)


def test_larger_gaps_are_told_with_place_and_size_and_may_be_allowed(tmp_path):
    body = '<path d="M10,10 L50,10 L50,40"/><path d="M50,40.2 L10,40 L10,10.3"/>'
    with pytest.raises(JiggenError) as error:
        of_svg(tmp_path, body)
    assert "0.200 mm at (50.00, 40.10) mm, 0.300 mm at (10.00, 10.15) mm" in str(error.value)
    assert of_svg(tmp_path, body, gap_mm=0.5).length_mm == pytest.approx(40.0, abs=0.3)


def test_a_broken_outline_round_a_whole_contour_is_an_error_and_a_line_is_not(tmp_path):
    whole = '<circle cx="30" cy="25" r="5"/>'
    with pytest.raises(JiggenError, match="round the largest closed contour, which is 10.00 × 10.00 mm"):
        of_svg(tmp_path, f'<path d="M10,10 L50,10 L50,40 L10,40"/>{whole}')
    found = of_svg(tmp_path, f'<path d="M0,25 L90,25"/>{whole}')
    assert any("it bounds nothing" in sentence for sentence in found.ignored)


def test_doubles_are_dropped_in_either_direction():
    doubles = [line(*SIDES[0]), line(40, 0, 0, 0), *(line(*side) for side in SIDES)]
    found = chain(doubles, 0.05, file="f")
    assert len(found.loops) == 1
    assert len(found.doubles) == 2
    assert not found.open


def test_a_contour_drawn_twice_from_another_start_is_taken_once(tmp_path):
    body = '<path d="M10,10 L50,10 L50,40 L10,40 z"/><path d="M50,40 L10,40 L10,10 L50,10z"/>'
    found = of_svg(tmp_path, body)
    assert not found.inner
    assert any("it lies on another one" in sentence for sentence in found.ignored)


def test_where_lines_meet_the_way_goes_straight_on():
    """Two rectangles that touch at a corner stay two; none turns into the other."""
    other = [(40, 30, 80, 30), (80, 30, 80, 60), (80, 60, 40, 60), (40, 60, 40, 30)]
    found = chain([line(*side) for side in (*SIDES, *other)], 0.05, file="f")
    assert sum(len(loop.pieces) for loop in found.loops) == 8
    assert not found.open


def test_a_crowd_in_one_place_is_refused():
    star = [line(0, 0, 10 * math.cos(turn), 10 * math.sin(turn)) for turn in range(100)]
    with pytest.raises(JiggenError, match="more than 60 lines that meet near"):
        chain(star, 0.05, file="f")


def test_every_gap_is_told_once():
    found = chain([line(0, 0, 40, 0), line(41, 0, 40, 30)], 0.05, file="f")
    assert [gap.mm for gap in gaps_of(found.open, 8)] == pytest.approx([1.0, 30.0, 40.0])

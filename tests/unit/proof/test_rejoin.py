"""What a tab or a start parted is put together again, and nothing else is."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.proof.rejoin import joined, rejoined, turned_round
from jiggen.proof.trace import Place, Stroke

RADIUS = 300.0


def on_circle(angle: float, radius: float = RADIUS) -> Place:
    """A place on a circle about the origin."""
    return radius * math.cos(angle), radius * math.sin(angle)


def fan(*angles: float, radius: float = RADIUS) -> Stroke:
    """A closed stroke: arcs of a circle from angle to angle, rising, then out to the origin and back."""
    bulges = [math.tan((other - one) / 4.0) for one, other in pairwise(angles)]
    points = (*(on_circle(angle, radius) for angle in angles), (0.0, 0.0))
    return Stroke(points, (*bulges, 0.0, 0.0), closed=True)


@given(st.floats(0.1, 1.4), st.floats(0.005, 0.05), st.floats(0.1, 1.4))
def test_an_arc_that_was_parted_is_one_again(before: float, between: float, after: float) -> None:
    parted = fan(0.0, before, before + between, before + between + after)
    whole = rejoined(parted, parted.points[1:3])
    assert whole.points == (parted.points[0], *parted.points[3:])
    assert 4.0 * math.atan(whole.bulges[0]) == pytest.approx(before + between + after)


def test_a_place_that_nobody_names_stays() -> None:
    parted = fan(0.0, 0.5, 1.0)
    assert rejoined(parted, [(0.0, 0.0)]) == parted


@pytest.mark.parametrize("off", [0.02, -0.02])
def test_pieces_that_are_not_of_one_stay_apart(off: float) -> None:
    """An arc that was moved by 0.02 mm at the joint is not drawn over; nor is a bend the other way, or a corner."""
    good = fan(0.0, 0.5, 1.0)
    moved = Stroke((good.points[0], on_circle(0.5, RADIUS + off), *good.points[2:]), good.bulges, closed=True)
    assert rejoined(moved, moved.points[1:2]) == moved
    other_way = Stroke(good.points, (good.bulges[0], -good.bulges[1], 0.0, 0.0), closed=True)
    assert rejoined(other_way, good.points[1:2]) == other_way
    corner = Stroke(((0.0, 0.0), (50.0, off), (100.0, 0.0), (50.0, 80.0)), (0.0,) * 4, closed=True)
    assert rejoined(corner, corner.points[1:2]) == corner


def test_a_closed_stroke_that_starts_in_the_middle_of_a_piece_starts_where_that_does() -> None:
    square = Stroke(((5.0, 0.0), (10.0, 0.0), (10.0, 9.0), (0.0, 9.0), (0.0, 0.0)), (0.0,) * 5, closed=True)
    assert set(rejoined(square, square.points[:1]).points) == set(square.points[1:])


def test_a_circle_is_never_joined_to_nothing() -> None:
    halves = Stroke((on_circle(0.0), on_circle(math.pi)), (1.0, 1.0), closed=True)
    assert rejoined(halves, halves.points) == halves


def test_runs_are_joined_end_to_end_and_close_where_they_meet() -> None:
    one = Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)), (0.0, 0.1), closed=False)
    back = Stroke(((0.0, 0.0), (4.0, 3.0)), (0.2,), closed=False)
    ring = joined(one, turned_round(back))
    assert ring == Stroke(((0.0, 0.0), (4.0, 0.0), (4.0, 3.0)), (0.0, 0.1, -0.2), closed=True)

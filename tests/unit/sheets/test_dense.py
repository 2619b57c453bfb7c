"""The search for a close order: whole numbers, the same every time, bounded by steps."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.geometry.box import Box
from jiggen.geometry.similarity import IDENTITY
from jiggen.sheets.dense import Ground, Nester, Packing
from jiggen.sheets.profile import Profile, _profile
from jiggen.sheets.room import Lie

LIE = Lie(turn=IDENTITY, box=Box.of_size(1.0, 1.0))


def shape(high: list[int], low: list[int]) -> Profile:
    """A part by how far down it begins and ends in each column."""
    return Profile(lie=LIE, high=np.array(high, np.int32), low=np.array(low, np.int32), depth=max(low))


def block(columns: int, depth: int) -> Profile:
    return shape([0] * columns, [depth] * columns)


def cells(packing: Packing, ground: Ground) -> list[np.ndarray]:
    """How often each step of each column is taken, sheet by sheet."""
    found = []
    for spots in packing.sheets:
        taken = np.zeros((ground.columns, ground.depth), np.int64)
        for spot in spots:
            pairs = zip(spot.profile.high.tolist(), spot.profile.low.tolist(), strict=True)
            for column, (high, low) in enumerate(pairs, start=spot.column):
                assert spot.depth >= 0
                assert spot.depth + low <= ground.depth
                taken[column, spot.depth + high : spot.depth + low] += 1
        found.append(taken)
    return found


def test_blocks_that_fill_a_sheet_are_found_to():
    ground = Ground(10, 10, [[block(6, 4)], [block(4, 4)], [block(3, 6)], [block(7, 6)]])
    packing = Nester([ground] * 4).best(10_000_000)
    assert packing.left == ()
    assert packing.score == (0, 100, 10)
    assert all((taken == 1).all() for taken in cells(packing, ground))


def test_wedges_lie_head_to_tail():
    wedge = shape([0] * 10, list(range(10, 0, -1)))
    turned = shape(list(range(9, -1, -1)), [10] * 10)
    ground = Ground(10, 11, [[wedge, turned]] * 2)
    packing = Nester([ground, ground]).best(1_000_000)
    assert packing.score == (0, 110, 11)


def test_a_small_block_finds_the_room_above_a_bow():
    bow = shape([0, 6, 6, 6, 0], [8] * 5)  # open at its top, under what lies there
    ground = Ground(5, 11, [[block(5, 3)], [bow], [block(3, 6)]])
    packing = Nester([ground] * 3).pack([0, 1, 2])
    assert packing.left == ()
    assert packing.score == (0, 55, 11)


def test_what_finds_no_room_is_left():
    ground = Ground(5, 5, [[block(5, 4)], [block(5, 3)], []])
    assert Nester([ground]).best(1_000_000).left in {(0, 2), (1, 2)}


SHAPES = st.lists(
    st.tuples(st.integers(1, 12), st.integers(0, 6), st.integers(1, 14), st.booleans()),
    min_size=2,
    max_size=9,
)


def parts_of(rows) -> list[list[Profile]]:
    parts = []
    for columns, lean, depth, slopes in rows:
        high = [lean * column // columns for column in range(columns)] if slopes else [0] * columns
        parts.append([shape(high, [each + depth for each in high])])
    return parts


@settings(deadline=None, max_examples=60)
@given(SHAPES)
def test_nothing_is_taken_twice_and_nothing_is_lost(rows):
    ground = Ground(12, 20, parts_of(rows))
    packing = Nester([ground] * len(rows)).best(300_000)
    assert packing.left == ()
    assert sorted(spot.part for spots in packing.sheets for spot in spots) == list(range(len(rows)))
    for taken in cells(packing, ground):
        assert taken.max() <= 1


@pytest.mark.parametrize("steps", [0, 2_000_000, 20_000_000])
def test_the_search_stops_by_its_steps_and_never_worsens(steps):
    rows = [(3 + 7 * n % 9, n % 4, 3 + 5 * n % 11, n % 2 == 0) for n in range(40)]
    ground = Ground(30, 40, parts_of(rows))
    first, nester = Nester([ground] * 40), Nester([ground] * 40)
    at_first = first.best(0)
    found = nester.best(steps)
    assert found.score <= at_first.score
    assert nester.steps <= steps + 2 * first.steps
    again = Nester([ground] * 40).best(steps)
    assert again.score == found.score
    places = [[(spot.part, spot.column, spot.depth) for spot in spots] for spots in found.sheets]
    assert places == [[(spot.part, spot.column, spot.depth) for spot in spots] for spots in again.sheets]


def test_the_order_that_is_found_is_the_same_on_every_machine():
    """Set down once; whole numbers leave no room for another result."""
    rows = [(3 + 7 * n % 9, n % 4, 3 + 5 * n % 11, n % 2 == 0) for n in range(40)]
    ground = Ground(30, 40, parts_of(rows))
    assert Nester([ground] * 40).best(20_000_000).score == (0, 3600, 6)


def test_what_hangs_over_the_edge_takes_its_columns_whole():
    edge = np.array([(0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (0.0, 30.0), (0.0, 0.0)])
    lie = Lie(turn=IDENTITY, box=Box.of_size(60.0, 30.0))  # with a hole that reaches 10 mm past it
    profile = _profile([edge], lie, 5.0, 1.0)
    assert (profile.high == 0).all()
    assert (profile.low == profile.depth).all()

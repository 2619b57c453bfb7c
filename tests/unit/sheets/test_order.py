"""Short ways through marks: whole, allowed, never longer than going on to the nearest, and near the shortest there is."""

from functools import cache
from itertools import pairwise
from random import Random
from statistics import mean

from hypothesis import given
from hypothesis import strategies as st

from jiggen.geometry.box import Box
from jiggen.geometry.point import ORIGIN, Point
from jiggen.sheets.order import cooled, in_turn, shortest_way

Ends = list[tuple[Point, Point]]

places = st.builds(Point, st.integers(0, 900).map(float), st.integers(0, 500).map(float))
marks = st.lists(st.tuples(places, places), max_size=40)


def walked(ends: Ends, way: list[tuple[int, bool]], at: Point = ORIGIN) -> float:
    """What the head travels between marks."""
    total = 0.0
    for number, turned in way:
        start, end = ends[number][::-1] if turned else ends[number]
        total += at.distance(start)
        at = end
    return total


def shortest(ends: Ends) -> float:
    """The shortest way there is, by dynamic programming over sets of marks (Held and Karp, J. SIAM 10(1), 1962)."""

    @cache
    def best(left: frozenset[int], at: Point) -> float:
        if not left:
            return 0.0
        return min(
            at.distance(start) + best(left - {number}, end)
            for number in left
            for start, end in (ends[number], ends[number][::-1])
        )

    return best(frozenset(range(len(ends))), ORIGIN)


@given(ends=marks)
def test_each_mark_is_made_once(ends: Ends) -> None:
    way = shortest_way(ends, ORIGIN)
    assert sorted(number for number, _ in way) == list(range(len(ends)))


def test_it_is_near_the_shortest_way_there_is() -> None:
    chance, ratios = Random(20261125), []  # noqa: S311 - seeded, so that every run tries the same
    for _ in range(60):
        ends = [(_place(chance), _place(chance)) for _ in range(chance.randint(1, 7))]
        ratios.append(walked(ends, shortest_way(ends, ORIGIN)) / shortest(ends))
    assert mean(ratios) < 1.05
    assert min(ratios) > 1.0 - 1e-9


def _place(chance: Random) -> Point:
    return Point(chance.uniform(0.0, 900.0), chance.uniform(0.0, 500.0))


@given(ends=marks)
def test_it_is_no_longer_than_the_way_by_the_nearest(ends: Ends) -> None:
    at, left, nearest = ORIGIN, dict(enumerate(ends)), 0.0
    while left:
        far, number, side = min(
            (at.distance(ends[number][side]), number, side) for number in left for side in (0, 1)
        )
        nearest += far
        at = ends[number][1 - side]
        del left[number]
    assert walked(ends, shortest_way(ends, ORIGIN)) <= nearest + 1e-3


def test_rows_of_ticks_are_made_to_and_fro() -> None:
    """As a hatching hand does it: alternate ticks the other way round, only the gaps between are travelled."""
    ticks = [(Point(float(x), 0.0), Point(float(x), 8.0)) for x in range(30)]
    way = shortest_way(ticks, ORIGIN)
    assert walked(ticks, way) == 29.0
    assert all(one != other for (_, one), (_, other) in pairwise(way))


#: Pairs of numbers of which the lower must be made before the higher, so that there is no circle.
waits = st.lists(st.tuples(st.integers(0, 19), st.integers(0, 19)).filter(lambda pair: pair[0] < pair[1]))
ways = st.permutations(range(20)).map(lambda numbers: [(number, number % 3 == 0) for number in numbers])


def before_of(pairs: list[tuple[int, int]]) -> dict[int, frozenset[int]]:
    return {late: frozenset(one for one, other in pairs if other == late) for _, late in pairs}


@given(way=ways, pairs=waits)
def test_what_must_be_first_is_first_and_all_else_keeps_its_place(
    way: list[tuple[int, bool]], pairs: list[tuple[int, int]]
) -> None:
    found = in_turn(way, before_of(pairs))
    assert sorted(found) == sorted(way)
    place = {number: index for index, (number, _) in enumerate(found)}
    assert all(place[one] < place[other] for one, other in pairs)
    free = [each for each in way if each[0] not in {number for pair in pairs for number in pair}]
    assert [each for each in found if each in free] == free
    assert in_turn(found, before_of(pairs)) == found


def test_what_has_to_wait_follows_right_after_what_it_waits_for() -> None:
    way = [(number, False) for number in (4, 0, 1, 2, 3)]
    assert [number for number, _ in in_turn(way, {4: frozenset({1})})] == [0, 1, 4, 2, 3]


@given(way=ways, pairs=waits, rest=st.sampled_from([0.0, 5.0, 80.0]))
def test_what_must_be_first_is_first_when_cuts_lie_apart(
    way: list[tuple[int, bool]], pairs: list[tuple[int, int]], rest: float
) -> None:
    boxes = [Box.of_size(4.0, 4.0).grown(float(number % 7)) for number in range(20)]
    found = cooled(way, boxes, rest, before_of(pairs))
    assert sorted(found) == sorted(way)
    place = {number: index for index, (number, _) in enumerate(found)}
    assert all(place[one] < place[other] for one, other in pairs)

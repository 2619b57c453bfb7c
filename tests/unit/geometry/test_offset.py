"""Growing and shrinking, on contours whose answer can be worked out by hand."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.contours import contour
from support.shapes import MICRON, assert_same_shape

import jiggen.geometry.offset as module
from jiggen.errors import LimitError
from jiggen.geometry.measure import (
    area,
    bounds,
    distance_to,
    faults,
    from_bulges,
    is_counter_clockwise,
    length,
    midpoint,
    to_bulges,
)
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Arc, Line, Path, as_circle, circle, polyline, rectangle, reverse
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import Similarity
from jiggen.geometry.untangle import TangleError

NANOMETRE = 1e-6  # mm
QUARTER_BULGE = math.tan(math.pi / 8.0)


def corners(*places: tuple[float, float]) -> Path:
    return polyline([Point(float(x), float(y)) for x, y in places], closed=True)


def assert_vertices(path: Path, *expected: tuple[float, float] | tuple[float, float, float]) -> None:
    """Each vertex, its bulge too where one is given, in the order expected, starting anywhere."""
    found = to_bulges(path)
    wanted = [(*vertex, 0.0)[:3] for vertex in expected]
    assert len(found) == len(wanted), found
    first = min(range(len(found)), key=lambda index: math.dist(found[index][:2], wanted[0][:2]))
    for have, want in zip([*found[first:], *found[:first]], wanted, strict=True):
        assert math.dist(have, want) < NANOMETRE, (found, wanted)


L_SHAPE = corners((0, 0), (10, 0), (10, 4), (4, 4), (4, 10), (0, 10))
NOTCHED = corners((0, 0), (20, 0), (20, 10), (11, 10), (11, 5), (9, 5), (9, 10), (0, 10))
HOURGLASS = corners((0, 0), (10, 4), (20, 0), (20, 10), (10, 6), (0, 10))


def test_an_opening_is_drawn_smaller_by_the_kerf() -> None:
    # common practice: the beam takes half of its width on each side, so kerf 0.2 turns 2.0 x 4.0 into 1.8 x 3.8
    (drawn,) = shrink(rectangle(ORIGIN, Point(2.0, 4.0)), 0.1)
    assert_vertices(drawn, (0.1, 0.1), (1.9, 0.1), (1.9, 3.9), (0.1, 3.9))
    box = bounds(drawn)
    assert math.isclose(box.width, 1.8)
    assert math.isclose(box.height, 3.8)


def test_a_part_is_drawn_larger_by_the_kerf() -> None:
    (drawn,) = grow(rectangle(ORIGIN, Point(2.0, 4.0)), 0.1)
    assert_vertices(drawn, (-0.1, -0.1), (2.1, -0.1), (2.1, 4.1), (-0.1, 4.1))


def test_corner_radii_take_up_the_offset() -> None:
    plate = rectangle(ORIGIN, Point(20.0, 10.0), radius=2.0)
    (larger,), (smaller,) = grow(plate, 0.1), shrink(plate, 0.1)
    assert {round(piece.radius, 9) for piece in larger if isinstance(piece, Arc)} == {2.1}
    assert {round(piece.radius, 9) for piece in smaller if isinstance(piece, Arc)} == {1.9}
    assert [type(piece) for piece in larger] == [type(piece) for piece in plate]
    assert math.isclose(area(larger), 20.2 * 10.2 - (4.0 - math.pi) * 2.1**2)
    assert math.isclose(area(smaller), 19.8 * 9.8 - (4.0 - math.pi) * 1.9**2)


def test_bulges_of_tangent_arcs_are_kept_bit_by_bit() -> None:
    plate = rectangle(ORIGIN, Point(20.0, 10.0), radius=2.0)
    assert [vertex[2] for vertex in to_bulges(grow(plate, 0.1)[0])] == [
        vertex[2] for vertex in to_bulges(plate)
    ]


@pytest.mark.parametrize("radius", [0.1, 0.06])
def test_a_corner_no_rounder_than_the_offset_becomes_sharp(radius: float) -> None:
    (drawn,) = shrink(rectangle(ORIGIN, Point(20.0, 10.0), radius=radius), 0.1)
    assert_vertices(drawn, (0.1, 0.1), (19.9, 0.1), (19.9, 9.9), (0.1, 9.9))


def test_a_slot_keeps_its_round_ends() -> None:
    (drawn,) = shrink(rectangle(ORIGIN, Point(20.0, 2.0), radius=1.0), 0.1)
    assert math.isclose(area(drawn), 18.0 * 1.8 + math.pi * 0.9**2)
    assert math.isclose(length(drawn), 36.0 + 2.0 * math.pi * 0.9)


@pytest.mark.parametrize("turn", [False, True])
def test_a_circle_stays_a_circle(*, turn: bool) -> None:
    path = reverse(circle(Point(3.0, 4.0), 2.0)) if turn else circle(Point(3.0, 4.0), 2.0)
    for (drawn,), radius in ((grow(path, 0.1), 2.1), (shrink(path, 0.1), 1.9)):
        found = as_circle(drawn)
        assert found is not None
        assert found[0].distance(Point(3.0, 4.0)) < NANOMETRE
        assert math.isclose(found[1], radius)
        assert is_counter_clockwise(drawn) is not turn


def test_a_circle_of_three_arcs_goes_the_common_way() -> None:
    third = math.tan(math.radians(120.0) / 4.0)
    places = [(2.0 * math.cos(angle), 2.0 * math.sin(angle), third) for angle in (0.0, 2.0944, 4.1888)]
    (drawn,) = grow(from_bulges(places, closed=True), 0.5)
    assert abs(area(drawn) - math.pi * 2.5**2) < 0.001
    with pytest.raises(LimitError, match="something left of it"):
        shrink(from_bulges(places, closed=True), 2.1)


def test_a_hollow_corner_is_trimmed() -> None:
    (larger,), (smaller,) = grow(L_SHAPE, 0.1), shrink(L_SHAPE, 0.1)
    assert_vertices(larger, (-0.1, -0.1), (10.1, -0.1), (10.1, 4.1), (4.1, 4.1), (4.1, 10.1), (-0.1, 10.1))
    assert_vertices(smaller, (0.1, 0.1), (9.9, 0.1), (9.9, 3.9), (3.9, 3.9), (3.9, 9.9), (0.1, 9.9))


def test_a_notch_gets_narrower_and_shallower() -> None:
    (drawn,) = grow(NOTCHED, 0.1)
    assert_vertices(
        drawn,
        *((-0.1, -0.1), (20.1, -0.1), (20.1, 10.1), (10.9, 10.1)),
        *((10.9, 5.1), (9.1, 5.1), (9.1, 10.1), (-0.1, 10.1)),
    )


@pytest.mark.parametrize("by", [1.0, 1.001, 1.7, 4.0])
def test_a_notch_no_wider_than_the_kerf_is_swallowed(by: float) -> None:
    (drawn,) = grow(NOTCHED, by)
    assert_vertices(drawn, (-by, -by), (20.0 + by, -by), (20.0 + by, 10.0 + by), (-by, 10.0 + by))


def test_a_notch_just_wider_than_the_kerf_stays() -> None:
    (drawn,) = grow(NOTCHED, 0.999)
    assert len(drawn) == 8
    assert math.isclose(area(drawn), 21.998 * 11.998 - 0.002 * 5.0)


def test_a_notch_with_a_round_bottom() -> None:
    path = from_bulges(
        [(0, 0, 0), (20, 0, 0), (20, 10, 0), (11, 10, 0), (11, 6, -1), (9, 6, 0), (9, 10, 0), (0, 10, 0)],
        closed=True,
    )
    (drawn,) = grow(path, 0.25)
    assert math.isclose(area(drawn), 20.5 * 10.5 - 1.5 * 4.25 - math.pi * 0.75**2 / 2.0)
    (drawn,) = grow(path, 1.0)
    assert_vertices(drawn, (-1, -1), (21, -1), (21, 11), (-1, 11))


def test_an_hourglass_falls_into_two() -> None:
    left, right = shrink(HOURGLASS, 1.2)
    # the waist, at 10, is 2 wide; a side falls 4 in 10, so its parallel lies 1.2 · sqrt(1 + 0.4²) above it
    reach = (5.0 - 1.2 * math.hypot(1.0, 0.4)) / 0.4
    assert_vertices(left, (1.2, 5.0 - 0.4 * (reach - 1.2)), (reach, 5.0), (1.2, 5.0 + 0.4 * (reach - 1.2)))
    assert_vertices(right, *((20.0 - x, y) for x, y, _ in reversed(to_bulges(left))))
    assert [is_counter_clockwise(loop) for loop in (left, right)] == [True, True]
    assert [is_counter_clockwise(loop) for loop in shrink(reverse(HOURGLASS), 1.2)] == [False, False]
    (whole,) = shrink(HOURGLASS, 0.5)
    assert len(whole) == 6


def test_a_mouth_that_closes_leaves_a_hole() -> None:
    letter_c = corners(
        *((0, 0), (10, 0), (10, 4.9), (9, 4.9), (9, 1), (1, 1)),
        *((1, 9), (9, 9), (9, 5.1), (10, 5.1), (10, 10), (0, 10)),
    )
    outside, hole = grow(letter_c, 0.3)
    assert_vertices(outside, (-0.3, -0.3), (10.3, -0.3), (10.3, 10.3), (-0.3, 10.3))
    assert_vertices(hole, (1.3, 1.3), (1.3, 8.7), (8.7, 8.7), (8.7, 1.3))
    assert [is_counter_clockwise(loop) for loop in (outside, hole)] == [True, False]
    assert [is_counter_clockwise(loop) for loop in grow(reverse(letter_c), 0.3)] == [False, True]


def test_a_wall_that_goes_leaves_the_room_beyond() -> None:
    # two rooms joined by a passage 0.2 wide: the passage goes, both rooms stay
    rooms = corners(
        *((0, 0), (4, 0), (4, 1.9), (6, 1.9), (6, 0), (10, 0)),
        *((10, 4), (6, 4), (6, 2.1), (4, 2.1), (4, 4), (0, 4)),
    )
    loops = shrink(rooms, 0.15)
    assert [round(area(loop), 9) for loop in loops] == [round(3.7 * 3.7, 9)] * 2


def test_a_line_meets_an_arc_in_a_sharp_corner() -> None:
    # half a disc of radius 5: its two corners are right angles, mitred by carrying the arc on along its tangent
    half = Path(
        (Line(Point(-5.0, 0.0), Point(5.0, 0.0)), Arc(Point(5.0, 0.0), Point(-5.0, 0.0), 1.0)), closed=True
    )
    (larger,) = grow(half, 0.5)
    assert_vertices(larger, (-5.5, -0.5), (5.5, -0.5), (5.5, 0, 1.0), (-5.5, 0))
    (smaller,) = shrink(half, 0.5)
    reach = math.sqrt(4.5**2 - 0.5**2)  # where the line y = 0.5 crosses the circle of 4.5
    sweep = math.pi - 2.0 * math.asin(0.5 / 4.5)
    assert_vertices(smaller, (-reach, 0.5), (reach, 0.5, math.tan(sweep / 4.0)))


def test_two_arcs_that_cross_are_trimmed_there() -> None:
    # a lens of two arcs of radius 5 whose centres lie 6 apart; shrunk by 1, of radius 4: half its height is √(4² - 3²)
    lens = Path(
        (
            Arc(Point(0.0, -4.0), Point(0.0, 4.0), math.tan(math.asin(0.8) / 2.0)),
            Arc(Point(0.0, 4.0), Point(0.0, -4.0), math.tan(math.asin(0.8) / 2.0)),
        ),
        closed=True,
    )
    (drawn,) = shrink(lens, 1.0)
    half, bulge = math.sqrt(7.0), math.tan(math.acos(0.75) / 2.0)
    assert_vertices(drawn, (0.0, -half, bulge), (0.0, half, bulge))


def test_a_hollow_arc_tightens_as_the_part_grows() -> None:
    # a scoop of radius 3 cut from the upper edge, grown until it is all but gone
    path = from_bulges(
        [(0, 0, 0), (20, 0, 0), (20, 10, 0), (13, 10, -1), (7, 10, 0), (0, 10, 0)], closed=True
    )
    (drawn,) = grow(path, 1.0)
    # the arc turns half round at radius 2 and is carried straight up to the edge's new height
    assert math.isclose(area(drawn), 22.0 * 12.0 - 4.0 * 1.0 - math.pi * 2.0**2 / 2.0)
    (drawn,) = grow(path, 3.0)
    assert_vertices(drawn, (-3, -3), (23, -3), (23, 13), (-3, 13))


def test_a_tip_past_the_limit_is_cut_off_square() -> None:
    # a wedge of 2 · atan(1/10) at the right: its mitre would reach 1 / sin(atan(1/10)) = 10.05 times the offset
    wedge = corners((0, -1), (10, 0), (0, 1))
    (sharp,) = grow(wedge, 0.1, mitre_limit=11.0)
    assert math.isclose(bounds(sharp).high.x, 10.0 + 0.1 * math.hypot(1.0, 10.0))
    (blunt,) = grow(wedge, 0.1, mitre_limit=4.0)
    assert len(blunt) == 4
    assert math.isclose(bounds(blunt).high.x, 10.4)
    flat = [piece for piece in blunt if abs(midpoint(piece).x - 10.4) < NANOMETRE]
    # the sides lie 0.1 · √1.01 off, and fall to the tip at 1 in 10
    half = (10.0 + 0.1 * math.hypot(1.0, 10.0) - 10.4) / 10.0
    assert math.isclose(length(Path(tuple(flat))), 2.0 * half)


def test_no_tip_comes_nearer_than_the_offset() -> None:
    (drawn,) = grow(corners((0, -1), (10, 0), (0, 1)), 0.1, mitre_limit=1.0)
    assert math.isclose(bounds(drawn).high.x, 10.1)


def test_the_limit_counts_for_hollow_tips_too() -> None:
    # a crack into a plate, 0.2 wide at its mouth, seen from the plate that shrinks
    plate = corners((0, 0), (20, 0), (20, 10), (10.1, 10), (10, 5), (9.9, 10), (0, 10))
    (drawn,) = shrink(plate, 0.1, mitre_limit=2.0)
    low = min((piece.start for piece in drawn if 9.0 < piece.start.x < 11.0), key=lambda point: point.y)
    assert math.isclose(low.y, 4.8)


def test_a_spike_that_thins_to_nothing_is_cut_off_at_the_limit() -> None:
    # a drop whose two sides, quarters of 3 mm radius, run into one another at the bottom with one tangent
    drop = from_bulges([(0, 0, QUARTER_BULGE), (-3, 3, -1.0), (3, 3, QUARTER_BULGE)], closed=True)
    (larger,) = grow(drop, 0.1)
    assert math.isclose(bounds(larger).low.y, -0.4)
    assert faults(larger) == ()
    (smaller,) = shrink(drop, 0.1)
    # the sides, now of 3.1 mm, cross on the middle line
    assert math.isclose(bounds(smaller).low.y, math.sqrt(3.1**2 - 3.0**2))


def test_a_crack_that_thins_to_nothing_closes_from_its_root() -> None:
    # the same the other way: a plate with a funnel into its upper edge
    plate = from_bulges(
        [
            (-9, -9, 0),
            (9, -9, 0),
            (9, 3, 0),
            (3, 3, QUARTER_BULGE),
            (0, 0, QUARTER_BULGE),
            (-3, 3, 0),
            (-9, 3, 0),
        ],
        closed=True,
    )
    (larger,) = grow(plate, 0.5)
    root = min((piece.start for piece in larger if abs(piece.start.x) < 3.0), key=lambda point: point.y)
    assert root.distance(Point(0.0, math.sqrt(3.5**2 - 3.0**2))) < NANOMETRE
    (smaller,) = shrink(plate, 0.1)
    flat = min(
        (midpoint(piece) for piece in smaller if abs(midpoint(piece).x) < 3.0), key=lambda point: abs(point.x)
    )
    assert flat.distance(Point(0.0, -0.4)) < NANOMETRE


def test_no_offset_is_no_change() -> None:
    assert grow(NOTCHED, 0.0) == shrink(NOTCHED, 0.0) == (NOTCHED,)


def test_the_first_segment_stays_the_first() -> None:
    for path in (L_SHAPE, reverse(L_SHAPE)):
        (drawn,) = grow(path, 0.1)
        for piece, moved in zip(path, drawn, strict=True):
            assert abs(distance_to(Path((moved,)), midpoint(piece)) - 0.1) < NANOMETRE


def test_specks_do_not_matter() -> None:
    speckled = corners((0, 0), (2, 0), (2, 4), (2 - 1e-8, 4), (0, 4))
    (drawn,) = grow(speckled, 0.1)
    assert_vertices(drawn, (-0.1, -0.1), (2.1, -0.1), (2.1, 4.1), (-0.1, 4.1))


def test_a_contour_of_specks_is_refused() -> None:
    with pytest.raises(LimitError, match=r"no length at \(0.0000, 0.0000\)"):
        grow(corners((0, 0), (1e-7, 0), (0, 1e-7)), 0.1)


@pytest.mark.parametrize("bulge", [1e-3, 1e-6, 1e-8, 1e-10, 1e-14, -1e-5, -1e-9])
def test_very_flat_arcs_are_no_trouble(bulge: float) -> None:
    board = from_bulges([(0, 0, bulge), (400, 0, 0), (400, 50, bulge), (0, 50, 0)], closed=True)
    (larger,), (smaller,) = grow(board, 0.1), shrink(board, 0.1)
    assert abs(area(larger) - area(board) - 0.1 * length(board) - 0.04) < 0.4 * abs(
        bulge
    ) + NANOMETRE * length(board)
    assert abs(area(board) - area(smaller) - 0.1 * length(board) + 0.04) < 0.4 * abs(
        bulge
    ) + NANOMETRE * length(board)


def test_edges_all_but_on_each_other_are_settled() -> None:
    # a notch that the offset leaves open or shut by a nanometre or so: either will do, if only it is one of the two
    for width in (1.0 + step * 2e-7 for step in range(-40, 41)):
        bar = corners(
            (0, 0), (20, 0), (20, 10), (10 + width, 10), (10 + width, 5), (10, 5), (10, 10), (0, 10)
        )
        for move in (Similarity(), Similarity(cosine=math.cos(0.3), sine=math.sin(0.3))):
            loops = grow(move.path(bar), 0.5)
            assert len(loops) == 1
            assert faults(loops[0]) == ()
            assert abs(area(loops[0]) - 21.0 * 11.0) < 0.001


@pytest.mark.parametrize("by", [1.0, 1.5, 1.0 - 1e-8])
def test_nothing_left_is_an_error(by: float) -> None:
    with pytest.raises(LimitError) as caught:
        shrink(rectangle(ORIGIN, Point(2.0, 4.0)), by)
    assert str(caught.value) == (
        f"offset: got a contour of 2.000 × 4.000 mm to shrink by {by:.3f} mm all round, expected something left of it. "
        f"Make it wider than {2.0 * by:.3f} mm everywhere that matters, or the kerf narrower."
    )


@pytest.mark.parametrize("by", [3.0, 3.0 - 1e-8, 7.0])
def test_nothing_left_of_a_circle_is_an_error(by: float) -> None:
    with pytest.raises(LimitError, match="a contour of 6.000 × 6.000 mm to shrink"):
        shrink(circle(ORIGIN, 3.0), by)


def test_a_contour_that_crosses_itself_is_refused() -> None:
    with pytest.raises(LimitError) as caught:
        grow(corners((0, 0), (1, 1), (1, 0), (0, 1)), 0.1)
    assert str(caught.value) == (
        "offset: got a contour that meets itself at (0.5000, 0.5000), "
        "expected one that goes round an area without meeting itself"
    )


def test_impossible_wishes_are_refused() -> None:
    with pytest.raises(ValueError, match="only a closed path"):
        grow(Path(NOTCHED.segments[:-1]), 0.1)
    for by, limit in ((-0.1, 4.0), (math.nan, 4.0), (math.inf, 4.0), (0.1, 0.9), (0.1, math.nan)):
        with pytest.raises(ValueError, match="no offset by"):
            shrink(NOTCHED, by, mitre_limit=limit)


convex = st.builds(
    lambda gaps, radius, wide, bulges: from_bulges(
        [
            (wide * radius * math.cos(angle), radius * math.sin(angle), bulge)
            for angle, bulge in zip(_angles(gaps), bulges, strict=False)
        ],
        closed=True,
    ),
    st.lists(st.floats(1.0, 3.0), min_size=4, max_size=12),
    st.floats(2.0, 50.0),
    st.floats(1.0, 3.0),
    st.lists(st.sampled_from([0.0, 0.02, 0.05]), min_size=12, max_size=12),
)


def _angles(gaps: list[float]) -> list[float]:
    whole = sum(gaps)
    return [2.0 * math.pi * sum(gaps[:index]) / whole for index in range(len(gaps))]


@given(convex, st.floats(0.01, 1.0))
@settings(max_examples=40, deadline=None, derandomize=True)
def test_out_and_back_is_where_one_was(path: Path, by: float) -> None:
    (larger,) = grow(path, by, mitre_limit=20.0)
    (back,) = shrink(larger, by, mitre_limit=20.0)
    assert abs(area(back) - area(path)) < NANOMETRE * length(path)
    assert_same_shape(back, path, 0.01 * MICRON)
    if not any(isinstance(piece, Arc) for piece in path):
        assert len(back) == len(path)


@given(seed=st.integers(0, 10_000), by=st.floats(0.01, 2.0), outward=st.booleans())
@settings(max_examples=120, deadline=None, derandomize=True)
def test_what_comes_out_is_sound_and_runs_the_same_way(*, seed: int, by: float, outward: bool) -> None:
    path = contour(seed)
    try:
        loops = grow(path, by) if outward else shrink(path, by)
    except LimitError:
        assert not outward
        return
    before, after = area(path), math.fsum(area(loop) for loop in loops)
    assert (abs(after) > abs(before)) is outward
    assert all(faults(loop) == () for loop in loops)
    assert (area(loops[0]) > 0.0) is (before > 0.0)
    assert not outward or all((area(loop) > 0.0) is not (before > 0.0) for loop in loops[1:])
    assert outward or all((area(loop) > 0.0) is (before > 0.0) for loop in loops)
    for loop in loops:  # nothing comes nearer than it should
        for piece in loop:
            assert distance_to(path, midpoint(piece)) >= by - 2.0 * NANOMETRE


@given(
    seed=st.integers(0, 10_000), by=st.floats(0.05, 0.5), angle=st.floats(-3.0, 3.0), mirrored=st.booleans()
)
@settings(max_examples=40, deadline=None, derandomize=True)
def test_turning_first_or_last_makes_no_difference(
    *, seed: int, by: float, angle: float, mirrored: bool
) -> None:
    path = contour(seed)
    move = Similarity(
        cosine=math.cos(angle), sine=math.sin(angle), shift=Point(70.0, -30.0), mirrored=mirrored
    )
    one = math.fsum(area(loop) for loop in grow(move.path(path), by))
    other = math.fsum(area(loop) for loop in grow(path, by))
    assert abs(abs(one) - abs(other)) < NANOMETRE * length(path)


def test_a_tangle_goes_the_other_way_round(monkeypatch: pytest.MonkeyPatch) -> None:
    exact = {
        path: (*grow(path, 0.3), *shrink(path, 0.3)) for path in (L_SHAPE, NOTCHED, HOURGLASS, contour(2))
    }

    def tangled(*_: object) -> tuple[Path, ...]:
        raise TangleError("made up for the test")

    monkeypatch.setattr(module, "_exactly", tangled)
    for path, loops in exact.items():
        by_polygons = (*grow(path, 0.3), *shrink(path, 0.3))
        for one, other in zip(loops, by_polygons, strict=True):
            assert_same_shape(one, other, MICRON)
            assert is_counter_clockwise(one) is is_counter_clockwise(other)
    with pytest.raises(LimitError, match="something left of it"):
        shrink(L_SHAPE, 3.0)


def test_a_tangle_that_stays_one_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    def tangled(*_: object) -> tuple[Path, ...]:
        raise TangleError("made up for the test")

    def crossed(*_: object) -> tuple[Path, ...]:
        return (corners((0, 0), (1, 1), (1, 0), (0, 1)),)

    monkeypatch.setattr(module, "_exactly", tangled)
    monkeypatch.setattr(module, "_by_polygons", crossed)
    with pytest.raises(LimitError, match=r"folds over itself too finely to be moved by 0.1 mm"):
        grow(L_SHAPE, 0.1)

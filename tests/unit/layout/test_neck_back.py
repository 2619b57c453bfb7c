"""The neck's back is as deep and as wide as it was said to be, and starts square below the board."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.specs import wren

from jiggen.design.instrument import BackShape, DepthAt, NeckBack
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import JiggenError
from jiggen.geometry.measure import flatten
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on
from jiggen.layout.neck import lay_out
from jiggen.layout.neck_back import half_curve, half_sections

DEPTHS = (DepthAt(fret=1, depth=21.0), DepthAt(fret=9, depth=23.0))


def sections(spec=None, **numbers):
    back = NeckBack(**{"depths": Given(DEPTHS)} | {name: Given(value) for name, value in numbers.items()})
    return half_sections(lay_out(solve(replace((spec or wren()).design, neck_back=back))))


@given(st.sampled_from(BackShape), st.floats(17.0, 40.0), st.floats(16.0, 45.0), st.floats(0.0, 1.5))
def test_every_shape_is_as_deep_and_wide_as_asked_and_has_no_corner(shape, half_width, depth, rim):
    curve = half_curve(half_width, rim=rim, board=6.0, depth=depth, shape=shape)
    assert curve.start == Point(half_width, -rim)
    assert curve.end.distance(Point(0.0, -depth)) < 1e-9
    for one, other in pairwise(curve):
        assert heading_on(one, 1.0).cross(heading_on(other, 0.0)) == pytest.approx(0.0, abs=1e-6)
    assert heading_on(curve.segments[-1], 1.0).y == pytest.approx(0.0, abs=1e-6)
    assert all(heading_on(piece, share).x <= 1e-9 for piece in curve for share in (0.0, 0.5, 1.0))


def area_under(shape):
    """How much wood there is: the sum of thin slices, which is independent of how the curve is made."""
    curve = half_curve(23.0, rim=0.0, board=6.0, depth=21.0, shape=shape)
    return sum((one.x - other.x) * -(one.y + other.y) / 2.0 for one, other in pairwise(flatten(curve, 0.001)))


def test_a_d_is_fuller_than_a_c_than_a_soft_v_than_a_v():
    areas = [area_under(shape) for shape in (BackShape.D, BackShape.C, BackShape.SOFT_V, BackShape.V)]
    assert areas == sorted(areas, reverse=True)
    assert min(one - other for one, other in pairwise(areas)) > 1.0  # mm²: one can feel it


def test_a_c_is_near_an_ellipse():
    curve = half_curve(23.0, rim=0.0, board=6.0, depth=21.0, shape=BackShape.C)
    for piece in curve.segments[1:]:
        off_ellipse = (piece.start.x / 23.0) ** 2 + ((piece.start.y + 6.0) / 15.0) ** 2
        assert off_ellipse == pytest.approx(1.0, abs=0.05)


def test_one_gauge_does_for_both_sides_of_an_even_neck():
    assert [(each.fret, each.sides) for each in sections()] == [(1, "both"), (9, "both")]


def test_a_ridge_toward_the_bass_makes_two_sides():
    found = sections(ridge=1.5)
    assert [(each.fret, each.sides) for each in found] == [
        (1, "bass"),
        (1, "treble"),
        (9, "bass"),
        (9, "treble"),
    ]
    assert found[1].half_width - found[0].half_width == pytest.approx(3.0)


def test_sides_keep_their_names_on_a_left_handed_neck():
    right, left = (sections(wren(left_handed=each), ridge=1.5) for each in (False, True))
    assert [(each.sides, each.half_width) for each in right] == [
        (each.sides, pytest.approx(each.half_width)) for each in left
    ]


def test_the_half_width_is_half_the_board():
    (first, _) = sections()
    layout = lay_out(wren())
    assert first.half_width == pytest.approx(layout.frets[0].width / 2.0)


def test_depth_grows_evenly_between_two_that_are_given():
    found = {each.fret: each.depth for each in sections(frets=(1, 5, 9, 12))}
    x = {fret.number: fret.distance for fret in lay_out(wren()).frets}
    slope = (23.0 - 21.0) / (x[9] - x[1])
    assert found[1] == 21.0
    assert found[5] == pytest.approx(21.0 + slope * (x[5] - x[1]))
    assert found[9] == pytest.approx(23.0)
    assert found[12] == pytest.approx(21.0 + slope * (x[12] - x[1]))
    assert {each.depth for each in sections(depths=DEPTHS[:1], frets=(1, 9))} == {21.0}


@pytest.mark.parametrize(
    ("numbers", "message"),
    [
        ({"board": 22.0}, "neck-back: got a neck 21.00 mm deep under a board 22.00 mm thick"),
        ({"ridge": 30.0}, "neck-back.ridge: got half a neck -6.49 mm wide, expected a ridge between"),
        ({"depths": (*DEPTHS, DEPTHS[0])}, "neck-back.depths: got a fret twice"),
        ({"frets": (30,)}, "neck-back.frets: got fret 30, expected a fret from 1 to 18, or 0 for the nut"),
    ],
)
def test_numbers_that_make_no_neck_are_named(numbers, message):
    with pytest.raises(JiggenError) as caught:
        sections(**numbers)
    assert message in str(caught.value)

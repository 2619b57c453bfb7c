"""The head holds one tuner for each string, where it was said to be, and strings touch their posts."""

import math
from dataclasses import replace

import pytest
from support.specs import wren

from jiggen.design.instrument import Head
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import JiggenError
from jiggen.geometry.measure import bounds, distance_to, faults, is_counter_clockwise
from jiggen.geometry.point import Point
from jiggen.layout.head import lay_out_head
from jiggen.layout.neck import lay_out

THREE_AND_THREE = {
    "length": 178.0,
    "width": 74.0,
    "width_at_tip": 62.0,
    "tuners": (3, 3),
    "tuner_hole": 10.0,
    "first_tuner": 40.0,
    "tuner_spacing": 38.0,
    "tuner_inset": 13.0,
}
IN_LINE = {**THREE_AND_THREE, "tuners": (6, 0), "tuner_spacing": 25.0, "length": 200.0}
FAN = {"scale": None, "scale_bass": 690.0, "scale_treble": 648.0, "straight_fret": 7.0}


def head(spec=None, **numbers):
    said = Head(
        **{name: Given(value) for name, value in (THREE_AND_THREE | numbers).items() if value is not None}
    )
    return lay_out_head(lay_out(solve(replace((spec or wren()).design, head=said))))


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN), wren(zero_fret=True)])
@pytest.mark.parametrize("numbers", [THREE_AND_THREE, IN_LINE, {**IN_LINE, "tuners": (0, 6)}])
@pytest.mark.parametrize("straight_pull", [False, True])
def test_the_outline_is_sound_and_every_string_touches_its_post(spec, numbers, straight_pull):
    shape = head(spec, **numbers, straight_pull=straight_pull)
    assert faults(shape.outline) == ()
    assert is_counter_clockwise(shape.outline)
    assert sorted(each.string for each in shape.tuners) == [1, 2, 3, 4, 5, 6]
    for each in shape.tuners:
        along = (each.run.end - each.run.start).unit()
        to_post = each.centre - each.run.end
        assert to_post.length() == pytest.approx(3.0)  # half a post of 6 mm; no gauges are given
        assert along.dot(to_post) == pytest.approx(0.0, abs=1e-9)
        # the post's middle lies away from the centre line
        assert to_post.y * (-1.0 if (each.side == "treble") == spec.left_handed.value else 1.0) > 0.0


def test_widths_and_places_come_out_as_given():
    shape = head()
    nut = -5.0  # the back of a nut of 5 mm
    box = bounds(shape.outline)
    assert (box.low.x, box.high.x) == (pytest.approx(nut - 178.0), pytest.approx(nut))
    assert shape.nut.start.distance(shape.nut.end) == pytest.approx(
        46.0 - 5.0 * 18.0 / 628.0
    )  # the taper carried on
    by_string = {each.string: each for each in shape.tuners}
    assert [by_string[number].centre.x - nut for number in (6, 5, 4)] == pytest.approx([-40.0, -78.0, -116.0])
    assert [by_string[number].centre.x - nut for number in (1, 2, 3)] == pytest.approx([-40.0, -78.0, -116.0])
    for each in shape.tuners:
        assert distance_to(shape.outline, each.centre) == pytest.approx(13.0)


def test_sides_follow_tuners_that_are_pulled_straight():
    shape = head(straight_pull=True, width=None, width_at_tip=None)
    assert all(each.bend == 0.0 for each in shape.tuners)
    for each in shape.tuners:
        assert 12.999 < distance_to(shape.outline, each.centre) < 13.6


def test_a_side_without_tuners_lies_the_width_away():
    shape = head(**IN_LINE | {"straight_pull": True})
    box = bounds(shape.outline)
    tuner = next(each for each in shape.tuners if each.string == 4)
    crossings = [
        piece
        for piece in shape.outline
        if min(piece.start.x, piece.end.x) < tuner.centre.x < max(piece.start.x, piece.end.x)
    ]
    ys = [
        piece.start.y
        + (piece.end.y - piece.start.y) * (tuner.centre.x - piece.start.x) / (piece.end.x - piece.start.x)
        for piece in crossings
    ]
    assert max(ys) - min(ys) == pytest.approx(74.0)
    assert box.width == pytest.approx(200.0)


def test_a_left_handed_head_is_the_mirror_image():
    right, left = head(), head(wren(left_handed=True))
    for one, other in zip(right.tuners, left.tuners, strict=True):
        assert (one.string, one.side) == (other.string, other.side)
        assert one.centre.distance(Point(other.centre.x, -other.centre.y)) < 1e-9
        assert math.isclose(one.bend, other.bend, abs_tol=1e-12)


@pytest.mark.parametrize(
    ("numbers", "message"),
    [
        (
            {"tuners": (3, 2)},
            "head.tuners: got 3 on the bass side and 2 on the treble side for 6 strings, expected one tuner for each",
        ),
        (
            {"width": None},
            "head.width: got nothing, expected how wide the headstock is where its sides begin",
        ),
        ({"length": 30.0}, "got a head 30.00 mm long whose corners do not fit"),
        (
            {**IN_LINE, "straight_pull": True, "width": 20.0},
            "head.width: got 20.00 mm, which leaves",
        ),
    ],
)
def test_numbers_that_make_no_head_are_named(numbers, message):
    with pytest.raises(JiggenError) as caught:
        head(**numbers)
    assert message in str(caught.value)

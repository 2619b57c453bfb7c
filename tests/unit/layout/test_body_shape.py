"""The body is as long and as wide as it was said to be, and smooth all round."""

from dataclasses import replace
from itertools import pairwise

import pytest
from support.furnished import furnished
from support.specs import wren

from jiggen.design.instrument import Body
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import InputError, JiggenError
from jiggen.geometry.measure import bounds, faults, is_counter_clockwise
from jiggen.geometry.segment import heading_on
from jiggen.layout.body import lay_out_body
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm
WREN = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}


def layout_with(**numbers):
    body = Body(joint_fret=Given(12), **{name: Given(value) for name, value in numbers.items()})
    return lay_out(_solved(body))


def _solved(body):
    return solve(replace(wren().design, body=body))


def test_a_figure_keeps_its_length_and_its_widest_width():
    shape = lay_out_body(layout_with(**WREN))
    assert shape.neck_end == pytest.approx(314.0)
    box = bounds(shape.outline)
    assert (box.low.x, box.high.x) == (pytest.approx(314.0), pytest.approx(794.0))
    assert (box.low.y, box.high.y) == (pytest.approx(-170.0), pytest.approx(170.0))
    assert faults(shape.outline) == faults(shape.half_outline) == ()
    assert is_counter_clockwise(shape.outline)
    assert is_counter_clockwise(shape.half_outline)


@pytest.mark.parametrize("numbers", [WREN, {"length": 340.0, "lower_bout": 255.0}])
def test_it_has_no_corner_but_where_a_pear_meets_the_board(numbers):
    shape = lay_out_body(layout_with(**numbers))
    turns = [abs(heading_on(one, 1.0).cross(heading_on(other, 0.0))) for one, other in pairwise(shape.half)]
    corners = [turn for turn in turns if turn > 1e-6]
    assert len(corners) == (0 if "waist" in numbers else 1)


def test_places_that_are_given_are_kept():
    shape = lay_out_body(layout_with(**WREN, upper_bout_at=90.0, waist_at=180.0, lower_bout_at=350.0))
    assert [each.x - shape.neck_end for each in shape.stations] == [90.0, 180.0, 350.0]


def test_a_pear_starts_as_wide_as_the_board():
    shape = lay_out_body(layout_with(length=340.0, lower_bout=255.0))
    board = 46.0 + (64.0 - 46.0) / 2.0  # of the Wren at the octave
    first = shape.half.segments[0]
    assert first.end.y * 2.0 == pytest.approx(board)
    assert [each.name for each in shape.stations] == ["lower-bout"]


def test_a_left_handed_body_is_the_same():
    right, left = (
        lay_out_body(lay_out(furnished(wren(left_handed=left_handed)))) for left_handed in (False, True)
    )
    assert right == left


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"waist": None}, "got upper-bout without waist, expected both, or neither for a pear shape"),
        ({"upper_bout": None}, "got waist without upper-bout"),
        ({"waist": 260.0}, "body.waist: got 260.00 mm, expected less than both bouts, 250.00 mm"),
        ({"waist_at": 80.0}, "expected places in this order, within the body's length"),
        ({"waist": 30.0}, "body, from bout to waist: got 110.00 mm sideways within 96.00 mm"),
        (
            {"waist": None, "upper_bout": None, "lower_bout": 1000.0},
            "got a pear 55.00 mm wide at its neck end",
        ),
    ],
)
def test_numbers_that_make_no_body_are_named(change, message):
    numbers = {name: value for name, value in {**WREN, **change}.items() if value is not None}
    with pytest.raises(JiggenError) as caught:
        lay_out_body(layout_with(**numbers))
    assert message in str(caught.value)


def test_the_joint_must_be_a_fret_of_the_neck():
    body = Body(joint_fret=Given(25), length=Given(480.0), lower_bout=Given(340.0))
    with pytest.raises(
        InputError, match=r"body.joint-fret: got fret 25, expected a fret from 1 to 18.*its profile does"
    ):
        lay_out_body(lay_out(_solved(body)))

"""Bodies with a gradual bend, with cutaways and with sides that differ keep what they promise; so do their numbers."""

import math
import random
from dataclasses import replace
from itertools import pairwise

import pytest
from support.specs import wren

from jiggen.design.instrument import Body, CutawayShape, CutawaySide, Smoothness
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import JiggenError
from jiggen.geometry.measure import bounds, faults, is_counter_clockwise
from jiggen.geometry.path import Arc
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on
from jiggen.layout.body import lay_out_body
from jiggen.layout.body_curve import smooth_figure, smooth_pear
from jiggen.layout.body_numbers import body_numbers, tight_bend
from jiggen.layout.body_rows import body_rows
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm
GRADUAL, SOFT, SHARP = Smoothness.CURVATURE, CutawayShape.SOFT, CutawayShape.SHARP
WREN = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}
CUT = {**WREN, "cutaway": SOFT, "cutaway_depth": 75.0, "horn_at": 18.0}
PEAR = {"length": 340.0, "lower_bout": 255.0}
FORMS = {
    "gradual": {**WREN, "smooth": GRADUAL},
    "ukulele": {"length": 240.0, "upper_bout": 125.0, "waist": 110.0, "lower_bout": 165.0, "smooth": GRADUAL},
    "round ends": {**WREN, "neck_end_radius": 400.0, "tail_radius": 250.0},
    "gradual, round ends": {**WREN, "smooth": GRADUAL, "neck_end_radius": 200.0, "tail_radius": 250.0},
    "soft": CUT,
    "sharp": {**CUT, "cutaway": SHARP},
    "both": {**CUT, "cutaway_side": CutawaySide.BOTH, "horn_at": -25.0, "smooth": GRADUAL},
    "bass": {**CUT, "cutaway_side": CutawaySide.BASS, "smooth": GRADUAL},
    "askew": {**WREN, "upper_bout_shift": 8.0, "waist_shift": -12.0, "lower_bout_shift": 6.0},
    "gradual pear": {**PEAR, "smooth": GRADUAL, "tail_radius": 130.0},
}


def layout_with(*, left_handed=False, **numbers):
    body = Body(joint_fret=Given(12), **{name: Given(value) for name, value in numbers.items()})
    return lay_out(solve(replace(wren(left_handed=left_handed).design, body=body)))


@pytest.fixture(params=FORMS.values(), ids=FORMS.keys())
def form(request):
    return request.param, lay_out_body(layout_with(**request.param))


def test_every_form_keeps_its_length_and_widths(form):
    numbers, shape = form
    box = bounds(shape.outline)
    assert box.high.x - shape.neck_end == pytest.approx(numbers["length"], abs=NANOMETRE)
    assert box.height == pytest.approx(numbers["lower_bout"], abs=NANOMETRE)
    for station in shape.stations:
        for half, side in ((shape.half, 1.0), (shape.other, -1.0)):
            place = Point(station.at(side), side * station.width / 2.0)
            piece = min(half, key=lambda each: each.end.distance(place))
            assert piece.end.distance(place) <= NANOMETRE
            assert abs(heading_on(piece, 1.0).y) <= 1e-9
    assert faults(shape.outline) == ()
    assert is_counter_clockwise(shape.outline)


def test_every_form_has_corners_only_at_neck_and_horn(form):
    numbers, shape = form
    for half, side in ((shape.half, 1.0), (shape.other, -1.0)):
        turns = [abs(heading_on(one, 1.0).cross(heading_on(other, 0.0))) for one, other in pairwise(half)]
        expected = 0
        if "waist" not in numbers:
            expected = 1
        if side in shape.cut:
            expected = 2 if numbers["cutaway"] is SHARP else 1
        assert sum(turn > 1e-6 for turn in turns) == expected


def test_end_radii_are_those_asked_for():
    shape = lay_out_body(layout_with(**FORMS["round ends"]))
    ends = shape.half.segments[0], shape.half.segments[-1]
    assert [each.radius for each in ends if isinstance(each, Arc)] == [
        pytest.approx(400.0),
        pytest.approx(250.0),
    ]
    first, *_, last = smooth_figure(
        480.0,
        (Point(96.0, 125.0), Point(192.0, 105.0), Point(353.0, 170.0)),
        neck_radius=200.0,
        tail_radius=250.0,
    )
    assert 1.0 / abs(first.curvature(0.0)) == pytest.approx(200.0, rel=1e-9)
    assert 1.0 / abs(last.curvature(1.0)) == pytest.approx(250.0, rel=1e-9)


def test_a_left_handed_cutaway_is_the_other_side():
    right, left = (lay_out_body(layout_with(left_handed=hand, **CUT)) for hand in (False, True))
    assert (right.cut, left.cut) == ((1.0,), (-1.0,))
    assert [(each.end.x, -each.end.y) for each in left.other] == [
        (each.end.x, each.end.y) for each in right.half
    ]


def test_a_shift_moves_the_treble_side_toward_the_tail():
    shape = lay_out_body(layout_with(**FORMS["askew"]))
    waist = shape.stations[1]
    assert waist.at(1.0) - waist.at(-1.0) == -12.0
    assert not shape.is_symmetrical


@pytest.mark.parametrize(
    ("numbers", "message"),
    [
        ({**CUT, "cutaway_depth": None}, "body.cutaway-depth: got nothing"),
        ({**CUT, "horn_at": None}, "body.horn-at: got nothing"),
        ({**CUT, "horn_at": 90.0}, "body.horn-at: got a horn at 90.00 mm"),
        ({**CUT, "horn_radius": 80.0}, "body.horn-radius: got"),
        ({**PEAR, "cutaway": SOFT}, "got a cutaway in a pear shape"),
        ({**WREN, "neck_end_radius": 60.0}, "body.neck-end-radius: got 60.00 mm, expected a radius above"),
        (
            {**WREN, "smooth": GRADUAL, "tail_radius": 900.0},
            "body.tail-radius: got 900.00 mm, expected less than",
        ),
        ({**WREN, "waist_shift": 400.0}, "expected places in this order"),
    ],
)
def test_numbers_that_make_no_such_body_are_named(numbers, message):
    with pytest.raises(JiggenError) as caught:
        lay_out_body(layout_with(**{name: each for name, each in numbers.items() if each is not None}))
    assert message in str(caught.value)


def test_side_wood_is_as_long_as_the_side_and_what_bending_takes():
    found = body_numbers(layout_with(**WREN, side_allowance=40.0))
    assert found.perimeter == pytest.approx(sum(found.sides))
    assert found.side_wood == (found.sides[0] + 40.0, found.sides[1] + 40.0)
    assert found.air is None
    assert found.saddle_from_neck_end == pytest.approx(314.0)


def test_sides_of_one_depth_hold_area_times_depth():
    found = body_numbers(layout_with(**WREN, side_depth_neck=90.0, side_depth_tail=90.0))
    assert found.air == pytest.approx(found.inside_area * 90.0)


def test_the_waist_is_the_tightest_hollow_between_the_bouts():
    """A cutaway is hollow too, and tighter, but no waist."""
    plain, cut = (body_numbers(layout_with(**form)) for form in (WREN, CUT))
    assert plain.waist.hollow
    assert plain.waist.radius > 80.0
    assert (
        96.0 < plain.waist.x - plain.neck_end < 352.8
    )  # upper and lower bout by their usual shares of 480 mm
    assert cut.smallest_bend.radius < 20.0
    assert cut.waist.radius == pytest.approx(plain.waist.radius, rel=0.2)
    assert body_numbers(layout_with(**PEAR)).waist is None


def test_rows_tell_lengths_in_both_units_and_sizes_in_their_own():
    rows = {
        row.name: row for row in body_rows(layout_with(**WREN, side_depth_neck=90.0, side_depth_tail=90.0))
    }
    found = body_numbers(layout_with(**WREN, side_depth_neck=90.0, side_depth_tail=90.0))
    joint = rows["body's neck end, at fret 12, from nut"]
    assert (joint.value, joint.inches) == ("314.00 mm", "12.362 in")
    assert rows["area of the body"].value == f"{found.area / 100.0:.1f} cm²"
    assert rows["air within the sides"].value == f"{found.air / 1e6:.2f} l"
    assert rows["side wood, bass, with bending allowance"].value == f"{found.side_wood[1]:.2f} mm"
    left = body_rows(layout_with(left_handed=True, **CUT))
    wood = {row.name: row.value for row in left if row.name.startswith("side wood")}
    cut_side = f"{max(body_numbers(layout_with(**CUT)).side_wood):.2f} mm"
    assert wood["side wood, treble, with bending allowance"] == cut_side
    assert body_rows(lay_out(wren())) == ()


def test_a_bend_too_tight_for_the_sides_is_doubted():
    deep = {"side_depth_neck": 90.0, "side_depth_tail": 100.0}
    assert tight_bend(layout_with(**WREN, **deep)) is None
    doubt = tight_bend(layout_with(**CUT, **deep))
    assert doubt.name == "tight-bend"
    assert "20 thicknesses, 40.00 mm, or more" in doubt.text
    assert tight_bend(layout_with(**CUT)) is None  # nothing is bent: a solid body


def test_nothing_is_told_of_a_body_that_nobody_described():
    assert body_numbers(lay_out(wren())) is None


def test_a_gradual_pear_meets_its_tail_with_one_bend():
    first, second = smooth_pear(340.0, Point(0.0, 27.5), Point(217.6, 127.5), tail_radius=None)
    assert first.curvature(1.0) == pytest.approx(second.curvature(0.0), rel=1e-9)
    assert math.isclose(first.point(1.0).y, 127.5)


def test_random_bodies_are_sound_or_refused_with_a_reason():
    dice = random.Random(8)  # noqa: S311 - a seed, not a secret
    made, refused = 0, []
    for _ in range(30):
        length = dice.uniform(200.0, 560.0)
        lower = length * dice.uniform(0.55, 0.85)
        upper = lower * dice.uniform(0.6, 0.95)
        numbers = {
            "length": length,
            "upper_bout": upper,
            "waist": upper * dice.uniform(0.7, 0.97),
            "lower_bout": lower,
            "smooth": dice.choice(list(Smoothness)),
            "waist_shift": dice.uniform(-15.0, 15.0),
            "cutaway": dice.choice((None, SOFT, SHARP)),
            "cutaway_side": dice.choice(list(CutawaySide)),
            "cutaway_depth": length * dice.uniform(0.08, 0.25),
            "horn_at": length * dice.uniform(-0.08, 0.08),
            "horn_radius": dice.uniform(4.0, 20.0),
            "tail_radius": dice.choice((None, dice.uniform(80.0, 500.0))),
        }
        try:
            layout = layout_with(**{name: each for name, each in numbers.items() if each is not None})
            shape = lay_out_body(layout)
        except JiggenError as error:
            refused.append(error.where)
            continue
        made += 1
        assert faults(shape.outline) == ()
        found = body_numbers(layout)
        assert 0.0 < found.inside_area < found.area < length * lower
    assert made >= 15
    assert all(where.startswith("body") for where in refused)

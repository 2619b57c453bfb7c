"""The head holds one tuner for each string, where it was said to be, and strings touch their posts."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from support.specs import wren

from jiggen.design.instrument import Head, HeadForm
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


SLOTTED = {
    **THREE_AND_THREE,
    "form": HeadForm.SLOTTED,
    "length": 190.0,
    "width": 76.0,
    "width_at_tip": 70.0,
    "first_tuner": 44.0,
    "tuner_spacing": 35.0,
    "tuner_inset": None,
    "slot_width": 14.0,
    "slot_length": 102.0,
    "slot_from_nut": 28.0,
    "slot_from_centre": 15.5,
}


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN)])
def test_rollers_stand_square_to_the_sides_and_are_spaced_along_them(spec):
    shape = head(spec, **SLOTTED)
    treble = -1.0 if spec.left_handed.value else 1.0
    for side, sign in (("bass", -treble), ("treble", treble)):
        own = [each for each in shape.tuners if each.side == side]
        starts = [each.axis.start for each in own]
        along = (starts[-1] - starts[0]).unit()
        assert [one.distance(other) for one, other in pairwise(starts)] == pytest.approx([35.0, 35.0])
        for each in own:
            assert (each.axis.end - each.axis.start).unit().dot(along) == pytest.approx(0.0, abs=1e-9)
            assert distance_to(shape.outline, each.axis.start) == pytest.approx(0.0, abs=1e-9)
            assert each.axis.start.y * sign > each.axis.end.y * sign > 0.0
    assert [each.string for each in shape.tuners] == [6, 5, 4, 1, 2, 3]  # the outermost to the nearest


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN)])
def test_slots_lie_where_they_are_said_to(spec):
    shape = head(spec, **SLOTTED)
    nut = crossing_of_centre(shape.nut)
    assert [slot.side for slot in shape.slots] == ["bass", "treble"]
    for slot in shape.slots:
        box = bounds(slot.contour)
        assert (nut - box.high.x, nut - box.low.x) == (pytest.approx(28.0), pytest.approx(130.0))
        assert sorted((abs(box.low.y), abs(box.high.y))) == pytest.approx([8.5, 22.5])
        assert is_counter_clockwise(slot.contour)
        assert faults(slot.contour) == ()
    bass, treble = (slot.middle.start.y for slot in shape.slots)
    assert (treble > bass) is not spec.left_handed.value


def crossing_of_centre(line):
    share = line.start.y / (line.start.y - line.end.y)
    return line.start.x + (line.end.x - line.start.x) * share


def test_strings_run_straight_on_where_the_slot_lets_them():
    shape = head(wren(gauges=(0.3, 0.4, 0.5, 0.8, 1.0, 1.2)), **SLOTTED)
    by_string = {each.string: each for each in shape.tuners}
    for each in shape.tuners:
        assert 8.5 + 1.5 < abs(each.run.end.y) < 22.5 - 1.5
    for number in (2, 5):  # 12 mm from the middle at the nut: they run on between the walls
        assert by_string[number].bend == pytest.approx(0.0, abs=1e-9)
    for number, gauge in ((3, 0.5), (4, 0.8)):  # these run beside their slot, and are led to its inner wall
        assert abs(by_string[number].run.end.y) == pytest.approx(8.5 + 1.5 + gauge / 2.0)
        assert 0.01 < by_string[number].bend < 0.1


def test_a_side_without_tuners_has_no_slot():
    shape = head(**SLOTTED | {"tuners": (6, 0), "slot_length": 207.0, "length": 260.0})
    assert [slot.side for slot in shape.slots] == ["bass"]
    assert len(shape.tuners) == 6


@pytest.mark.parametrize(
    ("numbers", "message"),
    [
        (
            {"slot_width": None},
            "head.slot-width: got nothing, expected of the slots of a slotted head. Add head.slot",
        ),
        ({"width": None}, "head.width: got nothing"),
        (
            {"slot_length": 12.0},
            "head.slot-length: got 12.00 mm, expected more than the slots are wide, 14.00 mm",
        ),
        (
            {"slot_length": 90.0},
            "head.slot-length: got slots from 28.00 mm to 118.00 mm from the nut, with the roller",
        ),
        ({"first_tuner": 34.0}, "with the roller of string 6 at 33.61 mm"),
        (
            {"slot_from_centre": 9.0},
            "head, slots: got 4.00 mm of wood between a slot and the other slot, expected",
        ),
        (
            {"slot_from_centre": 27.0},
            "mm of wood between a slot and the head's edge, expected at least 6.00 mm",
        ),
        ({"straight_pull": True}, "head.straight-pull: got string 4, which runs"),
    ],
)
def test_slots_that_cannot_be_are_named(numbers, message):
    with pytest.raises(JiggenError) as caught:
        head(**SLOTTED | numbers)
    assert message in str(caught.value)


def test_a_solid_head_needs_the_tuners_inset():
    with pytest.raises(JiggenError, match=r"head.tuner-inset: got nothing"):
        head(tuner_inset=None)

"""A headstock whose outline was brought along lies against the nut, and tuners and strings keep to it."""

from dataclasses import replace

import pytest
from support.brought import as_given, brought
from support.specs import wren

from jiggen.design.instrument import Head, HeadForm
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import JiggenError
from jiggen.geometry.measure import area, distance_to, is_counter_clockwise
from jiggen.geometry.path import polyline
from jiggen.geometry.point import Point
from jiggen.layout.brought_head import head_beside_nut
from jiggen.layout.head import lay_out_head
from jiggen.layout.neck import lay_out

NUT = -5.0  # the back of a nut of 5 mm
TUNERS = {
    "tuners": (3, 3),
    "tuner_hole": 10.0,
    "first_tuner": 40.0,
    "tuner_spacing": 38.0,
    "tuner_inset": 13.0,
}
#: Seen from the front with its tip up, the bass side is on the left, which is at positive y: there it bulges.
LOPSIDED = polyline(
    [Point(x, -y) for x, y in ((0, 23), (10, 23), (25, 36), (160, 32), (170, 25))]
    + [Point(x, y) for x, y in ((170, 25), (160, 32), (80, 46), (25, 36), (10, 23), (0, 23))],
    closed=True,
)


def layout_with(outline=LOPSIDED, *, left_handed=False, **numbers):
    said = {name: Given(value) for name, value in (TUNERS | numbers).items() if value is not None}
    head = Head(outline=as_given(brought(outline, asymmetry=14.0)), **said)
    return lay_out(solve(replace(wren(left_handed=left_handed).design, head=head)))


@pytest.mark.parametrize("left_handed", [False, True])
def test_it_lies_against_the_nut_with_its_sides_where_they_are_drawn(left_handed):
    layout = layout_with(left_handed=left_handed)
    shape = lay_out_head(layout)
    assert is_counter_clockwise(shape.outline)
    assert area(shape.outline) == pytest.approx(area(LOPSIDED), abs=1e-6)
    box = shape.outline.box
    assert (box.high.x, box.low.x, shape.tip) == (
        pytest.approx(NUT),
        pytest.approx(NUT - 170.0),
        pytest.approx(NUT - 170.0),
    )
    bass = -1.0 if layout.treble_edge.start.y > 0.0 else 1.0
    farthest = max((piece.start for piece in shape.outline), key=lambda place: place.y * bass)
    assert farthest == Point(pytest.approx(NUT - 80.0), pytest.approx(bass * 46.0))


@pytest.mark.parametrize("left_handed", [False, True])
def test_holes_keep_their_inset_from_the_outline(left_handed):
    shape = lay_out_head(layout_with(left_handed=left_handed))
    assert sorted(each.string for each in shape.tuners) == [1, 2, 3, 4, 5, 6]
    for number, tuner in enumerate(shape.tuners):
        assert tuner.centre.x == pytest.approx(NUT - 40.0 - 38.0 * (number % 3))
        assert distance_to(shape.outline, tuner.centre) == pytest.approx(13.0, abs=1e-6)


def test_posts_of_a_straight_pull_lie_on_their_strings():
    shape = lay_out_head(layout_with(straight_pull=True))
    assert {each.bend for each in shape.tuners} == {0.0}


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        (
            {"first_tuner": 100.0},
            "got 13.00 mm from the side, at 181.00 mm from the nut's front, expected a head",
        ),
        ({"tuner_inset": 40.0}, "got 40.00 mm"),
        ({"tuner_inset": 5.5}, "got a hole of 10.00 mm for string"),
        ({"straight_pull": True, "tuner_spacing": 62.0}, "got a hole of 10.00 mm for string"),
    ],
)
def test_a_tuner_beside_the_head_is_refused(numbers, told):
    with pytest.raises(JiggenError) as caught:
        lay_out_head(layout_with(**numbers))
    assert told in str(caught.value)


def test_a_string_that_leaves_the_head_is_refused():
    waisted = polyline(
        [Point(x, -y) for x, y in ((0, 23), (8, 8), (20, 8), (30, 36), (170, 36))]
        + [Point(x, y) for x, y in ((170, 36), (30, 36), (20, 8), (8, 8), (0, 23))],
        closed=True,
    )
    with pytest.raises(JiggenError, match="a head whose edge string"):
        lay_out_head(layout_with(waisted))


def test_length_and_width_are_read_off():
    head = layout_with().spec.head
    assert (head.length.value, head.width.value) == (pytest.approx(170.0), pytest.approx(82.0))
    assert head.length.source == "measured from wren.svg"


def test_a_step_beside_the_nut_is_doubtful():
    assert head_beside_nut(layout_with()) is None
    wide = polyline([Point(0, -27), Point(170, -35), Point(170, 35), Point(0, 27)], closed=True)
    doubt = head_beside_nut(layout_with(wide))
    assert doubt.text == (
        "The headstock in wren.svg leaves a step beside the nut, which is 46.00 mm wide: 54.09 mm wide, usual is as wide"
        " as the nut, within 1.00 mm (common practice). Change the outline, scale it (scale-to), or say that its other end is at"
        " the nut (turned = true)."
        " [head-beside-nut]"
    )
    assert head_beside_nut(lay_out(wren())) is None


SLOTTED = {
    "form": HeadForm.SLOTTED,
    "tuner_inset": None,
    "slot_width": 12.0,
    "slot_length": 100.0,
    "slot_from_nut": 26.0,
    "slot_from_centre": 15.0,
    "first_tuner": 40.0,
    "tuner_spacing": 34.0,
}


def slotted_layout(side):
    outline = polyline(
        [*(Point(x, -y) for x, y in side), *(Point(x, y) for x, y in reversed(side))], closed=True
    )
    return layout_with(outline, **SLOTTED)


def test_rollers_of_a_slotted_head_go_in_square_to_its_side():
    shape = lay_out_head(slotted_layout([(0, 23), (10, 23), (25, 40), (160, 36), (170, 25)]))
    along = Point(-135.0, 4.0).unit()  # of the side at positive y, toward the tip
    treble = [each.axis for each in shape.tuners if each.side == "treble"]
    for number, axis in enumerate(treble):
        assert axis.start.distance(treble[0].start) == pytest.approx(34.0 * number, abs=1e-9)
        assert abs((axis.end - axis.start).unit().dot(Point(along.x, -along.y))) == pytest.approx(
            0.0, abs=1e-9
        )
        assert distance_to(shape.outline, axis.start) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    ("side", "told"),
    [
        ([(0, 23), (10, 23), (25, 36), (80, 44), (160, 36), (170, 25)], "got a side that bends by "),
        (
            [(0, 23), (10, 23), (25, 36), (95, 36)],
            "got rollers from 45.00 mm to 113.00 mm from the nut's front",
        ),
    ],
)
def test_a_side_on_which_no_plate_of_tuners_lies_is_refused(side, told):
    with pytest.raises(JiggenError) as caught:
        lay_out_head(slotted_layout(side))
    assert told in str(caught.value)

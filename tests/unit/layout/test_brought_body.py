"""A body whose outline was brought along is laid with its neck end at the joint, and all numbers follow from it."""

from dataclasses import fields, replace

import pytest
from support.brought import as_given, brought
from support.specs import wren

from jiggen.design.instrument import Body
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.geometry.measure import area, faults, is_counter_clockwise
from jiggen.geometry.path import circle, polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.layout.body import lay_out_body
from jiggen.layout.body_numbers import body_numbers, body_steps
from jiggen.layout.body_rows import body_rows
from jiggen.layout.neck import lay_out
from jiggen.layout.outline_story import ignored_lines, outline_tables, took_lines

JOINT = 314.0
MORE = {"side_depth_neck": Given(90.0), "side_depth_tail": Given(100.0)}
UNEVEN = polyline(
    [
        Point(0, -20),
        Point(100, -80),
        Point(150, -60),
        Point(300, -120),
        Point(400, -40),
        Point(400, 30),
        Point(280, 100),
        Point(160, 50),
        Point(90, 70),
        Point(0, 25),
    ],
    closed=True,
)


def layout_of(body, *, left_handed=False):
    return lay_out(solve(replace(wren(left_handed=left_handed).design, body=body)))


def layout_with(found, *, inner=False, left_handed=False):
    body = Body(joint_fret=Given(12), outline=as_given(found, inner=inner), **MORE)
    return layout_of(body, left_handed=left_handed)


def numbers_body():
    numbers = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}
    return Body(joint_fret=Given(12), **{name: Given(value) for name, value in numbers.items()}, **MORE)


def test_the_outline_of_a_body_from_numbers_gives_the_same_body():
    wanted = layout_of(numbers_body())
    found = layout_with(brought(lay_out_body(wanted).outline))
    one, other = lay_out_body(wanted), lay_out_body(found)
    assert (other.neck_end, other.tail) == (pytest.approx(JOINT), pytest.approx(one.tail))
    assert area(other.outline) == pytest.approx(area(one.outline), abs=1e-6)
    assert other.is_symmetrical
    told, known = body_numbers(found), body_numbers(wanted)
    for each in fields(known):
        value, other_value = getattr(known, each.name), getattr(told, each.name)
        if each.name in {"smallest_bend", "waist"}:
            value, other_value = value.radius, other_value.radius
        assert other_value == pytest.approx(value, abs=1e-5), each.name


@pytest.mark.parametrize("left_handed", [False, True])
def test_sides_that_differ_stay_where_they_are_drawn(left_handed):
    layout = layout_with(brought(UNEVEN, asymmetry=20.0), left_handed=left_handed)
    shape = lay_out_body(layout)
    assert not shape.is_symmetrical
    assert is_counter_clockwise(shape.outline)
    assert faults(shape.outline) == ()
    assert area(shape.outline) == pytest.approx(area(UNEVEN), abs=1e-6)
    assert area(shape.half_outline) + area(shape.other_outline) == pytest.approx(area(UNEVEN), abs=1e-6)
    treble = -1.0 if left_handed else 1.0  # drawn at positive y
    assert layout.treble_edge.start.y * treble > 0.0
    for station, at, reach in zip(
        shape.stations, ((90, 100), (160, 150), (280, 300)), ((70, 80), (50, 60), (100, 120)), strict=True
    ):
        assert (station.at(treble), station.at(-treble)) == pytest.approx((JOINT + at[0], JOINT + at[1]))
        assert (station.reach(treble), station.reach(-treble)) == pytest.approx(reach)


def test_sides_that_hardly_differ_are_taken_to_be_alike():
    (lower,) = lay_out_body(
        layout_with(brought(rectangle(Point(0, -50.04), Point(200, 50)), asymmetry=0.04))
    ).stations
    assert (lower.shift, lower.offset, lower.width) == (0.0, 0.0, pytest.approx(100.04))


@pytest.mark.parametrize("left_handed", [False, True])
def test_inner_contours_move_along(left_handed):
    hole = circle(Point(250.0, 60.0), 15.0)
    found = brought(UNEVEN, inner=(hole,), asymmetry=20.0)
    assert lay_out_body(layout_with(found, left_handed=left_handed)).inner == ()
    (moved,) = lay_out_body(layout_with(found, inner=True, left_handed=left_handed)).inner
    assert moved.box.centre == Point(
        pytest.approx(JOINT + 250.0), pytest.approx(-60.0 if left_handed else 60.0)
    )
    assert is_counter_clockwise(moved)


def test_horns_may_reach_beyond_the_neck_end():
    outline = polyline(
        [
            Point(40, -25),
            Point(40, -30),
            Point(0, -60),
            Point(150, -90),
            Point(220, -75),
            Point(350, -110),
            Point(400, 0),
            Point(350, 110),
            Point(220, 75),
            Point(150, 90),
            Point(0, 60),
            Point(40, 30),
            Point(40, 25),
        ],
        closed=True,
    )
    shape = lay_out_body(layout_with(brought(outline)))
    assert (shape.neck_end, shape.tail, shape.outline.box.low.x) == (
        pytest.approx(JOINT),
        pytest.approx(JOINT + 360.0),
        pytest.approx(JOINT - 40.0),
    )
    assert [each.name for each in shape.stations] == ["upper-bout", "waist", "lower-bout"]


def test_what_was_read_is_told():
    found = replace(
        brought(UNEVEN, inner=(circle(Point(250.0, 0.0), 15.0),), asymmetry=20.0),
        ignored=("a text, since it is no line",),
    )
    spec = layout_with(found).spec
    assert list(took_lines(spec)) == [
        (
            "wren.svg: 400.00 mm long, 220.00 mm wide, its sides differ by 20.00 mm at most; arcs within 0.0000 mm of what is"
            " drawn"
        ),
        "wren.svg: one closed path",
    ]
    assert list(ignored_lines(spec)) == [
        "wren.svg: a text, since it is no line",
        "wren.svg: 1 contour within it not cut; inner = true makes openings of the whole body template of them",
    ]
    assert list(ignored_lines(layout_with(found, inner=True).spec)) == [
        "wren.svg: a text, since it is no line"
    ]
    (table,) = outline_tables(spec)
    assert (table["key"], table["file"], table["length"], len(table["ignored"])) == (
        "body.outline",
        "wren.svg",
        400.0,
        2,
    )


def test_what_was_measured_stands_among_the_rows_of_the_body():
    rows = {row.name: row.value for row in body_rows(layout_with(brought(UNEVEN, asymmetry=20.0)))}
    assert rows["length of the body, measured"] == "400.00 mm"
    assert rows["waist, measured"] == "110.00 mm"
    assert not any("measured" in row.name for row in body_rows(layout_of(numbers_body())))


def test_the_derivation_says_where_the_numbers_come_from():
    steps = {step.name: step for step in body_steps(layout_with(brought(UNEVEN, asymmetry=20.0)))}
    assert (steps["length of the body"].result, steps["length of the body"].source) == (
        "400.00 mm",
        "measured from wren.svg",
    )
    assert (steps["waist"].figures, steps["waist"].result) == ("50.000 + 60.000", "110.00 mm")

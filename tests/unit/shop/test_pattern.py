"""Router patterns: led by a guide, the bit cuts the part."""

from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from support.shapes import assert_same_shape, region
from support.shop import line, opening, plate, slot_at, tag_for, workshop

from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.errors import InputError, LimitError, SeveralErrors
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import as_circle, circle, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Role
from jiggen.shop.compensate import compensate
from jiggen.shop.pattern import Pattern, as_pattern, pattern_of

MICRON = 0.001  # mm
WINDOW = rectangle(Point(30.0, 18.0), Point(90.0, 48.0), radius=8.0)


@pytest.mark.parametrize(
    ("guide", "bit", "offset"),
    [
        (30.0, 10.0, 10.0),
        (19.05, 12.7, 3.175),
        (17.0, 12.0, 2.5),
        (16.0, 12.7, 1.65),
        (10.0, 6.0, 2.0),
        (8.0, 8.0, 0.0),
    ],
)
def test_offset_is_half_the_difference(guide, bit, offset):
    """30 over 10 gives 10, ¾ in over ½ in gives ⅛ in: worked examples of woodworking pages; common practice."""
    assert Pattern(guide_mm=guide, bit_mm=bit).offset_mm == pytest.approx(offset)


def test_a_six_inch_hole_needs_a_wider_opening():
    """5/16 in guide with a 1/4 in bit: 6.0625 in for a 6 in hole; common practice."""
    part = plate(opening("hole", circle(Point(100.0, 100.0), 76.2), 152.4), width=200.0, height=200.0)
    pattern = as_pattern(part, Pattern(guide_mm=7.9375, bit_mm=6.35))
    hole = next(each for each in pattern.features if each.id == "hole")
    _, radius = as_circle(hole.paths[0])
    assert 2.0 * radius / 25.4 == pytest.approx(6.0625)
    assert hole.width_mm == pytest.approx(6.0625 * 25.4)


def routed(contour, guide: float, bit: float, *, inside: bool) -> shapely.Geometry:
    """What a bit leaves whose guide runs all along a pattern's contour: worked with shapely alone."""
    shape = region(contour)
    reach = guide / 2.0
    centres = shape.buffer(-reach if inside else reach, quad_segs=96).boundary
    swept = centres.buffer(bit / 2.0, quad_segs=96)
    inner = shape.buffer(-reach, quad_segs=96) if inside else shape.buffer(reach, quad_segs=96)
    return shapely.union_all([inner, swept]) if inside else inner.difference(swept)


@settings(deadline=None, max_examples=20)
@given(st.floats(6.0, 12.0), st.floats(0.0, 3.9), st.floats(10.0, 14.0))
def test_routing_along_the_pattern_makes_the_part(bit, more, radius):
    guide = bit + 2.0 * more
    window = rectangle(Point(30.0, 18.0), Point(90.0, 48.0), radius=radius)
    part = plate(opening("window", window))
    pattern = as_pattern(part, Pattern(guide_mm=guide, bit_mm=bit))
    (contour,) = next(each for each in pattern.features if each.id == "window").paths
    assert_same_shape(routed(contour, guide, bit, inside=True), window, 5.0 * MICRON)
    assert_same_shape(routed(pattern.outline, guide, bit, inside=False), part.outline, 5.0 * MICRON)


def test_lines_stay_and_notches_have_no_feature_of_their_own():
    notch = Feature(
        id="notch",
        role=Role.OPENING,
        paths=(polyline([Point(60.0, 60.0), Point(60.0, 50.0), Point(80.0, 50.0), Point(80.0, 60.0)]),),
        width_mm=20.0,
        cut_in="outline",
    )
    mark = line("line.1", Point(5.0, 30.0), Point(25.0, 30.0))
    pattern = as_pattern(plate(mark, notch, opening("window", WINDOW)), Pattern(guide_mm=12.0, bit_mm=8.0))
    assert [each.id for each in pattern.features] == ["outline", "line.1", "window"]
    assert pattern.features[1] == mark
    assert bounds(pattern.outline).width == pytest.approx(196.0)


def test_what_no_router_is_led_along_stays_as_it_is():
    hole = Feature(id="hole", role=Role.OPENING, paths=(circle(Point(20.0, 30.0), 1.0),), width_mm=2.0)
    part = plate(hole, opening("window", WINDOW))
    kept = replace(part, features=(replace(part.features[0], led=False), *part.features[1:]))
    pattern = as_pattern(kept, Pattern(guide_mm=12.0, bit_mm=8.0))
    assert pattern.features[:2] == kept.features[:2]
    assert bounds(pattern.features[2].paths[0]).width == pytest.approx(64.0)


def test_lines_end_where_the_pattern_ends():
    part = plate(
        line("line.1", Point(0.0, 30.0), Point(25.0, 30.0)), line("gone", Point(0.0, 0.5), Point(200.0, 0.5))
    )
    pattern = as_pattern(part, Pattern(guide_mm=12.0, bit_mm=8.0))
    assert [each.id for each in pattern.features] == ["outline", "line.1"]
    assert pattern.features[1].paths[0].start.x == pytest.approx(2.0)


def test_the_guide_must_get_everywhere():
    sharp = opening("window", rectangle(Point(30.0, 18.0), Point(90.0, 48.0)))
    tight = opening("round", rectangle(Point(100.0, 18.0), Point(150.0, 48.0), radius=3.0))
    narrow = slot_at("slot", 170.0, 5.0)
    with pytest.raises(SeveralErrors) as caught:
        as_pattern(plate(sharp, tight, narrow), Pattern(guide_mm=12.0, bit_mm=8.0))
    mend = ". Round the corner, or use a thinner bit with a thinner guide"
    wanted = "expected at least 4.00 mm, and 6.00 mm in the pattern, half the bit and half the guide"
    assert str(caught.value).split("\n") == [
        f"part plate, feature window, router pattern: got a sharp inside corner, {wanted}{mend}",
        (
            "part plate, feature round, router pattern: got an inside radius of 3.00 mm, 5.00 mm in the pattern,"
            f" {wanted}{mend}"
        ),
        (
            "part plate, feature slot, router pattern: got a clear width of 5.00 mm, expected at least 8.00 mm, the"
            " router's bit. Use a thinner bit, or leave this part out with --only"
        ),
    ]


def test_a_hollow_in_the_edge_is_a_place_to_get_into():
    dented = polyline(
        [ORIGIN, Point(90.0, 0.0), Point(90.0, 50.0), Point(45.0, 20.0), Point(0.0, 50.0)], closed=True
    )
    part = replace(plate(), features=(Feature(id="outline", role=Role.EDGE, paths=(dented,), led=True),))
    with pytest.raises(LimitError, match="a sharp inside corner"):
        as_pattern(part, Pattern(guide_mm=12.0, bit_mm=8.0))


def test_a_plate_may_vanish():
    part = plate(width=30.0, height=15.0)
    with pytest.raises(LimitError, match="part plate, feature outline, router pattern"):
        as_pattern(part, Pattern(guide_mm=24.0, bit_mm=4.0))


def test_both_diameters_are_needed():
    assert pattern_of(Make()) is None
    assert pattern_of(Make(guide=Given(17.0), bit=Given(12.0))) == Pattern(guide_mm=17.0, bit_mm=12.0)
    with pytest.raises(InputError) as caught:
        pattern_of(Make(guide=Given(17.0, where="d.toml, line 9, make.guide")))
    assert str(caught.value) == (
        "d.toml, line 9, make.guide: got no make.bit, expected both the guide's and the bit's diameter, for a router"
        " pattern. Add bit = … to [make], or take the other out to get the parts themselves."
    )
    with pytest.raises(InputError, match=r"got no make\.guide"):
        pattern_of(Make(bit=Given(12.0)))


def test_a_guide_thinner_than_its_bit_is_refused():
    with pytest.raises(InputError) as caught:
        pattern_of(Make(guide=Given(10.0), bit=Given(12.0)))
    assert str(caught.value) == (
        "make.guide: got a guide of 10 mm for a bit of 12 mm, expected a guide at least as wide as the bit. A bearing"
        " smaller than its bit cuts a rabbet, not the part."
    )


def test_the_tag_says_what_the_pattern_is_for():
    shop = workshop(make=Make(guide=Given(17.0), bit=Given(12.0)))
    part = plate(opening("window", WINDOW))
    cut = compensate(part, shop, tag_for(part, shop))
    assert "router pattern: guide 17 bit 12" in cut.tag.line()
    assert (cut.tag.pattern_guide_mm, cut.tag.pattern_bit_mm) == (17.0, 12.0)
    assert bounds(cut.part.outline).width == pytest.approx(195.0)

"""From finished size to what the beam follows, feature by feature; the whole is proved by test_virtual_cut."""

import math
from dataclasses import replace

import pytest
import shapely
from support.shapes import region
from support.shop import line, opening, plate, slot_at, tag_for, workshop

from jiggen.design.making import Make, TrueFace
from jiggen.design.model import Given
from jiggen.errors import LimitError, SeveralErrors
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds, length
from jiggen.geometry.path import as_circle, circle, polyline, rectangle, segment
from jiggen.geometry.point import Point
from jiggen.lettering.fit import text_width, wrap_text
from jiggen.parts.model import Feature, Role
from jiggen.shop.compensate import compensate
from jiggen.shop.kerf import Kerf
from jiggen.shop.model import CutFeature, CutPart

NANOMETRE = 1e-6  # mm
HOLE = opening("hole.1", circle(Point(60.0, 35.0), 8.0), 16.0)
SQUARE = rectangle(Point(40.0, 25.0), Point(60.0, 45.0))


def made(*features: Feature, **shop) -> CutPart:
    part = plate(*features)
    there = workshop(**shop)
    return compensate(part, there, tag_for(part, there))


def cut(part: CutPart, id: str) -> CutFeature:
    return next(each for each in part.features if each.feature.id == id)


def test_edges_move_out_and_openings_in_by_half_a_kerf():
    part = made(HOLE, kerf=0.3)
    assert as_circle(cut(part, "hole.1").paths[0]) == (Point(60.0, 35.0), pytest.approx(7.85))
    box = bounds(cut(part, "outline").paths[0])
    assert (box.low.x, box.low.y, box.high.x, box.high.y) == pytest.approx((-0.15, -0.15, 200.15, 60.15))


def test_growth_comes_before_the_kerf():
    part = made(HOLE, kerf=0.3, growth=(1.01, 1.01))
    centre, radius = as_circle(cut(part, "hole.1").paths[0])
    assert (centre.x, centre.y, radius) == pytest.approx((60.6, 35.35, 8.08 - 0.15))


def test_lines_and_lettering_only_grow():
    part = made(line("line.1", Point(10.0, 20.0), Point(50.0, 20.0)), growth=(1.01, 1.02))
    assert cut(part, "line.1").paths == (segment(Point(10.1, 20.4), Point(50.5, 20.4)),)


def test_on_paper_all_stays_at_finished_size():
    from jiggen.shop.machine import Process

    part = made(HOLE, slot_at("slot.1", 20.0, 0.05), kerf=0.0001, process=Process.PAPER)
    for each in part.features:
        assert each.paths == each.feature.paths


def test_notches_and_notes_are_not_cut_on_their_own():
    note = Feature(id="hint", role=Role.NOTE, paths=(segment(Point(1.0, 1.0), Point(9.0, 1.0)),))
    part = made(note)
    assert [each.feature.id for each in part.features] == ["outline", "tag"]
    assert [each.id for each in part.part.features] == ["outline", "hint"]


def test_the_true_face_decides_the_offset():
    kerf = Kerf(marked=Given(0.25), plain=Given(0.15), machine="shed-laser")
    for face, diameter in ((TrueFace.MARKED, 15.75), (TrueFace.PLAIN, 15.85), (TrueFace.MIDDLE, 15.8)):
        part = made(HOLE, kerf=kerf, make=Make(true_face=Given(face)))
        _, radius = as_circle(cut(part, "hole.1").paths[0])
        assert 2.0 * radius == pytest.approx(diameter)
        assert part.tag.true_face == face.value


def test_a_taper_leaves_half_its_angle_on_each_wall():
    """Half-angle = atan((k_marked - k_plain) / 2t): 0.25 over 0.15 in 3 mm is 0.955 degrees."""
    kerf = Kerf(marked=Given(0.25), plain=Given(0.15), machine="shed-laser")
    _, radius = as_circle(cut(made(HOLE, kerf=kerf), "hole.1").paths[0])
    at_marked, at_plain = radius + 0.25 / 2.0, radius + 0.15 / 2.0
    assert at_marked == pytest.approx(8.0)
    assert math.degrees(math.atan((at_marked - at_plain) / 3.0)) == pytest.approx(0.955, abs=0.001)


def test_an_opening_that_takes_a_square_part_is_open_to_its_corners():
    part = made(opening("socket", SQUARE, 20.0, takes_square=True), kerf=0.3)
    swept = region(cut(part, "socket").paths[0]).buffer(0.15, quad_segs=64)
    assert swept.buffer(1e-4).covers(region(SQUARE))
    plain = made(opening("socket", SQUARE, 20.0), kerf=0.3)
    swept = region(cut(plain, "socket").paths[0]).buffer(0.15, quad_segs=64)
    left = region(SQUARE).difference(swept.buffer(1e-4))
    assert len(shapely.get_parts(left)) == 4  # a sliver in every corner, r(√2 - 1) deep
    assert swept.distance(shapely.Point(40.0, 25.0)) == pytest.approx(0.15 * (math.sqrt(2.0) - 1.0), abs=1e-4)


def test_the_manifest_gets_the_relieved_contour_as_the_finished_one():
    part = made(opening("socket", SQUARE, 20.0, takes_square=True), kerf=0.3)
    feature = next(each for each in part.part.features if each.id == "socket")
    assert len(feature.paths[0]) == 12
    assert cut(part, "socket").feature == feature


def test_a_slot_hardly_wider_than_the_kerf_becomes_one_pass():
    part = made(slot_at("slot.1", 20.0, 0.34), kerf=0.3)
    single = cut(part, "slot.1")
    assert single.single_pass
    assert single.narrowed_from_mm == 0.34
    (path,) = single.paths
    assert not path.closed
    assert {path.start, path.end} == {Point(20.0, 20.15), Point(20.0, 49.85)}
    slot = next(each for each in part.part.features if each.id == "slot.1")
    assert slot.width_mm == pytest.approx(0.3)
    assert (bounds(slot.paths[0]).width, bounds(slot.paths[0]).height) == pytest.approx((0.3, 30.0))


def test_one_pass_in_a_grown_sheet_is_a_kerf_wide_when_cut():
    part = made(slot_at("slot.1", 20.0, 0.30), kerf=0.3, growth=(1.01, 1.01))
    single = cut(part, "slot.1")
    assert length(single.paths[0]) == pytest.approx(30.0 * 1.01 - 0.3)
    assert single.feature.width_mm == pytest.approx(0.3 / 1.01)


@pytest.mark.parametrize(("width", "single"), [(0.349, True), (0.351, False), (0.3, True)])
def test_the_limit_between_one_pass_and_two(width, single):
    assert cut(made(slot_at("slot.1", 20.0, width), kerf=0.3), "slot.1").single_pass is single


def test_round_ended_slots_and_slanted_ones_too():
    from jiggen.shop.single_pass import centre_line, swept

    slanted = segment(Point(3.0, 4.0), Point(15.0, 20.0))
    contour = swept(slanted, 0.5)
    again = centre_line(contour, 0.5)
    assert again is not None
    assert sorted((point.x, point.y) for point in (again.start, again.end)) == [
        pytest.approx((3.0, 4.0)),
        pytest.approx((15.0, 20.0)),
    ]


def test_a_hole_has_no_centre_line():
    from jiggen.shop.single_pass import centre_line

    assert centre_line(circle(Point(0.0, 0.0), 0.2), 0.3) is None
    assert centre_line(rectangle(Point(0.0, 0.0), Point(0.3, 0.3)), 0.3) is None


def test_openings_narrower_than_the_kerf_name_the_narrowest_possible():
    with pytest.raises(SeveralErrors) as caught:
        made(
            slot_at("slot.1", 20.0, 0.25),
            slot_at("slot.2", 40.0, 0.5),
            slot_at("slot.3", 60.0, 0.1),
            kerf=0.3,
        )
    assert str(caught.value).split("\n") == [
        (
            "part plate, feature slot.1: got a clear width of 0.25 mm, expected at least 0.30 mm, the kerf: the"
            " narrowest cut possible on shed-laser. Use a thicker tool, more clearance or a machine with a finer kerf"
        ),
        (
            "part plate, feature slot.3: got a clear width of 0.10 mm, expected at least 0.30 mm, the kerf: the"
            " narrowest cut possible on shed-laser. Use a thicker tool, more clearance or a machine with a finer kerf"
        ),
    ]


def test_features_with_the_same_fault_are_told_of_once():
    slots = [slot_at(f"slot.{number}", 8.0 * number, 0.25) for number in range(1, 9)]
    with pytest.raises(LimitError) as caught:
        made(*slots, slot_at("wide", 80.0, 0.5), kerf=0.3)
    assert str(caught.value) == (
        "part plate, features slot.1, slot.2, slot.3, slot.4, slot.5, slot.6 and 2 more: got a clear width of 0.25 mm,"
        " expected at least 0.30 mm, the kerf: the narrowest cut possible on shed-laser. Use a thicker tool, more"
        " clearance or a machine with a finer kerf"
    )


def test_a_window_that_the_beam_swallows_names_part_and_feature():
    window = opening("window", rectangle(Point(40.0, 25.0), Point(60.0, 25.2)))
    with pytest.raises(LimitError, match=r"^part plate, feature window: got a contour of 20.000 × 0.200 mm"):
        made(window, kerf=0.3)


def test_a_tag_breaks_before_an_item_that_would_fill_its_box_to_the_last_bit():
    shop = workshop()
    smallest = shop.machine.smallest_lettering_mm
    lines = wrap_text(tag_for(plate(), shop).line(), 60.0, smallest)
    assert len(lines) > 1
    for width in {text_width(words, smallest) for words in lines}:
        part = replace(plate(), tag_box=Box(Point(0.0, 0.0), Point(width, 60.0)))
        assert compensate(part, shop, tag_for(part, shop)).features[-1].feature.letter_mm >= smallest


def test_a_tag_that_does_not_fit_names_its_part():
    part = replace(plate(), tag_box=Box(Point(0.0, 0.0), Point(10.0, 3.0)))
    shop = workshop()
    with pytest.raises(LimitError, match=r"^part plate, tag"):
        compensate(part, shop, tag_for(part, shop))


@pytest.mark.parametrize(("width", "fits"), [(0.2, False), (0.24, False), (0.26, True), (2.0, True)])
def test_a_notch_must_let_the_beam_in_and_out(width, fits):
    """A notch no wider than the kerf would go missing from the edge without a word."""
    run = polyline((Point(40.0, 0.0), Point(40.0, 5.0), Point(40.0 + width, 5.0), Point(40.0 + width, 0.0)))
    notch = Feature(id="notch", role=Role.OPENING, paths=(run,), width_mm=width, cut_in="outline")
    if fits:
        assert "notch" in [each.id for each in made(notch).part.features]
        return
    with pytest.raises(
        LimitError, match=rf"feature notch: got a notch {width:.2f} mm wide, expected at least"
    ):
        made(notch)

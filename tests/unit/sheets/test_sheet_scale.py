"""What is written is what lies on the sheet, times the machine's scale; parts underneath-marked lie mirrored."""

from dataclasses import replace

import pytest
from support.sheets import MACHINE, MATERIAL, sheet_of
from support.shop import busy_plate, line, machine, plate, slot_at, tag_for, workshop

from jiggen.design.model import Given
from jiggen.errors import LimitError
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds, distance_to, flatten
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR, shifted
from jiggen.parts.model import Part
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.nest import nest
from jiggen.shop.compensate import compensate
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop

NANOMETRE = 1e-6  # mm


def cut(part: Part, shop: Workshop) -> CutPart:
    return compensate(part, shop, tag_for(part, shop))


def test_marks_are_where_the_part_lies_times_the_scale():
    shop = workshop(scale=(1.01, 0.99))
    part = cut(plate(line("line.1", Point(10.0, 20.0), Point(90.0, 30.0))), shop)
    sheet = sheet_of([(part, shifted(30.0, 40.0))], machine=shop.machine)
    (mark,) = sheet.marks("score")
    left = min(mark.start, mark.end, key=lambda place: place.x)
    assert (left.x, left.y) == pytest.approx((40.0 * 1.01, 60.0 * 0.99))
    assert sheet.placements[0].written_shift == Point(30.0 * 1.01, 40.0 * 0.99)


def test_a_true_machine_writes_what_lies_there():
    shop = workshop()
    part = cut(busy_plate(), shop)
    sheet = sheet_of([(part, shifted(30.0, 40.0))])
    for operation in MACHINE.operations:
        for mark in sheet.marks(operation.name):
            own = next(each for each in part.features if each.feature.id == mark.feature.id)
            there = tuple(shifted(30.0, 40.0).path(path) for path in own.paths)
            assert there in {mark.paths, mark.from_other_end().paths}


def test_arcs_on_an_uneven_machine_keep_within_two_microns():
    shop = workshop(scale=(1.004, 0.996))
    part = cut(busy_plate(), shop)
    sheet = sheet_of([(part, shifted(30.0, 40.0))], machine=shop.machine)
    (edge,) = sheet.marks("cut-edge")
    for point in flatten(part.features[0].paths[0], 0.005):  # these lie on the path
        true = Point((point.x + 30.0) * 1.004, (point.y + 40.0) * 0.996)
        assert distance_to(edge.paths[0], true) <= 0.002


def test_parts_marked_underneath_are_mirrored_and_others_are_not():
    shop = workshop()
    under, top = plate(lies_on_work=True), replace(plate(), name="top")
    (sheet,) = nest([cut(under, shop), cut(top, shop)], shop.machine)
    assert [each.place.mirrored for each in sheet.placements] == [True, False]


def test_a_mirrored_part_is_turned_too_where_it_must():
    shop = workshop(bed_width_mm=100.0, bed_height_mm=300.0)
    (sheet,) = nest([cut(plate(lies_on_work=True), shop)], shop.machine)
    (placement,) = sheet.placements
    assert placement.place.mirrored
    box = around(
        bounds(path) for each in placement.cut_part.features for path in map(placement.place.path, each.paths)
    )
    assert (box.width, box.height) == pytest.approx((60.2, 200.2))
    assert placement.place.then(MIRROR).mirrored is False


def test_a_sheet_with_a_grain_is_not_turned():
    grain = replace(MATERIAL, moisture_along=Given(1e-5), moisture_across=Given(4e-4))
    shop = workshop(material=grain, bed_width_mm=100.0, bed_height_mm=300.0)
    with pytest.raises(LimitError) as caught:
        nest([cut(plate(), shop)], shop.machine)
    assert str(caught.value) == (
        "part plate: got 200.2 × 60.2 mm as cut, expected at most 90.0 × 290.0 mm, the bed less its margins, and not"
        " turned, since the sheet has a grain. Choose a larger machine with --machine or make fewer parts with --only"
    )


@pytest.mark.parametrize("scale", [(1.02, 1.02), (0.98, 0.98), (1.02, 0.98)])
def test_margins_are_kept_on_the_bed_and_in_what_is_written(scale):
    shop = workshop(scale=scale)
    parts = [cut(replace(plate(), name=f"p{number}"), shop) for number in range(8)]
    for sheet in nest(parts, shop.machine):
        assert check_sheet_room(sheet) == ()
        for placement in sheet.placements:
            for each in placement.cut_part.features:
                box = around(bounds(placement.place.path(path)) for path in each.paths)
                assert box.low.x >= 5.0 - NANOMETRE
                assert box.high.x <= 595.0 + NANOMETRE
                assert box.low.y >= 5.0 - NANOMETRE
                assert box.high.y <= 295.0 + NANOMETRE


def test_growth_takes_room():
    long = plate(width=588.0, height=250.0)
    (sheet,) = nest([cut(long, workshop())], MACHINE)
    assert len(sheet.placements) == 1
    with pytest.raises(LimitError, match=r"594\.1 × 252\.7 mm as cut"):
        nest([cut(long, workshop(growth=(1.01, 1.01)))], MACHINE)


def test_parts_that_lie_badly_are_found():
    shop = workshop()
    one, other = cut(plate(), shop), cut(replace(plate(slot_at("slot", 20.0, 3.0)), name="other"), shop)
    sheet = sheet_of([(one, shifted(3.0, 40.0)), (other, shifted(204.0, 40.0))])
    found = {(each.name, each.part, each.other) for each in check_sheet_room(sheet)}
    assert found == {("sheet-edge", "plate", ""), ("part-gap", "plate", "part other")}
    edge, gap = (each for each in check_sheet_room(sheet))
    assert edge.measured_mm == pytest.approx(2.9)
    assert gap.measured_mm == pytest.approx(0.8, abs=0.01)
    assert machine().gap_mm == gap.limit_mm == 3.0

"""Lengths, times and use of stock: simple sums that one can do by hand."""

from dataclasses import replace

import pytest
from support.sheets import sheet_set, sheet_with

from jiggen.geometry.path import segment
from jiggen.geometry.point import Point
from jiggen.parts.model import Feature, Role
from jiggen.sheets.estimate import seconds_of_run, share_used, total_seconds, work_of
from jiggen.sheets.model import Sheet

LINE = Feature(
    id="line",
    role=Role.LINE,
    paths=(segment(Point(0.0, 5.0), Point(30.0, 5.0)), segment(Point(30.0, 9.0), Point(40.0, 9.0))),
)


def at_speed(sheet: Sheet, speed: float | None, travel: float | None = None) -> Sheet:
    operations = tuple(replace(each, speed_mm_per_s=speed) for each in sheet.machine.operations)
    return replace(sheet, machine=replace(sheet.machine, operations=operations, travel_mm_per_s=travel))


def test_lengths_are_those_of_the_paths() -> None:
    works = {work.operation.name: work for work in work_of(sheet_with(line=LINE))}
    assert list(works) == ["engrave", "score", "cut-opening", "cut-edge"]
    assert works["cut-edge"].length_mm == pytest.approx(200.0)  # a square of 50 mm
    assert works["score"].length_mm == pytest.approx(40.0)
    assert works["score"].travel_mm == pytest.approx(4.0)
    assert works["cut-opening"].marks == 0


def test_time_is_length_over_speed_and_travel_over_its_own() -> None:
    works = {work.operation.name: work for work in work_of(at_speed(sheet_with(line=LINE), 20.0, 100.0))}
    assert works["cut-edge"].seconds == pytest.approx(10.0)
    assert works["score"].seconds == pytest.approx(40.0 / 20.0 + 4.0 / 100.0)
    assert works["cut-opening"].seconds == 0.0


def test_the_head_gains_and_loses_speed() -> None:
    """By hand. At 20 mm/s and 100 mm/s² a run from rest to rest loses 0.2 s and needs 4 mm to reach its speed."""
    assert seconds_of_run(50.0, 20.0, 100.0) == pytest.approx(2.5 + 0.2)
    assert seconds_of_run(4.0, 20.0, 100.0) == pytest.approx(0.2 + 0.2)
    assert seconds_of_run(1.0, 20.0, 100.0) == pytest.approx(2.0 * 0.1)
    sheet = at_speed(sheet_with(line=LINE), 20.0, 20.0)
    quick = replace(sheet, machine=replace(sheet.machine, acceleration_mm_per_s2=100.0))
    works = {work.operation.name: work for work in work_of(quick)}
    assert works["cut-edge"].seconds == pytest.approx(4 * 2.7)  # a square of 50 mm: a stop at each corner
    # 30 and 10 mm, and 4 mm of travel between them
    assert works["score"].seconds == pytest.approx((1.5 + 0.2) + (0.5 + 0.2) + (0.2 + 0.2))


def test_the_head_stops_where_a_lead_in_meets_its_contour_and_at_tabs() -> None:
    """By hand, the square of 50 mm at 20 mm/s and 100 mm/s², each run from rest to rest.

    With a lead-in of 2 mm: 2 × √(2/100) s for it, half a side, three sides, half a side. With one tab on each side,
    1 mm wide beside a beam of 0.2 mm: 24.4 mm on both sides of each, travelled over at 20 mm/s.
    """
    sheet = at_speed(sheet_with(line=LINE), 20.0, 20.0)
    kerf = sheet.placements[0].cut_part.tag.kerf_mm
    machine = replace(sheet.machine, acceleration_mm_per_s2=100.0)
    led = tuple(replace(each, lead_in_mm=2.0) for each in machine.operations)
    works = {
        work.operation.name: work
        for work in work_of(replace(sheet, machine=replace(machine, operations=led)))
    }
    half, side = 25.0 / 20.0 + 0.2, 50.0 / 20.0 + 0.2
    assert works["cut-edge"].seconds == pytest.approx(2.0 * (2.0 / 100.0) ** 0.5 + 2.0 * half + 3.0 * side)
    assert works["cut-edge"].length_mm == pytest.approx(202.0)
    tabbed = replace(sheet, machine=replace(machine, tab_width_mm=1.0, tab_spacing_mm=50.0))
    works = {work.operation.name: work for work in work_of(tabbed)}
    gap = 1.0 + kerf
    run, over = (50.0 - gap) / 2.0 / 20.0 + 0.2, 2.0 * (gap / 100.0) ** 0.5
    assert works["cut-edge"].length_mm == pytest.approx(200.0 - 4.0 * gap)
    assert works["cut-edge"].seconds == pytest.approx(8.0 * run + 3.0 * over)


def test_round_paths_are_run_without_a_stop() -> None:
    sheet = sheet_set().sheets[1]  # a disc
    machine = at_speed(sheet, 10.0).machine
    quick = replace(sheet, machine=replace(machine, acceleration_mm_per_s2=100.0))
    (edge,) = [work for work in work_of(quick) if work.operation.name == "cut-edge"]
    assert edge.seconds == pytest.approx(edge.length_mm / 10.0 + 0.1)


def test_passes_and_piercing_come_on_top() -> None:
    sheet = at_speed(sheet_with(line=LINE), 20.0, 100.0)
    operations = tuple(replace(each, passes=3, pierce_seconds=0.5) for each in sheet.machine.operations)
    slow = replace(sheet, machine=replace(sheet.machine, operations=operations))
    works = {work.operation.name: work for work in work_of(slow)}
    assert works["cut-edge"].seconds == pytest.approx(3 * (10.0 + 0.5))
    assert works["score"].seconds == pytest.approx(3 * (2.0 + 2 * 0.5) + 0.04)


def test_no_speed_no_time() -> None:
    works = work_of(at_speed(sheet_with(line=LINE), None))
    assert total_seconds(works) is None
    assert works[3].seconds is None


def test_times_add_up() -> None:
    works = work_of(at_speed(sheet_with(line=LINE), 10.0))
    assert total_seconds(works) == pytest.approx(sum(work.length_mm for work in works) / 10.0)


def test_use_is_the_area_of_parts_over_that_of_the_sheet() -> None:
    assert share_used(sheet_with()) == pytest.approx(50.0 * 50.0 / (600.0 * 300.0))
    disc = sheet_set().sheets[1]
    assert share_used(disc) == pytest.approx(3.141592653589793 * 60.1**2 / (600.0 * 300.0))

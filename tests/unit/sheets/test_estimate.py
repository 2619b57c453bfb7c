"""Lengths, times and use of stock: simple sums that one can do by hand."""

from dataclasses import replace

import pytest
from support.sheets import sheet_set, sheet_with

from jiggen.geometry.path import segment
from jiggen.geometry.point import Point
from jiggen.parts.model import Feature, Role
from jiggen.sheets.estimate import share_used, total_seconds, work_of
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

"""What sheets and parts cost: sums that one can do by hand."""

from dataclasses import replace

import pytest
from support.sheets import sheet_set, sheet_with

from jiggen.parts.model import Role
from jiggen.sheets.cost import cost_of_part, cost_of_sheet
from jiggen.sheets.estimate import seconds_of_part
from jiggen.shop.price import Price

SQUARE = 0.05**2  # m², of the part of 50 mm


def priced(sheet, *, speed=20.0, per_hour=None):
    """The sheet on a machine that cuts edges at a speed, and does all else in no time worth a word."""
    operations = tuple(
        replace(each, speed_mm_per_s=speed if each.role is Role.EDGE else 1e9)
        for each in sheet.machine.operations
    )
    machine = replace(sheet.machine, operations=operations, price_per_hour=per_hour)
    return replace(sheet, machine=machine)


def material(per_m2=None):
    return replace(sheet_set().material, price_per_m2=per_m2)


def test_a_sheet_costs_its_area_and_its_time():
    sheet = priced(sheet_with(), per_hour=Price(36.0, "EUR"))
    cost = cost_of_sheet(sheet, material(Price(40.0, "EUR")))
    whole = 40.0 * sheet.width_mm * sheet.height_mm / 1e6
    assert cost.material.amount == pytest.approx(whole)
    assert cost.unused.amount == pytest.approx(whole - 40.0 * SQUARE)
    # 200 mm round the square at 20 mm/s are 10 s, at a cent a second
    assert cost.machine.amount == pytest.approx(0.10)
    assert cost.total.amount == pytest.approx(whole + 0.10)
    assert str(cost.machine) == "0.10 EUR"


def test_a_part_costs_what_lies_within_its_outline_and_its_own_time():
    sheet = priced(sheet_with(), per_hour=Price(36.0, "EUR"))
    (placement,) = sheet.placements
    cost = cost_of_part(sheet, placement, material(Price(40.0, "EUR")))
    assert cost.material.amount == pytest.approx(40.0 * SQUARE)
    assert cost.machine.amount == pytest.approx(0.10)
    assert cost.unused is None


@pytest.mark.parametrize("per_hour", [None, Price(30.0, "EUR")])
def test_what_has_no_price_has_no_cost(per_hour):
    sheet = priced(sheet_with(), speed=None, per_hour=per_hour)
    cost = cost_of_sheet(sheet, material())
    assert (cost.material, cost.unused, cost.machine, cost.total) == (None, None, None, None)


def test_one_price_alone_is_the_total():
    cost = cost_of_sheet(priced(sheet_with()), material(Price(40.0, "EUR")))
    assert cost.machine is None
    assert cost.total == cost.material


def test_time_of_a_part_leaves_out_travel_and_is_unknown_without_a_speed():
    sheet = priced(sheet_with())
    (placement,) = sheet.placements
    assert seconds_of_part(sheet, placement.cut_part.part.name) == pytest.approx(10.0)
    assert seconds_of_part(priced(sheet_with(), speed=None), placement.cut_part.part.name) is None
    assert seconds_of_part(sheet, "another") == 0.0

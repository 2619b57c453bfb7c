"""What a coupon told, in words, in JSON and in a profile."""

import json
from dataclasses import replace

import pytest
from support.sheets import MATERIAL
from support.shop import cut_coupon, machine

from jiggen.design.model import Given
from jiggen.shop.coupon_fit import fit_coupon
from jiggen.shop.coupon_story import at_frets, coupon_lines, coupon_table, measured, new_scales
from jiggen.shop.kerf import even

FIT = fit_coupon(cut_coupon(8))
FRETS = ((12, 314.0), (18, 628.0 * (1.0 - 2.0**-1.5)))
SHED = machine(scale=(1.001, 1.0))


def test_the_uncertainty_at_the_frets():
    twelfth, last = at_frets(FIT, 628.0, FRETS)
    expanded = FIT.coverage * FIT.stretch_x.uncertainty
    assert twelfth.scale_mm == pytest.approx(314.0 * expanded)
    assert twelfth.edge_mm == pytest.approx(
        ((314.0 * expanded) ** 2 + (FIT.coverage * FIT.kerf.uncertainty / 2.0) ** 2) ** 0.5
    )
    # cents per mm at a fret: 1731.23 / its distance to the saddle
    assert twelfth.cents == pytest.approx(1731.23 / 314.0 * twelfth.scale_mm, rel=1e-3)
    assert last.cents == pytest.approx(1731.23 / (628.0 * 2.0**-1.5) * last.scale_mm, rel=1e-3)
    assert last.edge_cents > last.cents


def test_the_scale_to_write_down_undoes_what_came_out():
    x, y = new_scales(SHED, FIT)
    assert x.value == pytest.approx(1.001 / FIT.stretch_x.value)
    assert y.value == pytest.approx(1.0 / FIT.stretch_y.value)
    assert x.uncertainty == pytest.approx(FIT.stretch_x.uncertainty, rel=0.01)


def test_what_people_read():
    lines = list(coupon_lines(FIT, SHED, at_frets(FIT, 628.0, FRETS), 628.0))
    text = "\n".join(lines)
    assert lines[0].startswith(f"kerf         {FIT.kerf.value:.3f} mm ± ")
    assert "type A; cut with 0.200" in lines[0]
    assert f"put scale-x = {1.001 / FIT.stretch_x.value:.5f} into the profile of shed-laser" in text
    assert "fret 12      314.00 mm from the nut on a scale of 628: ± " in text
    assert "cents if the saddle is placed by another measure, none if by this part" in text
    assert text.count("slip ") == len(FIT.slips)


def test_a_true_machine_is_left_alone():
    fit = fit_coupon(cut_coupon(4, stretch=(1.0, 1.0), skew=0.0))
    text = "\n".join(coupon_lines(fit, SHED, (), 628.0))
    assert "within chance of true: leave scale-x at 1.001" in text
    assert "square within chance" in text


def test_a_machine_out_of_square_is_told():
    fit = fit_coupon(cut_coupon(3, skew=0.004))
    text = "\n".join(coupon_lines(fit, SHED, (), 628.0))
    assert "squareness   +0.2" in text
    assert "out of square, which nothing here makes up for" in text


def test_json_is_plain():
    table = coupon_table(FIT, SHED, at_frets(FIT, 628.0, FRETS))
    assert json.loads(json.dumps(table)) == table
    assert table["schema"] == "jiggen-coupon/1"
    assert table["kerf"]["value"] == pytest.approx(FIT.kerf.value, abs=1e-7)
    assert [each["fret"] for each in table["frets"]] == [12, 18]
    bare = coupon_table(replace(FIT, squareness=None, kerf_difference=None), SHED, ())
    assert (bare["squareness-degrees"], bare["kerf-across-x-less-across-y"]) == (None, None)


def test_the_measured_kerf_takes_the_place_of_the_one_for_its_machine_and_setting():
    any_laser = even(Given(0.2, "assumed until measured"))
    old = even(Given(0.19, "coupon of 2025-01-01"), machine="shed-laser", setting="60 %")
    other = even(Given(0.25, "coupon of 2025-01-01"), machine="shed-laser", setting="90 %")
    known = replace(MATERIAL, kerfs=(any_laser, old, other))
    new = measured(known, SHED, FIT, setting="60 %", source="coupon of 2026-11-25")
    assert new.kerfs[:2] == (any_laser, other)
    kerf = new.kerfs[2]
    assert (kerf.machine, kerf.setting, kerf.marked.source) == ("shed-laser", "60 %", "coupon of 2026-11-25")
    assert kerf.marked.value == pytest.approx(FIT.kerf.value, abs=5e-5)
    assert "standard uncertainty" in kerf.marked.note

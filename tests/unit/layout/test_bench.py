"""A whole neck from the bench: what it says of scale, rule, widths and spreads, and what a design takes from it."""

import math
from statistics import fmean

import pytest
from support.necks import SCALE, neck, seeded

from jiggen.design.fret_places import distance
from jiggen.design.fret_rule import DivisorSteps
from jiggen.design.model import MEASURED, Design, Given
from jiggen.design.model import WidthAt as DesignWidth
from jiggen.design.read import design_from_text, read_defaults
from jiggen.design.solve import solve
from jiggen.design.write import design_text
from jiggen.errors import InputError
from jiggen.layout.bench import BenchFit, design_numbers, fit_bench
from jiggen.layout.bench_tables import fit_tables
from jiggen.layout.measured import TWELVE_EQUAL, Reading, Zero, fit_neck
from jiggen.layout.measured_rule import RULE_OF_18, Verdict
from jiggen.layout.measured_width import WidthAt, WidthAtFret
from jiggen.layout.readings import BenchReadings, SpreadAt, SpreadReading

TAPER = 16.0 / SCALE  # mm per mm: 46 mm at the nut, 54 mm at fret 12


def width_at_fret(fret: int, error: float = 0.0) -> WidthAtFret:
    return WidthAtFret(fret=fret, width=46.0 + TAPER * distance(TWELVE_EQUAL, SCALE, fret) + error)


def bench(frets, *, widths=(), spreads=()) -> BenchFit:
    return fit_bench(BenchReadings(frets=tuple(frets), widths=tuple(widths), spreads=tuple(spreads)))


def exact(rule=TWELVE_EQUAL, frets=range(1, 19)) -> list[Reading]:
    """As a maker reads a steel rule, to a tenth."""
    return [Reading(fret=fret, distance=round(distance(rule, SCALE, fret), 1)) for fret in frets]


def test_the_scale_is_that_of_the_rule_that_fits():
    readings, _ = neck(seeded(11), frets=range(1, 19), slips=1, missing=2)
    fit = bench(readings)
    assert fit.comparison.verdict is Verdict.ONE_FITS
    assert fit.neck == fit_neck(readings)
    numbers = design_numbers(fit, file="some/where/bench.csv")
    assert numbers["scale"].value == pytest.approx(SCALE, abs=0.35)
    assert numbers["scale"].value == round(fit.neck.scale, 2)
    assert numbers["scale"].source == MEASURED
    assert numbers["scale"].note == (
        f"standard uncertainty {fit.neck.uncertainty:.2f} mm from {len(fit.neck.frets)} frets, "
        f"95 %: ± {fit.neck.expanded:.2f} mm; bench.csv"
    )
    assert numbers["fret_rule"].value == TWELVE_EQUAL
    assert numbers["frets"].value == max(fret.fret for fret in fit.neck.frets)
    assert set(numbers) == {"scale", "frets", "fret_rule"}


def test_an_old_neck_is_laid_out_by_its_own_rule():
    readings, _ = neck(seeded(12), rule=RULE_OF_18, frets=range(1, 19))
    fit = bench(readings)
    assert fit.neck.rule == RULE_OF_18
    numbers = design_numbers(fit, file="bench.csv")
    assert numbers["fret_rule"].value == DivisorSteps(divisor=18)
    assert numbers["scale"].value == pytest.approx(SCALE, abs=0.5)
    assert "against 12 equal steps to the octave" in numbers["fret_rule"].note


def test_too_few_frets_leave_the_rule_open():
    fit = bench(exact(frets=[5, 12]))
    assert fit.comparison is None
    assert fit.neck.rule == TWELVE_EQUAL
    assert "fret_rule" not in design_numbers(fit, file="bench.csv")
    assert fit_tables(fit)["fret-rule"] is None
    vague = bench(exact(frets=[1, 2, 3]))
    assert vague.comparison.verdict is Verdict.CANNOT_TELL
    assert "fret_rule" not in design_numbers(vague, file="bench.csv")


def test_a_neck_by_neither_rule_is_told_so():
    fit = bench(exact(DivisorSteps(divisor=17.5)))
    assert fit.comparison.verdict is Verdict.NONE_FITS
    assert fit.neck.rule == TWELVE_EQUAL
    assert fit_tables(fit)["fret-rule"]["fits"] is None


def test_three_widths_or_more_make_a_taper():
    widths = [
        width_at_fret(0, 0.05),
        width_at_fret(5, -0.05),
        width_at_fret(12),
        width_at_fret(18),
        width_at_fret(18, 0.1),
    ]
    fit = bench(exact(), widths=widths)
    assert [each.width.count for each in fit.widths] == [1, 1, 1, 2]
    numbers = design_numbers(fit, file="bench.csv")
    assert numbers["nut_width"].value == pytest.approx(46.0, abs=0.1)
    (far,) = numbers["widths"].value
    assert far.fret == 18
    assert far.width == round(fit.taper.width_at(fit.widths[-1].distance)[0], 2)
    # both lie on the taper that was fitted, within the rounding
    run = fit.widths[-1].distance
    assert (far.width - numbers["nut_width"].value) / run == pytest.approx(fit.taper.taper, abs=0.011 / run)
    assert "straight taper through 4 places" in numbers["nut_width"].note


def test_three_places_are_enough_for_a_taper():
    assert bench(exact(), widths=[width_at_fret(fret) for fret in (0, 5, 12)]).taper is not None
    assert bench(exact(), widths=[width_at_fret(fret) for fret in (0, 12, 12)]).taper is None


def test_fewer_widths_are_taken_as_they_were_read():
    fit = bench(
        exact(), widths=[width_at_fret(0), width_at_fret(0, 0.1), WidthAt(distance=314.0, width=54.04)]
    )
    assert fit.taper is None
    numbers = design_numbers(fit, file="bench.csv")
    assert numbers["nut_width"].value == 46.05
    assert numbers["nut_width"].note == "mean of 2 readings, standard uncertainty 0.05 mm; bench.csv"
    assert numbers["widths"].value == (DesignWidth(width=54.04, distance=314.0),)
    assert numbers["widths"].note == "read once; bench.csv"
    only = design_numbers(bench(exact(), widths=[width_at_fret(12)]), file="bench.csv")
    assert "nut_width" not in only
    assert only["widths"].value == (DesignWidth(width=54.0, fret=12),)


def test_spreads_are_means():
    spreads = [SpreadReading(at=SpreadAt.BRIDGE, spread=each) for each in (57.0, 57.2, 57.1)]
    fit = bench(exact(), spreads=[*spreads, SpreadReading(at=SpreadAt.NUT, spread=39.0)])
    assert fit.spread_at_bridge.value == pytest.approx(fmean([57.0, 57.2, 57.1]))
    assert fit.spread_at_bridge.uncertainty == pytest.approx(
        0.1 / math.sqrt(3)
    )  # s = 0.1 mm; JCGM 100:2008, 4.2.3
    assert fit.spread_at_nut.uncertainty is None
    numbers = design_numbers(fit, file="bench.csv")
    assert (numbers["spread_at_bridge"].value, numbers["spread_at_nut"].value) == (57.1, 39.0)


def test_readings_that_tell_nothing_are_refused():
    with pytest.raises(InputError, match="at least 2 different frets"):
        bench([], widths=[width_at_fret(0)])


def test_a_measured_design_says_the_same_when_read_again():
    fit = bench(
        neck(seeded(12), rule=RULE_OF_18, frets=range(1, 19))[0],
        widths=[width_at_fret(0), width_at_fret(7), width_at_fret(18)],
        spreads=[SpreadReading(at=SpreadAt.BRIDGE, spread=57.0)],
    )
    numbers = design_numbers(fit, file=f"{'long' * 40}.csv")
    assert all(len(each.note) <= 200 for each in numbers.values())  # what a design file may hold
    design = Design(name="Wren", date="2026-11-25", profile="six-string-guitar", **numbers)
    again = design_from_text(design_text(design, read_defaults(design)), file="wren.toml")
    for field, given in numbers.items():
        found: Given = getattr(again, field)
        assert (found.value, found.source, found.note) == (given.value, given.source, given.note)
    spec = solve(again, read_defaults(again))
    assert spec.setback_bass.source == "solved"  # nut, taper and spread leave nothing to assume
    assert spec.setback_bass.value == pytest.approx(spec.nut_width.value / 2 - spec.spread_at_nut.value / 2)


def test_the_tables_hold_the_numbers_of_the_fit():
    readings = [
        *exact(),
        Reading(fret=9, distance=245.6, where="bench.csv, line 9"),
        Reading(fret=12, distance=314.05),
    ]
    fit = bench(readings, widths=[width_at_fret(fret) for fret in (0, 5, 12, 18)])
    tables = fit_tables(fit)
    assert tables["schema"] == "jiggen-fit/1"
    assert tables["scale"]["value"] == fit.neck.scale
    assert tables["scale"]["expanded-uncertainty-95"] > tables["scale"]["standard-uncertainty"]
    assert [fret["fret"] for fret in tables["frets"]] == list(range(1, 19))
    assert tables["frets"][11]["readings"] == 2
    for row, fret in zip(tables["frets"], fit.neck.frets, strict=True):
        assert (row["from-nut"], row["by-the-rule"], row["off"], row["cents"]) == (
            fret.distance,
            fret.expected,
            fret.residual,
            fret.cents,
        )
    assert tables["frets"][11]["from-nut"] == pytest.approx(314.025, abs=0.02)
    (slip,) = tables["slips"]
    assert (slip["where"], slip["fret"], slip["read"]) == ("bench.csv, line 9", 9, 245.6)
    assert slip["cents"] < -20.0
    assert tables["zero"]["taken-off"] is (fit.neck.zero.applied)
    assert [width["fret"] for width in tables["widths"]] == [0, 5, 12, 18]
    assert all(abs(width["off"]) < 0.02 for width in tables["widths"])
    assert tables["spread-at-bridge"] is None
    assert fit_neck(readings, zero=Zero.NUT).scale == pytest.approx(SCALE, abs=0.1)


def test_a_slip_in_a_width_is_left_out():
    widths = [width_at_fret(fret) for fret in (0, 3, 5, 7, 9, 12, 15)] + [
        WidthAtFret(fret=18, width=75.5, where="bench.csv, line 30")
    ]
    tables = fit_tables(bench(exact(), widths=widths))
    (slip,) = tables["width-slips"]
    assert slip["where"] == "bench.csv, line 30"
    assert slip["off"] == pytest.approx(75.5 - width_at_fret(18).width, abs=0.05)
    assert tables["widths"][-1]["off"] is None  # nothing sound was read there

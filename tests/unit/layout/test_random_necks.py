"""Necks at random, single strings or courses, parallel or fanned, and what holds of any fret rule."""

from itertools import pairwise
from random import Random

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st
from support.random_designs import RULES, disagreement, random_design
from support.specs import wren

from jiggen.design.fret_rule import EqualSteps, FretRule
from jiggen.design.solve import solve
from jiggen.layout.neck import lay_out

FEMTO = 1e-9  # mm: nothing but the last bits of a float
NANOMETRE = 1e-6  # mm


def test_five_hundred_necks_agree_with_themselves_in_every_length() -> None:
    """`tests/bench/bench_layout.py` goes through ten thousand."""
    worst = max(disagreement(*random_design(Random(seed))) for seed in range(500))  # noqa: S311 - no secrets here
    assert worst <= FEMTO


@pytest.mark.parametrize("rule", [rule for rule in RULES if "divisor" not in repr(rule)], ids=repr)
def test_the_octave_halves_the_string_under_any_rule_that_has_one(rule: FretRule) -> None:
    steps = {12: 12, 19: 19}.get(getattr(rule, "steps", 0), 0)
    octave = (
        len(rule.keep) - 1
        if rule.keep
        else steps or len(getattr(rule, "ratios", ()) or getattr(rule, "cents", ()))
    )
    layout = lay_out(wren(fret_rule=rule, frets=2 * octave, overhang=1.0))
    assert layout.frets[octave - 1].distance == pytest.approx(314.0, abs=FEMTO)
    assert layout.frets[2 * octave - 1].distance == pytest.approx(471.0, abs=FEMTO)
    assert layout.frets[octave - 1].width == pytest.approx(55.0, abs=FEMTO)
    for fret in range(1, octave):
        low, high = layout.frets[fret - 1].distance, layout.frets[fret + octave - 1].distance
        assert high == pytest.approx(314.0 + low / 2.0, abs=FEMTO)


@settings(derandomize=True, deadline=None)
@always(steps=st.integers(5, 53), scale=st.floats(300.0, 1000.0), longer=st.floats(-30.0, 30.0))
def test_the_octave_halves_every_string_of_a_fan_for_any_number_of_steps(
    steps: int, scale: float, longer: float
) -> None:
    layout = lay_out(
        wren(
            scale=None,
            scale_bass=scale + longer,
            scale_treble=scale,
            straight_fret=3.0,
            fret_rule=EqualSteps(steps=steps),
            frets=steps,
            overhang=1.0,
        )
    )
    for place, string in zip(layout.frets[-1].crossings, layout.strings, strict=True):
        assert place.distance(string.line.start) == pytest.approx(place.distance(string.line.end), abs=FEMTO)


@settings(derandomize=True, deadline=None)
@always(st.integers(0, 2**32))
def test_widths_are_monotone_and_frets_in_order_on_any_neck(seed: int) -> None:
    design, neck = random_design(Random(seed))  # noqa: S311 - no secrets here
    layout = lay_out(solve(design))
    whole = [fret for fret in layout.frets if all(fret.crossings)]
    assert [fret.number for fret in layout.frets] == sorted({fret.number for fret in layout.frets})
    for before, after in pairwise(whole):
        assert before.line.start.x < after.line.start.x
        assert before.line.end.x < after.line.end.x
        if not layout.spec.fanned:
            assert (after.width - before.width) * neck.growth >= -NANOMETRE
    assert layout.frets == () or sum(fret.from_previous for fret in layout.frets) == pytest.approx(
        layout.frets[-1].distance, abs=FEMTO
    )

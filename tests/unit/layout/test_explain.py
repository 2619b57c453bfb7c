"""The derivation says what was done, with figures that give the result when they are worked out."""

import math
import re
from fractions import Fraction

import pytest
from support.specs import wren
from support.string_sets import library_set

from jiggen.design.fret_rule import CentsSteps, DivisorSteps, EqualSteps
from jiggen.design.model import Given, Setup, Spacing
from jiggen.layout.explain import derivation
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up

HALF_A_HUNDREDTH = 0.0051  # mm, what the printed results are rounded to


def steps_of(spec, string_set=None):
    layout = lay_out(spec)
    return [step for section in derivation(layout, set_up(layout, string_set)) for step in section.steps]


def worked_out(figures):
    """The value of figures as printed: an independent reading of the signs on the board."""
    text = (
        figures.replace("−", "-").replace("×", "*").replace("÷", "/").replace("^", "**").replace("²", "**2")
    )
    text = re.sub(r"√\(", "sqrt(", text)
    text = re.sub(r" (kg/m|Hz|m)\b", "", text)
    return eval(text, {"__builtins__": {}, "sqrt": math.sqrt})  # noqa: S307 - figures of our own making


NECKS = {
    "plain": wren(radius=400.0, radius_at_end=500.0),
    "from other numbers": wren(
        scale=None,
        nut_to_twelfth=314.0,
        setback=None,
        spread_at_nut=39.0,
        taper_angle=2 * math.atan(9.0 / 628.0),
    ),
    "equal gaps": wren(gauges=(0.3, 0.4, 0.6, 0.8, 1.07, 1.35), spacing=Spacing.GAPS),
    "courses": wren(
        strings=12, courses=(2,) * 6, course_spacing_nut=2.2, course_spacing_bridge=3.0, nut=50.0
    ),
    "19 steps": wren(fret_rule=EqualSteps(steps=19), frets=24),
    "tritave": wren(fret_rule=EqualSteps(steps=13, period=Fraction(3)), frets=13),
    "rule of 18": wren(fret_rule=DivisorSteps(divisor=18.0)),
    "cents": wren(fret_rule=CentsSteps(cents=(90.0, 200.0, 310.0, 1200.0)), frets=8),
    "fanned": wren(scale=None, scale_bass=686.0, scale_treble=648.0, straight_fret=7.0, frets=24),
}


@pytest.mark.parametrize("spec", NECKS.values(), ids=NECKS.keys())
def test_figures_give_the_results(spec):
    checked = 0
    for step in steps_of(spec):
        result = re.match(r"-?[\d.]+", step.result.replace("−", "-"))
        if (
            not (step.figures and result)
            or "given" in step.figures
            or "," in step.figures
            or "slope" in step.result
        ):
            continue
        if re.search(r"[a-z]{3}", step.figures):
            continue  # words, not figures
        # figures are rounded to 0.001 mm, so what is worked out from them may be off by a little more than that
        assert worked_out(step.figures) == pytest.approx(float(result[0]), abs=HALF_A_HUNDREDTH), step
        checked += 1
    assert checked >= 5


def test_every_given_number_of_the_plain_case_stands_on_the_board():
    given = {step.name: step.result for step in steps_of(wren()) if step.source == "chosen"}
    assert given["scale length"] == "628.00 mm"
    assert given["nut width"] == "46.00 mm"
    assert given["spread at bridge"] == "57.00 mm"


def test_frets_are_derived_by_the_textbook_formula():
    step = next(step for step in steps_of(wren()) if step.name == "fret 12")
    assert step.formula == "scale × (1 − 2^(−n/12))"
    assert step.figures == "628.000 × (1 − 2^(−12/12))"
    assert step.result == "314.000 mm"


def test_tension_and_saddle_are_derived_where_they_are_known():
    steel = library_set("steel-acoustic-012")
    setup = Setup(action=Given(2.0), nut_height=Given(0.6))
    steps = steps_of(wren(gauges=steel.gauges.value, setup=setup), steel)
    tension = next(step for step in steps if step.name.startswith("tension of string 6"))
    assert worked_out(tension.figures) == pytest.approx(float(tension.result.split()[0]), rel=1e-3)
    assert any(step.name == "straight saddle" for step in steps)

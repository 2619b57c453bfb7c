import itertools
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st

from jiggen.design.taper import Fact, Kind, solve_taper
from jiggen.errors import ConflictError, InputError

NANOMETRE = 1e-6  # mm
SCALE = 628.0


def fact(name, kind, value, at=None):
    return Fact(name=name, kind=kind, at=at, value=value, text=f"{value:.2f} mm", source="chosen")


NUT = fact("nut width", Kind.WIDTH, 46.0, 0.0)
TWELFTH = fact("width at fret 12", Kind.WIDTH, 55.0, SCALE / 2.0)
SADDLE = fact("projected width at saddle", Kind.WIDTH, 64.0, SCALE)
SPREAD_AT_NUT = fact("spread at nut", Kind.SPREAD, 39.0, 0.0)
SPREAD = fact("spread at bridge", Kind.SPREAD, 57.0, SCALE)
SETBACKS = fact("setbacks, both sides", Kind.SETBACKS, 7.0)
TAPER = fact("taper per mm", Kind.TAPER, 18.0 / SCALE)

SEVENTH = fact("width at fret 7", Kind.WIDTH, 52.0, SCALE / 3.0)
EVERY = (NUT, TWELFTH, SADDLE, SPREAD_AT_NUT, SPREAD, SETBACKS, TAPER)


def solve(*given, assumed=(), tolerance=0.05):
    return solve_taper(SCALE, given, assumed, tolerance=tolerance, where="wren.toml")


def numbers(solution):
    return (
        solution.width_at_nut,
        solution.width_at_saddle,
        solution.spread_at_nut,
        solution.spread_at_saddle,
    )


def row(each):
    """What a fact tells of nut width, taper over the scale, and setbacks."""
    match each.kind:
        case Kind.WIDTH:
            return (1.0, each.at / SCALE, 0.0)
        case Kind.SPREAD:
            return (1.0, each.at / SCALE, -1.0)
        case Kind.SETBACKS:
            return (0.0, 0.0, 1.0)
        case _:
            return (0.0, 1.0, 0.0)


def is_sufficient(three):
    """Independent judge: rank of the three equations in (w, k, c), by their determinant."""
    rows = [row(each) for each in three]
    (a, b, c), (d, e, f), (g, h, i) = rows
    return abs(a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)) > 1e-9


@pytest.mark.parametrize(
    "three", list(itertools.combinations(EVERY, 3)), ids=lambda three: "+".join(each.name for each in three)
)
def test_any_three_independent_facts_are_enough_in_any_order(three):
    for order in itertools.permutations(three):
        if is_sufficient(three):
            assert numbers(solve(*order)) == pytest.approx((46.0, 64.0, 39.0, 57.0), abs=NANOMETRE)
        else:
            with pytest.raises(InputError):
                solve(*order)


def test_all_facts_together_agree():
    assert numbers(solve(*EVERY)) == pytest.approx((46.0, 64.0, 39.0, 57.0), abs=NANOMETRE)


def test_assumed_facts_fill_only_what_is_open():
    solution = solve(NUT, SPREAD, assumed=(SETBACKS, fact("spread at nut", Kind.SPREAD, 36.0, 0.0)))
    assert solution.assumed == {"setbacks, both sides"}
    assert numbers(solution) == pytest.approx((46.0, 64.0, 39.0, 57.0), abs=NANOMETRE)


def test_facts_that_disagree_are_named_with_what_each_would_have_to_be():
    with pytest.raises(ConflictError) as caught:
        solve(NUT, SETBACKS, SPREAD, fact("spread at nut", Kind.SPREAD, 40.0, 0.0))
    assert str(caught.value) == (
        "wren.toml: got nut width 46.00 mm, setbacks, both sides 7.00 mm, spread at nut 40.00 mm, which disagree by "
        "1.000 mm, expected numbers that agree within 0.050 mm: the others ask for nut width to be 47.00 mm, or setbacks, "
        "both sides to be 6.00 mm, or spread at nut to be 39.00 mm. Correct one of them, leave one out, or allow more "
        "with `tolerance`"
    )


def test_a_taper_that_disagrees_is_judged_over_the_whole_scale():
    with pytest.raises(ConflictError, match="disagree by 0.628 mm"):
        solve(NUT, SADDLE, SETBACKS, fact("taper per mm", Kind.TAPER, 18.0 / SCALE + 0.001))


def circuit(basis, other):
    """Independent judge: those of some independent facts that have a part in another one; None if it is independent."""
    rows = [row(each) for each in basis]
    if np.linalg.matrix_rank(np.array([*rows, row(other)])) > len(basis):
        return None
    parts = np.linalg.lstsq(np.array(rows).T, np.array(row(other)), rcond=None)[0]
    return {each.name for each, part in zip(basis, parts, strict=True) if abs(part) > 1e-9}


@pytest.mark.parametrize("count", [1, 2, 3])
def test_facts_that_disagree_are_exactly_those_involved(count):
    facts = (*EVERY, SEVENTH)
    tried = 0
    for basis in itertools.permutations(facts, count):
        if count > 1 and any(circuit(basis[:n], basis[n]) is not None for n in range(1, count)):
            continue
        for other in facts:
            involved = None if other in basis else circuit(basis, other)
            if involved is None:
                continue
            wrong = replace(other, value=other.value + 1.0, text=f"{other.value + 1.0:.2f} mm")
            with pytest.raises(ConflictError) as caught:
                solve(*basis, wrong)
            assert named(caught.value.got) == involved | {other.name}
            tried += 1
    assert tried > {1: -1, 2: 10, 3: 500}[count]


def named(got):
    return {
        each.name
        for each in (*EVERY, SEVENTH)
        if f"{each.name} {each.value:.2f} mm" in got or f"{each.name} {each.value + 1.0:.2f} mm" in got
    }


@pytest.mark.parametrize(
    "three", [(NUT, TAPER, SPREAD), (SPREAD_AT_NUT, SADDLE, NUT), (TWELFTH, TAPER, SETBACKS)]
)
def test_what_the_others_ask_for_would_make_the_numbers_agree(three):
    """Takes each figure of the error in turn: put in place of the one given, it leaves nothing to disagree on."""
    others = [each for each in EVERY if each not in three]
    for other in others:
        facts = (*three, replace(other, value=other.value + 0.7, text="wrong"))
        with pytest.raises(ConflictError) as caught:
            solve(*facts)
        asked = dict(
            re.findall(r"(?:the others ask for |, or )(.+?) to be (-?[0-9.]+) (?:mm|deg)", str(caught.value))
        )
        assert asked
        for name, figure in asked.items():
            each = next(fact for fact in facts if fact.name == name)
            value = (
                2.0 * math.tan(math.radians(float(figure)) / 2.0)
                if each.kind is Kind.TAPER
                else float(figure)
            )
            solve(*(replace(one, value=value) if one is each else one for one in facts))


def test_a_width_given_twice_is_told_apart():
    other = replace(TWELFTH, value=56.0, text="56.00 mm")
    with pytest.raises(ConflictError) as caught:
        solve(NUT, TWELFTH, other)
    assert str(caught.value) == (
        "wren.toml: got width at fret 12 55.00 mm, width at fret 12 56.00 mm, which disagree by 1.000 mm, expected "
        "numbers that agree within 0.050 mm: the others ask for width at fret 12 to be 56.00 mm, or width at fret 12 to "
        "be 55.00 mm. Correct one of them, leave one out, or allow more with `tolerance`"
    )


def test_places_told_apart_by_the_last_bits_alone_are_one_place():
    twice = (
        fact("width at fret 24", Kind.WIDTH, 59.5, 471.0),
        fact("width at 471.00 mm", Kind.WIDTH, 59.5, 471.0 + 1e-10),
    )
    with pytest.raises(InputError):
        solve(*twice, SETBACKS)
    assert numbers(solve(*twice, NUT, SETBACKS)) == pytest.approx((46.0, 64.0, 39.0, 57.0), abs=NANOMETRE)


def test_a_taper_is_quoted_as_an_angle():
    angle = replace(TAPER, name="taper angle", value=2.0 * math.tan(math.radians(2.0) / 2.0), text="2 deg")
    with pytest.raises(ConflictError) as caught:
        solve(NUT, SADDLE, angle)
    assert str(caught.value) == (
        "wren.toml: got nut width 46.00 mm, projected width at saddle 64.00 mm, taper angle 2 deg, which disagree by "
        "3.924 mm, expected numbers that agree within 0.050 mm: the others ask for nut width to be 42.08 mm, or projected "
        "width at saddle to be 67.92 mm, or taper angle to be 1.6421 deg. Correct one of them, leave one out, or allow "
        "more with `tolerance`"
    )


def test_differences_within_the_tolerance_pass_and_are_noted():
    solution = solve(NUT, SETBACKS, SPREAD, fact("spread at nut", Kind.SPREAD, 39.04, 0.0))
    assert solution.spread_at_nut == 39.0
    assert [step.name for step in solution.steps if step.source == "checked"] == ["spread at nut"]


def test_too_few_facts_say_what_to_give():
    with pytest.raises(InputError, match="Give one more of: nut width, spread at nut"):
        solve(NUT, SPREAD)


def test_steps_are_what_a_teacher_would_write():
    steps = solve(NUT, SPREAD, SETBACKS).steps
    assert [
        (step.name, step.formula, step.figures, step.result) for step in steps if step.source == "solved"
    ] == [
        ("spread at nut", "nut width − setbacks, both sides", "46.000 − 7.000", "39.00 mm"),
        (
            "projected width at saddle",
            "spread at bridge + setbacks, both sides",
            "57.000 + 7.000",
            "64.00 mm",
        ),
        (
            "taper per mm",
            "(projected width at saddle − nut width) ÷ distance between them",
            "(64.000 − 46.000) ÷ 628.000",
            "0.028662 mm per mm",
        ),
    ]


def test_carrying_back_toward_the_nut_takes_away():
    steps = solve(TWELFTH, TAPER, SETBACKS).steps
    carried = [
        (step.name, step.formula, step.figures, step.result)
        for step in steps
        if "taper per mm ×" in step.formula
    ]
    assert carried == [
        (
            "nut width",
            "width at fret 12 − taper per mm × distance",
            "55.000 − 0.028662 × 314.000",
            "46.00 mm",
        ),
        (
            "projected width at saddle",
            "width at fret 12 + taper per mm × distance",
            "55.000 + 0.028662 × 314.000",
            "64.00 mm",
        ),
    ]


def test_inch_practice_gives_the_published_figures():
    # common practice: 1.700 in nut, 1/8 in setback, 2.125 in spread, 20 in scale: 1.450 in and 2.375 in
    inch = 25.4
    solution = solve_taper(
        20 * inch,
        (
            fact("nut width", Kind.WIDTH, 1.700 * inch, 0.0),
            fact("spread at bridge", Kind.SPREAD, 2.125 * inch, 20 * inch),
            fact("setbacks, both sides", Kind.SETBACKS, 2 * inch / 8),
        ),
        (),
        tolerance=0.05,
        where="design",
    )
    assert solution.spread_at_nut / inch == pytest.approx(1.450, abs=1e-9)
    assert solution.width_at_saddle / inch == pytest.approx(2.375, abs=1e-9)


@settings(derandomize=True, deadline=None)
@always(
    nut=st.floats(25.0, 80.0),
    growth=st.floats(-5.0, 40.0),
    setbacks=st.floats(2.0, 12.0),
    at=st.floats(50.0, 600.0),
)
def test_what_is_solved_gives_back_what_was_given(nut, growth, setbacks, at):
    width = fact("width at a place", Kind.WIDTH, nut + growth * at / SCALE, at)
    spread = fact("spread at bridge", Kind.SPREAD, nut + growth - setbacks, SCALE)
    spread_at_nut = fact("spread at nut", Kind.SPREAD, nut - setbacks, 0.0)
    solution = solve(width, spread, spread_at_nut)
    assert numbers(solution) == pytest.approx(
        (nut, nut + growth, nut - setbacks, nut + growth - setbacks), abs=NANOMETRE
    )

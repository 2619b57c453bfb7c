"""What goes without saying."""

from dataclasses import fields, replace

import pytest
from support.specs import wren

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.model import ASSUMED, Design, Given
from jiggen.design.solve import solve
from jiggen.design.spec import Spec
from jiggen.design.usual import USUAL


def test_everything_usual_is_marked_as_assumed_and_says_why() -> None:
    for given in USUAL.values():
        assert given.source == ASSUMED
        assert given.note


def test_every_usual_value_is_a_field_of_design_and_spec() -> None:
    assert set(USUAL) <= {each.name for each in fields(Spec)} & {each.name for each in fields(Design)}


@pytest.mark.parametrize("name", sorted(USUAL))
def test_a_spec_takes_the_usual_where_nothing_is_said(name: str) -> None:
    assert getattr(wren(), name) is USUAL[name]


@pytest.mark.parametrize("name", sorted(set(USUAL) - {"end", "spacing", "fret_rule"}))
def test_what_the_maker_says_comes_before_the_usual(name: str) -> None:
    usual = USUAL[name].value
    own = Given((not usual) if isinstance(usual, bool) else usual + 0.25)
    spec = solve(replace(wren().design, **{name: own}))
    assert getattr(spec, name) is own


def test_the_standards_behind_what_is_usual() -> None:
    assert USUAL["pitch_standard"].value == 440.0  # Hz; ISO 16
    assert USUAL["fret_rule"].value == EqualSteps(steps=12)


def test_a_spacing_within_courses_at_the_nut_holds_at_the_bridge_too() -> None:
    spec = wren(strings=12, courses=(2,) * 6, course_spacing_nut=2.0)
    assert spec.course_spacing_bridge.value == 2.0
    assert wren(
        strings=12, courses=(2,) * 6, course_spacing_nut=2.0, course_spacing_bridge=2.8
    ).course_spacing_bridge == Given(2.8)

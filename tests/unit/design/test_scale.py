"""The scale length from distances along the string."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st

from jiggen.design.fret_rule import DivisorSteps, EqualSteps, FretRule
from jiggen.design.model import ASSUMED, SOLVED, Design, FretAt, Given
from jiggen.design.scale import Scales, solve_scales
from jiggen.errors import ConflictError, InputError, JiggenError

FEMTO = 1e-9  # mm: nothing but the last bits of a float
TWELVE = EqualSteps(steps=12)


def scales(*, rule: FretRule = TWELVE, tolerance: float = 0.05, **said: Any) -> Scales | None:
    fields = {name: value if isinstance(value, Given) else Given(value) for name, value in said.items()}
    return solve_scales(Design(name="Wren", **fields), rule, tolerance=tolerance, where='design "Wren"')


def scale(**said: Any) -> float:
    found = scales(**said)
    assert found is not None
    assert found.bass == found.treble == found.middle
    return found.middle.value


def fault(**said: Any) -> tuple[type[JiggenError], str]:
    with pytest.raises(JiggenError) as caught:
        scales(**said)
    return type(caught.value), str(caught.value)


def test_nothing_said_is_nothing_solved() -> None:
    assert scales() is None


def test_a_scale_is_taken_as_it_is() -> None:
    said = Given(628.0, "measured", "628 mm", "on the old neck", "wren.toml, line 3")
    found = scales(scale=said)
    assert found is not None
    assert found.middle is said


def test_each_distance_gives_the_scale() -> None:
    assert scale(nut_to_twelfth=314.0) == 628.0
    assert abs(scale(nut_to_fret=FretAt(fret=24, distance=471.0)) - 628.0) < FEMTO  # three quarters
    assert abs(scale(bridge_to_fret=FretAt(fret=24, distance=157.0)) - 628.0) < FEMTO  # one quarter
    assert (
        abs(scale(nut_to_fret=FretAt(fret=1, distance=628.0 / 18.0), rule=DivisorSteps(divisor=18.0)) - 628.0)
        < FEMTO
    )


def test_what_is_solved_says_from_what() -> None:
    found = scales(nut_to_fret=Given(FretAt(fret=7, distance=208.86), "measured"))
    assert found is not None
    assert (found.middle.source, found.middle.note) == (SOLVED, "from nut to fret 7")
    (step,) = found.steps
    assert (step.name, step.formula, step.figures, step.result, step.source) == (
        "scale length",
        "nut to fret 7 ÷ (1 − part left at fret 7)",
        "208.860 ÷ 0.33258007",
        "628.00 mm",
        SOLVED,
    )


@settings(derandomize=True, deadline=None)
@always(
    st.floats(200.0, 1200.0),
    st.lists(
        st.sampled_from(["scale", "nut_to_twelfth", "nut_to_fret", "bridge_to_fret"]), min_size=1, unique=True
    ),
    st.integers(1, 36),
)
def test_every_choice_of_true_distances_gives_the_same_scale(
    length: float, names: list[str], fret: int
) -> None:
    left = 2.0 ** (-fret / 12.0)
    ways = {
        "scale": length,
        "nut_to_twelfth": length / 2.0,
        "nut_to_fret": FretAt(fret=fret, distance=length * (1.0 - left)),
        "bridge_to_fret": FretAt(fret=fret, distance=length * left),
    }
    assert abs(scale(**{name: ways[name] for name in names}) - length) < FEMTO


def test_the_longest_distance_tells_the_scale_and_the_others_are_checked() -> None:
    # A slip of 0.04 mm at fret 1 would be 0.7 mm of scale.
    first = FretAt(fret=1, distance=628.0 * 0.05612569 + 0.04)
    found = scales(nut_to_fret=first, bridge_to_fret=FretAt(fret=1, distance=628.0 * 0.94387431))
    assert found is not None
    assert abs(found.middle.value - 628.0) < 1e-5
    assert [step.source for step in found.steps] == [SOLVED, "checked"]
    assert found.steps[1].formula == "given too, and it follows: scale length × (1 − part left at fret 1)"


def test_distances_that_disagree_name_both_and_what_each_asks_for() -> None:
    kind, sentence = fault(
        scale=Given(628.0, text="628mm"),
        nut_to_twelfth=Given(315.0, text="315 mm"),
        bridge_to_fret=FretAt(fret=24, distance=157.0),
    )
    assert kind is ConflictError
    assert sentence == (
        'design "Wren": got scale length 628mm and nut to 12th fret 315 mm, which disagree by 1.000 mm, expected numbers that '
        "agree within 0.050 mm: a scale of 628.00 mm puts nut to 12th fret at 314.00 mm, and 315.00 mm asks for a scale of "
        "630.00 mm. Correct one of them, leave one out, or allow more with `tolerance`"
    )


def test_the_tolerance_is_what_may_pass() -> None:
    assert scale(scale=628.0, nut_to_twelfth=314.05) == 628.0
    assert scale(scale=628.0, nut_to_twelfth=315.0, tolerance=1.0) == 628.0
    assert fault(scale=628.0, nut_to_twelfth=314.051)[0] is ConflictError


def test_an_assumed_scale_gives_way_to_any_distance_of_the_makers() -> None:
    assumed = Given(650.0, ASSUMED)
    assert scale(scale=assumed) == 650.0
    assert scale(scale=assumed, nut_to_twelfth=314.0) == 628.0


def test_a_fan_has_two_scales_and_their_mean() -> None:
    bass, treble = Given(890.0, "measured"), Given(838.0)
    found = scales(scale_bass=bass, scale_treble=treble, string_count=5)
    assert found is not None
    assert (found.bass, found.treble, found.middle) == (bass, treble, Given(864.0, SOLVED))
    assert [(step.name, step.result, step.source) for step in found.steps] == [
        ("bass scale", "890.00 mm", "measured"),
        ("treble scale", "838.00 mm", "chosen"),
        ("scale length", "864.00 mm", SOLVED),
    ]


@pytest.mark.parametrize("name", ["scale", "nut_to_twelfth", "nut_to_fret", "bridge_to_fret"])
def test_one_scale_beside_two_is_refused(name: str) -> None:
    value = FretAt(fret=12, distance=430.0) if "fret" in name else 864.0
    key = name.replace("_", "-").replace("twelfth", "12th")
    assert fault(scale_bass=890.0, scale_treble=838.0, **{name: value}) == (
        ConflictError,
        (
            f'design "Wren", neck.{key}: got neck.{key} beside neck.scale-bass and neck.scale-treble, expected either one '
            f"scale or two. Take neck.{key} out."
        ),
    )


def test_an_assumed_scale_gives_way_to_a_fan() -> None:
    found = scales(scale=Given(650.0, ASSUMED), scale_bass=890.0, scale_treble=838.0)
    assert found is not None
    assert found.middle.value == 864.0


def test_half_a_fan_asks_for_the_other_half() -> None:
    mend = ', or name an instrument profile that has it: profile = "six-string-guitar"'
    assert fault(scale_bass=890.0) == (
        InputError,
        (
            'design "Wren", neck.scale-treble: got nothing, expected scale along the first string. Add neck.scale-treble = '
            f'"838mm"{mend}'
        ),
    )
    assert fault(scale_treble=838.0)[1].startswith('design "Wren", neck.scale-bass: got nothing')


def test_one_string_has_one_scale() -> None:
    assert fault(
        scale_bass=Given(890.0, text="890mm", where="h.toml, line 2"), scale_treble=838.0, string_count=1
    ) == (
        ConflictError,
        "h.toml, line 2: got 890mm and 838.00 mm for one string, expected one scale. Give neck.scale in place of the two.",
    )
    one = solve_scales(
        Design(name="Wren", scale_bass=Given(838.0), scale_treble=Given(838.0), string_count=Given(1)),
        TWELVE,
        tolerance=0.05,
        where="",
    )
    assert one is not None
    assert one.middle.value == 838.0


def test_where_an_error_is_told_from_a_design_without_places() -> None:
    kind, sentence = fault(scale=Given(628.0, where="wren.toml, line 3, neck.scale"), scale_bass=Given(650.0))
    assert kind is ConflictError
    assert sentence.startswith(
        "wren.toml, line 3, neck.scale: got neck.scale beside neck.scale-bass, expected"
    )


def test_replacing_a_number_by_what_is_asked_for_heals_the_design() -> None:
    said = {"scale": Given(628.0), "nut_to_twelfth": Given(300.0)}
    assert fault(**said)[0] is ConflictError
    assert scale(**(said | {"nut_to_twelfth": replace(said["nut_to_twelfth"], value=314.0)})) == 628.0
    assert scale(**(said | {"scale": Given(600.0)})) == 600.0

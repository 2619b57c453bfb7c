"""Specs of which no board can be made, and numbers that ask for others."""

from typing import Any

import pytest
from support.specs import wren

from jiggen.design.model import EndShape, Given, PartialFret
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError


def faults(**changes: Any) -> list[tuple[type[JiggenError], str]]:
    with pytest.raises(JiggenError) as caught:
        wren(**changes)
    return [(type(error), str(error)) for error in getattr(caught.value, "errors", (caught.value,))]


def test_a_straight_fret_behind_the_nut() -> None:
    assert faults(scale=None, scale_bass=660.0, scale_treble=628.0, straight_fret=-0.5) == [
        (
            InputError,
            'design "Wren", neck.straight-fret: got -0.5, expected a number from 0, the nut, to 1000',
        )
    ]


def test_a_board_that_tapers_to_nothing() -> None:
    ((kind, sentence),) = faults(nut=8.0, setback=-30.0, spread=30.0)
    assert (kind, sentence) == (
        LimitError,
        (
            'design "Wren", neck.nut-width: got a board 8.00 mm wide at the nut and -30.00 mm at the saddle, expected '
            "some width at both"
        ),
    )


def test_positions_out_of_order() -> None:
    positions = Given((0.0, 8.0, 7.9, 24.0, 32.0, 39.0), where="w.toml, line 8")
    assert faults(positions_nut=positions) == [
        (
            InputError,
            (
                "w.toml, line 8: got 0.00 mm, 8.00 mm, 7.90 mm, 24.00 mm, 32.00 mm, 39.00 mm, expected distances from "
                "the first string that grow from string to string"
            ),
        )
    ]


@pytest.mark.parametrize(
    ("partial", "got"),
    [
        (PartialFret(fret=19, strings=(1, 2)), "fret 19 under strings 1, 2"),
        (PartialFret(fret=7, strings=(6, 7)), "fret 7 under strings 6, 7"),
        (PartialFret(fret=7, strings=(1, 3)), "fret 7 under strings 1, 3"),
        (PartialFret(fret=7, strings=(2, 2)), "fret 7 under strings 2, 2"),
    ],
)
def test_partial_frets_that_are_not_there(partial: PartialFret, got: str) -> None:
    assert faults(partial_frets=(partial,)) == [
        (
            InputError,
            (
                f'design "Wren", neck.partial-frets: got {got}, expected one of 18 frets, under neighbours among 6 '
                "strings"
            ),
        )
    ]


def test_a_partial_fret_is_named_once() -> None:
    twice = (PartialFret(fret=7, strings=(1, 2)), PartialFret(fret=7, strings=(4, 5)))
    assert faults(partial_frets=twice) == [
        (InputError, 'design "Wren", neck.partial-frets: got fret 7 twice, expected each fret once')
    ]


def test_all_that_is_wrong_is_told() -> None:
    found = faults(overhang=500.0, partial_frets=(PartialFret(fret=30, strings=(1,)),))
    assert [kind for kind, _ in found] == [LimitError, InputError]


@pytest.mark.parametrize(
    ("changes", "key"),
    [
        ({"end": EndShape.ROUNDED}, "neck.end-radius"),
        ({"end": EndShape.ANGLED}, "neck.end-angle"),
        ({"radius_at_end": 400.0}, "neck.radius"),
        ({"strings": 12, "courses": (2,) * 6}, "strings.course-spacing-at-nut"),
        (
            {"strings": 4, "courses": (2, 2), "positions_nut": (0.0, 2.0, 37.0, 39.0)},
            "strings.course-spacing-at-bridge",
        ),
    ],
)
def test_a_number_that_asks_for_another_one(changes: dict[str, Any], key: str) -> None:
    ((kind, sentence),) = faults(**changes)
    assert kind is InputError
    assert sentence.startswith(f'design "Wren", {key}: got nothing, expected ')


def test_a_single_course_and_courses_of_given_positions_need_no_spacing() -> None:
    assert wren(strings=3, courses=(3,)).courses.value == (3,)
    positions = {"positions_nut": (0.0, 2.0, 37.0, 39.0), "positions_bridge": (0.0, 3.0, 54.0, 57.0)}
    assert wren(strings=4, courses=(2, 2), **positions).courses.value == (2, 2)


def test_a_spacing_within_the_only_course_says_too_much() -> None:
    assert faults(strings=3, courses=(3,), course_spacing_nut=2.0) == [
        (
            ConflictError,
            (
                'design "Wren", strings.course-spacing-at-nut: got 2.00 mm within the only course, beside the spread of '
                "its outer strings, expected the spread alone. Take strings.course-spacing-at-nut out."
            ),
        )
    ]

"""Widths, spreads and setbacks: every sufficient choice, numbers too many, and sides that differ."""

import itertools
import math
from typing import Any

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.model import ASSUMED, CHOSEN, SOLVED, Design, Given, SetbackTo, WidthAt
from jiggen.design.widths import Widths, lacking_widths, solve_widths
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError

FEMTO = 1e-9  # mm: nothing but the last bits of a float
SCALE = 628.0
TWELVE = EqualSteps(steps=12)
GAUGES = (0.3, 0.4, 0.6, 0.8, 1.0, 1.2)


def widths(*, strings: int = 6, tolerance: float = 0.05, **said: Any) -> Widths:
    fields = {name: value if isinstance(value, Given) else Given(value) for name, value in said.items()}
    design = Design(name="Wren", string_count=Given(strings), **fields)
    return solve_widths(design, SCALE, TWELVE, tolerance=tolerance, where='design "Wren"')


def fault(**said: Any) -> tuple[type[JiggenError], str]:
    with pytest.raises(JiggenError) as caught:
        widths(**said)
    return type(caught.value), str(caught.value)


def numbers(found: Widths) -> tuple[float, ...]:
    names = (
        "nut_width",
        "spread_at_nut",
        "spread_at_bridge",
        "setback_bass",
        "setback_treble",
        "width_at_saddle",
    )
    return tuple(getattr(found, name).value for name in names)


def is_whole(found: Widths) -> bool:
    """Whether the numbers agree with one another to the last bits."""
    nut, at_nut, at_bridge, bass, treble, saddle = numbers(found)
    return abs(nut - at_nut - bass - treble) <= FEMTO and abs(saddle - at_bridge - bass - treble) <= FEMTO


WREN = {
    "nut_width": 46.0,
    "spread_at_nut": 39.0,
    "spread_at_bridge": 57.0,
    "setback": 3.5,
    "widths": (WidthAt(fret=12, width=55.0), WidthAt(distance=471.0, width=59.5)),
    "taper_angle": 2.0 * math.atan(18.0 / SCALE / 2.0),
}
#: Threes of which one follows from the others.
DEPENDENT = [
    {"nut_width", "spread_at_nut", "setback"},
    {"nut_width", "widths", "taper_angle"},
    {"spread_at_nut", "spread_at_bridge", "taper_angle"},
]


@pytest.mark.parametrize(
    "names",
    [each for count in (3, 4, 5, 6) for each in itertools.combinations(WREN, count)],
    ids="+".join,
)
def test_every_sufficient_choice_of_the_wrens_numbers_gives_the_wren(names: tuple[str, ...]) -> None:
    said = {name: WREN[name] for name in names}
    if set(names) in DEPENDENT:
        assert fault(setback_to=SetbackTo.CENTRE, **said)[0] is InputError
    else:
        found = widths(setback_to=SetbackTo.CENTRE, **said)
        assert numbers(found) == pytest.approx((46.0, 39.0, 57.0, 3.5, 3.5, 64.0), abs=FEMTO)


def test_widths_at_two_places_and_a_setback_are_enough() -> None:
    found = widths(widths=WREN["widths"], setback=3.5)
    assert numbers(found) == pytest.approx((46.0, 39.0, 57.0, 3.5, 3.5, 64.0), abs=FEMTO)


def test_what_is_given_is_kept_as_it_is_and_the_rest_is_solved() -> None:
    nut, bridge, setback = (
        Given(46.0, "measured", "46 mm"),
        Given(57.0, CHOSEN, "57 mm"),
        Given(3.5, "catalogue"),
    )
    found = widths(nut_width=nut, spread_at_bridge=bridge, setback=setback)
    assert found.nut_width is nut
    assert found.spread_at_bridge is bridge
    assert found.setback_bass is found.setback_treble is setback
    assert found.spread_at_nut == Given(39.0, SOLVED)
    assert found.width_at_saddle == Given(64.0, SOLVED)


@pytest.mark.parametrize("off", [0.0, 0.02, -0.04])
def test_numbers_that_agree_within_the_tolerance_come_out_as_one_neck(off: float) -> None:
    found = widths(nut_width=46.0, spread_at_nut=39.0 + off, spread_at_bridge=57.0 - off / 2.0, setback=3.5)
    assert is_whole(found)
    assert found.nut_width == Given(46.0)
    assert found.spread_at_bridge == Given(57.0 - off / 2.0)
    assert abs(found.spread_at_nut.value - 39.0) <= abs(off) + FEMTO
    if off:
        assert found.setback_bass.note == "evened out within the tolerance"


def test_what_comes_first_is_kept_and_what_gives_way_says_so() -> None:
    found = widths(
        nut_width=46.0, spread_at_bridge=57.0, setback=3.5, spread_at_nut=Given(39.03, text="39.03 mm")
    )
    assert found.spread_at_nut == Given(39.03, text="39.03 mm")
    assert found.setback_treble.value == pytest.approx(3.485, abs=FEMTO)
    assert (found.setback_treble.source, found.setback_treble.note) == (
        SOLVED,
        "evened out within the tolerance",
    )
    found = widths(
        nut_width=46.0,
        spread_at_bridge=Given(57.0, text="57 mm"),
        positions_bridge=(0.0, 57.03),
        spread_at_nut=39.0,
        strings=2,
    )
    assert found.spread_at_bridge == Given(57.0, text="57 mm")
    found = widths(nut_width=46.0, widths=(WidthAt(fret=0, width=46.03),), spread_at_bridge=57.0, setback=3.5)
    assert (found.nut_width.value, is_whole(found)) == (46.0, True)


@settings(derandomize=True, deadline=None)
@always(
    nut=st.floats(30.0, 70.0),
    growth=st.floats(-2.0, 30.0),
    setback=st.floats(2.0, 6.0),
    slips=st.lists(st.floats(-0.015, 0.015), min_size=5, max_size=5),
)
def test_numbers_read_with_small_slips_always_make_one_neck(
    nut: float, growth: float, setback: float, slips: list[float]
) -> None:
    found = widths(
        nut_width=nut + slips[0],
        spread_at_bridge=nut + growth - 2.0 * setback + slips[1],
        spread_at_nut=nut - 2.0 * setback + slips[2],
        setback=setback + slips[3] / 2.0,
        widths=(WidthAt(fret=12, width=nut + growth / 2.0 + slips[4]),),
        tolerance=0.1,
    )
    assert is_whole(found)


def test_the_farthest_width_tells_the_taper_best() -> None:
    # At fret 1 a slip of 0.04 mm would be 0.7 mm at the saddle.
    near, far = WidthAt(fret=1, width=46.0 + 18.0 * 0.05612569 + 0.04), WidthAt(fret=12, width=55.0)
    for both in ((near, far), (far, near)):
        found = widths(nut_width=46.0, setback=3.5, widths=both)
        assert found.width_at_saddle.value == pytest.approx(64.0, abs=FEMTO)


def test_a_side_of_its_own_comes_before_the_common_setback() -> None:
    found = widths(nut_width=46.0, spread_at_bridge=57.0, setback=3.5, setback_bass=Given(4.0, "measured"))
    assert (found.setback_bass.value, found.setback_treble.value, found.spread_at_nut.value) == (
        4.0,
        3.5,
        38.5,
    )
    assert is_whole(found)


@pytest.mark.parametrize(("side", "other"), [("bass", "treble"), ("treble", "bass")])
def test_one_side_alone_leaves_the_rest_to_the_other(side: str, other: str) -> None:
    found = widths(nut_width=46.0, spread_at_nut=39.0, spread_at_bridge=57.0, **{f"setback_{side}": 4.0})
    assert getattr(found, f"setback_{side}") == Given(4.0)
    assert getattr(found, f"setback_{other}") == Given(3.0, SOLVED)
    assert is_whole(found)


@pytest.mark.parametrize(("side", "string", "other"), [("bass", -1, 0), ("treble", 0, -1)])
def test_one_side_alone_to_the_edge_of_its_string(side: str, string: int, other: int) -> None:
    found = widths(
        nut_width=46.0,
        spread_at_nut=39.0,
        spread_at_bridge=57.0,
        setback_to=SetbackTo.EDGE,
        gauges=GAUGES,
        **{f"setback_{side}": 3.0},
    )
    own = getattr(found, f"setback_{side}").value
    assert own == 3.0 + GAUGES[string] / 2.0
    assert {found.setback_bass.value, found.setback_treble.value} == {own, 7.0 - own}
    assert is_whole(found)


def test_sides_of_which_nothing_is_said_are_alike_at_the_strings_edges() -> None:
    found = widths(
        nut_width=46.0, spread_at_nut=39.0, spread_at_bridge=57.0, setback_to=SetbackTo.EDGE, gauges=GAUGES
    )
    bass, treble = found.setback_bass.value - GAUGES[-1] / 2.0, found.setback_treble.value - GAUGES[0] / 2.0
    assert bass == pytest.approx(treble, abs=FEMTO)
    assert found.setback_bass.value + found.setback_treble.value == pytest.approx(7.0, abs=FEMTO)


def test_a_common_setback_beside_both_sides_is_refused_unless_it_says_the_same() -> None:
    both = {"setback_bass": Given(4.0, text="4mm"), "setback_treble": Given(3.0, text="3mm")}
    more = {"nut_width": 46.0, "spread_at_bridge": 57.0}
    assert fault(setback=Given(3.5, text="3.5mm", where="w.toml, line 9"), **both, **more) == (
        ConflictError,
        (
            "w.toml, line 9: got 3.5mm beside 4mm on the bass and 3mm on the treble side, expected one setback for both "
            "sides, or one for each. Take strings.setback out."
        ),
    )
    same = widths(setback=3.5, setback_bass=3.5, setback_treble=3.5, **more)
    assert is_whole(same)
    assumed = widths(setback=Given(9.0, ASSUMED), **both, **more)
    assert (assumed.setback_bass.value, assumed.setback_treble.value) == (4.0, 3.0)


def test_assumed_numbers_fill_what_is_open_and_nothing_else() -> None:
    setback, nut = Given(3.5, ASSUMED), Given(50.0, ASSUMED)
    found = widths(nut_width=nut, spread_at_nut=39.0, spread_at_bridge=57.0, setback=setback)
    assert found.nut_width == Given(46.0, SOLVED)  # the setback changes less than the nut does
    assert found.setback_bass is setback
    found = widths(nut_width=46.0, spread_at_nut=38.0, spread_at_bridge=57.0, setback=setback)
    assert found.setback_bass == Given(4.0, SOLVED, note="alike on both sides")
    assert [
        step.name for step in found.steps if "setback, " in step.name
    ] == []  # the assumed one is not in the derivation


def test_one_side_assumed_is_not_held_against_the_rest() -> None:
    found = widths(
        nut_width=46.0,
        spread_at_nut=38.0,
        spread_at_bridge=57.0,
        setback_bass=4.5,
        setback=Given(3.0, ASSUMED),
    )
    assert (found.setback_bass, found.setback_treble) == (Given(4.5), Given(3.5, SOLVED))


def test_assumed_widths_along_the_board_come_last() -> None:
    assumed = Given((WidthAt(fret=12, width=55.0),), ASSUMED)
    found = widths(nut_width=46.0, setback=3.5, widths=assumed)
    assert found.width_at_saddle.value == pytest.approx(64.0, abs=FEMTO)
    found = widths(nut_width=46.0, setback=3.5, widths=assumed, spread_at_bridge=Given(60.0, ASSUMED))
    assert found.width_at_saddle.value == pytest.approx(67.0, abs=FEMTO)
    found = widths(nut_width=46.0, setback=3.5, widths=assumed, spread_at_bridge=60.0)
    assert found.width_at_saddle.value == pytest.approx(67.0, abs=FEMTO)


def test_positions_say_the_spread() -> None:
    found = widths(
        nut_width=46.0, setback=3.5, positions_bridge=Given((2.0, 10.0, 30.0, 40.0, 50.0, 59.0), "measured")
    )
    assert found.spread_at_bridge == Given(57.0, "measured")
    assert is_whole(found)


def test_positions_and_spread_are_checked_against_each_other() -> None:
    positions = (0.0, 10.0, 20.0, 30.0, 40.0, 58.0)
    assert fault(nut_width=46.0, setback=3.5, spread_at_bridge=57.0, positions_bridge=positions) == (
        ConflictError,
        (
            'design "Wren": got spread at bridge 57.00 mm, spread at bridge by its positions 58.00 mm, which disagree by 1.000 mm, '
            "expected numbers that agree within 0.050 mm: the others ask for spread at bridge to be 58.00 mm, or spread at bridge "
            "by its positions to be 57.00 mm. Correct one of them, leave one out, or allow more with `tolerance`"
        ),
    )
    assumed = widths(
        nut_width=46.0, setback=3.5, spread_at_bridge=57.0, positions_bridge=Given(positions, ASSUMED)
    )
    assert assumed.spread_at_bridge.value == 57.0
    other = widths(
        nut_width=46.0, setback=3.5, spread_at_bridge=Given(57.0, ASSUMED), positions_bridge=positions
    )
    assert other.spread_at_bridge.value == 58.0


def test_a_width_has_one_place() -> None:
    assert fault(nut_width=46.0, widths=Given((WidthAt(width=55.0),), where="w.toml, line 4")) == (
        InputError,
        'w.toml, line 4: got a width at no place, expected one place, such as { fret = 12, width = "54mm" }',
    )
    both = WidthAt(width=55.0, fret=12, distance=314.0)
    assert fault(nut_width=46.0, widths=(both,)) == (
        InputError,
        (
            'design "Wren", neck.widths: got a width at a fret and a distance, expected one place, such as '
            '{ fret = 12, width = "54mm" }'
        ),
    )


def test_a_width_at_the_nut_is_the_nut_width() -> None:
    found = widths(
        widths=Given((WidthAt(fret=0, width=46.0),), "measured"), spread_at_bridge=57.0, setback=3.5
    )
    assert found.nut_width == Given(46.0, "measured")


def test_outer_strings_need_room() -> None:
    assert fault(nut_width=Given(46.0), spread_at_bridge=57.0, setback_bass=30.0, setback_treble=20.0) == (
        LimitError,
        (
            'design "Wren", strings.setback-bass: got 30.00 mm on a nut 46.00 mm wide, which leaves -4.00 mm between the outer '
            "strings, expected a setback of less than half the nut width"
        ),
    )
    assert fault(nut_width=46.0, spread_at_nut=0.0, spread_at_bridge=57.0) == (
        LimitError,
        'design "Wren", strings.spread-at-nut: got 0.00 mm, expected a spread above zero for more than one string',
    )


def test_one_string_may_have_a_setback_that_leaves_it_in_the_middle() -> None:
    found = widths(strings=1, nut_width=20.0, setback=9.5, setback_to=SetbackTo.EDGE, gauges=(1.0,))
    assert (found.setback_bass.value, found.setback_treble.value) == (10.0, 10.0)
    assert fault(strings=1, nut_width=20.0, setback_bass=9.0, setback_to=SetbackTo.EDGE, gauges=(1.0,)) == (
        ConflictError,
        (
            'design "Wren", strings.setback-bass: got 9.00 mm for one string on a nut 20.00 mm wide, expected half the nut width, '
            "less half the gauge, 9.50 mm. Take strings.setback-bass out."
        ),
    )


def test_one_string_on_a_tapered_board() -> None:
    found = widths(strings=1, nut_width=20.0, widths=(WidthAt(fret=12, width=25.0),))
    assert found.width_at_saddle.value == pytest.approx(30.0, abs=FEMTO)


def test_setbacks_are_added_up_before_the_eyes_of_the_reader() -> None:
    steps = widths(
        nut_width=46.0, spread_at_bridge=57.0, setback=3.0, setback_to=SetbackTo.EDGE, gauges=GAUGES
    ).steps
    assert [(step.name, step.formula, step.figures, step.result) for step in steps[:2]] == [
        ("setback, bass, to centre", "setback to the edge + half the gauge", "3.000 + 0.600", "3.60 mm"),
        ("setback, treble, to centre", "setback to the edge + half the gauge", "3.000 + 0.150", "3.15 mm"),
    ]
    both = next(step for step in steps if step.name == "setbacks, both sides")
    assert (both.formula, both.figures, both.result) == (
        "setback, bass + setback, treble",
        "3.600 + 3.150",
        "6.75 mm",
    )


def test_one_side_alone_has_its_step_too() -> None:
    found = widths(nut_width=46.0, spread_at_nut=39.0, spread_at_bridge=57.0, setback_bass=4.0)
    assert [(step.name, step.result) for step in found.steps if step.name.startswith("setback,")] == [
        ("setback, bass, to centre", "4.00 mm")
    ]


def test_assumed_positions_are_no_second_spread() -> None:
    found = widths(
        nut_width=46.0,
        setback=3.5,
        spread_at_bridge=Given(57.0, ASSUMED),
        positions_bridge=Given((0.0, 10.0, 20.0, 30.0, 40.0, 57.0), ASSUMED),
    )
    assert [step.name for step in found.steps if "spread at bridge" in step.name] == ["spread at bridge"]


def test_a_taper_angle_is_turned_into_a_taper() -> None:
    steps = widths(nut_width=46.0, setback=3.5, taper_angle=Given(math.radians(1.64), text="1.64 deg")).steps
    assert [
        (step.name, step.formula, step.figures, step.result) for step in steps if "taper" in step.name
    ] == [
        ("taper angle", "", "", "1.64 deg"),
        ("taper per mm", "2 × tan(taper angle ÷ 2)", "2 × tan(1.64 deg ÷ 2)", "0.028625 mm per mm"),
    ]


@pytest.mark.parametrize(
    ("said", "lacking"),
    [
        ({}, ["nut_width", "spread_at_bridge", "setback"]),
        ({"nut_width": 46.0}, ["spread_at_bridge", "setback"]),
        ({"setback": 3.5}, ["nut_width", "spread_at_bridge"]),
        ({"spread_at_nut": 39.0, "setback": 3.5}, ["nut_width"]),
        ({"spread_at_nut": 39.0, "taper_angle": 0.03}, ["nut_width"]),
        ({"nut_width": 46.0, "widths": (WidthAt(fret=12, width=55.0),)}, ["spread_at_bridge"]),
        ({"nut_width": 46.0, "spread_at_bridge": 57.0, "setback": 3.5}, []),
    ],
)
def test_what_is_lacking_is_asked_for_by_the_plainest_numbers(
    said: dict[str, Any], lacking: list[str]
) -> None:
    design = Design(
        name="Wren", string_count=Given(6), **{name: Given(value) for name, value in said.items()}
    )
    assert lacking_widths(design, SCALE, TWELVE) == lacking

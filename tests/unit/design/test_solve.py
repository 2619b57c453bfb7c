"""From what the maker said to a whole spec: filling, the straight taper, and what cannot be."""

from dataclasses import fields, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.design.fill import fill_design
from jiggen.design.model import ASSUMED, SOLVED, Design, Given, SetbackTo, Tools
from jiggen.design.read import design_from_text, read_defaults
from jiggen.design.solve import solve
from jiggen.errors import ConflictError, InputError, JiggenError, LimitError
from jiggen.profiles import find

MICRON = 0.001  # mm
FEMTO = 1e-9  # mm: nothing but the last bits of a float

PLOVER = Design(
    name="Plover",
    profile="six-string-guitar",
    scale=Given(647.7, "chosen", '25 1/2"'),
    nut_width=Given(43.0, "measured", "43mm"),
    spread_at_bridge=Given(54.0, "chosen", "54mm"),
)
GUITAR = read_defaults(PLOVER)
assert GUITAR is not None

TOOLS = Tools(
    saw_plate=Given(0.6),
    saw_clearance=Given(0.08),
    index_pin=Given(2.0),
    pin_clearance=Given(0.05),
    stop_pin=Given(3.0),
)
WHOLE = Design(
    name="Wren",
    scale=Given(628.0, text="628mm"),
    nut_width=Given(46.0, text="46mm"),
    frets=Given(18, text="18"),
    overhang=Given(10.0, text="10mm"),
    string_count=Given(6, text="6"),
    spread_at_bridge=Given(57.0, text="57mm"),
    setback=Given(3.5, text="3.5mm"),
    setback_to=Given(SetbackTo.CENTRE),
    tools=TOOLS,
)


def faults(design: Design, defaults: Design | None = None) -> list[tuple[type[JiggenError], str]]:
    with pytest.raises(JiggenError) as caught:
        solve(design, defaults)
    errors = getattr(caught.value, "errors", (caught.value,))
    return [(type(error), str(error)) for error in errors]


def test_the_wren() -> None:
    text = find("instruments", "wren").text
    spec = solve(design_from_text(text, file="wren.toml"))
    assert spec.spread_at_nut == Given(39.0, SOLVED)  # 46 − 2 · 3.5
    assert spec.width_at_saddle == Given(64.0, SOLVED)  # 57 + 2 · 3.5
    assert spec.setback_bass == spec.setback_treble == Given(3.5, "chosen", "3.5 mm")
    assert spec.scale == Given(628.0, "chosen", "628 mm")
    assert spec.make.machine == "large-laser"


def test_three_numbers_and_a_profile() -> None:
    spec = solve(PLOVER, GUITAR)
    assert spec.nut_width == PLOVER.nut_width
    assert spec.frets == Given(20, ASSUMED, "20", "six-string-guitar: common practice")
    assert spec.setback_bass == Given(3.175, ASSUMED, "1/8 in", "six-string-guitar: common practice")
    assert spec.tools.saw_plate == Given(0.6, ASSUMED, "0.6 mm", "six-string-guitar: common practice")
    assert spec.string_count == Given(6, ASSUMED, "6", "six-string-guitar")
    assert abs(spec.spread_at_nut.value - 36.65) < FEMTO  # 43 − 2 · 3.175
    assert abs(spec.width_at_saddle.value - 60.35) < FEMTO  # 54 + 2 · 3.175
    assert spec.design is PLOVER
    assert (spec.make.material, spec.make.machine) == ("cast-acrylic-3", "large-laser")


def test_what_the_maker_said_is_never_replaced() -> None:
    own = replace(WHOLE, profile="six-string-guitar")
    spec = solve(own, GUITAR)
    said = [each.name for each in fields(Tools) if getattr(own.tools, each.name) is not None]
    assert len(said) >= 5
    for name in said:
        assert getattr(spec.tools, name) is getattr(own.tools, name)
    assert (spec.frets, spec.overhang, spec.setback_bass) == (own.frets, own.overhang, own.setback)
    assert fill_design(own, GUITAR).gauges is not None  # the only number that was missing


def test_a_setback_to_the_edge_of_the_string_adds_half_its_gauge() -> None:
    gauges = Given((0.3, 0.4, 0.6, 0.8, 1.0, 1.2), "measured")
    spec = solve(replace(WHOLE, setback_to=Given(SetbackTo.EDGE), gauges=gauges))
    assert abs(spec.setback_treble.value - 3.65) < FEMTO  # first string: 3.5 + 0.3 / 2
    assert abs(spec.setback_bass.value - 4.1) < FEMTO  # last string: 3.5 + 1.2 / 2
    assert spec.setback_bass.source == SOLVED
    assert abs(spec.spread_at_nut.value - 38.25) < FEMTO
    assert abs(spec.width_at_saddle.value - 64.75) < FEMTO


def test_gauges_count_the_strings() -> None:
    spec = solve(replace(PLOVER, gauges=Given((0.3, 0.4, 0.5, 0.6))), GUITAR)
    assert spec.string_count == Given(4, SOLVED)
    assert spec.gauges == Given((0.3, 0.4, 0.5, 0.6))


def test_one_string_runs_in_the_middle_of_parallel_edges() -> None:
    one = Design(name="Siskin", scale=Given(350.0), nut_width=Given(20.0), string_count=Given(1))
    spec = solve(one, GUITAR)
    assert (spec.spread_at_bridge, spec.spread_at_nut) == (Given(0.0, SOLVED), Given(0.0, SOLVED))
    assert spec.setback_bass == spec.setback_treble == Given(10.0, SOLVED, note="alike on both sides")
    assert spec.width_at_saddle.value == 20.0
    assert spec.gauges is None  # the profile's six gauges are not for one string
    assert solve(replace(one, setback=Given(10.0), spread_at_bridge=Given(0.0)), GUITAR) == replace(
        spec, design=replace(one, setback=Given(10.0), spread_at_bridge=Given(0.0))
    )


@settings(derandomize=True, deadline=None)
@given(
    st.floats(200, 1200),
    st.floats(20, 90),
    st.floats(5, 120),
    st.floats(0, 9),
    st.integers(0, 30),
    st.integers(2, 12),
)
def test_the_taper_holds_at_both_ends(
    scale: float, nut: float, spread: float, setback: float, frets: int, strings: int
) -> None:
    design = replace(
        WHOLE,
        scale=Given(scale),
        nut_width=Given(nut),
        spread_at_bridge=Given(spread),
        setback=Given(setback),
        frets=Given(frets),
        overhang=Given(5.0),
        string_count=Given(strings),
    )
    spec = solve(design)
    margins = spec.setback_bass.value + spec.setback_treble.value
    assert abs(spec.spread_at_nut.value + margins - nut) < FEMTO
    assert abs(spec.spread_at_bridge.value + margins - spec.width_at_saddle.value) < FEMTO


def test_missing_numbers_are_all_named() -> None:
    found = faults(Design(name="Wren", scale=Given(628.0)))
    assert all(kind is InputError for kind, _ in found)
    mend = ', or name an instrument profile that has it: profile = "six-string-guitar"'
    assert [text for _, text in found] == [
        f'design "Wren", {key}: got nothing, expected {about}. Add {key} = {example}{mend}'
        for key, about, example in [
            ("neck.nut-width", "width of the board at the nut", '"46mm"'),
            ("strings.spread-at-bridge", "centre to centre of the outer strings at the saddle", '"57mm"'),
            ("strings.setback", "from the edge of the board to the outer string", '"1/8in"'),
            (
                "strings.setback-to",
                'what a setback runs to: the outer string\'s "centre" or "edge"',
                '"centre"',
            ),
            ("neck.frets", "number of frets, 0 for fretless", "19"),
            (
                "neck.overhang",
                "from the last fret, of a fretless board from the nut, to the board's end",
                '"10mm"',
            ),
            ("strings.count", "number of strings", "6"),
            ("tools.saw-plate", "thickness of the fret saw over its set", '"0.6mm"'),
            ("tools.saw-clearance", "added to the saw plate for its guide slot", '"0.08mm"'),
            ("tools.index-pin", "diameter of the mitre box's index pin", '"2mm"'),
            ("tools.pin-clearance", "added to a pin for its notch or hole", '"0.05mm"'),
            ("tools.stop-pin", "diameter of the dowel pins used as stops", '"3mm"'),
        ]
    ]


def test_what_no_profile_can_know_is_asked_for() -> None:
    assert faults(Design(name="Wren", profile="six-string-guitar"), GUITAR) == [
        (InputError, f'design "Wren", {text}')
        for text in (
            'neck.scale: got nothing, expected scale: speaking length before compensation. Add neck.scale = "628mm"',
            'neck.nut-width: got nothing, expected width of the board at the nut. Add neck.nut-width = "46mm"',
            (
                "strings.spread-at-bridge: got nothing, expected centre to centre of the outer strings at the saddle."
                ' Add strings.spread-at-bridge = "57mm"'
            ),
        )
    ]


def test_gauges_are_needed_for_a_setback_to_string_edges() -> None:
    found = faults(replace(WHOLE, profile="x", setback_to=Given(SetbackTo.EDGE)))
    assert found == [
        (
            InputError,
            (
                'design "Wren", strings.gauges: got nothing, expected string diameters, first string (treble) first.'
                ' Add strings.gauges = [".012in"]'
            ),
        )
    ]


def test_what_would_no_longer_mean_the_same_is_not_assumed() -> None:
    sides = replace(GUITAR, setback_bass=Given(4.0), setback_treble=Given(3.0))
    assert faults(replace(PLOVER, setback_to=Given(SetbackTo.EDGE)), sides) == faults(
        replace(PLOVER, setback_to=Given(SetbackTo.EDGE)), GUITAR
    )
    edge = faults(replace(PLOVER, setback_to=Given(SetbackTo.EDGE)), GUITAR)
    assert [text.split(":")[0] for _, text in edge] == ['design "Plover", strings.setback']
    fretless = faults(replace(PLOVER, frets=Given(0)), GUITAR)
    assert [text for _, text in fretless] == [
        (
            'design "Plover", neck.overhang: got nothing, expected from the last fret, of a fretless board from the '
            'nut, to the board\'s end. Add neck.overhang = "470mm"'
        )
    ]
    assert solve(replace(PLOVER, string_count=Given(7)), GUITAR).gauges is None


def test_gauges_and_strings_that_disagree() -> None:
    gauges = Given((0.3, 0.4), text=".3mm, .4mm", where="wren.toml, line 9, strings.gauges")
    assert faults(replace(WHOLE, gauges=gauges)) == [
        (
            ConflictError,
            (
                "wren.toml, line 9, strings.gauges: got 2 gauges for 6 strings, expected as many gauges as strings."
                " Change strings.gauges or strings.count."
            ),
        )
    ]


@pytest.mark.parametrize(
    ("changes", "kind", "sentence"),
    [
        (
            {"setback": Given(23.0, text="23mm", where="w.toml, line 3, strings.setback")},
            LimitError,
            (
                "w.toml, line 3, strings.setback: got 23mm on a nut 46mm wide, which leaves 0.00 mm between the outer"
                " strings, expected a setback of less than half the nut width"
            ),
        ),
        (
            {"setback": Given(30.0, ASSUMED, "30mm", "odd: no reason", "odd.toml, line 3, strings.setback")},
            LimitError,
            (
                'design "Wren", strings.setback: got 30mm (assumed, odd: no reason) on a nut 46mm wide, which leaves'
                " -14.00 mm between the outer strings, expected a setback of less than half the nut width"
            ),
        ),
        (
            {"spread_at_bridge": Given(0.0)},
            LimitError,
            (
                'design "Wren", strings.spread-at-bridge: got 0.00 mm, expected a spread above zero for more than one'
                " string"
            ),
        ),
        (
            {"overhang": Given(300.0, text="300mm")},
            LimitError,
            (
                'design "Wren", neck.overhang: got 18 frets and an overhang of 300mm on a scale of 628mm, so that the board'
                " ends 705.97 mm from the nut, expected a board that ends before the saddle."
                " Shorten the overhang or leave out frets."
            ),
        ),
        (
            {"overhang": Given(0.0, text="0mm"), "frets": Given(0)},
            LimitError,
            (
                'design "Wren", neck.overhang: got 0 frets and an overhang of 0mm on a scale of 628mm, expected a board'
                " with some length"
            ),
        ),
        (
            {"string_count": Given(1), "setback": None},
            ConflictError,
            (
                'design "Wren", strings.spread-at-bridge: got 57mm for one string, expected no spread, since one string has'
                " none. Take strings.spread-at-bridge out."
            ),
        ),
        (
            {"string_count": Given(1), "spread_at_bridge": None},
            ConflictError,
            (
                'design "Wren", strings.setback: got 3.5mm for one string on a nut 46mm wide, expected half the nut width,'
                " 23.00 mm. Take strings.setback out."
            ),
        ),
    ],
)
def test_what_cannot_be(changes: dict[str, Given[float]], kind: type[JiggenError], sentence: str) -> None:
    assert faults(replace(WHOLE, **changes)) == [(kind, sentence)]


def test_a_board_may_end_at_the_saddle_and_no_further() -> None:
    fretless = replace(WHOLE, frets=Given(0), overhang=Given(628.0))
    assert solve(fretless).overhang.value == 628.0
    assert faults(replace(fretless, overhang=Given(628.0 + MICRON)))[0][0] is LimitError


def test_one_string_has_to_run_in_the_middle_to_a_micron() -> None:
    one = replace(WHOLE, string_count=Given(1), spread_at_bridge=None)
    assert solve(replace(one, setback=Given(23.0 + 0.9 * MICRON))).setback_bass == Given(
        23.0, SOLVED, note="alike on both sides"
    )
    assert faults(replace(one, setback=Given(23.0 + 1.1 * MICRON)))[0][0] is ConflictError

"""What a tradesman would ask about: each doubt in its words, at its limit, and silenced by its name."""

import math
import re
from dataclasses import replace
from typing import Any

import pytest
from shapely import LineString, Point, affinity
from support.brought import as_given, brought
from support.specs import wren

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.instrument import Body, Head, SoundHole
from jiggen.design.model import ASSUMED, EndShape, Given, SetbackTo, Setup, Spacing
from jiggen.design.read import read_defaults, read_design
from jiggen.design.solve import solve
from jiggen.errors import InputError
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point as Place
from jiggen.layout.doubt import Doubt
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out
from jiggen.layout.pitch import read_pitch
from jiggen.layout.string_doubts import LARGEST_PITCH_LENGTH, SHORTEST_SCALES, _shortest_scale
from jiggen.layout.warnings import DOUBTS, layout_warnings
from jiggen.profiles import find, names

NO_INSTRUMENT = {"six-string-guitar"}  # fills designs up, and says no scale of its own
FAN = {"scale": None, "scale_bass": 660.0, "scale_treble": 628.0, "straight_fret": 7.0}
SIX = ("E4", "B3", "G3", "D3", "A2", "E2")
TWO_BY_TWO = {
    "strings": 8,
    "courses": (2,) * 4,
    "nut": 30.0,
    "spread": 42.0,
    "setback": 3.0,
    "course_spacing_nut": 2.2,
}


def neck(*, silenced: tuple[str, ...] = (), **changes: Any) -> Layout:
    groups = {name: changes.pop(name) for name in ("setup", "sound_hole", "body", "head") if name in changes}
    return lay_out(solve(replace(wren(**changes).design, silenced=silenced, **groups)))


def doubts(**changes: Any) -> dict[str, str]:
    return {doubt.name: doubt.text for doubt in layout_warnings(neck(**changes))}


def test_a_sound_neck_raises_no_doubt() -> None:
    assert doubts(tuning=SIX) == {}
    assert doubts(**FAN, tuning=SIX) == {}
    assert doubts(tuning=SIX, left_handed=True) == {}
    assert doubts(strings=1, nut=20.0, setback=None) == {}
    assert doubts(frets=0, overhang=400.0) == {}


@pytest.mark.parametrize("name", [name for name in names("instruments") if name not in NO_INSTRUMENT])
def test_no_instrument_of_the_library_raises_a_doubt(name: str) -> None:
    design = read_design(find("instruments", name).path)
    assert layout_warnings(lay_out(solve(design, read_defaults(design)))) == ()


def hole(**more: float) -> SoundHole:
    return SoundHole(**{name: Given(value) for name, value in ({"width": 100.0} | more).items()})


#: With a waist that turns as tightly as it can.
UKULELE = Body(
    length=Given(300.0),
    upper_bout=Given(150.0),
    waist=Given(100.0),
    lower_bout=Given(180.0),
    joint_fret=Given(12),
    side_depth_neck=Given(60.0),
    side_thickness=Given(4.0),
)

ROWS = [
    (
        "string-off-board",
        {"setback": -0.5},
        (
            "String 6 runs off the board at the nut, since the spread is too wide for it: -0.50 mm from the edge to its "
            "centre, usual is 2 mm or more (common practice). [string-off-board]"
        ),
    ),
    (
        "string-over-edge",
        {"setback": 0.5, "gauges": (0.3, 0.4, 0.6, 0.8, 1.0, 1.35)},
        (
            "String 6 hangs over the board's edge at the nut, since its setback is less than half its gauge: 0.50 mm from "
            "the edge to its centre, usual is 2 mm or more (common practice). [string-over-edge]"
        ),
    ),
    (
        "string-near-edge",
        {"setback": None, "setback_bass": 3.5, "setback_treble": 1.2},
        (
            "String 1 lies near the board's edge at the nut and may slip off it when it is played: 1.20 mm, usual is 1.5 mm "
            "or more (common practice). [string-near-edge]"
        ),
    ),
    (
        "close-strings",
        {"nut": 40.0, "setback": 10.5},
        (
            "Strings 1 and 2 lie close together at the nut: 3.80 mm, usual is 4 mm or more (common practice). "
            "[close-strings]"
        ),
    ),
    (
        "close-strings",
        {"spread": 34.0, "setback": 7.0, "silenced": ("narrowing-board",)},
        (
            "Strings 1 and 2 lie close together at the bridge: 6.80 mm, usual is 7 mm or more (common practice). "
            "[close-strings]"
        ),
    ),
    (
        "close-course",
        {**TWO_BY_TWO, "course_spacing_nut": 1.2, "gauges": (0.3, 0.3, 0.4, 0.4, 0.6, 0.6, 0.9, 0.9)},
        (
            "Strings 7 and 8 of a course may strike each other at the nut, so small is the gap: 0.30 mm, usual is 0.8 mm or "
            "more (common practice). [close-course]"
        ),
    ),
    (
        "narrow-nut",
        {"nut": 39.0},
        "The nut is narrow for 6 strings: 39.00 mm, usual is 40 to 57 mm (common practice). [narrow-nut]",
    ),
    (
        "wide-nut",
        {**TWO_BY_TWO, "nut": 50.0, "setback": 10.0},
        "The nut is wide for 4 courses: 50.00 mm, usual is 26 to 47 mm (common practice). [wide-nut]",
    ),
    (
        "narrowing-board",
        {"spread": 38.0},
        (
            "The board is narrower at the saddle than at the nut: 46.00 mm at the nut and 45.00 mm at the saddle, usual is "
            "as wide or wider (common practice). [narrowing-board]"
        ),
    ),
    (
        "short-scale",
        {"scale": 480.0, "tuning": SIX},
        "String 6 is short for E2 and will be slack and dull: 480.08 mm, usual is 520 mm or more (common practice). [short-scale]",
    ),
    (
        "long-scale",
        {"scale": 800.0, "tuning": SIX},
        (
            "String 1 is long for E4 and may break before it gets there, whatever its gauge: 800.05 mm, usual is at most "
            "789 mm (common practice). [long-scale]"
        ),
    ),
    (
        "action",
        {"setup": Setup(action=Given(1.8), action_bass=Given(6.0))},
        (
            "The action of the last string at fret 12 is out of the ordinary: 6.00 mm, usual is 1 to 5 mm (common "
            "practice). [action]"
        ),
    ),
    (
        "relief",
        {"setup": Setup(relief=Given(0.9))},
        "The relief is large, as if the neck had bowed: 0.90 mm, usual is 0 to 0.6 mm (common practice). [relief]",
    ),
    (
        "nut-height",
        {"setup": Setup(nut_height=Given(2.0))},
        (
            "The strings lie high at the nut, so that the first frets sound sharp: 2.00 mm, usual is 0 to 1.5 mm (common "
            "practice). [nut-height]"
        ),
    ),
    (
        "last-fret",
        {"overhang": 1.0},
        (
            "Fret 18 stands so near the end of the board that the wood may break out: 1.00 mm, usual is 2 mm or more "
            "(common practice). [last-fret]"
        ),
    ),
    (
        "last-fret",
        {"end": EndShape.ANGLED, "end_angle": math.radians(30.0)},
        (
            "Fret 18 runs past the end of the board: -5.75 mm, usual is 2 mm or more (common practice). [last-fret]"
        ),
    ),
    (
        "past-sound-hole",
        {"sound_hole": hole(from_saddle=175.0)},
        (
            "Fret 18 stands past the edge of the sound hole: 2.97 mm, usual is before it (common practice). "
            "[past-sound-hole]"
        ),
    ),
    (
        "bent-frets",
        {
            **FAN,
            "strings": 3,
            "nut": 39.0,
            "spread": 48.0,
            "silenced": ("wide-nut",),
            "positions_nut": (0.0, 15.0, 32.0),
            "positions_bridge": (0.0, 24.0, 48.0),
        },
        (
            "Strings spread in other proportions at the bridge than at the nut would bend the frets, and the best straight "
            "fret 10 misses a string's right place: 0.16 mm, usual is at most 0.02 mm (common practice). To straighten "
            'them all: strings.positions-at-bridge = ["0.00mm", "22.50mm", "48.00mm"]. [bent-frets]'
        ),
    ),
    (
        "steep-fan",
        {**FAN, "scale_bass": 720.0},
        (
            "Fret 1 lies far from square across, which is hard on the hand and on the strings' bends: 32.4 deg, usual is at most 28 deg "
            "(common practice). [steep-fan]"
        ),
    ),
    (
        "steep-fan",
        {**FAN, "scale_bass": 676.0, "straight_fret": 2.0},
        (
            "The saddle line lies far from square across, which is hard on the hand and on the strings' bends: 36.9 deg, "
            "usual is at most 35 deg (common practice). [steep-fan]"
        ),
    ),
    (
        "close-slots",
        {"fret_rule": EqualSteps(steps=53), "frets": 106, "silenced": ("close-frets",)},
        (
            "Little wood is left between the slots of frets 105 and 106, cut 0.6 mm wide: 1.47 mm, usual is 1.5 mm or "
            "more (common practice). [close-slots]"
        ),
    ),
    (
        "close-frets",
        {"fret_rule": EqualSteps(steps=24), "frets": 40, "silenced": ("close-slots",)},
        "A finger finds little room before fret 40: 5.80 mm, usual is 6 mm or more (common practice). [close-frets]",
    ),
    (
        "tight-radius",
        {"radius": 120.0},
        (
            "The board is curved so much that a string pushed aside strikes the frets beyond: 120.00 mm, usual is 150 mm or "
            "more (common practice). [tight-radius]"
        ),
    ),
    (
        "compound-radius",
        {"radius": 254.0, "radius_at_end": 600.0},
        (
            "The board gets much flatter toward its end: 254.00 mm at the nut and 600.00 mm at the end, usual is as flat as "
            "at the nut, up to 2 times as flat (common practice). [compound-radius]"
        ),
    ),
    (
        "compound-radius",
        {"radius": 406.4, "radius_at_end": 254.0},
        (
            "The board gets tighter toward its end: 406.40 mm at the nut and 254.00 mm at the end, usual is as flat as at the "
            "nut, up to 2 times as flat (common practice). [compound-radius]"
        ),
    ),
    (
        "tight-bend",
        {"body": UKULELE},
        (
            "A side 4.00 mm thick may crack where it bends tightest, 421.04 mm from the nut: radius 36.50 mm, usual is 20 "
            "thicknesses, 80.00 mm, or more (from memory; woods differ). Thin the side there, laminate it, or round the "
            "outline. [tight-bend]"
        ),
    ),
    (
        "head-beside-nut",
        {"head": Head(outline=as_given(brought(rectangle(Place(0.0, -24.0), Place(170.0, 24.0)))))},
        (
            "The headstock in wren.svg leaves a step beside the nut, which is 46.00 mm wide: 48.00 mm wide, usual is as "
            "wide as the nut, within 1.00 mm (common practice). Change the outline, scale it (scale-to), or say that its "
            "other end is at the nut (turned = true). [head-beside-nut]"
        ),
    ),
    (
        "idle-numbers",
        {"straight_fret": 7.0, "end_radius": 60.0, "nut_behind": 4.0},
        (
            "What is said has no part in this neck, as if something else had been left out: neck.straight-fret, "
            "neck.nut-behind, neck.end-radius, usual is to say only what counts (common practice). [idle-numbers]"
        ),
    ),
]


@pytest.mark.parametrize(
    ("name", "changes", "text"), ROWS, ids=[f"{row[0]} {n}" for n, row in enumerate(ROWS)]
)
def test_the_words_of_a_doubt(name: str, changes: dict[str, Any], text: str) -> None:
    assert doubts(**changes) == {name: text}


def test_every_doubt_has_its_words_tested_and_goes_by_its_own_name() -> None:
    assert {row[0] for row in ROWS} == set(DOUBTS)


@pytest.mark.parametrize(("name", "changes", "text"), ROWS)
def test_a_doubt_is_silenced_by_its_name(name: str, changes: dict[str, Any], text: str) -> None:
    silenced = (*changes.get("silenced", ()), name)
    assert doubts(**(changes | {"silenced": silenced})) == {}


@pytest.mark.parametrize(("name", "changes", "text"), ROWS)
def test_left_handed_necks_raise_the_same_doubts(name: str, changes: dict[str, Any], text: str) -> None:
    assert doubts(**changes, left_handed=True) == {name: text}


def test_doubts_come_in_the_order_of_the_table() -> None:
    found = layout_warnings(neck(nut=39.0, overhang=0.0, radius=100.0, setback=0.4))
    assert [doubt.name for doubt in found] == ["string-near-edge", "narrow-nut", "last-fret", "tight-radius"]


def test_a_name_that_silences_nothing_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        layout_warnings(neck(silenced=("relief", "short-scales")))
    assert str(caught.value) == (
        'design "Wren", silence, item 2: got "short-scales", expected one of string-off-board, string-over-edge, '
        "string-near-edge, close-strings, close-course, narrow-nut, wide-nut, narrowing-board, short-scale, long-scale, "
        "action, relief, nut-height, last-fret, past-sound-hole, bent-frets, steep-fan, close-slots, close-frets, "
        "tight-radius, compound-radius, tight-bend, head-beside-nut, idle-numbers. Did you mean short-scale?"
    )


def test_a_doubt_says_what_where_from_and_how_to_mend_it() -> None:
    doubt = Doubt(
        name="odd", reason="This is odd", number="1 mm", usual="2 mm", source="ISO 0", mend="Make it 2 mm."
    )
    assert doubt.text == "This is odd: 1 mm, usual is 2 mm (ISO 0). Make it 2 mm. [odd]"


@pytest.mark.parametrize(
    ("name", "inside", "beyond"),
    [
        ("string-near-edge", {"setback": 1.5}, {"setback": 1.49}),
        ("narrow-nut", {"nut": 40.0}, {"nut": 39.99}),
        ("wide-nut", {"nut": 57.0}, {"nut": 57.01}),
        ("narrowing-board", {"spread": 39.0}, {"spread": 38.99}),
        ("last-fret", {"overhang": 2.0}, {"overhang": 1.99}),
        ("tight-radius", {"radius": 150.0}, {"radius": 149.99}),
        (
            "compound-radius",
            {"radius": 200.0, "radius_at_end": 400.0},
            {"radius": 200.0, "radius_at_end": 400.1},
        ),
        ("action", {"setup": Setup(action=Given(1.0))}, {"setup": Setup(action=Given(0.99))}),
        ("relief", {"setup": Setup(relief=Given(0.6))}, {"setup": Setup(relief=Given(0.61))}),
        ("nut-height", {"setup": Setup(nut_height=Given(1.5))}, {"setup": Setup(nut_height=Given(1.51))}),
        ("past-sound-hole", {"sound_hole": hole(from_saddle=172.0)}, {"sound_hole": hole(from_saddle=172.1)}),
    ],
)
def test_a_doubt_begins_where_the_usual_ends(
    name: str, inside: dict[str, Any], beyond: dict[str, Any]
) -> None:
    assert name not in doubts(**inside)
    assert name in doubts(**beyond)


@pytest.mark.parametrize(("side", "offset", "string"), [("bass", 0.5, 6), ("treble", -0.5, 1)])
@pytest.mark.parametrize("left_handed", [False, True])
def test_a_string_may_come_nearest_at_the_boards_end(
    side: str, offset: float, string: int, *, left_handed: bool
) -> None:
    """An offset nut gives way on one side, and takes back toward the bridge what it gave."""
    setbacks = {"setback": None, "setback_bass": 4.0, "setback_treble": 4.0} | {f"setback_{side}": 1.0}
    more = {"nut_offset": offset, "end": EndShape.ANGLED, "end_angle": 0.15, "left_handed": left_handed}
    layout = neck(**setbacks, **more)
    (doubt,) = layout_warnings(layout)
    end = layout.board_end.start if side == "bass" else layout.board_end.end
    assert doubt.text.startswith(f"String {string} lies near the board's edge at the board's end")
    assert doubt.number == f"{1.5 - 0.5 * end.x / 628.0:.2f} mm"
    assert layout.board_end.start.x - layout.board_end.end.x > 5.0


def test_slots_of_a_fan_are_judged_where_they_come_nearest() -> None:
    fan = {**FAN, "scale_bass": 680.0, "fret_rule": EqualSteps(steps=53), "frets": 104}
    layout = neck(**fan)
    one, other = (LineString([(e.x, e.y) for e in (f.line.start, f.line.end)]) for f in layout.frets[-2:])
    apart = [affinity.scale(one, 100.0, 100.0).distance(Point(end)) for end in other.coords]
    assert max(apart) - min(apart) > 0.1
    assert doubts(**fan)["close-slots"].startswith(
        f"Little wood is left between the slots of frets 103 and 104, cut 0.6 mm wide: {min(apart) - 0.6:.2f} mm"
    )


def test_the_notes_of_the_shortest_scales() -> None:
    notes = ("B0", "E1", "F#1", "B1", "E2", "G2", "A2", "C3", "G3", "C4", "A4")
    assert [hertz for hertz, _ in SHORTEST_SCALES] == pytest.approx(
        [read_pitch(note).frequency_hz for note in notes], rel=0.001
    )


@pytest.mark.parametrize(
    ("courses", "least", "most"),
    [(3, 30.0, 50.0), (4, 26.0, 47.0), (5, 32.0, 54.0), (6, 40.0, 57.0), (7, 45.0, 64.0), (8, 50.0, 72.0)],
)
def test_nut_widths_that_are_common_practice(courses: int, least: float, most: float) -> None:
    for width, expected in (
        (least - 0.01, {"narrow-nut"}),
        (least, set()),
        (most, set()),
        (most + 0.01, {"wide-nut"}),
    ):
        found = doubts(strings=courses, nut=width, spread=most, setback=3.0)
        assert set(found) & {"narrow-nut", "wide-nut"} == expected


def test_no_width_is_usual_for_two_strings_or_nine() -> None:
    for strings in (2, 9):
        for width in (25.0, 110.0):
            assert not {"narrow-nut", "wide-nut"} & set(doubts(strings=strings, nut=width, spread=110.0))


def test_the_edge_of_a_string_counts_and_not_its_middle() -> None:
    thick = (0.3, 0.4, 0.6, 0.8, 1.0, 2.0)
    assert "string-near-edge" not in doubts(setback=2.5, gauges=thick)
    assert doubts(setback=2.4, gauges=thick)["string-near-edge"].startswith("String 6 lies near")
    assert "1.40 mm" in doubts(setback=2.4, gauges=thick)["string-near-edge"]


@pytest.mark.parametrize(
    ("note", "shortest"),
    [("A0", 800.0), ("E1", 740.0), ("E2", 520.0), ("G3", 320.0), ("C4", 300.0), ("A5", 0.0)],
)
def test_the_lower_the_note_the_longer_the_scale(note: str, shortest: float) -> None:
    for scale, doubtful in ((shortest * 1.01, False), (shortest * 0.99, True)):
        if shortest:
            found = doubts(
                strings=1, nut=20.0, setback=None, scale=scale, frets=0, overhang=60.0, tuning=(note,)
            )
            assert ("short-scale" in found) == doubtful


def test_the_shortest_scale_never_grows_with_the_note() -> None:
    scales = [_shortest_scale(27.5 * 2.0 ** (step / 24.0)) for step in range(150)]
    assert scales == sorted(scales, reverse=True)


def test_the_longest_scale_stays_below_the_strength_of_the_strongest_wire() -> None:
    """A string breaks at a frequency times length of √(strength ÷ density) ÷ 2, whatever its gauge.

    Source: Mersenne's law; music wire ASTM A228 of 0.25 mm, 2.6 GPa at the least and 7850 kg/m³ (from memory).
    """
    assert 0.7 < (LARGEST_PITCH_LENGTH / (math.sqrt(2.6e9 / 7850.0) / 2.0)) ** 2 < 0.9


def test_what_is_assumed_is_not_idle() -> None:
    design = replace(wren().design, end_radius=Given(60.0, ASSUMED), end_angle=None)
    assert layout_warnings(lay_out(solve(design))) == ()


def test_what_straightens_bent_frets_straightens_them() -> None:
    bent = {
        **FAN,
        "gauges": (0.25, 0.33, 0.43, 0.66, 0.91, 1.17),
        "spacing": Spacing.GAPS,
        "setback_to": SetbackTo.EDGE,
    }
    (doubt,) = layout_warnings(neck(**bent))
    positions = tuple(float(each) for each in re.findall(r"([0-9.]+)mm", doubt.mend))
    assert len(positions) == 6
    assert layout_warnings(neck(**bent, positions_bridge=positions)) == ()


def test_a_fan_is_judged_by_its_steepest_line() -> None:
    assert doubts(**{**FAN, "scale_bass": 700.0, "straight_fret": 0.0, "silenced": ("steep-fan",)}) == {}
    found = doubts(**{**FAN, "scale_bass": 700.0, "straight_fret": 0.0})["steep-fan"]
    assert found.startswith("Fret 18 lies far from square across")

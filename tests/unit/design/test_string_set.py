import math
from pathlib import Path

import pytest
from hypothesis import given as given_any
from hypothesis import strategies as st
from support.string_sets import LIBRARY, find_in_library, library_set, profile_from

from jiggen.design.model import Given
from jiggen.design.string_set import PITCH_PATTERN, Wire, string_set_of, wire_of
from jiggen.errors import InputError, JiggenError, SeveralErrors
from jiggen.layout.compensation import compensate
from jiggen.layout.intonation import fretting_from_action, stretch_of
from jiggen.layout.pitch import read_pitch
from jiggen.layout.tension import strain_of, tension_n, unit_mass_of

SETS = sorted(path.stem for path in (LIBRARY / "strings").glob("*.toml"))
WIRES = sorted(path.stem for path in (LIBRARY / "wires").glob("*.toml"))

STEEL = Wire(
    name="steel",
    title="steel",
    density_kg_m3=Given(7850.0, "a table"),
    modulus_gpa=Given(203.4, "a table"),
)
BRONZE = Wire(name="bronze", title="bronze", density_kg_m3=Given(8800.0, "a table"))

HEAD = """schema = "jiggen-strings/1"
title = "Two strings of the Siskin"
scale = { value = "350 mm", source = "chosen by ear" }

[sources]
pitch = "common practice"
diameter = "measured"
core = "from memory"
unit-mass = "weighed"
"""
PLAIN = """
[[string]]
pitch = "E5"
diameter = ".011in"
wire = "steel"
"""
WOUND = """
[[string]]
pitch = "G3"
diameter = ".040in"
wire = "steel"
wrap = "bronze"
core = { value = "0.4 mm", source = "calliper" }
"""


def two_wires(name, where):
    wires = {"steel": STEEL, "bronze": BRONZE}
    if name not in wires:
        raise InputError(where=where, got=f'"{name}"', expected="steel or bronze")
    return wires[name]


def read(text):
    return string_set_of(profile_from(text, kind="strings", name="siskin"), two_wires)


def complaints(text):
    with pytest.raises(JiggenError) as caught:
        read(text)
    return str(caught.value).split("\n")


def test_a_set_with_a_plain_and_a_wound_string():
    strings = read(HEAD + PLAIN + WOUND)
    assert (strings.name, strings.title, strings.note) == ("siskin", "Two strings of the Siskin", "")
    assert (strings.scale_mm.value, strings.scale_mm.source, strings.scale_mm.text) == (
        350.0,
        "chosen by ear",
        "350 mm",
    )
    plain, wound = strings.strings
    assert (plain.number, plain.course, plain.pitch.value, plain.pitch.source) == (
        1,
        1,
        "E5",
        "common practice",
    )
    assert plain.diameter_mm.value == pytest.approx(0.2794)
    assert (plain.diameter_mm.source, plain.diameter_mm.text) == ("measured", ".011in")
    assert (plain.wire, plain.wrap, plain.core_diameter_mm, plain.unit_mass_kg_m, plain.response) == (
        STEEL,
        None,
        None,
        None,
        None,
    )
    assert plain.load_diameter_mm == plain.diameter_mm.value
    assert (wound.number, wound.course, wound.wrap) == (2, 2, BRONZE)
    assert (wound.core_diameter_mm.value, wound.core_diameter_mm.source) == (0.4, "calliper")
    assert wound.load_diameter_mm == 0.4


def test_a_wound_string_may_give_mass_and_response_instead_of_its_core():
    text = WOUND.replace(
        'core = { value = "0.4 mm", source = "calliper" }',
        'unit-mass-kg-m = 0.0057\nresponse = { value = 30, source = "measured" }',
    )
    wound = read(HEAD + text).strings[0]
    assert (wound.unit_mass_kg_m.value, wound.unit_mass_kg_m.source) == (0.0057, "weighed")
    assert (wound.response.value, wound.load_diameter_mm) == (30.0, None)


def test_courses():
    in_courses = [PLAIN + f"course = {course}\n" for course in (1, 1, 2, 2, 3)]
    assert [each.course for each in read(HEAD + "".join(in_courses)).strings] == [1, 1, 2, 2, 3]


@pytest.mark.parametrize(
    ("courses", "says"),
    [
        ((2, 3), "siskin.toml, line 15, string, item 1, course: got course 2, expected course 1. "),
        ((1, 3), "siskin.toml, line 21, string, item 2, course: got course 3, expected course 1 or 2. "),
        ((1, None), "siskin.toml, line 18, string, item 2, pitch: got no course, expected course 1 or 2. "),
        ((None, 1), "siskin.toml, line 20, string, item 2, course: got course 1, expected course 1 or 2. "),
    ],
)
def test_courses_out_of_turn_are_refused(courses, says):
    text = "".join(PLAIN + (f"course = {course}\n" if course else "") for course in courses)
    mend = "Courses count up from the treble; name that of every string, or of none."
    assert complaints(HEAD + text)[0] == says + mend


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (
            HEAD + PLAIN.replace("E5", "H5"),
            'siskin.toml, line 12, string, item 1, pitch: got "H5", expected something like "F#3"',
        ),
        (
            HEAD + PLAIN.replace('".011in"', "0"),
            'siskin.toml, line 13, string, item 1, diameter: got "0", expected a length with a unit. Write 0mm or 0in.',
        ),
        (
            HEAD + PLAIN.replace("steel", "gut"),
            'siskin.toml, line 14, string, item 1, wire: got "gut", expected steel or bronze',
        ),
        (
            HEAD.replace('diameter = "measured"\n', "") + PLAIN,
            (
                "siskin.toml, line 12, string, item 1, diameter: got .011in without a source, expected where it comes from. "
                'Add diameter = "common practice" under [sources], or whatever is true.'
            ),
        ),
        (
            HEAD.replace('{ value = "350 mm", source = "chosen by ear" }', '"350 mm"') + PLAIN,
            (
                "siskin.toml, line 3, scale: got 350 mm without a source, expected where it comes from. "
                'Write { value = …, source = "common practice" }, or whatever is true.'
            ),
        ),
        (
            HEAD + WOUND.replace("0.4 mm", "1.1 mm"),
            (
                "siskin.toml, line 16, string, item 1, core, value: got core 1.1 mm in diameter .040in, expected a core thinner "
                "than the string. Correct one of them."
            ),
        ),
        (
            HEAD + WOUND.replace('wrap = "bronze"\n', ""),
            (
                "siskin.toml, line 13, string, item 1, diameter: got a core without a wrap, expected both, for a wound string. "
                'Add wrap = "…" or take core out.'
            ),
        ),
        (
            HEAD + PLAIN.replace("steel", "bronze"),
            (
                "siskin.toml, line 13, string, item 1, diameter: got the wire bronze, which has no modulus, expected one that "
                "has, for its stretch. Name another wire, or add response = …."
            ),
        ),
        (
            HEAD + PLAIN + "unit-mass-kg-m = -1\n",
            "siskin.toml, line 15, string, item 1, unit-mass-kg-m: got -1, expected a number above 0",
        ),
        (
            HEAD + PLAIN + 'unit-mass-kg-m = "5 g/m"\n',
            (
                'siskin.toml, line 15, string, item 1, unit-mass-kg-m: got "5 g/m", expected a number above 0, without quotes. '
                "Write it like 0.000374"
            ),
        ),
        (
            HEAD + PLAIN + "unit-mass-kg-m = true\n",
            (
                "siskin.toml, line 15, string, item 1, unit-mass-kg-m: got true, expected a number above 0, without quotes. "
                "Write it like 0.000374"
            ),
        ),
        (
            HEAD + PLAIN + "unit-mass-kg-m = inf\n",
            "siskin.toml, line 15, string, item 1, unit-mass-kg-m: got inf, expected a number above 0",
        ),
    ],
)
def test_what_is_wrong_is_said_with_its_place(text, says):
    assert complaints(text) == [says]


def test_a_wound_string_of_which_too_little_is_known():
    bare = WOUND.replace('core = { value = "0.4 mm", source = "calliper" }\n', "")
    assert complaints(HEAD + bare) == [
        (
            "siskin.toml, line 13, string, item 1, diameter: got a wound string without core and unit mass, expected one of "
            'them, for its mass. Add core = "…" or unit-mass-kg-m = ….'
        ),
        (
            "siskin.toml, line 13, string, item 1, diameter: got a wound string without core and response, expected one of "
            'them, for its stretch. Add core = "…" or response = ….'
        ),
    ]


def test_all_that_is_wrong_is_told_in_one_go():
    found = complaints(
        HEAD.replace('{ value = "350 mm", source = "chosen by ear" }', '"350 mm"')
        + PLAIN.replace("steel", "gut")
        + WOUND.replace("0.4 mm", "1.1 mm")
    )
    assert [each.split(": ")[0] for each in found] == [
        "siskin.toml, line 3, scale",
        "siskin.toml, line 14, string, item 1, wire",
        "siskin.toml, line 21, string, item 2, core, value",
    ]


def test_a_set_without_strings_is_refused():
    with pytest.raises(InputError, match="Add string = "):
        read(HEAD)


def test_a_wire_without_sources_is_refused():
    text = (
        'schema = "jiggen-wire/1"\ntitle = "gut"\ndensity-kg-m3 = 1300\nmodulus-gpa = 6\n'
        "strength = { mpa-at-1mm = 400, exponent = 2 }\n"
    )
    with pytest.raises(SeveralErrors) as caught:
        wire_of(profile_from(text, kind="wires", name="gut"))
    assert "gut.toml, line 5, strength.exponent: got 2, expected a number above -1 and at most 1" in str(
        caught.value
    )
    assert "strength: got nothing, expected where both come from" in str(caught.value)
    with pytest.raises(SeveralErrors) as caught:
        wire_of(profile_from(text.partition("strength")[0], kind="wires", name="gut"))
    assert str(caught.value).split("\n") == [
        f"gut.toml, line {line}, {key}: got {value} without a source, expected where it comes from. "
        'Write { value = …, source = "common practice" }, or whatever is true.'
        for line, key, value in ((3, "density-kg-m3", 1300), (4, "modulus-gpa", 6))
    ]


@given_any(st.from_regex(PITCH_PATTERN, fullmatch=True))
def test_every_pitch_that_a_set_may_hold_is_a_note(text):
    assert read_pitch(text).frequency_hz > 0.0


@pytest.mark.parametrize("name", WIRES)
def test_wires_of_the_library(name):
    wire = wire_of(find_in_library("wires", name))
    assert 1000.0 < wire.density_kg_m3.value < 9000.0
    assert wire.density_kg_m3.source


@pytest.mark.parametrize("name", SETS)
def test_sets_of_the_library_can_be_strung(name):
    strings = library_set(name)
    assert strings.title
    frequencies = []
    for string in strings.strings:
        for number in (
            string.pitch,
            string.diameter_mm,
            string.core_diameter_mm,
            string.unit_mass_kg_m,
            string.response,
        ):
            assert number is None or len(number.source) > 5
        frequencies.append(read_pitch(string.pitch.value).frequency_hz)
        pull = tension_n(
            unit_mass_kg_m=unit_mass_of(string),
            speaking_length_mm=strings.scale_mm.value,
            frequency_hz=frequencies[-1],
        )
        assert 25.0 < pull < 230.0  # N, common practice: from a ukulele's to a bass guitar's
        strained = strain_of(string, pull)
        assert (strained is None) == (string.wire.name == "nylon")
        assert strained is None or 0.15 < strained.share < 0.8
        found = compensate(
            stretch_of(string, pull),
            fretting_from_action(
                scale_mm=strings.scale_mm.value, action_mm=2.0, nut_height_mm=0.5, relief_mm=0.1
            ),
        )
        assert 0.5 < found.setbacks.saddle_mm < 6.0
        assert -2.0 < found.setbacks.nut_mm < 0.0
        assert found.rms_cents < 1.0
    gauges = [string.diameter_mm.value for string in strings.strings]
    octaves = any(math.isclose(frequencies[0] * 2.0, each) for each in frequencies) or "octave-12" in name
    if not octaves and "ukulele" not in name and "nylon" not in name:
        assert gauges == sorted(gauges)  # first string first
        assert frequencies == sorted(frequencies, reverse=True)


def test_the_library_is_whole():
    assert SETS == [
        "dulcimer",
        "electric-bass-045",
        "electric-bass-five-045-130",
        "mandolin-011",
        "nickel-electric-010",
        "nickel-electric-011",
        "nickel-electric-eight-010",
        "nickel-electric-seven-010",
        "nylon-classical-normal",
        "octave-mandolin",
        "steel-acoustic-012",
        "steel-acoustic-octave-12string",
        "steel-baritone-013",
        "tenor-guitar",
        "ukulele-nylon-baritone",
        "ukulele-nylon-concert",
        "ukulele-nylon-soprano",
        "ukulele-nylon-tenor",
    ]
    assert WIRES == ["nickel-plated-steel", "nylon", "phosphor-bronze", "silver-plated-copper", "steel"]
    for folder in ("strings", "wires"):
        assert not [path for path in Path(LIBRARY, folder).iterdir() if path.suffix != ".toml"]


def test_an_octave_string_lies_on_the_bass_side_of_its_course():
    twelve = library_set("steel-acoustic-octave-12string").strings
    assert [each.course for each in twelve] == [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6]
    for treble_side, bass_side in zip(twelve[4::2], twelve[5::2], strict=True):
        ratio = (
            read_pitch(bass_side.pitch.value).frequency_hz / read_pitch(treble_side.pitch.value).frequency_hz
        )
        assert ratio == pytest.approx(2.0)

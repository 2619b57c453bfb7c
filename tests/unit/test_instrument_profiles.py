"""Every instrument of the library is a whole design that a tradesman could build from."""

import re
from pathlib import Path

import pytest
from support.string_sets import LIBRARY, library_set

from jiggen.design.identity import design_id
from jiggen.design.model import ASSUMED, Design, Given
from jiggen.design.read import read_defaults, read_design
from jiggen.design.solve import solve
from jiggen.layout.board import crossing
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out
from jiggen.layout.pitch import read_pitch
from jiggen.layout.setup import set_up

#: Fills designs, and leaves to the maker what makes an instrument: scale, nut width and string spread.
NOT_WHOLE = "six-string-guitar"
NAMES = sorted(path.stem for path in (LIBRARY / "instruments").glob("*.toml"))
WHOLE = [name for name in NAMES if name != NOT_WHOLE]
SOURCES = re.compile(r"common practice|chosen|string set [a-z0-9-]+|assumed|solved")


def path_of(name: str) -> Path:
    return LIBRARY / "instruments" / f"{name}.toml"


def design_of(name: str) -> Design:
    return read_design(path_of(name))


def layout_of(name: str) -> Layout:
    return lay_out(solve(design_of(name)))


every_name = pytest.mark.parametrize("name", NAMES)
every_instrument = pytest.mark.parametrize("name", WHOLE)


def test_the_trades_instruments_are_there():
    assert WHOLE == [
        "bass",
        "bass-five-string-fanned",
        "classical",
        "dulcimer",
        "electric-baritone",
        "electric-eight-string-fanned",
        "electric-long-scale",
        "electric-seven-string-fanned",
        "electric-short-scale",
        "electric-zero-fret",
        "mandolin",
        "octave-mandolin",
        "steel-string-12-fret",
        "steel-string-14-fret",
        "tenor-guitar",
        "twelve-string",
        "ukulele-baritone",
        "ukulele-concert",
        "ukulele-soprano",
        "ukulele-tenor",
        "whinchat",
        "wren",
    ]


@every_name
def test_it_says_what_it_is_and_each_number_where_it_comes_from(name):
    design = design_of(name)
    assert len(design.note) > 30
    assert not design.profile
    numbers = [
        getattr(each, field)
        for each in (design, design.tools, design.setup, design.inlays)
        for field in each.__slots__
        if isinstance(getattr(each, field), Given)
    ]
    assert len(numbers) > 10
    for number in numbers:
        assert SOURCES.fullmatch(number.source), number
        assert number.where.startswith(str(path_of(name)))


@every_instrument
def test_no_number_is_missing(name):
    spec = solve(design_of(name))
    # What goes without saying, such as 12 equal steps, may be assumed; nothing else is, since no profile stands behind.
    for field in (
        "scale",
        "nut_width",
        "frets",
        "overhang",
        "string_count",
        "spread_at_bridge",
        "setback_bass",
        "tang_depth",
    ):
        assert getattr(spec, field).source != ASSUMED
    assert spec.string_set is not None
    assert spec.tuning is not None
    assert spec.gauges is not None
    setup = design_of(name).setup
    assert None not in {setup.action, setup.action_bass, setup.nut_height, setup.relief}
    assert (setup.family is None) == (name == "dulcimer")  # there is no rule of thumb for dulcimers
    inlays = spec.inlays
    assert None not in {inlays.frets, inlays.doubled, inlays.diameter, inlays.side_diameter}
    assert spec.make.material
    assert spec.make.machine


@every_instrument
def test_its_strings_are_those_of_its_set(name):
    spec = solve(design_of(name))
    string_set = library_set(spec.string_set.value)
    assert spec.string_count.value == len(string_set.strings)
    assert spec.gauges.value == tuple(each.diameter_mm.value for each in string_set.strings)
    assert spec.tuning.value == tuple(each.pitch.value for each in string_set.strings)
    assert [each.course for each in layout_of(name).strings] == [each.course for each in string_set.strings]
    assert string_set.scale_mm.value == pytest.approx(spec.scale.value, rel=0.06)


@every_instrument
def test_its_strings_can_be_pulled_up_and_its_saddle_reckoned(name):
    layout = layout_of(name)
    found = set_up(layout, library_set(layout.spec.string_set.value))
    assert all(
        20.0 < each.tension_n < 230.0 for each in found.pulls
    )  # N, common practice: ukulele to bass guitar
    assert all(each.strain is None or each.strain.share < 0.8 for each in found.pulls)
    if found.saddle is None:
        assert name == "dulcimer"  # the model is for a fret on every semitone
        return
    assert all(
        0.5 < each.setbacks.saddle_mm < 8.0 for each in found.saddle.compensations
    )  # mm, common practice


@every_instrument
def test_a_tradesman_would_build_it(name):
    """Common practice throughout: usual distances, nothing over an edge, an end before the saddle."""
    layout = layout_of(name)
    spec = layout.spec
    courses, within = spec.courses.value, max(spec.courses.value) - 1
    for spread, spacing, least, most in (
        (spec.spread_at_nut.value, spec.course_spacing_nut.value, 6.5, 13.0),
        (spec.spread_at_bridge.value, spec.course_spacing_bridge.value, 10.0, 19.5),
    ):
        pitch = (spread - within * spacing) / (len(courses) - 1)
        assert least < pitch < most
    for setback, gauge in (
        (spec.setback_bass, spec.gauges.value[-1]),
        (spec.setback_treble, spec.gauges.value[0]),
    ):
        assert 2.0 < setback.value - gauge / 2.0 < 5.0
    last, end = layout.frets[-1].line, layout.board_end
    past = [end.start.x - last.start.x, end.end.x - last.end.x]
    if name != "dulcimer":  # whose next place without a fret is a semitone on
        next_fret = [
            (edge.end.x - at.x) * (1.0 - 2.0 ** (-1 / 12))
            for edge, at in ((layout.bass_edge, last.start), (layout.treble_edge, last.end))
        ]
        assert all(2.0 < each < 0.95 * following for each, following in zip(past, next_fret, strict=True))
    assert all(crossing(end, string.line).x < 0.9 * string.line.end.x for string in layout.strings)
    assert all(number <= spec.frets.value for number in spec.inlays.frets.value)
    assert set(spec.inlays.doubled.value) <= set(spec.inlays.frets.value)
    names = [read_pitch(note).key for note in spec.tuning.value]
    if "ukulele" not in name and name != "twelve-string":
        assert names == sorted(names, reverse=True)


def test_no_two_are_the_same():
    ids = [design_id(solve(design_of(name))) for name in WHOLE]
    assert len(set(ids)) == len(WHOLE)
    assert len({design_of(name).name for name in NAMES}) == len(NAMES)


@every_instrument
def test_a_design_that_says_no_more_than_a_profile_is_that_instrument(name):
    own = Design(name="Plover", profile=name)
    spec = solve(own, read_defaults(own))
    assert design_id(spec) == design_id(solve(design_of(name)))
    assert spec.scale.source in {ASSUMED, "solved"}


@every_instrument
def test_another_number_of_strings_takes_nothing_from_the_set(name):
    count = solve(design_of(name)).string_count.value + 1
    own = Design(name="Plover", profile=name, string_count=Given(count))
    spec = solve(own, read_defaults(own))
    assert len(lay_out(spec).strings) == count
    assert (spec.gauges, spec.tuning, spec.string_set) == (None, None, None)

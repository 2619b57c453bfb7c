"""The file that a maker starts from: read back it is the same design, and its assumed lines are the assumptions."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.design.identity import canonical
from jiggen.design.making import Make
from jiggen.design.model import Design, Given, SetbackTo, Tools
from jiggen.design.read import design_from_text, read_defaults
from jiggen.design.solve import solve
from jiggen.design.write import design_text
from jiggen.profiles import find
from jiggen.units import parse_length

PLOVER = Design(
    name="Plover",
    date="2026-11-25",
    profile="six-string-guitar",
    scale=Given(647.7, "chosen", '25 1/2"'),
    nut_width=Given(42.8625, "measured", "1-11/16in", "caliper"),
    spread_at_bridge=Given(54.0, "chosen", "54mm"),
)
GUITAR = read_defaults(PLOVER)
assert GUITAR is not None


def test_the_text() -> None:
    text = design_text(PLOVER, GUITAR)
    lines = text.splitlines()
    assert 'name = "Plover"                       # what the design is called' in lines
    assert "date = 2026-11-25                     # date of this revision" in lines
    assert "scale = '25 1/2\"'                     # scale: speaking length before compensation" in lines
    assert (
        'nut-width = { value = "1-11/16in", source = "measured", note = "caliper" }  # width of the board at the nut'
        in lines
    )
    assert "# frets = 20                          # number of frets, 0 for fretless; assumed" in lines
    assert (
        '# setback = "1/8 in"                  # from the edge of the board to the outer string; assumed'
        in lines
    )
    assert '# owner = "Kestrel Yard"              # whose it is, for example' in lines
    assert text.endswith("\n")
    assert not any(line != line.rstrip() for line in lines)


def test_read_back_it_is_the_same_design() -> None:
    assert design_from_text(design_text(PLOVER, GUITAR), file="x.toml") == PLOVER
    assert design_from_text(design_text(PLOVER), file="x.toml") == PLOVER


@pytest.mark.parametrize("name", ["wren", "six-string-guitar"])
def test_every_profile_survives(name: str) -> None:
    design = design_from_text(find("instruments", name).text, file="x.toml")
    assert design_from_text(design_text(design), file="y.toml") == design


def test_numbers_that_nobody_typed_survive_to_the_last_bit() -> None:
    design = Design(name="Heron", scale=Given(0.1 + 0.2), gauges=Given((1 / 3, 0.3048)))
    back = design_from_text(design_text(design), file="x.toml")
    assert back.scale == Given(0.1 + 0.2, "chosen", "0.30000000000000004 mm")
    assert back.gauges is not None
    assert back.gauges.value == (1 / 3, 0.3048)


def test_taking_the_signs_away_makes_the_same_instrument() -> None:
    text = design_text(PLOVER, GUITAR)
    taken = re.sub(r"(?m)^# ([^#\n]*# .*; assumed)$", r"\1", text)
    assert taken.count("\n#") < text.count("\n#") - 10
    without_profile = re.sub(r"(?m)^profile = .*$", "", taken)
    assert canonical(solve(design_from_text(without_profile, file="x.toml"))) == canonical(
        solve(PLOVER, GUITAR)
    )


def test_the_examples_can_be_taken_too() -> None:
    taken = re.sub(r"(?m)^# ([^#\n]*# .*(?:; assumed|, for example))$", r"\1", design_text(PLOVER, GUITAR))
    assert design_from_text(taken, file="x.toml").owner == "Kestrel Yard"


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z")), min_size=1, max_size=20)
SOURCES = st.sampled_from(["chosen", "measured", "catalogue", 'the "old" plan', "it's mine"])
LENGTHS = st.builds(
    lambda text, source, note: Given(parse_length(text, where="x").mm, source, text, note),
    st.sampled_from(["42mm", "1-11/16in", '25 1/2"', "1' 1\"", "½in", "0.3m", "1 ft 1 1/2 in", "12thou"]),
    SOURCES,
    st.just("") | WORDS,
)
MAYBE = st.none() | LENGTHS
DESIGNS = st.builds(
    Design,
    name=WORDS,
    owner=st.just("") | WORDS,
    date=st.just("") | st.dates().map(lambda day: day.isoformat()),
    note=st.just("") | st.lists(WORDS, min_size=1, max_size=3).map("\n".join),
    scale=MAYBE,
    nut_width=MAYBE,
    frets=st.none() | st.integers(0, 60).map(lambda count: Given(count, text=str(count))),
    setback_to=st.none() | st.sampled_from(SetbackTo).map(lambda word: Given(word, text=word.value)),
    tools=st.builds(Tools, saw_plate=MAYBE, stop_pin=MAYBE),
    make=st.builds(Make, parts=st.lists(WORDS, max_size=3).map(tuple), material=st.just("") | WORDS),
)


@given(DESIGNS)
def test_any_design_survives(design: Design) -> None:
    assert design_from_text(design_text(design, GUITAR), file="x.toml") == design

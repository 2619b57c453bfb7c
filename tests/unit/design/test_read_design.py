"""Design files: what is read, and what is refused in which words."""

from dataclasses import fields
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.brought import put_files

from jiggen.design.keys import ROWS
from jiggen.design.making import Make
from jiggen.design.model import Design, Given, SetbackTo, Tools
from jiggen.design.read import design_from_text, read_defaults, read_design
from jiggen.errors import InputError, JiggenError, SeveralErrors
from jiggen.profiles import find

#: What stands at the top of a file: keys and tables.
TOP_LEVEL = sorted({row.key.partition(".")[0] for row in ROWS})
HEAD = 'schema = "jiggen-design/1"\nname = "Wren"\n'


def read(text: str) -> Design:
    return design_from_text(HEAD + text, file="wren.toml")


def faults(text: str) -> list[str]:
    with pytest.raises(JiggenError) as caught:
        design_from_text(text, file="wren.toml")
    return str(caught.value).split("\n")


def test_a_whole_file() -> None:
    design = read(
        """\
owner = "Kestrel Yard"
date = 2026-11-25
revision = "A"
note = "for evening courses"
profile = "six-string-guitar"

[neck]
scale = "628 mm"
nut-width = { value = "46 mm", source = "measured", note = "caliper, three places" }
frets = { value = 18, source = "catalogue" }
overhang = "10 mm"

[strings]
count = 2
spread-at-bridge = '2 1/4"'
setback = "1/8 in"
setback-to = "edge"
gauges = [".012in", ".053in"]

[tools]
saw-plate = "0.6 mm"
saw-clearance = "0.08mm"
index-pin = "2mm"
pin-clearance = "0 mm"
stop-pin = "3mm"

[make]
parts = ["plan-template", "nut-rule"]
material = "cast-acrylic-3"
machine = "large-laser"
"""
    )
    assert design == Design(
        name="Wren",
        owner="Kestrel Yard",
        date="2026-11-25",
        revision="A",
        note="for evening courses",
        profile="six-string-guitar",
        scale=Given(628.0, "chosen", "628 mm"),
        nut_width=Given(46.0, "measured", "46 mm", "caliper, three places"),
        frets=Given(18, "catalogue", "18"),
        overhang=Given(10.0, "chosen", "10 mm"),
        string_count=Given(2, "chosen", "2"),
        spread_at_bridge=Given(57.15, "chosen", '2 1/4"'),
        setback=Given(3.175, "chosen", "1/8 in"),
        setback_to=Given(SetbackTo.EDGE, "chosen", "edge"),
        gauges=Given((0.3048, 1.3462), "chosen", ".012in, .053in"),
        tools=Tools(
            saw_plate=Given(0.6, "chosen", "0.6 mm"),
            saw_clearance=Given(0.08, "chosen", "0.08mm"),
            index_pin=Given(2.0, "chosen", "2mm"),
            pin_clearance=Given(0.0, "chosen", "0 mm"),
            stop_pin=Given(3.0, "chosen", "3mm"),
        ),
        make=Make(parts=("plan-template", "nut-rule"), material="cast-acrylic-3", machine="large-laser"),
    )
    assert design.scale is not None
    assert design.scale.where == "wren.toml, line 10, neck.scale"
    assert design.nut_width is not None
    assert design.nut_width.where == "wren.toml, line 11, neck.nut-width.value"


def test_what_is_left_out_is_none() -> None:
    assert read("") == Design(name="Wren")


def test_bare_numbers_take_the_unit_of_the_file_and_show_it() -> None:
    design = read(
        'units = "mm"\n[neck]\nscale = 628\nnut-width = { value = 46.5 }\n[strings]\ngauges = [0.3, 1]\n'
    )
    assert design.scale == Given(628.0, "chosen", "628 mm")
    assert design.nut_width == Given(46.5, "chosen", "46.5 mm")
    assert design.gauges == Given((0.3, 1.0), "chosen", "0.3 mm, 1 mm")


def test_a_scale_file_that_is_not_there_is_told_with_the_line_that_names_it() -> None:
    (fault,) = faults(
        'schema = "jiggen-design/1"\nname = "Wren"\n[neck]\nfret-rule = { scl = "young.scl" }\n'
    )
    assert fault.startswith("wren.toml, line ")
    assert fault.endswith("neck.fret-rule, young.scl: got no such file, expected a scale file")


def test_a_file_full_of_mistakes_is_told_of_all_of_them() -> None:
    text = """\
schema = "jiggen-design/2"
nmae = "Wren"
date = "25.11.2026"
[neck]
scale = "628"
nut_width = "46mm"
frets = true
overhang = { valeu = "10mm", source = "chosen" }
[strings]
count = -6
spread-at-bridge = { source = "measured" }
setback-to = "center"
gauges = [".012in", "x"]
[tools]
saw-plate = { value = "0.6", source = "" }
"""
    assert faults(text) == [
        'wren.toml, name: got nothing, expected what the design is called. Add name = "Wren"',
        (
            'wren.toml, line 1, schema: got "jiggen-design/2", expected "jiggen-design/1".'
            " Another number at the end means another version of jiggen."
        ),
        f"wren.toml, line 2, nmae: got an unknown key, expected one of {', '.join(TOP_LEVEL)}. Did you mean name?",
        'wren.toml, line 3, date: got "25.11.2026", expected a date such as 2026-11-25, year, month and day',
        'wren.toml, line 5, neck.scale: got "628", expected a length with a unit. Write 628mm or 628in.',
        (
            "wren.toml, line 6, neck.nut_width: got an unknown key, expected one of "
            "bridge-to-fret, end, end-angle, end-radius, fret-rule, frets, nut-behind, nut-to-12th, nut-to-fret, nut-width, "
            "overhang, partial-frets, radius, radius-at-end, scale, scale-bass, scale-treble, straight-fret, tang-depth, "
            "taper-angle, widths, wire-overhang, zero-fret. Did you mean nut-width?"
        ),
        "wren.toml, line 7, neck.frets: got true, expected a whole number from 0 to 60",
        (
            "wren.toml, line 8, neck.overhang.valeu: got an unknown key, expected one of value, source, note."
            " Did you mean value?"
        ),
        "wren.toml, line 10, strings.count: got -6, expected a whole number from 1 to 24",
        (
            "wren.toml, line 11, strings.spread-at-bridge: got a table, expected a value in it."
            ' Write { value = "57mm", source = … }'
        ),
        'wren.toml, line 12, strings.setback-to: got "center", expected one of centre, edge. Did you mean centre?',
        'wren.toml, line 13, strings.gauges, item 2: got "x", expected a length such as 42mm, 25.5in or 1-11/16in',
        'wren.toml, line 15, tools.saw-plate.value: got "0.6", expected a length with a unit. Write 0.6mm or 0.6in.',
    ]


def test_one_mistake_is_one_error() -> None:
    with pytest.raises(InputError) as caught:
        read('[neck]\nscale = "-628mm"\n')
    assert not isinstance(caught.value, SeveralErrors)
    assert str(caught.value) == 'wren.toml, line 4, neck.scale: got "-628mm", expected a length above zero'


def test_source_must_be_words() -> None:
    with pytest.raises(InputError) as caught:
        read('[neck]\nscale = { value = "628mm", source = 3 }\n')
    assert str(caught.value) == (
        'wren.toml, line 4, neck.scale.source: got 3, expected words in quotes. Write it like "…"'
    )


def test_rows_and_model_agree() -> None:
    groups = {each.name: each.default_factory() for each in fields(Design) if callable(each.default_factory)}
    own = {each.name for each in fields(Design)} - set(groups)
    grouped = {f"{name}.{each.name}" for name, group in groups.items() for each in fields(group)}
    assert {row.field for row in ROWS if row.field} == own | grouped
    assert len({row.key for row in ROWS}) == len(ROWS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_the_example_of_every_row_can_be_read(row: object, tmp_path: Path) -> None:
    put_files(tmp_path)
    key, example = row.key, row.example or row.kind.example  # type: ignore[attr-defined]
    others = "".join(line for line in HEAD.splitlines(keepends=True) if not line.startswith(f"{key} ="))
    design_from_text(f"{others}{key} = {example}\n", file=str(tmp_path / "x.toml"))


def test_reads_from_a_path(tmp_path: Path) -> None:
    path = tmp_path / "plover.toml"
    path.write_text('schema = "jiggen-design/1"\nname = "Plover"\n', encoding="utf-8")
    assert read_design(path) == read_design(str(path)) == Design(name="Plover")
    with pytest.raises(InputError) as caught:
        read_design(tmp_path / "heron.toml")
    assert str(caught.value) == f"{tmp_path / 'heron.toml'}: got no such file, expected a TOML file"


def test_defaults_come_from_the_profile_that_the_design_names(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert read_defaults(Design(name="Wren")) is None
    defaults = read_defaults(Design(name="Wren", profile="six-string-guitar"))
    assert defaults is not None
    assert defaults.name == "Six-string guitar"
    with pytest.raises(InputError) as caught:
        read_defaults(Design(name="Wren", profile="six-sting-guitar"))
    assert caught.value.where == 'design "Wren", profile'
    assert caught.value.mend == "Did you mean six-string-guitar?"
    (tmp_path / "instruments").mkdir()
    path = tmp_path / "instruments" / "odd.toml"
    path.write_text('schema = "jiggen-design/1"\nname = "Odd"\nprofile = "wren"\n', encoding="utf-8")
    monkeypatch.setenv("JIGGEN_PROFILES", str(tmp_path))
    with pytest.raises(InputError) as caught:
        read_defaults(Design(name="Wren", profile="odd"))
    assert str(caught.value) == (
        f'{path}, profile: got "wren", expected an instrument profile that stands on its own.'
        " Take the line out and copy what is missing."
    )


WREN = find("instruments", "wren").text


@given(st.text(max_size=50))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        design = design_from_text(HEAD + text, file="x.toml")
    except JiggenError:
        return
    assert design.name == "Wren"


@given(st.integers(0, len(WREN)), st.integers(0, 12), st.text(alphabet="\"'={}[]#.,\n 0-m½\\", max_size=4))
def test_a_damaged_file_is_read_or_refused(start: int, length: int, patch: str) -> None:
    try:
        design = design_from_text(WREN[:start] + patch + WREN[start + length :], file="x.toml")
    except JiggenError:
        return
    assert isinstance(design, Design)

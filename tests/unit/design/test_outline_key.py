"""A design may bring its outlines along: what is asked of the file, what it settles, and what contradicts it."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from support.brought import as_given, brought
from support.specs import wren

from jiggen.design.by_outline import SETTLED, SHAPING
from jiggen.design.identity import canonical, design_id
from jiggen.design.instrument import Body, CutawayShape, Head
from jiggen.design.model import Given
from jiggen.design.read import design_from_text, read_design
from jiggen.design.solve import solve
from jiggen.design.write import design_text
from jiggen.errors import JiggenError
from jiggen.geometry.path import polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.outlines.model import Axis, ScaleTo, Wish

HEAD = 'schema = "jiggen-design/1"\nname = "Wren"\n'
#: 400 mm long; bouts of 200 and 300 mm at 100 and 300 mm, a waist of 160 mm at 200 mm.
SIDE = [(0, 0), (100, 100), (200, 80), (300, 150), (400, 0)]
EVEN = polyline([*(Point(x, -y) for x, y in SIDE), *(Point(x, y) for x, y in SIDE[-2:0:-1])], closed=True)
TABLE = "x (mm), half-width (mm)\n" + "".join(f"{x}, {y}\n" for x, y in SIDE)


def of_body(**numbers):
    body = Body(joint_fret=Given(12), outline=as_given(brought(EVEN)), **numbers)
    return replace(wren().design, body=body)


def at(value, text=""):
    return Given(value, text=text, where=f"wren.toml, line 9, {text}")


def read(line, folder, *, table="body"):
    return design_from_text(f"{HEAD}[{table}]\n{line}\n", file=str(folder / "wren.toml"))


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "body.csv").write_text(TABLE, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("table", ["body", "head"])
def test_a_name_alone_will_do(folder, table):
    given = getattr(read('outline = "body.csv"', folder, table=table), table).outline
    assert (given.value.file, given.value.name, given.value.wish, given.value.inner) == (
        "body.csv",
        "body.csv",
        Wish(),
        False,
    )
    assert given.value.brought.length_mm == pytest.approx(400.0, abs=0.1)


def test_a_table_says_what_is_asked(folder):
    line = (
        'outline = { value = { file = "body.csv", units = "inch", scale-to = "body-length 40 cm", axis = "y at 1in",'
        ' turned = true, layer = "body", gap = "0.2mm", tolerance = "0.02mm", smooth = "1mm", inner = true },'
        ' source = "traced from the old one" }'
    )
    given = read(line, folder).body.outline
    assert given.source == "traced from the old one"
    assert given.value.inner
    assert given.value.wish == Wish(
        scale_to=ScaleTo(known="length", mm=400.0, text="body-length 40 cm"),
        units="in",
        gap_mm=0.2,
        tolerance_mm=0.02,
        axis=Axis(along="y", at_mm=25.4),
        turned=True,
        layer="body",
        smooth_mm=1.0,
    )


@pytest.mark.parametrize(
    "line",
    [
        'outline = "body.csv"',
        'outline = { file = "body.csv", inner = true }',
        (
            'outline = { file = "body.csv", units = "in", scale-to = "width 300 mm", axis = "x", turned = true,'
            ' layer = "a \'b\'", gap = "0.2mm", tolerance = "0.02mm", smooth = "1mm" }'
        ),
    ],
)
def test_what_is_written_reads_back_to_the_same(folder, line):
    design = read(line, folder)
    again = design_from_text(design_text(design), file=str(folder / "wren.toml"))
    assert again.body.outline.value == design.body.outline.value


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "outline = 7",
            "wren.toml, line 4, body.outline: got 7, expected the name of a file in quotes, or a table with",
        ),
        (
            'outline = "owl.csv"',
            "wren.toml, line 4, body.outline, FOLDER/owl.csv: got no such file, expected",
        ),
        ('outline = { fiel = "body.csv" }', "an unknown key, expected one of axis, file, gap"),
        (
            'outline = { file = "body.csv", scale-to = "480 mm" }',
            'line 4, body.outline.scale-to: got "480 mm"',
        ),
        ('outline = { file = "body.csv", axis = "z" }', 'line 4, body.outline.axis: got "z"'),
        ('outline = { file = "body.csv", tolerance = "1 um" }', None),
        (
            'outline = { file = "body.csv", tolerance = "0.6mm" }',
            'line 4, body.outline.tolerance: got "0.6mm", expected from 0.001 mm to 0.5 mm',
        ),
        ("outline = { turned = true }", "line 4, body.outline: got nothing, expected name of an SVG, a DXF"),
    ],
)
def test_what_is_wrong_is_told_with_its_place(folder, line, told):
    if told is None:
        read(line, folder)
        return
    with pytest.raises(JiggenError) as caught:
        read(line, folder)
    assert told.replace("FOLDER", str(folder)) in str(caught.value)


def test_mistakes_in_the_file_are_told_with_both_places(folder):
    (folder / "body.csv").write_text(TABLE.replace("200, 80", "200, 8O").replace("300, 150", "30O, 150"))
    with pytest.raises(JiggenError) as caught:
        read('outline = "body.csv"', folder)
    lines = str(caught.value).splitlines()
    assert len(lines) == 2
    assert lines[0].startswith(
        f"{folder}/wren.toml, line 4, body.outline, {folder}/body.csv, line 4, column 2"
    )
    assert f"{folder}/body.csv, line 5, column 1" in lines[1]


def test_a_file_is_meant_from_the_folder_of_the_design(folder, monkeypatch):
    inside = folder / "designs"
    inside.mkdir()
    (inside / "wren.toml").write_text(f'{HEAD}[body]\noutline = "../body.csv"\n')
    monkeypatch.chdir(inside)
    assert read_design("wren.toml").body.outline == read_design(inside / "wren.toml").body.outline


def test_what_is_left_out_is_read_off():
    body = solve(of_body()).body
    assert [getattr(body, name).value for name in ("length", "upper_bout", "waist", "lower_bout")] == [
        400.0,
        200.0,
        160.0,
        300.0,
    ]
    assert [getattr(body, f"{name}_at").value for name in ("upper_bout", "waist", "lower_bout")] == [
        100,
        200,
        300,
    ]
    assert {getattr(body, name).source for name in SETTLED["body"]} == {"measured from wren.svg"}


def test_numbers_that_agree_are_welcome():
    told = {"length": at(400.04), "waist": at(159.96), "upper_bout_at": at(100.02), "waist_shift": at(0.0)}
    body = solve(of_body(**told)).body
    assert (body.length.value, body.waist.value) == (400.0, 160.0)


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        (
            {"length": at(401.5, "401.5mm")},
            (
                "wren.toml, line 9, 401.5mm: got body.length 401.5mm and 400.00 mm in wren.svg, which disagree by 1.500 mm, "
                "expected numbers that agree within 0.050 mm. Leave out body.length, or allow more with `tolerance`, or have"
                ' the outline scaled: scale-to = "body-length 401.5mm"'
            ),
        ),
        (
            {"waist": at(161.0, "161mm")},
            (
                "wren.toml, line 9, 161mm: got body.waist 161mm and 160.00 mm in wren.svg, which disagree by 1.000 mm, "
                "expected numbers that agree within 0.050 mm. Leave out body.waist, or allow more with `tolerance`"
            ),
        ),
        ({"lower_bout_at": at(302.0, "302mm")}, "body.lower-bout-at 302mm and 300.00 mm in wren.svg"),
        ({"waist_shift": at(3.0, "3mm")}, "body.waist-shift 3mm and 0.00 mm in wren.svg"),
    ],
)
def test_a_number_that_contradicts_is_refused(numbers, told):
    with pytest.raises(JiggenError) as caught:
        solve(of_body(**numbers))
    assert told in str(caught.value)


def test_more_is_allowed_with_the_tolerance():
    design = replace(of_body(length=at(401.5)), tolerance=Given(2.0))
    assert solve(design).body.length.value == 400.0


def test_all_contradictions_are_told_together():
    design = of_body(length=at(300.0), waist=at(100.0))
    head = Head(
        outline=as_given(brought(rectangle(Point(0, -35), Point(170, 35)))), width=at(80.0), shoulder=at(20.0)
    )
    with pytest.raises(JiggenError) as caught:
        solve(replace(design, head=head))
    keys = re.findall(r"got (\S+)", str(caught.value))
    assert keys == ["body.length", "body.waist", "head.shoulder", "head.width"]


def test_what_an_outline_has_not_cannot_be_given():
    body = Body(
        joint_fret=Given(12),
        outline=as_given(brought(rectangle(Point(0, -50), Point(200, 50), radius=40.0))),
        waist=at(90.0, "90mm"),
    )
    with pytest.raises(JiggenError) as caught:
        solve(replace(wren().design, body=body))
    assert str(caught.value) == (
        "wren.toml, line 9, 90mm: got body.waist 90mm and wren.svg, which has no such place, expected numbers of what the"
        " outline has. Leave out body.waist"
    )


def test_along_a_straight_side_a_place_is_not_settled():
    outline = as_given(brought(rectangle(Point(0, -50), Point(200, 50), radius=40.0)))
    design = replace(wren().design, body=Body(joint_fret=Given(12), outline=outline, lower_bout_at=at(130.0)))
    assert solve(design).body.lower_bout_at.value == 100.0
    far = replace(design, body=replace(design.body, lower_bout_at=at(165.0)))
    with pytest.raises(JiggenError, match="body.lower-bout-at"):
        solve(far)


@pytest.mark.parametrize("name", SHAPING["body"])
def test_an_outline_leaves_no_room_for_numbers_of_another_form(name):
    value = CutawayShape.SOFT if name == "cutaway" else 50.0
    with pytest.raises(JiggenError, match=f"got body.{name.replace('_', '-')} beside body.outline, wren.svg"):
        solve(of_body(**{name: at(value)}))


def test_a_profile_does_not_fill_the_form_of_an_outline():
    profile = replace(wren().design, body=Body(length=Given(480.0), waist=Given(210.0), horn_at=Given(5.0)))
    spec = solve(replace(of_body(), profile="six-string-guitar"), profile)
    assert (spec.body.length.value, spec.body.waist.value, spec.body.horn_at) == (400.0, 160.0, None)


def test_a_profile_brings_its_outline_unless_the_maker_gives_numbers():
    profile, own = of_body(), wren().design
    assert solve(own, profile).body.length.source == "measured from wren.svg"
    body = Body(length=Given(480.0), lower_bout=Given(340.0))
    spec = solve(replace(own, body=body), profile)
    assert (spec.body.outline, spec.body.length.value) == (None, 480.0)


def test_another_content_gives_another_id(folder):
    text = f'{HEAD}profile = "wren"\n[body]\noutline = "body.csv"\n'
    (folder / "wren.toml").write_text(text)
    first = _id(folder / "wren.toml")
    (folder / "body.csv").write_text(TABLE + "# the same, said otherwise\n")
    assert _id(folder / "wren.toml") != first


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ('"body.csv"', '"again.csv"', True),
        (
            '{ file = "body.csv", scale-to = "body-length 400 mm" }',
            '{ file = "body.csv", scale-to = "length 40 cm" }',
            True,
        ),
        ('{ file = "body.csv", scale-to = "body-length 400 mm" }', '"body.csv"', False),
        ('{ file = "body.csv", turned = true }', '"body.csv"', False),
        ('{ file = "body.csv", inner = true }', '"body.csv"', False),
        ('"body.csv"\nlength = "400 mm"', '"body.csv"', True),
    ],
)
def test_the_id_tells_what_is_asked_and_not_how_it_was_typed(folder, one, other, same):
    (folder / "again.csv").write_text(TABLE)
    ids = []
    for outline in (one, other):
        (folder / "wren.toml").write_text(
            f'{HEAD}profile = "wren"\ntolerance = "0.5mm"\n[body]\noutline = {outline}\n'
        )
        ids.append(_id(folder / "wren.toml"))
    assert (ids[0] == ids[1]) is same


def _id(file: Path) -> str:
    from jiggen.reckon import load, work_out

    return work_out(load(file)).id


def test_no_number_that_is_read_off_enters_the_id():
    spec = solve(of_body())
    assert '"length"' not in canonical(spec)
    finer = replace(of_body(), body=replace(of_body().body, outline=as_given(brought(EVEN, sha256="1" * 64))))
    assert design_id(solve(finer)) != design_id(spec)

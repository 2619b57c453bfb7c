"""What is said of an outline by itself, against what a design takes from it."""

from pathlib import Path

import pytest

from jiggen import reckon
from jiggen.outlines.asked import read_axis
from jiggen.outlines.facts import facts_of
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

OUTLINES = Path(__file__).parents[2] / "support" / "outlines"


def test_bouts_of_uneven_sides_are_those_that_a_design_takes():
    neck = reckon.work_out(reckon.load(OUTLINES / "lapwing.toml"))
    body = neck.spec.body
    facts = facts_of(body.outline.value.brought, file="lapwing-body.svg")
    assert facts["centre-line-length"] == pytest.approx(body.length.value)
    assert [each["width"] for each in facts["bouts"]] == pytest.approx(
        [body.upper_bout.value, body.waist.value, body.lower_bout.value]
    )
    assert [each["from-neck-end"] for each in facts["bouts"]] == pytest.approx(
        [body.upper_bout_at.value, body.waist_at.value, body.lower_bout_at.value]
    )
    assert [each["treble"]["from-neck-end"] - each["bass"]["from-neck-end"] for each in facts["bouts"]] == (
        pytest.approx([body.upper_bout_shift.value, body.waist_shift.value, body.lower_bout_shift.value])
    )
    assert [each["is"] for each in facts["bouts"]] == ["widest", "narrowest", "widest"]


def test_an_outline_that_its_centre_line_meets_four_times_has_no_bouts_and_says_so(tmp_path):
    file = tmp_path / "bow.svg"
    file.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="90mm" viewBox="0 0 100 90">'
        '<path d="M 0 0 H 100 V 20 H 60 V 70 H 100 V 90 H 0 Z"/></svg>'
    )
    wish = Wish(axis=read_axis("y at 80 mm", where="--axis"))
    facts = facts_of(read_outline(file, wish=wish), file=file.name)
    assert (facts["bouts"], facts["centre-line-length"]) == ([], None)
    assert facts["length"] == pytest.approx(90.0)
    assert facts["ignored"] == [
        "bouts and waist: a centre line that meets the outline 4 times, at 0.00, 20.00, 70.00, 90.00 mm from its neck end"
    ]


def test_a_file_is_understood_once_for_all_designs_that_name_it_and_anew_when_it_changes(tmp_path):
    file = tmp_path / "body.csv"
    table = "x (mm), half-width (mm)\n0, 0\n100, 90\n200, 70\n300, 100\n400, 0\n"
    file.write_text(table)
    first = read_outline(file, wish=Wish())
    assert read_outline(file, wish=Wish()) is first
    assert read_outline(file, wish=Wish(turned=True)) is not first
    file.write_text(table.replace("300, 100", "300, 110"))
    assert read_outline(file, wish=Wish()).width_mm > first.width_mm

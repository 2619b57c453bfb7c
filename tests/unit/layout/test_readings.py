"""Readings from the bench: every form that is read, and the sentence for every one that is not."""

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from jiggen.errors import JiggenError
from jiggen.layout.measured import Reading
from jiggen.layout.measured_width import WidthAt, WidthAtFret
from jiggen.layout.readings import BenchReadings, SpreadAt, SpreadReading, readings_from_text
from jiggen.tables.readings import LONGEST_LINE, MOST_FAULTS, MOST_READINGS


def read(text: str) -> BenchReadings:
    return readings_from_text(text, file="bench.csv")


def complaints(text: str) -> list[str]:
    with pytest.raises(JiggenError) as caught:
        read(text)
    return str(caught.value).split("\n")


def test_a_table_with_everything():
    found = read(
        "\ufefffret, distance, unit\r\n"
        "# steel rule, 20 °C\r\n"
        "1, 35.2, mm\r\n"
        "\r\n"
        "nut,0,mm\r\n"
        '12,12.37,"in"\r\n'
        "12 , 31.41cm\r\n"
        "7, 8 1/4, in,,\r\n"
        '8, "9 1/8"""\r\n'
        "0, -0.3, mm\r\n"
        "width@nut, 46.1, mm\r\n"
        "Width @ 12, 54.9mm\r\n"
        "width@314mm, 54.8, mm\r\n"
        "width@0mm, 46, mm\r\n"
        "spread@bridge, 57, mm\r\n"
        "spread@nut, 39mm\r\n"
        ",,\r\n"
    )
    assert found.frets == (
        Reading(fret=1, distance=35.2, where="bench.csv, line 3"),
        Reading(fret=0, distance=0.0, where="bench.csv, line 5"),
        Reading(fret=12, distance=314.198, where="bench.csv, line 6"),
        Reading(fret=12, distance=314.1, where="bench.csv, line 7"),
        Reading(fret=7, distance=209.55, where="bench.csv, line 8"),
        Reading(fret=8, distance=231.775, where="bench.csv, line 9"),
        Reading(fret=0, distance=-0.3, where="bench.csv, line 10"),
    )
    assert found.widths == (
        WidthAtFret(fret=0, width=46.1, where="bench.csv, line 11"),
        WidthAtFret(fret=12, width=54.9, where="bench.csv, line 12"),
        WidthAt(distance=314.0, width=54.8, where="bench.csv, line 13"),
        WidthAt(distance=0.0, width=46.0, where="bench.csv, line 14"),
    )
    assert found.spreads == (
        SpreadReading(at=SpreadAt.BRIDGE, spread=57.0, where="bench.csv, line 15"),
        SpreadReading(at=SpreadAt.NUT, spread=39.0, where="bench.csv, line 16"),
    )


def test_line_ends_of_every_system():
    for end in ("\n", "\r\n", "\r"):
        assert [each.where for each in read(f"1, 35mm{end}2, 68mm{end}").frets] == [
            "bench.csv, line 1",
            "bench.csv, line 2",
        ]


PLACES = "expected a fret's number, nut, width@nut, width@12, spread@nut or spread@bridge"


POINT = "Decimals stand after a point: 314.1, not 314,1."
ALONE = "expected a number alone. Leave out one of the two units."
ROWS = [
    (
        "7, 215.4",
        ', column 2 (distance): got "215.4", expected a length with a unit. Write 215.4mm or 215.4in.',
    ),
    ("7, 215,4, mm", f": got 4 columns, expected fret, distance, unit. {POINT}"),
    ("7, 215,4", f', column 3 (unit): got "4", expected a unit, such as mm. {POINT}'),
    ("7; 215,4; mm", f', column 1 (fret): got "7; 215", {PLACES}'),
    (
        "7\t215.4\tmm",
        ': got "7\\t215.4\\tmm", expected fret, distance, unit, such as 12, 314.1, mm. Put commas',
    ),
    ("7, 215.4mm, mm", f', column 2 (distance): got "215.4mm" beside the unit mm, {ALONE}'),
    ("7, nan, mm", f', column 2 (distance): got "nan" beside the unit mm, {ALONE}'),
    ("7, 1e5, mm", f', column 2 (distance): got "1e5" beside the unit mm, {ALONE}'),
    ('7, "215,4", mm', ', column 2 (distance): got "215,4", expected '),
    ("seven, 215.4, mm", f', column 1 (fret): got "seven", {PLACES}'),
    (", 215.4, mm", f', column 1 (fret): got "", {PLACES}'),
    ("7.5, 215.4, mm", f', column 1 (fret): got "7.5", {PLACES}'),
    ("widht@nut, 46, mm", f', column 1 (fret): got "widht@nut", {PLACES}. Did you mean width@nut?'),
    ("spread@12, 46, mm", f', column 1 (fret): got "spread@12", {PLACES}'),
    ("width@saddle, 46, mm", f', column 1 (fret): got "width@saddle", {PLACES}'),
    (
        "width@314, 46mm",
        ', column 1 (fret): got "width@314", expected a fret from 0, the nut, to 60. Write width@314mm if it is a ',
    ),
    ("71, 600, mm", ', column 1 (fret): got "71", expected a fret from 0, the nut, to 60'),
    ("7, 215.4, furlong", ', column 3 (unit): got "furlong", expected '),
    ("width@nut, -46, mm", ', column 2 (distance): got "-46", expected '),
    ("spread@nut, 0, mm", ', column 2 (distance): got "0", expected '),
    ("7", ': got "7", expected fret, distance, unit, such as 12, 314.1, mm'),
    (
        '"7", "215.4, mm',
        ': got \'"7", "215.4, mm\', expected comma-separated values. Leave the double quotes out',
    ),
    (
        "7, " + "2" * LONGEST_LINE,
        f": got a line of {LONGEST_LINE + 3} characters, expected at most {LONGEST_LINE}",
    ),
    ("7, 215.4\0, mm", ""),
]


@pytest.mark.parametrize(("row", "complaint"), ROWS)
def test_rows_that_cannot_be_read(row, complaint):
    (sentence,) = complaints(f"1, 35.2, mm\n{row}\n12, 314, mm\n")
    assert sentence.startswith(f"bench.csv, line 2{complaint}")


def test_a_head_in_another_order_is_refused():
    assert complaints("fret, unit, distance\n1, mm, 35\n")[0] == (
        'bench.csv, line 1, column 2 (distance): got "unit", expected the head fret, distance, unit'
    )


def test_all_faults_are_told_at_once_but_not_without_end():
    assert len(complaints("x, 1, mm\ny, 1, mm\n")) == 2
    many = complaints("x, 1, mm\n" * (MOST_FAULTS + 5))
    assert len(many) == MOST_FAULTS + 1
    assert many[-1] == "bench.csv: got 5 more rows that cannot be read, expected known ones"


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "fret, distance, unit\n", " , ,\n\u00a0\n"])
def test_a_table_without_readings_is_refused(text):
    assert complaints(text) == ["bench.csv: got no readings, expected rows such as 12, 314.1, mm"]


def test_rows_that_are_still_to_be_filled_in_are_passed_over():
    assert [each.fret for each in read("1, , mm\n2,,\n12, 314.1, mm\n").frets] == [12]


def test_a_table_may_not_be_endless():
    assert len(read("1, 35.2, mm\n" * MOST_READINGS).frets) == MOST_READINGS
    assert complaints("1, 35.2, mm\n" * (MOST_READINGS + 9)) == [
        f"bench.csv, line {MOST_READINGS + 1}: got one more reading, expected at most {MOST_READINGS}"
    ]


@given(st.text(alphabet="0179@., \t\n\r\"'#;mind-fretwhuspaboge½\u00a0\u2028\ufeff\0Ä😀", max_size=60))
@settings(max_examples=200)
@example('""\n')
@example('1,""\n')
def test_whatever_the_text_it_is_read_or_refused(text):
    found = error = None
    try:
        found = read(text)
    except JiggenError as caught:
        error = caught
    assert (found and (found.frets or found.widths or found.spreads)) or str(error).startswith("bench.csv")


@given(
    st.lists(
        st.tuples(
            st.integers(0, 60),
            st.integers(-99, 39_000),
            st.sampled_from([("mm", 1.0), ("cm", 10.0), ("in", 25.4)]),
        ),
        min_size=1,
        max_size=20,
    )
)
def test_what_is_written_is_read(rows):
    text = "".join(f"{fret}, {tenths / 10}, {unit}\n" for fret, tenths, (unit, _) in rows)
    for reading, (fret, tenths, (_, factor)) in zip(read(text).frets, rows, strict=True):
        assert reading.fret == fret
        assert reading.distance == pytest.approx(tenths / 10 * factor, abs=1e-9)

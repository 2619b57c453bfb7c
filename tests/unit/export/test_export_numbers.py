"""Numbers and names as all writers write them."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.export.dxf_entities import _bulge
from jiggen.export.numbers import DECIMALS, is_written_straight, number, snapped
from jiggen.export.writer import sheet_file_name
from jiggen.geometry.path import Arc
from jiggen.geometry.point import Point


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (628.0, "628"),
        (0.1, "0.1"),
        (10.0, "10"),
        (100.0, "100"),
        (1000.123456, "1000.1235"),
        (0.0, "0"),
        (-0.0, "0"),
        (-0.00001, "0"),
        (-0.00005001, "-0.0001"),
        (1e-9, "0"),
        (1e15, "1000000000000000"),
        (-12.50, "-12.5"),
        (7, "7"),
    ],
)
def test_numbers_have_fixed_decimals_and_no_ornaments(value: float, text: str) -> None:
    assert number(value) == text


@pytest.mark.parametrize("chord", [3.0, 30.0, 300.0, 3000.0])
def test_the_flattest_arc_keeps_its_radius(chord: float) -> None:
    flattest = Arc(Point(0.0, 0.0), Point(chord, 0.0), 2.01e-4 / chord)  # nearly flat enough to be a line
    assert not is_written_straight(flattest)
    group = _bulge(0.0, 0.0, flattest.bulge, (chord, 0.0, 0.0), DECIMALS)
    read = Arc(flattest.start, flattest.end, float(group.splitlines()[1]))
    assert read.radius == pytest.approx(flattest.radius, abs=1e-4)


@given(st.floats(min_value=-1e9, max_value=1e9), st.integers(0, 9))
def test_a_number_reads_back_within_half_its_last_decimal(value: float, decimals: int) -> None:
    text = number(value, decimals)
    assert re.fullmatch(r"-?(0|[1-9]\d*)(\.\d*[1-9])?", text)
    assert text != "-0"
    assert abs(float(text) - value) <= 0.5 * 10.0**-decimals + abs(value) * 1e-15


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_not_written(value: float) -> None:
    with pytest.raises(ValueError, match="cannot be written as a number"):
        number(value)


@given(st.floats(min_value=-1e6, max_value=1e6))
def test_snapped_floats_agree_with_written_numbers(value: float) -> None:
    assert number(snapped(value)) == number(value)
    assert math.copysign(1.0, snapped(value)) == 1.0 or snapped(value) < 0.0  # no -0.0


def test_files_are_named_by_sheet_and_format() -> None:
    assert sheet_file_name(12, "dxf") == "sheet-12.dxf"


@pytest.mark.parametrize(("belly", "straight"), [(0.00009, True), (0.00011, False), (-0.00009, True)])
def test_an_arc_flatter_than_the_last_decimal_is_written_straight(belly: float, straight: bool) -> None:  # noqa: FBT001
    chord = 600.0
    arc = Arc(Point(0.0, 0.0), Point(chord, 0.0), belly * 2.0 / chord)  # bulge is belly over half the chord
    assert is_written_straight(arc) is straight

"""What to measure: outside, clear widths and distances that tell of scale, kerf and place."""

import pytest
from support.sheets import comb, disc

from jiggen.sheets.readings import Reading, readings, readings_of

COMB = comb().part


def of(features: tuple[str, ...], what: str) -> float:
    return next(each.expected_mm for each in readings(COMB) if (each.features, each.what) == (features, what))


def test_the_outside_is_measured_along_and_across() -> None:
    assert of(("outline",), "length") == pytest.approx(220.0)
    assert of(("outline",), "width") == pytest.approx(60.0)


def test_each_kind_of_opening_is_measured_once() -> None:
    widths = [(each.features[0], each.expected_mm) for each in readings(COMB) if each.what == "clear width"]
    assert widths == [
        ("pin.1", 8.0),
        ("rest", 10.0),
        ("fret.1", 0.8),
        ("fret.2", 0.7),
        ("fret.3", 0.6),
        ("hole.1", 5.0),
        ("hole.3", 12.0),
    ]


def test_rows_are_measured_from_the_first_to_the_last() -> None:
    assert of(("fret.1", "fret.3"), "middle to middle") == pytest.approx(118.0 - 30.0)
    assert of(("hole.1", "hole.3"), "middle to middle") == pytest.approx(185.0 - 10.0)


def test_what_stands_for_no_place_is_not_measured_to() -> None:
    assert all("rest" not in each.features for each in readings(COMB) if each.what == "middle to middle")


def test_several_parts_come_in_their_order() -> None:
    found = readings_of([COMB, disc().part])
    assert [each.part for each in found] == sorted(each.part for each in found)
    assert found[-1] == Reading(part="disc", features=("hole.1",), what="clear width", expected_mm=20.0)

"""What can be measured of a design, and tables of readings of it."""

import pytest
from support.made import DESIGNS

from jiggen import bench_work, prepare, reckon
from jiggen.errors import JiggenError
from jiggen.proof.gauges import GaugeReading, Gauges, Sort, gauge_readings, part_names

NANOMETRE = 1e-6  # mm


@pytest.fixture(scope="module")
def gauges() -> Gauges:
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    found, kerfs = bench_work.gauges_of(neck, prepare.Order(), ["saw-guide"])
    assert kerfs == {"saw-guide": 0.2}
    return found


def read(text: str, gauges: Gauges) -> tuple[GaugeReading, ...]:
    return gauge_readings(text, gauges, file="bench.csv")


def fret(number: int) -> float:
    return float(628.0 * (1.0 - 2.0 ** (-number / 12.0)))


@pytest.mark.parametrize(
    ("place", "sort", "nominal", "at"),
    [
        ("12", Sort.PLACE, 314.0, 314.0),
        ("fret.7", Sort.PLACE, fret(7), fret(7)),
        ("Fret.7", Sort.PLACE, fret(7), fret(7)),
        ("saddle", Sort.PLACE, 628.0, 628.0),
        ("width@nut", Sort.WIDTH, 46.0, 0.0),
        ("width@0", Sort.WIDTH, 46.0, 0.0),
        ("width@12", Sort.WIDTH, 55.0, 314.0),
        ("width@314mm", Sort.WIDTH, 55.0, 314.0),
        ("width@end", Sort.WIDTH, 46.0 + 18.0 * (fret(18) + 10.0) / 628.0, fret(18) + 10.0),
        ("spread@nut", Sort.SPREAD, 39.0, 0.0),
        ("spread @ bridge", Sort.SPREAD, 57.0, 628.0),
        ("saw-guide/fret.3/width", Sort.OPENING, 0.68, None),
        ("saw-guide/fret.1..fret.18", Sort.MIDDLE, fret(18) - fret(1), None),
    ],
)
def test_each_place_has_its_nominal_size(
    gauges: Gauges, place: str, sort: Sort, nominal: float, at: float | None
) -> None:
    (reading,) = read(f"{place}, 100, mm\n", gauges)
    gauge = reading.gauge
    assert gauge.sort is sort
    assert gauge.nominal_mm == pytest.approx(nominal, abs=1e-3)
    assert gauge.at_mm == (None if at is None else pytest.approx(at, abs=NANOMETRE))
    assert reading.mm == 100.0
    assert reading.where == "bench.csv, line 1"


def test_outside_sizes_are_the_outline_s(gauges: Gauges) -> None:
    length, width = read("saw-guide/length, 1, mm\nsaw-guide/width, 1, mm\n", gauges)
    assert length.gauge.nominal_mm > width.gauge.nominal_mm > 100.0
    assert {length.gauge.sort, width.gauge.sort} == {Sort.OUTSIDE}


def test_a_fret_may_be_off_by_a_cent(gauges: Gauges) -> None:
    (reading,) = read("12, 314, mm\n", gauges)
    # a string sounds in inverse proportion to its length: 314 · (1 − 2^(−1/1200))
    assert reading.gauge.limit_mm == pytest.approx(314.0 * (1.0 - 2.0 ** (-1.0 / 1200.0)), rel=1e-9)


@pytest.mark.parametrize(
    ("place", "complaint"),
    [
        ("nut", "expected a fret such as fret.12, saddle, width@nut"),
        ("0", "expected a fret such as fret.12"),
        ("19", "expected a fret from 1 to 18"),
        ("sadle", "Did you mean saddle?"),
        ("width@saddle", "expected a fret such as fret.12"),
        ("width@19", "expected a fret from 1 to 18"),
        ("depth@12", "expected a fret such as fret.12"),
        ("spread@12", "expected a fret such as fret.12"),
        ("nut-rule/length", "expected a part of this set first: saw-guide"),
        ("saw-guid/length", "Did you mean saw-guide?"),
        ("saw-guide/fret.77/width", "expected a feature of saw-guide"),
        ("saw-guide/outline/width", "expected a slot, notch or hole; outline has no clear width"),
        ("saw-guide/fret.1..outline", "expected features with a middle; outline has none"),
        ("saw-guide/fret.1", "expected saw-guide/length, saw-guide/width, saw-guide/FEATURE/width"),
        ("saw-guide/fret.1/depth", "expected saw-guide/length"),
    ],
)
def test_a_place_that_is_none_is_named(gauges: Gauges, place: str, complaint: str) -> None:
    with pytest.raises(JiggenError) as caught:
        read(f"{place}, 100, mm\n", gauges)
    assert str(caught.value).startswith("bench.csv, line 1, column 1 (feature): got ")
    assert complaint in str(caught.value)


def test_all_that_is_wrong_is_told_in_one_go(gauges: Gauges) -> None:
    with pytest.raises(JiggenError) as caught:
        read("sadle, 1, mm\n12, x, mm\n12, -3, mm\n7, 4, mm\n", gauges)
    assert len(str(caught.value).splitlines()) == 3


def test_a_table_without_readings_is_refused(gauges: Gauges) -> None:
    with pytest.raises(JiggenError, match="got no readings, expected rows such as fret.12, 314.1, mm"):
        read("feature, reading, unit\nfret.12, , mm\n", gauges)


@pytest.mark.parametrize("part", ["", "saw-guide"])
def test_a_blank_that_is_filled_in_can_be_read(gauges: Gauges, part: str) -> None:
    blank = gauges.blank(part)
    rows = [line for line in blank.splitlines() if line.endswith(", , mm")]
    readings = read(blank.replace(", , mm", ", 100, mm"), gauges)
    assert len(readings) == len(rows) >= 6
    assert {reading.gauge.part for reading in readings} == {part}


def test_a_blank_of_no_part_is_refused(gauges: Gauges) -> None:
    with pytest.raises(JiggenError, match='--part: got "nut-rule", expected one of saw-guide'):
        gauges.blank("nut-rule")


def test_the_parts_that_a_table_speaks_of_are_found() -> None:
    table = "# a/b\nfeature, reading, unit\nsaw-guide/length, 1, mm\n Nut-Rule/width, 1, mm\nsaw-guide/width, 1, mm\n12, 1, mm"
    assert part_names(table) == ("saw-guide", "nut-rule")

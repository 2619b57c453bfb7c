"""Tables of readings of a coupon."""

import pytest

from jiggen.errors import JiggenError
from jiggen.parts.coupon import GAUGES
from jiggen.shop.coupon_readings import blank_readings, coupon_readings_from_text
from jiggen.tables.readings import MOST_READINGS

KERF = "kerf, 0.2, mm\n"


def read(text: str):
    return coupon_readings_from_text(text, file="r.csv")


def faults(text: str) -> list[str]:
    with pytest.raises(JiggenError) as caught:
        read(text)
    return str(caught.value).split("\n")


def test_a_table():
    found = read(
        "\ufeffgauge, reading, unit\r\n# by hand\r\n\r\nkerf, 0.20, mm\r\ntongue.x.5, 5.02, mm\r\n"
        'slot.y.12,"11.98 mm"\r\nplate.x, 3.937in\r\nlong.x, 600.31, mm, 600 mm\r\nblocks.x, , mm\r\n'
    )
    assert found.cut_kerf_mm == 0.2
    assert [(each.gauge.id, each.gauge.nominal_mm, each.mm) for each in found.readings] == [
        ("tongue.x.5", 5.0, 5.02),
        ("slot.y.12", 12.0, 11.98),
        ("plate.x", 100.0, pytest.approx(99.9998)),
        ("long.x", 600.0, 600.31),
    ]
    assert found.readings[0].where == "r.csv, line 5"
    assert found.readings[3].gauge.axis == "x"


def test_a_coupon_may_be_cut_without_compensation():
    assert read("kerf, 0, mm\ntongue.x.5, 4.8, mm\n").cut_kerf_mm == 0.0


def test_the_blank_asks_for_all_gauges_and_24_readings():
    blank = blank_readings(0.2)
    rows = [line for line in blank.splitlines() if line.endswith(", , mm")]
    assert len(rows) == 24
    assert [row.split(",")[0] for row in rows] == [
        gauge.id for gauge in GAUGES for _ in range(gauge.readings)
    ]
    assert "kerf, 0.200, mm" in blank
    filled = blank.replace(", , mm", ", 5.00, mm")
    assert len(read(filled).readings) == 24


def test_the_blank_has_no_readings_yet():
    assert faults(blank_readings(0.2)) == [
        "r.csv: got no readings, expected rows such as tongue.x.5, 5.02, mm"
    ]


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ("tounge.x.5, 5.02, mm", 'column 1 (gauge): got "tounge.x.5", expected a gauge of the coupon: '),
        ("tongue.x.5, 5.02", 'column 2 (reading): got "5.02", expected a length with a unit'),
        ("tongue.x.5, five, mm", 'column 2 (reading): got "five"'),
        ("tongue.x.5, 0, mm", "column 2 (reading)"),
        ("tongue.x.5, 5.02, furlongs", 'column 3 (unit): got "furlongs"'),
        ("tongue.x.5", 'got "tongue.x.5", expected gauge, reading, unit, nominal, such as'),
        (
            "long.x, 600.3, mm",
            (
                "column 4 (nominal): got nothing, expected the length it should have."
                " Write it like long.x, 600.31, mm, 600 mm"
            ),
        ),
        ('tongue.x.5, "5.02, mm', "expected comma-separated values"),
    ],
)
def test_rows_that_cannot_be_read(row, sentence):
    (fault,) = faults(f"{KERF}{row}\n")
    assert fault.startswith("r.csv, line 2")
    assert sentence in fault


def test_the_nearest_gauge_is_named():
    (fault,) = faults(f"{KERF}tounge.x.5, 5.02, mm\n")
    assert fault.endswith("Did you mean tongue.x.5?")


def test_all_faults_are_told():
    assert len(faults(f"{KERF}a, 1, mm\nb, 2, mm\ntongue.x.5, x, mm\n")) == 3


@pytest.mark.parametrize("count", [0, 2])
def test_the_kerf_is_said_once(count):
    assert faults(KERF * count + "tongue.x.5, 5.02, mm\n") == [
        (
            f"r.csv: got {count} rows that say the kerf, expected one. Add the kerf lettered on the coupon:"
            " kerf, 0.20, mm"
        )
    ]


def test_no_endless_tables():
    row = "tongue.x.5, 5.02, mm\n"
    assert faults(row * (MOST_READINGS + 1)) == [
        f"r.csv, line {MOST_READINGS + 1}: got one more reading, expected at most {MOST_READINGS}"
    ]

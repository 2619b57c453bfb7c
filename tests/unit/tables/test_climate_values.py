"""Temperatures and humidities as makers write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jiggen.errors import InputError
from jiggen.tables.climate import humidity, temperature
from jiggen.tables.document import parse_toml

TEMPERATURE, HUMIDITY = temperature(), humidity()


def read(kind, toml: str):
    entry = parse_toml(f"x = {toml}", file="p.toml").root.find("x")
    return kind.read(entry)


@pytest.mark.parametrize(
    ("text", "degc"),
    [
        ("22 °C", 22.0),
        ("22C", 22.0),
        ("-3.5 C", -3.5),
        ("−3.5 °C", -3.5),
        ("+20 degC", 20.0),
        ("68 °F", 20.0),
        ("86F", 30.0),
        ("-4 F", -20.0),
    ],
)
def test_temperatures(text, degc):
    assert read(TEMPERATURE, f'"{text}"')[0] == pytest.approx(degc, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "percent"), [("45 %", 45.0), ("45%", 45.0), ("45.5 % RH", 45.5), ("0 %", 0.0)]
)
def test_humidities(text, percent):
    assert read(HUMIDITY, f'"{text}"')[0] == percent


@pytest.mark.parametrize(
    ("kind", "toml", "sentence"),
    [
        (
            TEMPERATURE,
            "22",
            (
                "p.toml, line 1, x: got 22, expected a temperature from -30 to 60 °C, in °C or °F, in quotes."
                ' Write it like "22 °C"'
            ),
        ),
        (
            TEMPERATURE,
            '"22"',
            'p.toml, line 1, x: got "22", expected a temperature from -30 to 60 °C, in °C or °F. Write it like "22 °C"',
        ),
        (
            TEMPERATURE,
            '"300 K"',
            (
                'p.toml, line 1, x: got "300 K", expected a temperature from -30 to 60 °C, in °C or °F.'
                ' Write it like "22 °C"'
            ),
        ),
        (
            TEMPERATURE,
            '"200 °F"',
            'p.toml, line 1, x: got "200 °F", expected a temperature from -30 to 60 °C, in °C or °F',
        ),
        (HUMIDITY, '"120 %"', 'p.toml, line 1, x: got "120 %", expected a relative humidity from 0 to 100 %'),
        (
            HUMIDITY,
            "0.45",
            (
                "p.toml, line 1, x: got 0.45, expected a relative humidity from 0 to 100 %, in quotes."
                ' Write it like "45 %"'
            ),
        ),
    ],
)
def test_what_cannot_be_read(kind, toml, sentence):
    with pytest.raises(InputError) as caught:
        read(kind, toml)
    assert str(caught.value) == sentence


@given(st.floats(-30.0, 60.0).map(lambda value: round(value, 3)))
def test_what_is_written_reads_back(value):
    assert read(TEMPERATURE, TEMPERATURE.write(value, ""))[0] == pytest.approx(value, abs=1e-9)


@given(st.floats(0.0, 100.0).map(lambda value: round(value, 3)))
def test_percentages_read_back(value):
    assert read(HUMIDITY, HUMIDITY.write(value, ""))[0] == pytest.approx(value, abs=1e-9)

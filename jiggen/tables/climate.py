"""Kinds of values for the air of a workshop: temperatures and relative humidities, as the maker writes them."""

import re
from collections.abc import Callable

from jiggen.tables.document import Entry
from jiggen.tables.kinds import toml_string
from jiggen.tables.rows import Kind

#: Nobody cuts or measures outside these.
COLDEST_DEGC, HOTTEST_DEGC = -30.0, 60.0

_TEMPERATURE = r"([+-]?\d+(?:\.\d+)?) ?(?:°|deg)? ?([CF])"
_HUMIDITY = r"(\d+(?:\.\d+)?) ?%(?: ?RH)?"


def temperature() -> Kind:
    """A temperature with its unit, in °C once read: `"22 °C"`, `"72 F"`."""

    def value_of(number: str, unit: str) -> float:
        return float(number) if unit == "C" else (float(number) - 32.0) * 5.0 / 9.0

    return _measured(
        _TEMPERATURE,
        value_of,
        expected=f"a temperature from {COLDEST_DEGC:g} to {HOTTEST_DEGC:g} °C, in °C or °F",
        limits=(COLDEST_DEGC, HOTTEST_DEGC),
        unit="°C",
        example='"22 °C"',
    )


def humidity() -> Kind:
    """A relative humidity in per cent: `"45 %"`."""
    return _measured(
        _HUMIDITY,
        float,
        expected="a relative humidity from 0 to 100 %",
        limits=(0.0, 100.0),
        unit="%",
        example='"45 %"',
    )


def _measured(
    pattern: str,
    value_of: Callable[..., float],
    *,
    expected: str,
    limits: tuple[float, float],
    unit: str,
    example: str,
) -> Kind:
    def read(entry: Entry) -> tuple[float, str]:
        if not isinstance(entry.value, str):
            raise entry.wrong(f"{expected}, in quotes", f"Write it like {example}")
        text = entry.value.strip().replace("−", "-")
        found = re.fullmatch(pattern, text)
        if found is None:
            raise entry.wrong(expected, f"Write it like {example}")
        value = value_of(*found.groups())
        if not limits[0] <= value <= limits[1]:
            raise entry.wrong(expected)
        return value, text

    def write(value: float, text: str) -> str:
        return toml_string(text or f"{round(value, 9):g} {unit}")

    return Kind(read=read, write=write, example=example, schema={"type": "string", "pattern": "[0-9]"})

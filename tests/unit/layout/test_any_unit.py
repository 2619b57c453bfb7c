"""The same numbers in any unit give the same neck, from the design file on."""

from fractions import Fraction

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st

from jiggen.design.identity import design_id
from jiggen.design.read import design_from_text
from jiggen.design.solve import solve
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

FEMTO = 1e-9  # mm: nothing but the last bits of a float

DESIGN = """\
schema = "jiggen-design/1"
name = "Wren"
{units}
[neck]
{scale}
nut-width = {nut}
widths = [{{ fret = 12, width = {twelfth} }}]
frets = 18
overhang = {overhang}
[strings]
count = 6
spacing = "equal-gaps"
setback = {setback}
setback-to = "edge"
gauges = [{gauges}]
[tools]
saw-plate = "0.6 mm"
saw-clearance = "0.08 mm"
index-pin = "2 mm"
pin-clearance = "0.05 mm"
stop-pin = "3 mm"
"""


def decimal(value: Fraction) -> str:
    """A finite decimal, written out in full."""
    sixty_fourths = value * 10**12
    assert sixty_fourths.denominator == 1
    whole, part = divmod(int(sixty_fourths), 10**12)
    return f"{whole}.{part:012d}"


def mixed(value: Fraction) -> str:
    """Whole inches and a fraction."""
    whole, part = divmod(value, 1)
    if part == 0:
        return f'"{whole} in"'
    return f'"{whole}-{part} in"' if whole else f'"{part} in"'


#: How a maker may write a length that is a whole number of 64ths of an inch.
UNITS = {
    "millimetres": ("", lambda inches: f'"{decimal(inches * Fraction("25.4"))} mm"'),
    "centimetres": ("", lambda inches: f'"{decimal(inches * Fraction("2.54"))} cm"'),
    "metres": ("", lambda inches: f'"{decimal(inches * Fraction("0.0254"))} m"'),
    "inches": ("", lambda inches: f'"{decimal(inches)} in"'),
    "fractions": ("", mixed),
    "bare millimetres": ('units = "mm"', lambda inches: decimal(inches * Fraction("25.4"))),
    "bare inches": ('units = "in"', decimal),
}


def layout_in(unit: str, numbers: dict[str, Fraction], fan: Fraction) -> Layout:
    """The neck in one unit; some digits past the twelfth decimal would not fit, so lengths are 64ths of an inch."""
    units, write = UNITS[unit]
    said = {name: write(inches) for name, inches in numbers.items() if name != "scale"}
    scale = numbers["scale"]
    if fan:
        lines = f"scale-bass = {write(scale + fan)}\nscale-treble = {write(scale)}\nstraight-fret = 7"
    else:
        lines = f"scale = {write(scale)}"
    gauges = ", ".join(write(Fraction(each, 64)) for each in (1, 1, 1, 2, 3, 3))
    text = DESIGN.format(units=units, scale=lines, gauges=gauges, **said)
    return lay_out(solve(design_from_text(text, file="wren.toml")))


def sixty_fourths(least: float, most: float) -> st.SearchStrategy[Fraction]:
    """Inches in 64ths, between two lengths in inches."""
    return st.integers(int(least * 64), int(most * 64)).map(lambda count: Fraction(count, 64))


@settings(derandomize=True, deadline=None)
@always(
    st.fixed_dictionaries(
        {
            "scale": sixty_fourths(12, 36),
            "nut": sixty_fourths(1.6, 2.4),
            "twelfth": sixty_fourths(2.0, 2.8),
            "overhang": sixty_fourths(0.125, 1),
            "setback": sixty_fourths(0.0625, 0.1875),
        }
    ),
    st.one_of(st.just(Fraction(0)), sixty_fourths(0.25, 1.5)),
)
def test_any_unit_gives_the_same_layout(numbers: dict[str, Fraction], fan: Fraction) -> None:
    layouts = {unit: layout_in(unit, numbers, fan) for unit in UNITS}
    first = layouts["millimetres"]
    assert len({design_id(layout.spec) for layout in layouts.values()}) == 1
    for layout in layouts.values():
        for one, other in zip(layout.frets, first.frets, strict=True):
            assert one.line.start.distance(other.line.start) < FEMTO
            assert one.line.end.distance(other.line.end) < FEMTO
        for one, other in zip(layout.strings, first.strings, strict=True):
            assert one.line.start.distance(other.line.start) < FEMTO
            assert one.line.end.distance(other.line.end) < FEMTO
        for one, other in zip(layout.board, first.board, strict=True):
            assert one.start.distance(other.start) < FEMTO


@pytest.mark.parametrize("unit", UNITS)
def test_every_unit_is_exact_for_sixty_fourths(unit: str) -> None:
    numbers = {
        "scale": Fraction(51, 2),
        "nut": Fraction(109, 64),
        "twelfth": Fraction(137, 64),
        "overhang": Fraction(1, 4),
        "setback": Fraction(1, 8),
    }
    spec = layout_in(unit, numbers, Fraction(0)).spec
    assert (spec.scale.value, spec.nut_width.value) == (647.7, float(Fraction(109, 64) * Fraction("25.4")))

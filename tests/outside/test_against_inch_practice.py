"""The whole way from a design typed in inches to the layout, against the figures of the trade.

Source: common practice. A board 1.700 in wide at the nut with strings 1/8 in from its edges spreads them 1.450 in; with
2.125 in between the outer strings at a 20 in saddle line its edges, carried on, are 2.375 in apart there. Inches are
25.4 mm, exactly (international inch, 1959).
"""

import itertools
from decimal import Decimal

import pytest

from jiggen.design.read import design_from_text
from jiggen.design.solve import solve
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

INCH = Decimal("25.4")
FEMTO = 1e-9  # mm: nothing but the last bits of a float
TENTH_MICRON = 1e-4  # mm

DESIGN = """\
schema = "jiggen-design/1"
name = "Dunlin"
[neck]
{neck}
frets = 18
overhang = "1/4in"
[strings]
count = 6
{strings}
setback-to = "centre"
[tools]
saw-plate = ".023in"
saw-clearance = ".003in"
index-pin = "1/16in"
pin-clearance = ".002in"
stop-pin = "1/8in"
"""

#: Ways in which makers give the same four facts, any of which is enough.
WAYS = [
    ('scale = "20in"\nnut-width = "1.700in"', 'spread-at-bridge = "2.125in"\nsetback = "1/8in"'),
    ("scale = '20\"'\nnut-width = '1.7\"'", "spread-at-bridge = '2 1/8\"'\nsetback = '1/8\"'"),
    ('nut-to-12th = "10in"\nnut-width = "1.7in"', 'spread-at-bridge = "2-1/8in"\nspread-at-nut = "1.45in"'),
    ('scale = "20in"', 'spread-at-bridge = "2.125in"\nspread-at-nut = "1.45in"\nsetback = ".125in"'),
    (
        'scale = "1ft 8in"\nwidths = [{ fret = 12, width = "2.0375in" }, { distance = "20in", width = "2 3/8in" }]',
        'setback = "3.175mm"',
    ),
    (
        'nut-to-fret = { fret = 24, distance = "15in" }\nnut-width = "1.7in"\nwidths = [{ fret = 12, width = "2.0375in" }]',
        'setback-bass = "1/8in"\nsetback-treble = "1/8in"',
    ),
    (
        'bridge-to-fret = { fret = 12, distance = "10in" }\nnut-width = "43.18mm"',
        'spread-at-bridge = "53.975mm"\nsetback = "1/8in"',
    ),
]


def laid_out(neck: str, strings: str) -> Layout:
    return lay_out(solve(design_from_text(DESIGN.format(neck=neck, strings=strings), file="dunlin.toml")))


def mm(inches: str) -> float:
    return float(Decimal(inches) * INCH)


@pytest.mark.parametrize(("neck", "strings"), WAYS)
def test_the_trades_figures(neck: str, strings: str) -> None:
    layout = laid_out(neck, strings)
    spec = layout.spec
    assert spec.scale.value == pytest.approx(mm("20"), abs=FEMTO)
    assert spec.nut_width.value == pytest.approx(mm("1.700"), abs=FEMTO)
    assert spec.spread_at_nut.value == pytest.approx(mm("1.450"), abs=FEMTO)
    assert spec.spread_at_bridge.value == pytest.approx(mm("2.125"), abs=FEMTO)
    assert spec.width_at_saddle.value == pytest.approx(mm("2.375"), abs=FEMTO)
    nut, saddle = layout.nut, layout.saddle
    assert nut.start.distance(nut.end) == pytest.approx(mm("1.700"), abs=FEMTO)
    assert saddle.start.distance(saddle.end) == pytest.approx(mm("2.375"), abs=FEMTO)
    strings_at_nut = [string.line.start.y for string in layout.strings]
    steps = [one - other for one, other in itertools.pairwise(strings_at_nut)]
    assert steps == pytest.approx([mm("0.290")] * 5, abs=FEMTO)
    assert layout.frets[11].distance == pytest.approx(mm("10"), abs=FEMTO)
    assert layout.frets[11].width == pytest.approx(mm("2.0375"), abs=FEMTO)


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("25.5in", 647.7),
        ('25 1/2"', 647.7),
        ("24.75in", 628.65),
        ("13 7/8in", 352.425),
        ("34in", 863.6),
        ("27in", 685.8),
    ],
)
def test_scales_in_inches(typed: str, expected: float) -> None:
    layout = laid_out(
        f"scale = '{typed}'\nnut-width = '1.7in'", "spread-at-bridge = '2.125in'\nsetback = '1/8in'"
    )
    assert layout.spec.scale.value == expected
    # L (1 − 2^(−n/12)) at frets 1, 7 and 18, to five decimals: equal temperament
    for fret, share in ((1, "0.05612569"), (7, "0.33258007"), (18, "0.64644661")):
        assert layout.frets[fret - 1].distance == pytest.approx(expected * float(share), abs=0.00001)


def test_a_linear_taper_in_millimetres() -> None:
    """650 scale, nut 43, fret 12 54: w(x) = w0 + (w12 − w0) x ÷ (L/2), by hand."""
    text = DESIGN.format(
        neck='scale = "650mm"\nnut-width = "43mm"\nwidths = [{ fret = 12, width = "54mm" }]',
        strings='setback = "3.5mm"',
    ).replace("frets = 18", "frets = 24")
    widths = {fret.number: fret.width for fret in lay_out(solve(design_from_text(text, file="x.toml"))).frets}
    by_hand = {
        1: 44.2348,
        5: 48.5186,
        7: 50.3168,
        14: 55.2001,
        19: 57.6584,
        20: 58.0704,
        22: 58.8265,
        24: 59.5,
    }
    for fret, width in by_hand.items():
        assert widths[fret] == pytest.approx(width, abs=TENTH_MICRON)

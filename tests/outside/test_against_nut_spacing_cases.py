"""String places at the nut against cases worked by hand, from the design file to the layout.

Formulas (geometry): margins run from the nut's ends to the outer strings' outer edges. Equal gaps g = (W − mL − mR − Σd) ÷
(N − 1); equal centres p = (c_N − c_1) ÷ (N − 1); courses of two with a clear gap s within, G = (W − mL − mR − Σd − Nc·s) ÷
(Nc − 1). The cases below were worked from these apart from the program.
"""

from itertools import pairwise

import pytest

from jiggen.design.read import design_from_text
from jiggen.design.solve import solve
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

TENTH_MICRON = 1e-4  # mm: the figures have four decimals
FEMTO = 1e-9  # mm: nothing but the last bits of a float

DESIGN = """\
schema = "jiggen-design/1"
name = "Lapwing"
[neck]
scale = "640 mm"
nut-width = "{nut}"
frets = 22
overhang = "8 mm"
[strings]
spread-at-bridge = "52 mm"
setback-bass = "{bass}"
setback-treble = "{treble}"
setback-to = "edge"
gauges = [{gauges}]
{more}
[tools]
saw-plate = "0.6 mm"
saw-clearance = "0.08 mm"
index-pin = "2 mm"
pin-clearance = "0.05 mm"
stop-pin = "3 mm"
"""

# mm or inches as typed; gauges and centres from the bass side, as a maker reads them off a nut
BY_HAND = {
    "equal gaps": (
        ("44 mm", "3.5 mm", "3.5 mm"),
        ["1.2mm", "1.0mm", "0.7mm", "0.5mm", "0.4mm", "0.2mm"],
        'spacing = "equal-gaps"',
        [4.10, 11.80, 19.25, 26.45, 33.50, 40.40],
    ),
    "equal centres": (
        ("44 mm", "3.5 mm", "3.5 mm"),
        ["1.2mm", "1.0mm", "0.7mm", "0.5mm", "0.4mm", "0.2mm"],
        'spacing = "equal-centres"',
        [4.10, 11.36, 18.62, 25.88, 33.14, 40.40],
    ),
    "equal gaps, inch gauges": (
        ("43 mm", "3.5 mm", "3.0 mm"),
        [".046in", ".036in", ".026in", ".017in", ".013in", ".010in"],
        'spacing = "equal-gaps"',
        [4.0842, 11.6738, 19.0093, 26.1036, 33.0327, 39.8730],
    ),
    "equal centres, inch gauges": (
        ("43 mm", "3.5 mm", "3.0 mm"),
        [".046in", ".036in", ".026in", ".017in", ".013in", ".010in"],
        "",
        [4.0842, 11.2420, 18.3997, 25.5575, 32.7152, 39.8730],
    ),
    "four double courses": (
        ("28.5 mm", "2.5 mm", "2.5 mm"),
        ["1mm", "1mm", ".65mm", ".65mm", ".4mm", ".4mm", ".28mm", ".28mm"],
        'courses = [2, 2, 2, 2]\ncourse-spacing-at-nut = "1.6mm"\nspacing = "equal-gaps"',
        [3.0, 5.6, 10.5717, 12.8217, 17.4933, 19.4933, 23.98, 25.86],
    ),
}


def laid_out(ends: tuple[str, str, str], gauges: list[str], more: str) -> Layout:
    nut, bass, treble = ends
    listed = ", ".join(f'"{gauge}"' for gauge in reversed(gauges))
    text = DESIGN.format(nut=nut, bass=bass, treble=treble, gauges=listed, more=more)
    return lay_out(solve(design_from_text(text, file="lapwing.toml")))


def centres(layout: Layout) -> list[float]:
    """From the bass end of the nut, bass string first."""
    return [abs(string.line.start.y - layout.nut.start.y) for string in reversed(layout.strings)]


@pytest.mark.parametrize("case", BY_HAND)
def test_centres_at_the_nut(case: str) -> None:
    ends, gauges, more, expected = BY_HAND[case]
    assert centres(laid_out(ends, gauges, more)) == pytest.approx(expected, abs=TENTH_MICRON)


@pytest.mark.parametrize("case", BY_HAND)
def test_the_last_string_ends_at_its_margin(case: str) -> None:
    ends, gauges, more, _ = BY_HAND[case]
    layout = laid_out(ends, gauges, more)
    first = layout.strings[0]
    margin = float(ends[2].removesuffix(" mm"))
    width = layout.nut.start.distance(layout.nut.end)
    assert centres(layout)[-1] + first.gauge / 2.0 + margin == pytest.approx(width, abs=FEMTO)


@pytest.mark.parametrize("case", BY_HAND)
def test_left_handed_necks_have_the_same_centres_from_their_own_bass_end(case: str) -> None:
    ends, gauges, more, _ = BY_HAND[case]
    right, left = (laid_out(ends, gauges, f"{more}\nleft-handed = {word}") for word in ("false", "true"))
    assert centres(left) == centres(right)
    assert [-string.line.start.y for string in left.strings] == [
        string.line.start.y for string in right.strings
    ]


def test_swapping_bass_and_treble_mirrors_the_list() -> None:
    (nut, bass, treble), gauges, more, _ = BY_HAND["equal gaps, inch gauges"]
    swapped = centres(laid_out((nut, treble, bass), gauges[::-1], more))
    assert [43.0 - each for each in reversed(swapped)] == pytest.approx(
        centres(laid_out((nut, bass, treble), gauges, more)), abs=FEMTO
    )


def test_equal_gauges_make_gaps_and_centres_the_same() -> None:
    ends, gauges = ("44 mm", "3.5 mm", "3.5 mm"), ["0.8mm"] * 6
    by_gaps = centres(laid_out(ends, gauges, 'spacing = "equal-gaps"'))
    assert by_gaps == pytest.approx(centres(laid_out(ends, gauges, "")), abs=FEMTO)


def test_six_double_courses_leave_five_equal_gaps() -> None:
    """W 47.6, margins 3.0, pairs as below, 1.5 clear within: Σd = 5.36 and G = 27.24 ÷ 5 = 5.448."""
    pairs = [0.30, 1.20, 0.23, 0.90, 0.20, 0.60, 0.20, 0.43, 0.40, 0.40, 0.25, 0.25]
    layout = laid_out(
        ("47.6 mm", "3.0 mm", "3.0 mm"),
        [f"{each}mm" for each in pairs],
        'courses = [2, 2, 2, 2, 2, 2]\ncourse-spacing-at-nut = "1.5mm"\nspacing = "equal-gaps"',
    )
    places = list(zip(centres(layout), pairs, strict=True))
    clear = [
        other - one - (gauge + other_gauge) / 2.0 for (one, gauge), (other, other_gauge) in pairwise(places)
    ]
    assert clear == pytest.approx([1.5, 5.448] * 5 + [1.5], abs=FEMTO)
    assert places[0][0] == pytest.approx(3.15, abs=FEMTO)

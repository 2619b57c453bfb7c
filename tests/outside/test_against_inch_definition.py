"""Inches against their definition and against printed conversion tables.

Sources: the international yard and pound agreement, in force since 1 July 1959: 1 yd = 0.9144 m exactly, hence
1 ft = 0.3048 m, 1 in = 25.4 mm and 1 mil = 0.0254 mm exactly (NIST SP 811, appendix B). The arithmetic on this side
is Python's decimal, exact here, while jiggen uses fractions.
"""

from decimal import Decimal, localcontext

import pytest

from jiggen.units import format_inch, format_mm, format_sixty_fourth, parse_length

YARD_MM = Decimal("914.4")
INCH_MM = YARD_MM / 36


def mm(text: str) -> float:
    return parse_length(text, where="here").mm


def test_the_inch_is_the_36th_part_of_the_yard() -> None:
    assert Decimal("25.4") == INCH_MM
    assert Decimal(mm("1in")) == Decimal(float(INCH_MM))
    assert mm("3ft") == float(YARD_MM)
    assert mm("1000thou") == float(INCH_MM)
    assert mm("1mil") == 0.0254


@pytest.mark.parametrize("under", [2, 4, 8, 16, 32, 64])
def test_every_fraction_to_sixty_fourths_up_to_forty_inches(under: int) -> None:
    with localcontext() as context:
        context.prec = 60
        for count in range(1, 40 * under):
            whole, over = divmod(count, under)
            exact = float(
                Decimal(count) * INCH_MM / under
            )  # a 64th ends after six decimals: exact until this float
            texts = [f"{count}/{under}in"]
            if over:
                texts += [f"{whole} {over}/{under}in", f'{whole}-{over}/{under}"'] if whole else []
            else:
                texts += [f"{whole}in", f'{whole}.0"']
            for text in texts:
                assert mm(text) == exact, text


@pytest.mark.parametrize(
    ("text", "printed"),
    # Source: decimal equivalents as on any machinist's chart; from memory, and checked by the exact test above.
    [
        ("1/64in", "0.396875"),
        ("1/32in", "0.79375"),
        ("1/16in", "1.5875"),
        ("1/8in", "3.175"),
        ("3/16in", "4.7625"),
        ("1/4in", "6.35"),
        ("3/8in", "9.525"),
        ("1/2in", "12.7"),
        ("5/8in", "15.875"),
        ("3/4in", "19.05"),
        ("63/64in", "25.003125"),
        (".012in", "0.3048"),
        (".023in", "0.5842"),
        (".053in", "1.3462"),
        ("1-11/16in", "42.8625"),
        ("13 7/8in", "352.425"),
        ("24.75in", "628.65"),
        ("25.5in", "647.7"),
        ("34in", "863.6"),
    ],
)
def test_printed_tables(text: str, printed: str) -> None:
    assert mm(text) == float(printed)


def test_printing_in_inches_rounds_the_exact_quotient() -> None:
    for hundredths in range(1, 100_000, 7):
        exact = Decimal(hundredths) / 100 / INCH_MM
        shown = Decimal(format_inch(hundredths / 100).removesuffix(" in"))
        assert abs(shown - exact) <= Decimal("0.0005"), hundredths


def test_the_nearest_sixty_fourth_is_never_further_than_half_of_one() -> None:
    for hundredths in range(1, 100_000, 7):
        length = Decimal(hundredths) / 100
        fraction, _, error = format_sixty_fourth(float(length)).partition("″ (")
        whole, _, part = fraction.rpartition(" ") if "/" in fraction else (fraction, "", "0/1")
        over, under = part.split("/")
        shown = (Decimal(whole or 0) + Decimal(over) / Decimal(under)) * INCH_MM
        assert abs(shown - length) <= INCH_MM / 128
        printed = error.removesuffix(" mm)").replace("−", "-").replace("±", "")
        assert abs(Decimal(printed) - (shown - length)) <= Decimal("0.005"), hundredths


def test_printing_in_millimetres() -> None:
    assert format_mm(float(INCH_MM * 27 / 16)) == "42.86 mm"

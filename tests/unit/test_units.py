"""Lengths: every way to type one is read exactly, everything else is refused in a sentence that helps."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jiggen.errors import InputError, JiggenError
from jiggen.units import (
    LONGEST_MM,
    exact_mm,
    format_both,
    format_inch,
    format_mm,
    format_sixty_fourth,
    parse_length,
    parse_unit,
)

MICRON = 0.001  # mm


def mm(text: str, **options: str) -> float:
    return parse_length(text, where="here", **options).mm


def refusal(text: str, **options: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_length(text, where="--nut", **options)
    return str(caught.value)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("42mm", 42.0),
        ("42 mm", 42.0),
        ("  42 mm\n", 42.0),
        ("4.2 cm", 42.0),
        ("0.3m", 300.0),
        ("50um", 0.05),
        ("50 µm", 0.05),
        ("50 μm", 0.05),
        ("+42mm", 42.0),
        ("42.mm", 42.0),
        (".5mm", 0.5),
        ("25.5in", 647.7),
        ("25.5 in.", 647.7),
        (".125in", 3.175),
        ('25 1/2"', 647.7),
        ("25 1/2''", 647.7),
        ("25 1/2″", 647.7),
        ("25 1/2”", 647.7),
        ("25½”", 647.7),
        ("1-11/16 in", 42.8625),
        ("1–11/16 in", 42.8625),
        ("1‑11/16 in", 42.8625),
        ('2-1/8"', 53.975),
        ("1 3/4 inches", 44.45),
        ("1 3/4 Inches", 44.45),
        ("1 inch", 25.4),
        ("½in", 12.7),
        ('1½"', 38.1),
        ('1 ½"', 38.1),
        ("⅛in", 3.175),
        ("1⅟16in", 26.9875),
        ("11⁄16in", 17.4625),
        ("11 / 16 in", 17.4625),
        ("5/4in", 31.75),
        ("1' 1\"", 330.2),
        ("1'1\"", 330.2),
        ("1′ 1″", 330.2),
        ("1’ 1”", 330.2),
        ("1'-1\"", 330.2),
        ("1 ft 1 in", 330.2),
        ("1 foot 1 inch", 330.2),
        ("2 feet 1 1/2 in", 647.7),
        ("2ft", 609.6),
        ("2'", 609.6),
        ("12thou", 0.3048),
        ("12 mil", 0.3048),
        ("42MM", 42.0),
        ("1 In", 25.4),
        ("1 FT 1 IN", 330.2),
        ("4 CM", 40.0),
        ("42\u00a0mm", 42.0),
        ("1\u202f3/4\u2009in", 44.45),
        ("４２ｍｍ", 42.0),
        ("42㎜", 42.0),
        ("42 millimetres", 42.0),
        ("42 millimeters", 42.0),
    ],
)
def test_reads_what_makers_type(text: str, expected: float) -> None:
    assert mm(text) == expected


def test_keeps_the_words() -> None:
    assert parse_length(' 25 1/2" ', where="here").text == '25 1/2"'


def test_a_bare_number_takes_the_unit_that_is_set() -> None:
    assert mm("42", unit="mm") == 42.0
    assert mm("1 11/16", unit="in") == 42.8625
    assert mm("1in", unit="mm") == 25.4
    assert parse_length("628", where="here", unit="mm").text == "628 mm"


def test_signs() -> None:
    assert mm("-1-1/2in", allow="any") == -38.1
    assert mm("−3 mm", allow="any") == -3.0
    assert mm("0mm", allow="non-negative") == 0.0
    assert math.copysign(1.0, mm("-0mm", allow="any")) == 1.0


EXAMPLES = "expected a length such as 42mm, 25.5in or 1-11/16in"
KNOWN = "expected one of the units mm, cm, m, um, in, ft, thou"


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", f"--nut: got nothing, {EXAMPLES}"),
        (" \t", f"--nut: got nothing, {EXAMPLES}"),
        ("mm", f'--nut: got "mm", {EXAMPLES}'),
        ("nan", f'--nut: got "nan", {EXAMPLES}'),
        ("inf", f'--nut: got "inf", {EXAMPLES}'),
        ("-inf mm", f'--nut: got "-inf mm", {EXAMPLES}'),
        ("42", '--nut: got "42", expected a length with a unit. Write 42mm or 42in.'),
        ("1/2", '--nut: got "1/2", expected a length with a unit. Write 1/2mm or 1/2in.'),
        ("25,4 mm", '--nut: got "25,4 mm", expected a point before the decimals. Write 25.4 mm'),
        ("25,5in", '--nut: got "25,5in", expected a point before the decimals. Write 25.5in'),
        ("1,000.5mm", '--nut: got "1,000.5mm", expected a point before the decimals. Leave out the commas.'),
        ("1.000,5mm", '--nut: got "1.000,5mm", expected a point before the decimals. Leave out the commas.'),
        ("1/0in", '--nut: got "1/0in", expected a fraction with something other than 0 under its line'),
        ("1 1/2 1/4 in", f'--nut: got "1 1/2 1/4 in", {EXAMPLES}'),
        ("5/4/3in", f'--nut: got "5/4/3in", {EXAMPLES}'),
        ("1 5/4in", '--nut: got "1 5/4in", expected a fraction below one after the whole number'),
        ("1 4/4in", '--nut: got "1 4/4in", expected a fraction below one after the whole number'),
        ("1.5 1/2in", f'--nut: got "1.5 1/2in", {EXAMPLES}'),
        ("25.4.1mm", f'--nut: got "25.4.1mm", {EXAMPLES}'),
        ("1 000 mm", f'--nut: got "1 000 mm", {EXAMPLES}'),
        ("1'000 mm", f'--nut: got "1\'000 mm", {EXAMPLES}'),
        ("1'000\"", f'--nut: got "1\'000"", {EXAMPLES}'),
        ("1_000mm", f'--nut: got "1_000mm", {EXAMPLES}'),
        ("1 - 1/2in", f'--nut: got "1 - 1/2in", {EXAMPLES}'),
        ("½2mm", f'--nut: got "½2mm", {EXAMPLES}'),
        ("4²mm", f'--nut: got "4²mm", {EXAMPLES}'),
        ("٤٢mm", f'--nut: got "٤٢mm", {EXAMPLES}'),
        ("\u200e42mm", f'--nut: got "\\u200e42mm", {EXAMPLES}'),
        ("\ud80042mm", f'--nut: got "\\ud80042mm", {EXAMPLES}'),
        ("42mm!", f'--nut: got "42mm!", {EXAMPLES}'),
        ("1e3mm", '--nut: got "1e3mm", expected a length without an exponent. Write all its digits.'),
        ("1e400mm", '--nut: got "1e400mm", expected a length without an exponent. Write all its digits.'),
        ("1E-3mm", '--nut: got "1E-3mm", expected a length without an exponent. Write all its digits.'),
        ("-3mm", '--nut: got "-3mm", expected a length above zero'),
        ("0mm", '--nut: got "0mm", expected a length above zero'),
        ("100.1m", '--nut: got "100.1m", expected a length of at most 100 m'),
        ("0.0009mm", '--nut: got "0.0009mm", expected a length of at least 0.001 mm'),
        ("3 furlongs", f'--nut: got "3 furlongs", {KNOWN}'),
        ("3 inchs", f'--nut: got "3 inchs", {KNOWN}. Did you mean inches?'),
        ("3 Mm", f'--nut: got "3 Mm", {KNOWN}. Mm is a megametre: write mm for millimetres.'),
        ("3 M", f'--nut: got "3 M", {KNOWN}. M is not a length: write m for metres, mm for millimetres.'),
        ("3 mM", f'--nut: got "3 mM", {KNOWN}. mM is not a length: write mm for millimetres.'),
        ("3 cM", f'--nut: got "3 cM", {KNOWN}. cM is not a length: write cm for centimetres.'),
        (
            "1m 20cm",
            '--nut: got "1m 20cm", expected one number with one unit. Only feet take inches after them: 1ft 1in.',
        ),
        ("1ft 12in", '--nut: got "1ft 12in", expected less than 12 inches after the feet'),
        ("1 1/2ft 1in", f'--nut: got "1 1/2ft 1in", {EXAMPLES}'),
        ("1'1", f'--nut: got "1\'1", {EXAMPLES}'),
    ],
)
def test_refuses_in_these_words(text: str, sentence: str) -> None:
    assert refusal(text) == sentence


def test_negative_is_refused_where_nought_is_right() -> None:
    assert refusal("-3mm", allow="non-negative") == '--nut: got "-3mm", expected zero or a length above it'


def test_a_million_digits_are_refused_and_not_quoted_in_full() -> None:
    nines = "9" * 1_000_000
    assert (
        refusal(nines)
        == f'--nut: got "{"9" * 40}…" (1000000 characters), expected a length in at most 64 characters'
    )


@pytest.mark.parametrize(
    ("name", "symbol"),
    [("mm", "mm"), ("MM", "mm"), (" inches ", "in"), ('"', "in"), ("feet", "ft"), ("mil", "mil")],
)
def test_unit_names(name: str, symbol: str) -> None:
    assert parse_unit(name, where="here") == symbol


def test_unknown_unit_name() -> None:
    with pytest.raises(InputError) as caught:
        parse_unit("parsec", where="w.toml, line 3, units")
    assert str(caught.value) == f'w.toml, line 3, units: got "parsec", {KNOWN}'


@pytest.mark.parametrize(
    ("length", "as_mm", "as_inch", "as_64th", "as_both", "as_exact"),
    [
        (42.8625, "42.86 mm", "1.688 in", "1 11/16″ (±0.00 mm)", "42.86 mm (1.688 in)", "42.8625 mm"),
        (628.0, "628.00 mm", "24.724 in", "24 23/32″ (−0.14 mm)", "628.00 mm (24.724 in)", "628 mm"),
        (42.6, "42.60 mm", "1.677 in", "1 43/64″ (−0.13 mm)", "42.60 mm (1.677 in)", "42.6 mm"),
        (42.5, "42.50 mm", "1.673 in", "1 43/64″ (−0.03 mm)", "42.50 mm (1.673 in)", "42.5 mm"),
        (42.4, "42.40 mm", "1.669 in", "1 43/64″ (+0.07 mm)", "42.40 mm (1.669 in)", "42.4 mm"),
        (647.7, "647.70 mm", "25.500 in", "25 1/2″ (±0.00 mm)", "647.70 mm (25.500 in)", "647.7 mm"),
        (25.4, "25.40 mm", "1.000 in", "1″ (±0.00 mm)", "25.40 mm (1.000 in)", "25.4 mm"),
        (12.7, "12.70 mm", "0.500 in", "1/2″ (±0.00 mm)", "12.70 mm (0.500 in)", "12.7 mm"),
        (0.0, "0.00 mm", "0.000 in", "0″ (±0.00 mm)", "0.00 mm (0.000 in)", "0 mm"),
        (-0.001, "0.00 mm", "0.000 in", "0″ (±0.00 mm)", "0.00 mm (0.000 in)", "-0.001 mm"),
        (-12.7, "-12.70 mm", "-0.500 in", "−1/2″ (±0.00 mm)", "-12.70 mm (-0.500 in)", "-12.7 mm"),
        (1e-7, "0.00 mm", "0.000 in", "0″ (±0.00 mm)", "0.00 mm (0.000 in)", "0.0000001 mm"),
    ],
)
def test_printing(length: float, as_mm: str, as_inch: str, as_64th: str, as_both: str, as_exact: str) -> None:
    assert format_mm(length) == as_mm
    assert format_inch(length) == as_inch
    assert format_sixty_fourth(length) == as_64th
    assert format_both(length) == as_both
    assert exact_mm(length) == as_exact


@pytest.mark.parametrize("write", [format_mm, format_inch, format_sixty_fourth, format_both, exact_mm])
@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf])
def test_what_is_no_length_is_not_printed(write: object, number: float) -> None:
    with pytest.raises((ValueError, OverflowError)):
        write(number)  # type: ignore[operator]


LENGTHS = st.floats(min_value=-LONGEST_MM + 1, max_value=LONGEST_MM - 1).filter(lambda x: abs(x) >= 0.01)


@given(LENGTHS)
def test_printed_millimetres_read_back_to_a_hundredth(length: float) -> None:
    assert abs(mm(format_mm(length), allow="any") - length) <= 0.005 + 1e-10


@given(LENGTHS)
def test_printed_inches_read_back_to_a_thousandth(length: float) -> None:
    assert abs(mm(format_inch(length), allow="any") - length) <= 0.0127 + 1e-9


@given(LENGTHS)
def test_printed_sixty_fourths_read_back_and_the_error_shown_is_the_error_made(length: float) -> None:
    inches, _, error = format_sixty_fourth(length).partition(" (")
    back = mm(inches, allow="any")
    assert abs(back - length) <= 0.1984375 + 1e-9  # half of 1/64 in
    shown = mm(error.rstrip(")").replace("±", ""), allow="any") if "0.00" not in error else 0.0
    assert abs(shown - (back - length)) <= 0.005 + 1e-9


@given(st.floats(min_value=0.001, max_value=LONGEST_MM))
def test_the_exact_text_reads_back_to_the_very_same_number(length: float) -> None:
    text = exact_mm(length)
    if len(text) <= 64:
        assert mm(text) == length


@given(
    st.integers(0, 90),
    st.integers(1, 63),
    st.sampled_from([2, 4, 8, 16, 32, 64]),
    st.sampled_from(["{} {}/{}in", '{}-{}/{}"', "{} {}⁄{} inches", "  {}\u00a0{}/{}″"]),
)
def test_fractions_are_exact(whole: int, over: int, under: int, form: str) -> None:
    over %= under
    expected = float((whole + Fraction(over, under)) * Fraction(254, 10))
    if expected > 0:
        assert mm(form.format(whole, over, under)) == expected


@given(st.text(max_size=70))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        length = mm(text, allow="any")
    except JiggenError:
        return
    assert math.isfinite(length)


@given(st.text(alphabet="0123456789./-+ '\"½⅟⁄,eEmcinftuMk²–㎜", max_size=20))
@settings(max_examples=300)
def test_any_text_of_the_right_letters_is_read_or_refused(text: str) -> None:
    try:
        length = parse_length(text, where="here", unit="mm", allow="any")
    except JiggenError:
        return
    assert abs(length.mm) <= LONGEST_MM
    assert parse_length(length.text, where="here", allow="any") == length

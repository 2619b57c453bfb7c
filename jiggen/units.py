"""Lengths as makers write them: reading and printing of mm, cm, m, inches, feet and fractions.

A length is read to an exact fraction and turned into a float once, at the end. Nothing here looks at the
locale. The only 25.4 of the house stands below.
"""

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from jiggen.errors import InputError, did_you_mean, quoted

Allow = Literal["positive", "non-negative", "any"]

#: Source: the international yard and pound agreement of 1959, exact (NIST SP 811, appendix B).
INCH = Fraction("25.4")
MM_PER_INCH = float(INCH)

LONGEST_TEXT = 64  #: characters
LONGEST_MM = 100_000  #: nothing that leaves the shop is longer than 100 m
SHORTEST_MM = Fraction("0.001")  #: below this a length is a slip of the pen, save for nought itself

#: Unit symbols, each with its size in mm. They may also be written in capitals, save those in `_OTHER_UNITS`.
_SYMBOLS = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "um": Fraction(1, 1000),
    "in": INCH,
    "ft": 12 * INCH,
    "thou": INCH / 1000,
    "mil": INCH / 1000,
}

#: Other ways to say them.
_WORDS = {
    '"': "in",
    "'": "ft",
    "inch": "in",
    "inches": "in",
    "foot": "ft",
    "feet": "ft",
    "mils": "mil",
    "micron": "um",
    "microns": "um",
} | {
    prefix + metre: symbol
    for prefix, symbol in (("milli", "mm"), ("centi", "cm"), ("", "m"), ("micro", "um"))
    for metre in ("metre", "metres", "meter", "meters")
}

#: Units of other things, which capitals would make of ours.
_OTHER_UNITS = {
    "Mm": "Mm is a megametre: write mm for millimetres.",
    "M": "M is not a length: write m for metres, mm for millimetres.",
    "mM": "mM is not a length: write mm for millimetres.",
    "cM": "cM is not a length: write cm for centimetres.",
}

_KNOWN = "mm, cm, m, um, in, ft, thou"
_EXAMPLES = "a length such as 42mm, 25.5in or 1-11/16in"

#: Signs that stand for plain ones. Spaces of every width are treated alike, and fractions are spelt out.
_PLAIN = str.maketrans(
    {
        "″": '"',
        "”": '"',
        "“": '"',
        "‟": '"',
        "ʺ": '"',
        "′": "'",
        "’": "'",
        "‘": "'",
        "‛": "'",
        "ʹ": "'",
        "´": "'",
        "⁄": "/",
        "∕": "/",
        "‐": "-",
        "‑": "-",
        "‒": "-",
        "–": "-",
        "−": "-",
        "µ": "u",
        "μ": "u",
    }
)

# Compiled where they are first used, which spares each start of the program a few milliseconds.
_NUMBER = r"(?:(?:\d+[ -])?\d+ ?/ ?\d+|\d+\.?\d*|\.\d+)"
_UNIT = r"(?:[A-Za-z]+\.?|[\"'])"
_ONE = rf"([+-]? ?)({_NUMBER}) ?({_UNIT}?)"
_TWO = rf"([+-]? ?)(\d+) ?({_UNIT})(?: |-| - )?(?!\d\d\d)({_NUMBER}) ?({_UNIT})"
_EXPONENT = r"\d[eE][+-]?\d"

#: Makes the error for an expectation and a way to mend it; the place and the value are known to it.
_Wrong = Callable[[str, str], InputError]


@dataclass(frozen=True, slots=True)
class Length:
    """A length with the words in which it was given.

    Attributes:
        mm: Millimetres.
        text: As it was typed; a bare number has its unit added: `628 mm`.
    """

    mm: float
    text: str


def parse_length(text: str, *, where: str, unit: str | None = None, allow: Allow = "positive") -> Length:
    """Reads a length as a maker writes it.

    Reads `42mm`, `4.2 cm`, `0.3m`, `25.5in`, `.125in`, `12thou`, `25 1/2"`, `1-11/16 in`, `1 3/4 inches`, `1½″`,
    `1' 1"` and `1 ft 1 1/2 in`. Decimals stand after a point. A comma is refused, so that it can never be taken
    for the wrong one of decimals and thousands, and so are exponents. Symbols may be in capitals where these
    mean nothing else (`MM`, but not `Mm`).

    Args:
        text: What was typed.
        where: The place, for errors.
        unit: The unit of a bare number; None refuses bare numbers.
        allow: Which signs are right: `positive`, `non-negative` (nought too) or `any`.

    Raises:
        InputError: If it cannot be read, has the wrong sign, is longer than 100 m, or is shorter than 0.001 mm
            and not nought.
    """
    wrong = _wrong(where, text)
    if len(text) > LONGEST_TEXT:
        raise wrong(f"a length in at most {LONGEST_TEXT} characters", "")
    plain = _plain(text)
    if mistake := _mistake(plain):
        raise wrong(*mistake)
    typed = text.strip()
    if two := re.fullmatch(_TWO, plain, re.ASCII):
        sign, feet, foot, inches, inch = two.groups()
        amount = _feet_and_inches(feet, foot, inches, inch, wrong)
    elif one := re.fullmatch(_ONE, plain, re.ASCII):
        sign, number, given = one.groups()
        if not given and unit is None:
            raise wrong("a length with a unit", f"Write {number}mm or {number}in.")
        amount = _amount(number, wrong) * _SYMBOLS[_symbol(given or unit or "", wrong)]
        typed = typed if given else f"{typed} {unit}"
    else:
        raise wrong(_EXAMPLES, "")
    if sign.strip() == "-":
        amount = -amount
    _check_size(amount, allow, wrong)
    return Length(float(amount), typed)


def parse_unit(text: str, *, where: str) -> str:
    """Reads the name of a unit, for the numbers that are written without one.

    Returns:
        Its symbol: `mm`, `cm`, `m`, `um`, `in`, `ft`, `thou` or `mil`.

    Raises:
        InputError: If it is not known.
    """
    return _symbol(text.strip(), _wrong(where, text))


def parse_angle(text: str, *, where: str) -> float:
    """Reads an angle, in radians: `1.5 deg`, `1.5°`, `-2 degrees`, `0.03 rad`.

    Args:
        text: What was typed.
        where: Its place, for messages.

    Raises:
        InputError: If it is no such angle.
    """
    match = re.fullmatch(
        r"([+-]?(?:[0-9]{1,4}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})) ?(deg|degrees?|°|rad|radians?)", text.strip()
    )
    if match is None:
        raise InputError(where=where, got=quoted(text), expected="an angle such as 1.5 deg or 0.03 rad")
    value = float(match[1])
    return value if match[2].startswith("rad") else math.radians(value)


def format_mm(mm: float) -> str:
    """Returns a length in millimetres to 0.01 mm: `42.86 mm`."""
    return f"{_fixed(mm, 2)} mm"


def format_inch(mm: float) -> str:
    """Returns a length in inches to 0.001 in: `1.688 in`."""
    return f"{_fixed(mm / float(INCH), 3)} in"


def format_sixty_fourth(mm: float) -> str:
    """Returns a length to the nearest 1/64 inch and what that is too much, in mm: `1 11/16″ (+0.01 mm)`."""
    count = round(Fraction(mm) * 64 / INCH)  # halfway goes to the even one
    whole, part = divmod(abs(count), 64)
    sign = "−" if count < 0 else ""
    fraction = str(Fraction(part, 64)) if part else ""
    inches = f"{whole} {fraction}" if whole and part else fraction or str(whole)
    error = _fixed(float(count * INCH / 64 - Fraction(mm)), 2)
    shown = (
        f"±{error}"
        if float(error) == 0
        else error.replace("-", "−")
        if error.startswith("-")
        else f"+{error}"
    )
    return f"{sign}{inches}″ ({shown} mm)"


def format_both(mm: float) -> str:
    """Returns a length in both: `42.86 mm (1.688 in)`."""
    return f"{format_mm(mm)} ({format_inch(mm)})"


def exact_mm(mm: float) -> str:
    """Returns the shortest text in millimetres that reads back to the very same number: `42.8625 mm`."""
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is not a length")
    return f"{Decimal(repr(mm)):f}".removesuffix(".0") + " mm"


def _fixed(number: float, places: int) -> str:
    """Returns fixed decimals, never `-0.00`.

    Raises:
        ValueError: If the number is not finite, which no length is.
    """
    if not math.isfinite(number):
        raise ValueError(f"{number} is not a length")
    text = f"{number:.{places}f}"
    return text.removeprefix("-") if float(text) == 0 else text


def _wrong(where: str, text: str) -> _Wrong:
    """Returns a maker of errors about one text."""
    got = quoted(text.strip()) if text.strip() else "nothing"
    return lambda expected, mend: InputError(where=where, got=got, expected=expected, mend=mend)


def _plain(text: str) -> str:
    """Returns the text in plain signs and single spaces.

    Sign by sign, since normalising the whole (NFKC) would make 11/2 of 1½ and 42 of 4². Only full-width and
    squared forms (as of `mm` in one sign) and spaces are taken for what they look like; anything else that is not
    plain stays as it is, to be refused.
    """
    plain = []
    for sign in text.translate(_PLAIN):
        kind = unicodedata.decomposition(sign).partition(" ")[0]
        if sign.isspace():
            plain.append(" ")
        elif kind == "<fraction>":
            over, _, under = unicodedata.normalize("NFKC", sign).partition("⁄")
            plain.append(
                f" {over}/{under} " if under else f" {over}/"
            )  # a lone 1/ takes what follows under it
        elif kind in {"<wide>", "<square>"}:
            plain.append(unicodedata.normalize("NFKC", sign).translate(_PLAIN))
        else:
            plain.append(sign)
    return " ".join("".join(plain).replace("''", '"').split())


def _mistake(plain: str) -> tuple[str, str] | None:
    """Returns what was expected, and how to mend it, for the mistakes that have a reason."""
    if "," in plain:
        once = plain.count(",") == 1 and "." not in plain
        return (
            "a point before the decimals",
            f"Write {plain.replace(',', '.')}" if once else "Leave out the commas.",
        )
    if re.search(_EXPONENT, plain, re.ASCII):
        return "a length without an exponent", "Write all its digits."
    return None


def _feet_and_inches(feet: str, foot: str, inches: str, inch: str, wrong: _Wrong) -> Fraction:
    """Returns the size in mm of two numbers with their units."""
    if (_symbol(foot, wrong), _symbol(inch, wrong)) != ("ft", "in"):
        raise wrong("one number with one unit", "Only feet take inches after them: 1ft 1in.")
    rest = _amount(inches, wrong)
    if rest >= 12:
        raise wrong("less than 12 inches after the feet", "")
    return int(feet) * _SYMBOLS["ft"] + rest * INCH


def _amount(number: str, wrong: _Wrong) -> Fraction:
    """Returns the number of `25.5`, `11/16`, `1 11/16` or `1-11/16`."""
    left, slash, under = number.partition("/")
    if not slash:
        return Fraction(number if number[-1] != "." else number[:-1])
    if int(under) == 0:
        raise wrong("a fraction with something other than 0 under its line", "")
    *whole, over = left.replace("-", " ").split()
    if whole and int(over) >= int(under):
        raise wrong("a fraction below one after the whole number", "")
    return Fraction(int(over), int(under)) + sum(int(each) for each in whole)


def _symbol(unit: str, wrong: _Wrong) -> str:
    """Returns the symbol of a unit in any of its spellings."""
    name = unit.removesuffix(".")
    if name in _OTHER_UNITS:
        raise wrong(f"one of the units {_KNOWN}", _OTHER_UNITS[name])
    low = name.lower()
    symbol = _WORDS.get(low, low)
    if symbol not in _SYMBOLS:
        raise wrong(f"one of the units {_KNOWN}", did_you_mean(low, [*_SYMBOLS, *_WORDS]))
    return symbol


def _check_size(amount: Fraction, allow: Allow, wrong: _Wrong) -> None:
    """Refuses what has the wrong sign or is no size for a workshop."""
    if allow == "positive" and amount <= 0:
        raise wrong("a length above zero", "")
    if allow == "non-negative" and amount < 0:
        raise wrong("zero or a length above it", "")
    if abs(amount) > LONGEST_MM:
        raise wrong("a length of at most 100 m", "")
    if 0 < abs(amount) < SHORTEST_MM:
        raise wrong("a length of at least 0.001 mm", "")

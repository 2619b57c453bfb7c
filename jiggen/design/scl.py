r"""Reads a scale file (.scl): text in, pitches out.

The published page of the format says: a line that starts with `!` is a comment; the first other line describes the
scale and may be empty; the next holds the number of pitches; then comes one pitch a line, the last being the
period. A value with a period in it is cents, any other is a ratio, an integer n meaning n/1; what follows a value
is ignored; a negative ratio is an error, negative cents are not. The first note, 1/1, is never listed. Files are
plain ASCII or Latin-1.
"""

import re
from dataclasses import dataclass
from fractions import Fraction

from jiggen.errors import InputError, JiggenError, LimitError, quoted, raise_all

#: Larger files are refused unread. The largest scales in use fill 7 kB: common practice, surveyed 2026.
MOST_BYTES = 262_144
#: More pitches are refused unread: even a step of one cent needs but 1200 to the octave.
MOST_PITCHES = 10_000
#: Digits of a number. The format asks for numbers up to 2³¹ − 1, which has 10; 25 digits have been met.
MOST_DIGITS = 60
#: Faulty lines reported together before the rest is left unread.
_MOST_FAULTS = 10

_UTF8_MARK, _UTF16_MARKS = b"\xef\xbb\xbf", (b"\xff\xfe", b"\xfe\xff")
_LINE_END = re.compile(r"\r\n|\r|\n")  # str.splitlines would also split at Latin-1 letters such as \x85
_COUNT = re.compile(r"[ \t]*([0-9]{1,9})[ \t]*(?:!.*)?")
_NUMBER = rf"[0-9]{{1,{MOST_DIGITS}}}"
# What follows must not look like more of the value: 1.2.3, 3/2/1, 697//441, 701,955 and 1e3 are no pitches.
_END = r"(?![0-9.,:/^*+-]|[eE][+-]?[0-9])"
_CENTS = re.compile(rf"[ \t]*(-?(?:{_NUMBER}\.[0-9]*|\.[0-9]+)){_END}")
_RATIO = re.compile(rf"[ \t]*(-?{_NUMBER})(?:/(-?{_NUMBER}))?{_END}")


@dataclass(frozen=True, slots=True, kw_only=True)
class SclScale:
    """A scale as its file lists it.

    Attributes:
        description: The one line of description; may be empty.
        pitches: In the order of the file, without the 1/1 that starts every scale. A `Fraction` is a frequency
            ratio above the first note, a `float` is cents above it. The last is the period. May be empty.
    """

    description: str
    pitches: tuple[Fraction | float, ...]


def scl_text(data: bytes, *, where: str) -> str:
    """Returns the text in the bytes of a scale file.

    Args:
        data: The whole file, or at least its first `MOST_BYTES` + 1 bytes.
        where: The file's name, for messages.

    Raises:
        LimitError: If there are more than `MOST_BYTES`.
        InputError: If it is not text in ASCII or Latin-1. A mark of UTF-8 at the start is tolerated.

    Source: the format's published page: ASCII or 8-bit; archive files are Latin-1.
    """
    if len(data) > MOST_BYTES:
        raise _too_large(where)
    expected, mend = "plain text in ASCII or Latin-1", "Save the scale as plain text."
    if data.startswith(_UTF16_MARKS):
        raise InputError(where=where, got="text in UTF-16", expected=expected, mend=mend)
    if b"\0" in data:
        raise InputError(where=where, got="a file with zero bytes in it", expected=expected, mend=mend)
    return data.removeprefix(_UTF8_MARK).decode("latin-1")


def parse_scl(text: str, *, where: str) -> SclScale:
    r"""Returns the scale that a text in the .scl format describes.

    Args:
        text: The whole text, lines ended by \n, \r\n or \r.
        where: The file's name, for messages.

    Raises:
        LimitError: If the text is longer than `MOST_BYTES` characters or counts more than `MOST_PITCHES`.
        InputError: If description, count or pitches are missing, a pitch cannot be read, or the count and the lines
            that follow it disagree. Several faulty pitches are reported together, each with its line.

    Source: the format's published page, as told at the top of this module.
    """
    if len(text) > MOST_BYTES:
        raise _too_large(where)
    lines = [
        (number, line)
        for number, line in enumerate(_LINE_END.split(text.rstrip("\x1a")), start=1)
        if not line.startswith("!")
    ]
    while lines and not lines[-1][1].strip():
        lines.pop()
    if len(lines) < 2:
        raise InputError(
            where=where,
            got="a file that ends before the number of pitches",
            expected="a line of description, a line with the number of pitches, and the pitches, one a line",
            mend="Leave the line of description empty if there is none.",
        )
    (_, description), (count_line, count_text), *rest = lines
    count = _count(count_text, where=f"{where}, line {count_line}")
    _check_count(count, rest, count_line=count_line, where=where)
    pitches: list[Fraction | float] = []
    faults: list[JiggenError] = []
    for number, line in rest:
        try:
            pitches.append(_pitch(line, where=f"{where}, line {number}"))
        except InputError as fault:
            faults.append(fault)
            if len(faults) == _MOST_FAULTS:
                break
    raise_all(faults)
    return SclScale(description=description.strip(), pitches=tuple(pitches))


def _count(text: str, *, where: str) -> int:
    found = _COUNT.fullmatch(text)
    if found is None:
        raise InputError(
            where=where,
            got=quoted(text.strip()),
            expected="the number of pitches, such as 12",
            mend="Put the description into one line before it, left empty if there is none.",
        )
    count = int(found[1])
    if count > MOST_PITCHES:
        raise LimitError(where=where, got=f"{count} pitches", expected=f"at most {MOST_PITCHES}")
    return count


def _check_count(count: int, rest: list[tuple[int, str]], *, count_line: int, where: str) -> None:
    if len(rest) < count:
        raise InputError(
            where=f"{where}, line {count_line}",
            got=f"a count of {count}",
            expected=f"{len(rest)}, as many as there are pitches below it",
            mend="Correct the count, or add the missing pitches.",
        )
    if len(rest) > count:
        number, line = rest[count]
        raise InputError(
            where=f"{where}, line {number}",
            got=quoted(line.strip()),
            expected=f"no more lines after {count} pitches, the count in line {count_line}",
            mend="Correct the count, or begin the line with ! to make it a comment.",
        )


def _pitch(line: str, *, where: str) -> Fraction | float:
    if found := _CENTS.match(line):
        return float(found[1])
    found = _RATIO.match(line)
    if found is None:
        raise InputError(
            where=where,
            got=quoted(line.strip()),
            expected="a pitch: a ratio such as 3/2, or cents with a period such as 701.955",
        )
    over, under = int(found[1]), int(found[2] or 1)
    if over <= 0 or under <= 0:
        raise InputError(
            where=where,
            got=quoted(found[0].strip()),
            expected="a ratio of two numbers above 0",
            mend="Write a period into the value if cents are meant." if found[2] is None else "",
        )
    return Fraction(over, under)


def _too_large(where: str) -> LimitError:
    return LimitError(
        where=where,
        got=f"more than {MOST_BYTES} bytes",
        expected=f"a scale file of at most {MOST_BYTES} bytes",
        mend="Check that this is a scale file.",
    )

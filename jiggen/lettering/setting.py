"""Setting a line: which glyph stands where, in whole font units, the same on every machine."""

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from jiggen.errors import InputError, quoted
from jiggen.geometry.box import Box, around
from jiggen.geometry.point import Point
from jiggen.lettering.accents import glyph
from jiggen.lettering.fractions import RAISED, Stacked, find_fractions, fraction_glyph, raised_glyph
from jiggen.lettering.glyphs import PEN, Glyph

#: Between characters, ink to ink: 0.2 h. Source: ISO 3098 type B.
GAP = 20
#: Between two characters whose shapes leave a hole, half as much, as the standard allows for pairs like LA, TV.
NARROW_GAP = 10

#: Which character leaves a hole before which.
_HOLES = {
    "A": "TVWYTy'’”″",
    "F": "A.,…aceo",
    "K": "OCGo",
    "L": "TVWYy'’”″",
    "P": "A.,…J",
    "R": "TVWY",
    "T": "AJ.,…-–acdegmnopqrsuvwxyz",
    "V": "AJ.,…-–aceo",
    "W": "AJ.,…aeo",
    "Y": "AJ.,…-–aceoqsu",
    "f": ".,…acdegjoq",
    "r": ".,…acdegoq",
    "v": ".,…",
    "w": ".,…",
    "y": ".,…",
}


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line of text in font units, its ink starting at x = 0 on the baseline y = 0.

    Attributes:
        text: As it was given.
        width: From the first character's field to the end of the last one's, ink to ink.
        glyphs: What stands on the line, each with the place of its own origin.
        ink: Bounds of what the pen leaves; None for a line without ink.
    """

    text: str
    width: int
    glyphs: tuple[tuple[Glyph, int], ...]
    ink: Box | None


def set_line(text: str, *, where: str, fractions: bool) -> SetLine:
    """Returns the line of a text without line breaks.

    A straight quote right after a figure or a fraction is set as an inch mark ″, and an apostrophe there, unless
    a letter follows, as a foot mark ′.

    Args:
        text: What to set.
        where: The place of the text, for messages.
        fractions: Whether figures slash figures are set as a fraction.

    Raises:
        InputError: If the lettering lacks a character.
    """
    line, lacking = _set(text, fractions=fractions)
    if lacking:
        raise _lacks(lacking, text, where)
    return line


@lru_cache(
    maxsize=4096
)  # pure; a line is set for each height that is tried, and the same words stand on many parts
def _set(text: str, *, fractions: bool) -> tuple[SetLine, tuple[str, ...]]:
    """Returns the line of what can be lettered, and the characters that cannot."""
    signs = _with_marks(find_fractions(unicodedata.normalize("NFC", text), typed=fractions))
    glyphs: list[tuple[Glyph, int]] = []
    lacking: dict[str, None] = {}
    pen, before = 0, ""
    for sign in signs:
        found = _glyph_of(sign)
        if found is None:
            lacking |= {sign: None} if isinstance(sign, str) else {}
            continue
        letter = unicodedata.normalize("NFD", sign)[0] if isinstance(sign, str) else "½"
        if glyphs:
            pen += NARROW_GAP if letter in _HOLES.get(before, "") else GAP
        glyphs.append((found, pen))
        pen += found.width + PEN
        before = letter
    inks = [_ink(found, x) for found, x in glyphs if found.strokes]
    return SetLine(text, pen, tuple(glyphs), around(inks) if inks else None), tuple(lacking)


def _with_marks(signs: Sequence[str | Stacked]) -> Iterator[str | Stacked]:
    for before, sign, after in zip(("", *signs), signs, (*signs[1:], ""), strict=False):
        figure = isinstance(before, Stacked) or (before.isascii() and before.isdigit())
        if sign == '"' and figure:
            yield "″"
        elif sign == "'" and figure and not (isinstance(after, str) and after.isalpha()):
            yield "′"
        else:
            yield sign


def _glyph_of(sign: str | Stacked) -> Glyph | None:
    if isinstance(sign, Stacked):
        return fraction_glyph(sign)
    return raised_glyph(RAISED[sign]) if sign in RAISED else glyph(sign)


def _ink(found: Glyph, x: int) -> Box:
    """The bounds of a glyph's ink: centre lines start half a pen in from the field and up from the baseline."""
    return Box(
        Point(found.box.low.x + x, found.box.low.y), Point(found.box.high.x + x + PEN, found.box.high.y + PEN)
    )


def _lacks(characters: Sequence[str], text: str, where: str) -> InputError:
    return InputError(
        where=where,
        got=f"{quoted(text)} with {', '.join(map(_described, characters))}",
        expected="characters that can be lettered",
        mend="Write it with Latin letters, accents among them, figures, fractions and common signs",
    )


def _described(character: str) -> str:
    name = unicodedata.name(character, "a control character")
    shown = f"{character} " if character.isprintable() and not unicodedata.combining(character) else ""
    return f"{shown}(U+{ord(character):04X}, {name.lower()})"

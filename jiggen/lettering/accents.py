"""Letters with accents, put together from base and accent as Unicode takes them apart."""

import unicodedata
from collections.abc import Iterator, Mapping
from functools import cache

from jiggen.geometry.path import Path
from jiggen.geometry.similarity import shifted
from jiggen.lettering.glyphs import DRAWN, SAME_AS, Glyph, drawn_glyph
from jiggen.lettering.pen import dot, stroke

#: Accents above a letter: x from its middle, y from its top.
ABOVE: Mapping[str, tuple[str, ...]] = {
    "\u0300": ("5,18 -7,30",),  # grave
    "\u0301": ("-5,18 7,30",),  # acute
    "\u0302": ("-13,18 0,30 13,18",),  # circumflex
    "\u0303": ("-16,19 0,24>100 ~16,29",),  # tilde
    "\u0304": ("-14,23 14,23",),  # macron
    "\u0306": ("-13,30 13,30<100",),  # breve
    "\u0307": (dot(0, 23),),  # dot above
    "\u0308": (dot(-11, 23), dot(11, 23)),  # diaeresis
    "\u030a": ("9,21 -9,21<180 9,21<180",),  # ring
    "\u030b": ("-10,18 -2,30", "6,18 14,30"),  # double acute
    "\u030c": ("-13,30 0,18 13,30",),  # caron
}
#: Accents below a letter: x from its middle (an ogonek: from its foot), y from the baseline.
BELOW: Mapping[str, tuple[str, ...]] = {
    "\u0323": (dot(0, -18),),  # dot below
    "\u0326": ("3,-14 -4,-30",),  # comma below
    "\u0327": ("1,0 -2,-10 -10,-27>180",),  # cedilla
    "\u0328": ("0,0 8,-28<120",),  # ogonek
}
CARON, CEDILLA, OGONEK = "\u030c", "\u0327", "\u0328"

#: Letters whose own top is that of a capital.
TALL = frozenset("bdfhklt")
#: Letters that lean on one stem: where it stands, and an accent above it; on others that is the middle.
STEM: Mapping[str, int] = {"f": 12, "j": 14, "l": 0, "t": 12}
#: Under an accent these lose their dot.
DOTLESS: Mapping[str, str] = {"i": "ı", "j": "ȷ"}
#: On these a caron is written as a comma beside the top: where its foot stands from the right edge, x and y.
CARON_BESIDE: Mapping[str, int] = {"d": 14, "t": 2, "l": -2, "L": -18}
#: Latvian letters, whose mark Unicode calls a cedilla but which is written as a comma.
COMMA_FOR_CEDILLA = frozenset("GKLNRklnr")
#: Where an ogonek hangs, x from the left; elsewhere at the middle.
FOOT: Mapping[str, int] = {"a": 44, "e": 30, "i": 3, "u": 42, "A": 66, "E": 40, "I": 0, "U": 34}

#: Letters with a stroke through them, which Unicode does not take apart: the base and the stroke.
OVERLAID: Mapping[str, tuple[str, str]] = {
    "ø": ("o", "0,-6 46,66"),
    "Ø": ("O", "0,-4 60,94"),
    "ł": ("l", "-11,36 11,52"),
    "Ł": ("L", "-12,34 22,56"),
    "đ": ("d", "24,74 58,74"),
    "Đ": ("D", "-12,47 26,47"),
    "ħ": ("h", "-12,74 22,74"),
    "Ħ": ("H", "-12,70 72,70"),
    "ŧ": ("t", "0,32 26,32"),
    "Ŧ": ("T", "14,44 46,44"),
}


@cache  # pure, like drawn_glyph
def glyph(character: str) -> Glyph | None:
    """Returns the glyph of a character, drawn as it stands or put together, or None if there is no way.

    Args:
        character: One character, composed (Unicode form NFC).
    """
    character = SAME_AS.get(character, character)
    if character in DRAWN:
        return drawn_glyph(character)
    if character in OVERLAID:
        base, through = OVERLAID[character]
        return Glyph.around((*drawn_glyph(base).strokes, stroke(through)))
    base, *marks = list(unicodedata.normalize("NFD", character))
    above = [mark for mark in marks if mark in ABOVE]
    below = [mark for mark in marks if mark in BELOW]
    if not marks or len(above) > 1 or len(below) > 1 or len(above) + len(below) < len(marks):
        return None
    bare = glyph(DOTLESS.get(base, base) if above else base)
    if bare is None:
        return None
    return Glyph.around((*bare.strokes, *(path for mark in marks for path in _accent(mark, base, bare))))


def _accent(mark: str, base: str, bare: Glyph) -> Iterator[Path]:
    middle = bare.width / 2.0
    if mark == CARON and base in CARON_BESIDE:
        x = bare.width + CARON_BESIDE[base]
        yield stroke(f"{x + 6},92 {x},70")
        return
    if mark == CEDILLA and base == "g":  # has a descender in the way: the comma goes above, turned
        yield stroke(f"{middle + 4},92 {middle - 4},73<44")
        return
    if mark == CEDILLA and base in COMMA_FOR_CEDILLA:
        mark = "\u0326"
    if mark in ABOVE:
        move = shifted(STEM.get(base, middle), 90.0 if base.isupper() or base in TALL else 60.0)
        yield from (move.path(stroke(text)) for text in ABOVE[mark])
    else:
        move = shifted(FOOT.get(base, middle) if mark == OGONEK else middle, 0.0)
        yield from (move.path(stroke(text)) for text in BELOW[mark])

"""The alphabet as drawn: each character's width and strokes in font units.

It is a single-stroke drafting hand of our own, upright, after the proportions of ISO 3098 type B. The grid has
100 units to the height h of capitals, measured over the ink as the standard does, so the pen is 10 wide (h/10)
and its centre line runs from 0 at the baseline to 90 at the top of a capital, 60 at the top of a small letter
without ascender, and -30 at the foot of a descender. Left and right, too, the centre line of the outermost
stroke stands at 0 and at the glyph's width; the ink goes 5 further on every side.
"""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path
from jiggen.geometry.point import ORIGIN
from jiggen.geometry.similarity import shifted
from jiggen.lettering.capitals import CAPITALS
from jiggen.lettering.figures import FIGURES
from jiggen.lettering.pen import Drawing, stroke
from jiggen.lettering.signs import MATHEMATICS, PUNCTUATION, SPACES, TRADE
from jiggen.lettering.small_letters import SMALL_LETTERS

#: Font units to the height h of a capital, over the ink.
UNITS = 100
#: Width of the pen, h/10. Source: ISO 3098 type B.
PEN = 10

DRAWN: Mapping[str, Drawing] = {
    **CAPITALS,
    **SMALL_LETTERS,
    **FIGURES,
    **PUNCTUATION,
    **MATHEMATICS,
    **TRADE,
    **SPACES,
}

#: Characters that are drawn like another, since people type one for the other and no eye could tell.
SAME_AS: Mapping[str, str] = {
    "µ": "μ",  # micro sign, Greek mu
    "∆": "Δ",  # increment, Greek delta
    "Ð": "Đ",  # Icelandic eth, Croatian d with stroke
    "Ţ": "Ț",  # Romanian, typed with a cedilla for want of the comma
    "ţ": "ț",
    "‚": ",",  # low quote, comma
    "‐": "-",  # hyphen
    "‑": "-",  # hyphen that does not break
}


@dataclass(frozen=True, slots=True)
class Glyph:
    """A character in font units.

    Attributes:
        width: Of its field, between the centre lines of the outermost strokes.
        strokes: Centre lines; none for a space.
        box: Bounds of the centre lines; a point at the origin for a space.
    """

    width: int
    strokes: tuple[Path, ...]
    box: Box

    @staticmethod
    def of(width: int, strokes: Iterable[Path]) -> "Glyph":
        """Returns the glyph of these strokes, measured."""
        every = tuple(strokes)
        return Glyph(width, every, around(map(bounds, every)) if every else Box(ORIGIN, ORIGIN))

    @staticmethod
    def around(strokes: Iterable[Path]) -> "Glyph":
        """Returns the glyph of these strokes in a field just wide enough, moved by whole units to start at 0."""
        every = tuple(strokes)
        box = around(map(bounds, every))
        left = math.floor(box.low.x + _ROUNDING)
        move = shifted(-left, 0.0)
        return Glyph.of(math.ceil(box.high.x - _ROUNDING) - left, map(move.path, every))


#: Bounds this near to a whole unit are that unit.
_ROUNDING = 1e-6


@cache  # pure: the same character always gives the same frozen glyph, and a text repeats few of them
def drawn_glyph(character: str) -> Glyph:
    """Returns the glyph of a character in `DRAWN`.

    Raises:
        KeyError: If it is not there.
    """
    width, *strokes = DRAWN[character]
    return Glyph.of(width, map(stroke, strokes))

"""Fractions and raised figures, put together from small figures.

A fraction stands as drafting has it: numerator over a level bar over denominator, so that 1 and 1/64 cannot be
taken for 11/64. Any figures will do; no list of ready-made fractions limits them.
"""

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity, shifted
from jiggen.lettering.figures import FIELD
from jiggen.lettering.glyphs import Glyph, drawn_glyph
from jiggen.lettering.pen import stroke

#: Typed with a slash, a fraction finer than this is none: 838/890 is a pair of scales. Source: common practice.
FINEST = 128

NO_BREAK = "\u00a0"  # a space at which no line is broken
_READY_MADE = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
_BAR = "⁄"  # the fraction slash, as Unicode takes ½ apart
_FRACTION = re.compile(
    rf"(?:(?<![\w.,/⁄])(?P<whole>[0-9]+)[ {NO_BREAK}-])?"
    rf"(?:(?P<ready>[{_READY_MADE}])"
    rf"|(?P<over>[0-9]+){_BAR}(?P<under>[0-9]+)"
    r"|(?<![\w.,/⁄])(?P<typed_over>[0-9]{1,3})/(?P<typed_under>[1-9][0-9]{0,2})(?![\w/⁄]|[.,][0-9]))"
)

#: How small the figures of a fraction are: 50 units from foot to top instead of 90.
_SMALL = 50.0 / 90.0
_SMALL_FIELD = FIELD * 5 // 9
_SMALL_PITCH = _SMALL_FIELD + 22  # leaves 12 units of air between the ink
_OVERHANG = 4  # of the bar past the figures
#: Heights of the centre lines, with 9 units of air above and below the bar.
_OVER, _BAR_AT, _UNDER = 64, 45, -24
_RAISED = 50  # foot of a raised figure

RAISED: Mapping[str, str] = {"¹": "1", "²": "2", "³": "3"}


@dataclass(frozen=True, slots=True)
class Stacked:
    """A fraction to be set, as strings of figures."""

    over: str
    under: str


def find_fractions(text: str, *, typed: bool) -> tuple[str | Stacked, ...]:
    """Returns the text as characters and fractions, in order.

    Fractions are the ready-made ones (½), those with Unicode's fraction slash, and, if `typed`, figures slash
    figures that form a word of their own (11/64, but not 12/11/2026, M3/4 or 838/890). The single space or
    hyphen between a whole number and its fraction (2 1/8, 1-11/64) goes: the bar keeps them apart.

    Args:
        text: In Unicode form NFC.
        typed: Whether a plain slash between figures makes a fraction.
    """
    found: list[str | Stacked] = []
    done = 0
    for match in _FRACTION.finditer(text):
        fraction = _fraction_of(match, typed=typed)
        if fraction is not None:
            found += text[done : match.start()]
            found += match["whole"] or ""
            found.append(fraction)
            done = match.end()
    found += text[done:]
    return tuple(found)


def tie_fractions(text: str) -> str:
    """Returns the text with each whole number tied to its fraction by a space that does not break."""

    def tied(match: re.Match[str]) -> str:
        return match[0].replace(" ", NO_BREAK, 1) if match["whole"] else match[0]

    return _FRACTION.sub(tied, text)


def _fraction_of(match: re.Match[str], *, typed: bool) -> Stacked | None:
    if match["ready"]:
        over, _, under = unicodedata.normalize("NFKC", match["ready"]).partition(_BAR)
        return Stacked(over, under)
    if match["over"]:
        return Stacked(match["over"], match["under"])
    if typed and int(match["typed_under"]) <= FINEST:
        return Stacked(match["typed_over"], match["typed_under"])
    return None


@cache  # pure: the same figures always give the same frozen glyph
def fraction_glyph(fraction: Stacked) -> Glyph:
    """Returns a fraction as one glyph."""
    figures = max(len(fraction.over), len(fraction.under))
    width = _SMALL_PITCH * (figures - 1) + _SMALL_FIELD + 2 * _OVERHANG
    return Glyph.of(
        width,
        (
            *_small_figures(fraction.over, width / 2.0, _OVER),
            stroke(f"0,{_BAR_AT} {width},{_BAR_AT}"),
            *_small_figures(fraction.under, width / 2.0, _UNDER),
        ),
    )


@cache  # pure, likewise
def raised_glyph(figure: str) -> Glyph:
    """Returns a figure as an exponent."""
    return Glyph.of(_SMALL_FIELD, _small_figures(figure, _SMALL_FIELD / 2.0, _RAISED))


def _small_figures(figures: str, middle: float, foot: float) -> tuple[Path, ...]:
    """Small figures in a row, their ink centred on x = `middle`, standing at y = `foot`."""
    row: list[Path] = []
    for number, figure in enumerate(figures):
        place = Similarity(cosine=_SMALL, shift=Point(number * _SMALL_PITCH, foot))
        row += map(place.path, drawn_glyph(figure).strokes)
    move = shifted(middle - around(map(bounds, row)).centre.x, 0.0)
    return tuple(map(move.path, row))

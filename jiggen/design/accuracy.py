"""How far a part may be off and still serve, by kind of feature. Millimetres, and cents for frets.

Frets are held to what can be heard. Everything else is a dimension like any other, and is held to a class of the
general standard unless the maker or the machine's profile says a figure of its own.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from jiggen.design.making import Accuracy, Grade
from jiggen.design.model import ASSUMED, Given


class Kind(StrEnum):
    """What a measured number is, when it comes to how far it may be off."""

    FRET = "fret"  #: the place of a fret
    STRING = "string"  #: the place of a string
    OPENING = "opening"  #: width, length or place of a slot, notch or hole
    OUTLINE = "outline"  #: size and contour of a part
    LINE = "line"  #: place or length of any other line
    RADIUS = "radius"  #: of a rounded corner
    LETTERING = "lettering"  #: where words stand


#: The kinds that may have a figure of their own in mm.
OWN_KINDS = (Kind.STRING, Kind.OPENING, Kind.OUTLINE, Kind.LINE, Kind.LETTERING)

#: Cents. Half of what a trained ear can tell apart leaves as much for saddle, tuning and finger. Trained listeners
#: tell two tones of some hundred Hz apart when they differ by 0.1 to 0.2 %, 2 to 3 cents.
#: Source: C. Micheyl, K. Delhommeau, X. Perrot and A. J. Oxenham, Hearing Research 219, 36 (2006), musicians' threshold
#: at 330 Hz; B. C. J. Moore, An Introduction to the Psychology of Hearing, chapter on pitch, 0.2 % at 1 kHz (both
#: from memory).
FRET_CENTS = 1.0
#: Where words stand matters to nobody but the eye: common practice.
LETTERING_MM = 0.5

#: Sizes up to which each column of the tables below holds, in mm. Source: ISO 2768-1:1989, table 1.
_SIZES = (3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0)
#: Limits for linear dimensions, ± mm. Source: ISO 2768-1:1989, table 1. Where the standard gives none, the nearest.
_LINEAR: Mapping[Grade, tuple[float, ...]] = {
    Grade.FINE: (0.05, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 0.5),
    Grade.MEDIUM: (0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0),
    Grade.COARSE: (0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0),
    Grade.VERY_COARSE: (0.5, 0.5, 1.0, 1.5, 2.5, 4.0, 6.0, 8.0),
}
_RADII = (3.0, 6.0)
#: Limits for radii, ± mm, up to 3, up to 6 and above. Source: ISO 2768-1:1989, table 2 (from memory).
_RADIAL: Mapping[Grade, tuple[float, ...]] = {
    Grade.FINE: (0.2, 0.5, 1.0),
    Grade.MEDIUM: (0.2, 0.5, 1.0),
    Grade.COARSE: (0.4, 1.0, 2.0),
    Grade.VERY_COARSE: (0.4, 1.0, 2.0),
}


def linear_limit_mm(size_mm: float, grade: Grade) -> float:
    """Returns how far a dimension may be off either way, in mm.

    Args:
        size_mm: Its nominal size; its sign plays no part.
        grade: The class.

    Source: ISO 2768-1:1989, table 1.
    """
    return _in_column(abs(size_mm), _SIZES, _LINEAR[grade])


def radial_limit_mm(radius_mm: float, grade: Grade) -> float:
    """Returns how far a radius may be off either way, in mm.

    Source: ISO 2768-1:1989, table 2 (from memory).
    """
    return _in_column(abs(radius_mm), _RADII, _RADIAL[grade])


def _in_column(size: float, limits: tuple[float, ...], values: tuple[float, ...]) -> float:
    column = sum(size > limit for limit in limits)
    return values[min(column, len(values) - 1)]


#: What holds where nobody says anything.
DEFAULT = Accuracy(
    fret_cents=Given(FRET_CENTS, ASSUMED, note="half of what a trained ear can tell"),
    lettering=Given(LETTERING_MM, ASSUMED, note="common practice"),
    general=Given(Grade.FINE, ASSUMED, note="ISO 2768-1"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The figures that hold for a set of parts.

    Attributes:
        fret_cents: Of a fret, by its pitch.
        grade: Class for all that has no figure of its own.
        own_mm: Figures of their own, by kind.
    """

    fret_cents: float = FRET_CENTS
    grade: Grade = Grade.FINE
    own_mm: Mapping[Kind, float]

    def limit_mm(self, kind: Kind, size_mm: float, *, string_left_mm: float | None = None) -> float:
        """Returns how far a number may be off either way, in mm.

        Args:
            kind: What it is.
            size_mm: The dimension's nominal size; of a fret its distance from the nut.
            string_left_mm: For a fret, what is left of the string beyond it; None: it is held like any line.
        """
        if kind is Kind.FRET and string_left_mm is not None and string_left_mm > 0.0:
            return string_left_mm * (1.0 - math.exp2(-self.fret_cents / 1200.0))
        own = self.own_mm.get(Kind.LINE if kind is Kind.FRET else kind)
        if own is not None:
            return own
        if kind is Kind.RADIUS:
            return radial_limit_mm(size_mm, self.grade)
        return linear_limit_mm(size_mm, self.grade)


def limits_of(*said: Accuracy) -> Limits:
    """Returns the figures that hold.

    Args:
        said: Whoever has a say, the first before the others; what none of them says is the default.
    """
    holds = DEFAULT
    for each in reversed(said):
        holds = each.over(holds)
    said_of = {kind: getattr(holds, kind.value) for kind in OWN_KINDS}
    own = {kind: given.value for kind, given in said_of.items() if given is not None}
    cents, grade = holds.fret_cents, holds.general
    return Limits(
        fret_cents=cents.value if cents is not None else FRET_CENTS,
        grade=grade.value if grade is not None else Grade.FINE,
        own_mm=own,
    )


#: What holds where nobody says anything.
DEFAULT_LIMITS = limits_of()


def cents_off(string_left_mm: float, off_mm: float) -> float | None:
    """Returns how much sharper a fret sounds that stands `off_mm` too near the saddle; None beyond the saddle.

    Args:
        string_left_mm: From where the fret should stand to the saddle.
        off_mm: Toward the saddle.

    Source: a string sounds in inverse proportion to its length; 1200 cents to the octave.
    """
    if string_left_mm <= 0.0 or string_left_mm <= off_mm:
        return None
    return 1200.0 * math.log2(string_left_mm / (string_left_mm - off_mm))

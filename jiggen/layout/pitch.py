"""Note names and their frequencies, in twelve equal steps to the octave.

A name is a letter A to G, at most one sharp (`#` or `♯`) or flat (`b` or `♭`), and the octave's number:
`E4`, `F#3`, `Bb2`, `C♯4`. The octave changes at C, and A4 is the A above middle C (C4). The letter may be
small (`e4`), since the number alone gives the octave; a name without a number is refused, because `e` means
one octave to a guitarist and another to an organist.
"""

import math
import re
from dataclasses import dataclass

from jiggen.errors import InputError, quoted
from jiggen.layout.quantity import require_positive

#: Hz. Source: ISO 16, standard tuning frequency.
A4_HZ = 440.0

#: Numbered so that each step is a semitone and middle C is 60. Source: MIDI 1.0, note numbers.
A4_KEY = 69

_NAME = re.compile(r"([A-Ga-g])([#♯b♭]?)(-?[0-9]+)")
_STEPS_ABOVE_C = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_ACCIDENTALS = {"": 0, "#": 1, "♯": 1, "b": -1, "♭": -1}
_SPELLED_WITH_SHARPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_LOWEST_OCTAVE, _HIGHEST_OCTAVE = -1, 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Pitch:
    """A note with its frequency.

    Attributes:
        name: In one spelling: capital letter, `#` or `b`, octave.
        key: Semitones counted so that A4 is 69 and middle C is 60.
        frequency_hz: At the A4 that was asked for.
    """

    name: str
    key: int
    frequency_hz: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NearestPitch:
    """The note nearest to a frequency.

    Attributes:
        pitch: Spelled with sharps.
        cents: How far the frequency lies above it (below: negative), at most 50 either way.
    """

    pitch: Pitch
    cents: float


def read_pitch(text: str, *, a4_hz: float = A4_HZ, where: str = "pitch") -> Pitch:
    """Returns the note that a name means.

    Args:
        text: Such as `E4`, `F#3`, `Bb2`, `C♯4`; spaces around it do not count.
        a4_hz: Frequency of A4, Hz.
        where: The place of the name, for the error.

    Raises:
        InputError: If `text` is not such a name or its octave is not -1 to 9, or if `a4_hz` is not positive.

    Source: twelve equal steps, f = a4 · 2^((key - 69)/12).
    """
    match = _NAME.fullmatch(text.strip())
    if match is None:
        raise InputError(
            where=where,
            got=quoted(text),
            expected="a note name: a letter A to G, # or b if any, and the number of its octave",
            mend="Write it like E4, F#3 or Bb2; A4 is the A above middle C.",
        )
    letter, accidental, octave = match[1].upper(), match[2], int(match[3])
    if not _LOWEST_OCTAVE <= octave <= _HIGHEST_OCTAVE:
        raise InputError(
            where=where,
            got=quoted(text),
            expected=f"an octave from {_LOWEST_OCTAVE} to {_HIGHEST_OCTAVE}",
            mend="Middle C is C4; a guitar's open strings run from E2 to E4.",
        )
    steps = _ACCIDENTALS[accidental]
    key = 12 * (octave + 1) + _STEPS_ABOVE_C[letter] + steps
    sign = {1: "#", 0: "", -1: "b"}[steps]
    return Pitch(name=f"{letter}{sign}{octave}", key=key, frequency_hz=_frequency(key, a4_hz))


def nearest_pitch(frequency_hz: float, *, a4_hz: float = A4_HZ) -> NearestPitch:
    """Returns the note nearest to a frequency, and by how many cents it is missed.

    Args:
        frequency_hz: Hz.
        a4_hz: Frequency of A4, Hz.

    Raises:
        InputError: If a frequency is not positive.
    """
    require_positive("frequency", frequency_hz, "Hz")
    require_positive("frequency of A4", a4_hz, "Hz")
    key = A4_KEY + round(12.0 * math.log2(frequency_hz / a4_hz))
    octave, step = divmod(key, 12)
    exact = _frequency(key, a4_hz)
    return NearestPitch(
        pitch=Pitch(name=f"{_SPELLED_WITH_SHARPS[step]}{octave - 1}", key=key, frequency_hz=exact),
        cents=1200.0 * math.log2(frequency_hz / exact),
    )


def _frequency(key: int, a4_hz: float) -> float:
    require_positive("frequency of A4", a4_hz, "Hz")
    return a4_hz * math.exp2((key - A4_KEY) / 12.0)

"""Intonation: how many cents each fret of a string is off by.

A string that is pressed to a fret is stretched, and so sharp; its stiffness makes it sharper still, the shorter it
is. Moving the saddle away from the nut, and the nut toward the first fret, makes up for most of it. The model is
that of J. E. Anderson and J. R. Beausoleil, "Classical guitar intonation and compensation: the well-tempered
guitar", J. Acoust. Soc. Am. 156(1), 683 (2024). It was compared there with nylon strings only: **steel strings were
not validated**, and a core's diameter is seldom known well.

    X0, g   scale length, and 2^(n/12) for fret n, which stands at X_n = X0/g from the saddle
    b, c    height of the nut above the frets, and of the saddle above the nut
    d       distance of the fingertip behind the fret
    dS, dN  setback of the saddle away from the nut, and of the nut away from the saddle (negative: toward fret 1)
    κ, B    stiffness along the string over its tension, and in bending; ρ the string's radius

    L0  = √((X0 + dS + dN)² + c²)                    open string
    L_n = √((X_n + dS)² + (b + c)²)                  its speaking part when fretted
    L'_n = d L_n/(X_n + dS) + √((X0 - X_n + dN - d)² + (b + d (b + c)/(X_n + dS))²)      the part behind the fret
    Q_n = (L_n + L'_n - L0)/L0                       relative stretch
    B0 = √κ ρ/(2 L0), B_n = B0 (L0/L_n)/√(1 + κ Q_n), F(B) = 1 + B + (1 + π²/2) B²
    error in cents = 1200 log2(L0/(g L_n)) + 600 log2(1 + Q_n) + 600 log2(1 + κ Q_n) + 1200 log2(F(B_n)/F(B0))

F is for a string pinned at the saddle and clamped at the fret. Relief at fret 12 adds twice itself to c, in Q_n only.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from jiggen.design.string_set import SetString
from jiggen.errors import InputError, LimitError
from jiggen.layout.quantity import require_finite, require_not_negative, require_positive

#: Cents for each unit of ln(frequency).
CENTS = 1200.0 / math.log(2.0)

#: The publication fits setbacks over these.
FIRST_OCTAVE = tuple(range(1, 13))

LAST_FRET = 60  #: no board has more
MOST_KAPPA = 10_000  #: no string in tune comes near
MOST_RADIUS_MM = 10  #: likewise

_BENDING = 1.0 + math.pi**2 / 2.0
_TO_NEXT_FRET = 2.0 ** (1.0 / 12.0) - 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """How a string takes being pressed down: all that the model asks of it.

    Attributes:
        kappa: κ, the relative rise of tension for a relative stretch; κ = E A/T for a wire of modulus E and area A.
        bending_radius_mm: ρ of the round wire that resists bending.
        basis: In words, what both were formed from.
    """

    kappa: float
    bending_radius_mm: float
    basis: str

    def __post_init__(self) -> None:
        require_positive("string constant kappa", self.kappa, "")
        require_positive("bending radius", self.bending_radius_mm, "mm")
        if self.kappa > MOST_KAPPA or self.bending_radius_mm > MOST_RADIUS_MM:
            raise InputError(
                where="stretch of a string",
                got=f"kappa {self.kappa:g}, radius {self.bending_radius_mm:g} mm from {self.basis}",
                expected=f"kappa up to {MOST_KAPPA}, radius up to {MOST_RADIUS_MM} mm",
                mend="Check diameter, modulus and tension: kappa is 30 to 500 in strings that are in tune.",
            )

    @property
    def response(self) -> float:
        """R = dln(frequency)/dln(length), (κ - 1)/2: how strongly the pitch answers to a stretch."""
        return (self.kappa - 1.0) / 2.0


def stretch_of_wire(*, diameter_mm: float, modulus_gpa: float, tension_n: float) -> Stretch:
    """Returns the stretch of a plain string, or of a wound one by its core.

    Of a wound string give the core's diameter and modulus and the tension of the whole. That supposes that the wrap
    neither carries tension nor resists bending: right for the first, too little for the second.

    Args:
        diameter_mm: Of the plain string or the core, taken as round.
        modulus_gpa: Young's modulus of that wire.
        tension_n: On the string when it is open and in tune.

    Raises:
        InputError: If a number is not positive.

    Source: κ = π ρ² E/T0, Anderson & Beausoleil 2024.
    """
    require_positive("diameter that stretches", diameter_mm, "mm")
    require_positive("modulus", modulus_gpa, "GPa")
    require_positive("tension", tension_n, "N")
    radius = diameter_mm / 2.0
    return Stretch(
        kappa=math.pi * radius**2 * modulus_gpa * 1e3 / tension_n,
        bending_radius_mm=radius,
        basis=f"wire of {diameter_mm:.3f} mm, {modulus_gpa:g} GPa, at {tension_n:.1f} N",
    )


def stretch_of_response(*, response: float, diameter_mm: float) -> Stretch:
    """Returns the stretch of a string whose response to lengthening was measured.

    The publication takes all of a string, wound or not, as one round wire of the modulus that the response amounts
    to, so the diameter is the whole string's. For a wound string that is the most that bending can come to.

    Args:
        response: R = dln(frequency)/dln(length) as measured.
        diameter_mm: Of the string.

    Raises:
        InputError: If a number is not positive.

    Source: κ = 2R + 1, Anderson & Beausoleil 2024.
    """
    require_positive("response", response, "")
    require_positive("string diameter", diameter_mm, "mm")
    return Stretch(
        kappa=2.0 * response + 1.0,
        bending_radius_mm=diameter_mm / 2.0,
        basis=f"measured response R = {response:g}, diameter {diameter_mm:.3f} mm",
    )


def stretch_of(string: SetString, tension_n: float) -> Stretch:
    """Returns the stretch of a string of a set: by its measured response, or else by the wire that carries the load.

    Args:
        string: Of a set.
        tension_n: On the string when it is open and in tune; a measured response already holds for its own.

    Raises:
        InputError: If the set gives neither a response nor diameter and modulus of that wire.
    """
    if string.response is not None:
        return stretch_of_response(response=string.response.value, diameter_mm=string.diameter_mm.value)
    if string.load_diameter_mm is None or string.wire.modulus_gpa is None:
        raise InputError(
            where=f"string {string.number}",
            got="a string without response, core diameter or modulus",
            expected="a response, or core diameter and modulus, for its stretch",
        )
    return stretch_of_wire(
        diameter_mm=string.load_diameter_mm,
        modulus_gpa=string.wire.modulus_gpa.value,
        tension_n=tension_n,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Fretting:
    """The way a string lies over the frets and is pressed to them. Millimetres.

    Attributes:
        scale_mm: X0, this string's own where they differ.
        nut_height_mm: b, underside of the string at the nut above the plane of the fret tops.
        saddle_rise_mm: c, how much higher the saddle is than the nut.
        relief_mm: How far fret 12 lies below the straight line of fret tops that b and c are measured from.
        finger_mm: d, from the fret back to where the finger presses; halfway back to the fret before where this would
            be further than that (ours, not the publication's).
    """

    scale_mm: float
    nut_height_mm: float
    saddle_rise_mm: float
    relief_mm: float = 0.0
    finger_mm: float = 0.0

    def __post_init__(self) -> None:
        require_positive("scale", self.scale_mm, "mm")
        require_not_negative("nut height", self.nut_height_mm, "mm")
        require_finite("saddle rise", self.saddle_rise_mm, "mm")
        require_finite("relief", self.relief_mm, "mm")
        require_not_negative("finger distance", self.finger_mm, "mm")
        require_not_negative("string height at fret 12", self.action_mm, "mm")
        require_not_negative("string height at the saddle", self.nut_height_mm + self.saddle_rise_mm, "mm")

    @property
    def action_mm(self) -> float:
        """Height of the open string above fret 12: half the saddle's rise, and the relief."""
        return self.nut_height_mm + self.saddle_rise_mm / 2.0 + self.relief_mm


def fretting_from_action(
    *,
    scale_mm: float,
    action_mm: float,
    nut_height_mm: float,
    relief_mm: float = 0.0,
    finger_mm: float = 0.0,
) -> Fretting:
    """Returns the way a string lies, from the heights a maker measures.

    Args:
        scale_mm: Of this string.
        action_mm: Underside of the open string above fret 12, with the relief that there is.
        nut_height_mm: Underside of the string at the nut above the plane of the fret tops.
        relief_mm: How far fret 12 lies below the straight line of fret tops.
        finger_mm: From the fret back to where the finger presses.

    Raises:
        InputError: If a number makes no sense.
    """
    return Fretting(
        scale_mm=scale_mm,
        nut_height_mm=nut_height_mm,
        saddle_rise_mm=2.0 * (action_mm - nut_height_mm - relief_mm),
        relief_mm=relief_mm,
        finger_mm=finger_mm,
    )


@dataclass(frozen=True, slots=True)
class Setbacks:
    """How far saddle and nut are moved from their places on paper, mm.

    Attributes:
        saddle_mm: dS, away from the nut.
        nut_mm: dN, away from the saddle: negative makes the way from nut to fret 1 shorter.
    """

    saddle_mm: float
    nut_mm: float = 0.0

    def __post_init__(self) -> None:
        require_finite("saddle setback", self.saddle_mm, "mm")
        require_finite("nut setback", self.nut_mm, "mm")


class FretError(NamedTuple):
    """What one fret is off by, sharp positive, and how that changes with the setbacks.

    Attributes:
        cents: When the open string is in tune.
        per_saddle_mm: Growth for each mm of dS, cents.
        per_nut_mm: Growth for each mm of dN, cents.
    """

    cents: float
    per_saddle_mm: float
    per_nut_mm: float


def fret_errors(
    stretch: Stretch, fretting: Fretting, setbacks: Setbacks, frets: Sequence[int] = FIRST_OCTAVE
) -> tuple[FretError, ...]:
    """Returns what each fret is off by, with its slopes.

    Args:
        stretch: Of the string.
        fretting: How it lies and is pressed.
        setbacks: Of saddle and nut.
        frets: Their numbers, 1 to 60.

    Raises:
        InputError: If a fret number is not 1 to 60.
        LimitError: If a fret lies beyond the moved saddle or the finger beyond the moved nut.

    Source: Anderson & Beausoleil 2024, as at the top of this module.
    """
    # The letters are those of the formulas above. Names in q belong to Q_n, in which relief adds to c; names in s and
    # n are derivatives by dS and dN, grows is one by either, and those of F are relative.
    x0, b, c = fretting.scale_mm, fretting.nut_height_mm, fretting.saddle_rise_mm
    height, height_q = b + c, b + c + 2.0 * fretting.relief_mm
    kappa, beta = stretch.kappa, math.sqrt(stretch.kappa) * stretch.bending_radius_mm / 2.0
    ds, dn = setbacks.saddle_mm, setbacks.nut_mm
    run = x0 + ds + dn
    l0, l0q = math.hypot(run, c), math.hypot(run, height_q - b)
    l0_grows, l0q_grows = run / l0**2, run / l0q**2
    b0 = beta / l0
    f0 = 1.0 + b0 + _BENDING * b0**2
    open_grows = l0_grows * (1.0 + (1.0 + 2.0 * _BENDING * b0) * b0 / f0)
    errors: list[FretError] = []
    for fret in frets:
        if not 1 <= fret <= LAST_FRET:
            raise InputError(where="fret", got=str(fret), expected=f"a fret number from 1 to {LAST_FRET}")
        g = 2.0 ** (fret / 12.0)
        xn = x0 / g
        d = min(fretting.finger_mm, xn * _TO_NEXT_FRET / 2.0)
        speaking, behind = xn + ds, x0 - xn + dn - d
        if speaking <= 0.0 or behind <= 0.0:
            raise _out_of_order(setbacks, fret)
        ln, lnq = math.hypot(speaking, height), math.hypot(speaking, height_q)
        finger = d / speaking
        drop = b + finger * height_q
        pressed = math.hypot(behind, drop)
        longer = max(
            (lnq * (1.0 + finger) + pressed) / l0q, 1.0
        )  # 1 + Q_n; no way round is shorter, save by rounding
        tighter = 1.0 + kappa * (longer - 1.0)
        lnq_s = speaking / lnq * (1.0 + finger) - lnq * finger / speaking
        q_s = (lnq_s - drop * finger * height_q / (speaking * pressed)) / l0q - longer * l0q_grows
        q_n = behind / (pressed * l0q) - longer * l0q_grows
        bn = beta / (ln * math.sqrt(tighter))
        fn = 1.0 + bn + _BENDING * bn**2
        bends = (1.0 + 2.0 * _BENDING * bn) * bn / fn  # dln(F)/dln(B)
        pulls = (1.0 / longer + (1.0 - bends) * kappa / tighter) / 2.0
        errors.append(
            FretError(
                CENTS * (math.log(l0 * fn / (g * ln * f0)) + math.log(longer * tighter) / 2.0),
                CENTS * (open_grows - (1.0 + bends) * speaking / ln**2 + pulls * q_s),
                CENTS * (open_grows + pulls * q_n),
            )
        )
    return tuple(errors)


def _out_of_order(setbacks: Setbacks, fret: int) -> LimitError:
    """Returns the error for a fret that cannot be reached."""
    return LimitError(
        where=f"intonation at fret {fret}",
        got=f"saddle setback {setbacks.saddle_mm:.3f} mm, nut setback {setbacks.nut_mm:.3f} mm",
        expected="nut, finger, fret and saddle in this order",
        mend="Check the setbacks, or the numbers of string and action that they were computed from.",
    )

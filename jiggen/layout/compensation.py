"""Compensation: how far saddle and nut should give way so that the frets are in tune.

An estimate, by the model of `intonation.py`, to be printed with what it was estimated from: a saddle with room to be
filed, or one that slides, is the better part of intonation. The model was compared with nylon strings only; steel
strings were not validated.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.errors import InputError, LimitError
from jiggen.layout.intonation import FIRST_OCTAVE, FretError, Fretting, Setbacks, Stretch, fret_errors

#: To be printed beside any setback.
ESTIMATE_CAUTION = (
    "Compensation is an estimate from the numbers beside it, by a model that was compared with nylon strings only "
    "(Anderson & Beausoleil, J. Acoust. Soc. Am. 156(1), 683, 2024). Leave room to file or to move the saddle, and "
    "check by ear or tuner."
)

MOST_OF_SCALE = 0.05  #: setbacks beyond this share of the scale say that a number is wrong

_MOST_STEPS = 30  #: four are enough for strings
_NO_STEP_MM = 1e-6  #: a thousandth of what can be measured; the step after it would be far smaller still


@dataclass(frozen=True, slots=True, kw_only=True)
class Compensation:
    """The setbacks that suit one string best, by the model, with all they rest on. An estimate.

    Attributes:
        stretch: Of the string.
        fretting: How it lies and is pressed.
        fitted_frets: The frets over which the errors were made least.
        setbacks: Of saddle and nut.
        reported_frets: The frets of `residual_cents`.
        residual_cents: What each of them is still off by, sharp positive, open string in tune.
        rms_cents: Root mean square of what the fitted frets are still off by.
        uncompensated_rms_cents: The same without setbacks.
    """

    stretch: Stretch
    fretting: Fretting
    fitted_frets: tuple[int, ...]
    setbacks: Setbacks
    reported_frets: tuple[int, ...]
    residual_cents: tuple[float, ...]
    rms_cents: float
    uncompensated_rms_cents: float


def compensate(
    stretch: Stretch,
    fretting: Fretting,
    *,
    frets: Sequence[int] = FIRST_OCTAVE,
    report: Sequence[int] | None = None,
    at_nut: bool = True,
) -> Compensation:
    """Returns the setbacks that make the sum of squared errors least.

    Args:
        stretch: Of the string.
        fretting: How it lies and is pressed.
        frets: Those whose errors count, from 1.
        report: Those whose remaining errors are returned; the same ones when None.
        at_nut: Whether the nut may move too. False leaves it, and the saddle does what it can.

    Raises:
        InputError: If a fret number is not 1 to 60, or there are too few to fit to.
        LimitError: If no setback suits such a string, fretted like that.

    Source: Anderson & Beausoleil 2024, least squares of the full error; solved by the Gauss-Newton method.
    """
    frets = tuple(frets)
    report = frets if report is None else tuple(report)
    least = 2 if at_nut else 1
    if len(set(frets)) < least:
        raise InputError(
            where="frets to compensate for", got=f"{len(set(frets))} frets", expected=f"at least {least}"
        )
    setbacks = Setbacks(0.0, 0.0)
    errors = fret_errors(stretch, fretting, setbacks, frets)
    uncompensated = _rms(errors)
    step, steps = math.inf, 0
    while step > _NO_STEP_MM:
        saddle, nut = _gauss_newton_step(errors, at_nut=at_nut)
        step, steps = abs(saddle) + abs(nut), steps + 1
        setbacks = Setbacks(setbacks.saddle_mm + saddle, setbacks.nut_mm + nut)
        if (
            abs(setbacks.saddle_mm) + abs(setbacks.nut_mm) > MOST_OF_SCALE * fretting.scale_mm
            or steps > _MOST_STEPS
        ):
            raise _no_help(stretch, setbacks)
        errors = fret_errors(stretch, fretting, setbacks, frets)
    reported = errors if report == frets else fret_errors(stretch, fretting, setbacks, report)
    return Compensation(
        stretch=stretch,
        fretting=fretting,
        fitted_frets=frets,
        setbacks=setbacks,
        reported_frets=report,
        residual_cents=tuple(each.cents for each in reported),
        rms_cents=_rms(errors),
        uncompensated_rms_cents=uncompensated,
    )


def closed_form_setbacks(stretch: Stretch, fretting: Fretting) -> Setbacks:
    """Returns the setbacks over frets 1 to 12 by the publication's formula, near those of `compensate`.

    Source: Anderson & Beausoleil 2024, least-squares setbacks for small angles and their growth with the finger's
        distance. Their relief: c + 2·relief in place of c.
    """
    x0, b, delta = fretting.scale_mm, fretting.nut_height_mm, fretting.finger_mm / fretting.scale_mm
    c = fretting.saddle_rise_mm + 2.0 * fretting.relief_mm
    b0 = math.sqrt(stretch.kappa) * stretch.bending_radius_mm / (2.0 * x0)
    saddle = (b0 + 1.5 * (1.0 + math.pi**2) * b0**2) * x0 + stretch.kappa / (4.0 * x0) * (
        -9.848 * b**2 + 2.0 * b * c + c**2
    )
    nut = b0**2 * x0 - stretch.kappa / (2.0 * x0) * (5.633 * b**2 + b * c)
    growth = 13.0 * delta + 280.0 * delta**2
    return Setbacks(saddle + nut * growth, nut * (1.0 + growth))


def mean_setbacks(setbacks: Sequence[Setbacks]) -> Setbacks:
    """Returns the one pair of setbacks that serves several strings best: the plain mean of their own.

    Raises:
        InputError: If there are none.

    Source: Anderson & Beausoleil 2024.
    """
    if not setbacks:
        raise InputError(where="mean of setbacks", got="no string", expected="at least one")
    return Setbacks(
        math.fsum(each.saddle_mm for each in setbacks) / len(setbacks),
        math.fsum(each.nut_mm for each in setbacks) / len(setbacks),
    )


def _no_help(stretch: Stretch, setbacks: Setbacks) -> LimitError:
    """Returns the error for a string that setbacks cannot bring into tune."""
    return LimitError(
        where="compensation",
        got=f"setbacks of {setbacks.saddle_mm:.1f} mm at the saddle and {setbacks.nut_mm:.1f} mm at the nut "
        f"for {stretch.basis}",
        expected=f"setbacks up to {MOST_OF_SCALE:.0%} of the scale",
        mend="Check diameter, modulus, tension and action.",
    )


def _gauss_newton_step(errors: Sequence[FretError], *, at_nut: bool) -> tuple[float, float]:
    """Returns the changes of dS and dN that make the squares least, as far as errors are linear in them; mm."""
    ss = sum(s * s for _, s, _ in errors)
    se = sum(s * e for e, s, _ in errors)
    if not at_nut:
        return -se / ss, 0.0
    sn = sum(s * n for _, s, n in errors)
    nn = sum(n * n for _, _, n in errors)
    ne = sum(n * e for e, _, n in errors)
    determinant = ss * nn - sn * sn
    return (sn * ne - nn * se) / determinant, (sn * se - ss * ne) / determinant


def _rms(errors: Sequence[FretError]) -> float:
    """Returns the root mean square, cents."""
    return math.sqrt(math.fsum(each.cents**2 for each in errors) / len(errors))

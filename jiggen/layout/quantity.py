"""Numbers that a formula cannot do without: refused by name when they make no sense."""

import math

from jiggen.errors import InputError


def require_positive(where: str, value: float, unit: str) -> None:
    """Refuses zero, negative numbers, infinity and NaN.

    Args:
        where: What the number is, for the error.
        value: In `unit`.
        unit: For the error.

    Raises:
        InputError: If `value` is not a positive, finite number.
    """
    if not (math.isfinite(value) and value > 0.0):
        raise InputError(where=where, got=f"{value:g} {unit}".strip(), expected="a number above zero")


def require_not_negative(where: str, value: float, unit: str) -> None:
    """Refuses negative numbers, infinity and NaN; zero may pass.

    Args:
        where: What the number is, for the error.
        value: In `unit`.
        unit: For the error.

    Raises:
        InputError: If `value` is negative or not finite.
    """
    if not (math.isfinite(value) and value >= 0.0):
        raise InputError(where=where, got=f"{value:g} {unit}".strip(), expected="zero or a number above it")


def require_finite(where: str, value: float, unit: str) -> None:
    """Refuses infinity and NaN.

    Args:
        where: What the number is, for the error.
        value: In `unit`.
        unit: For the error.

    Raises:
        InputError: If `value` is not finite.
    """
    if not math.isfinite(value):
        raise InputError(where=where, got=f"{value:g} {unit}".strip(), expected="a finite number")

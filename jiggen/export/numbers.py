"""The one way in which numbers are written."""

from jiggen.geometry.path import Arc

#: Decimals of a coordinate in mm: a tenth of a micrometre, far below what a laser can show.
DECIMALS = 4
#: Decimals of a coordinate of lettering, mm: a micrometre.
LETTERING_DECIMALS = 3

#: A fifth of the time goes into writing numbers, so each format is looked up, not spelt out each time.
#: The bulge of the flattest arc that is not written straight, some kilometres in radius, takes the most decimals.
_FIXED = tuple(f"%.{decimals}f" for decimals in range(24))


def number(value: float, decimals: int = DECIMALS) -> str:
    """Returns a number as all text writers write it.

    Fixed decimals with trailing zeros dropped, never an exponent, never `-0`.

    Args:
        value: Any ordinary number.
        decimals: How many at most.

    Raises:
        ValueError: If the value is infinite or not a number.
    """
    text = _FIXED[decimals] % value
    last = text[-1]
    if last == "0":
        if decimals:
            text = text.rstrip("0").rstrip(".")
        return "0" if text == "-0" else text
    if last in "nf":  # nan, inf
        raise ValueError(f"{value} cannot be written as a number")
    return text


def is_written_straight(arc: Arc) -> bool:
    """Tells whether an arc's belly is less than the last decimal, so that it is written as a line.

    Its radius would be many metres, which readers that work in single precision get wrong by far more than that.
    """
    return abs(arc.bulge) * arc.start.distance(arc.end) / 2.0 < 10.0**-DECIMALS


def snapped(value: float, decimals: int = DECIMALS) -> float:
    """Returns the value as `number` would write it, for libraries that want a float."""
    return round(value, decimals) + 0.0  # turns -0.0 into 0.0

"""A board's width measured on the bench: the straight taper that it follows. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import assert_never

from jiggen.design.fret_places import distance, require_fret
from jiggen.design.fret_rule import FretRule
from jiggen.errors import InputError
from jiggen.layout.line_fit import LineFit, fit_places, places, sound_readings
from jiggen.layout.measured import TWELVE_EQUAL, least_scatter
from jiggen.layout.quantity import require_finite, require_positive
from jiggen.layout.student import coverage_factor


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthAt:
    """A width read at a distance along the centre line.

    Attributes:
        distance: From the front of the nut, mm; below 0 behind it.
        width: From edge to edge, mm.
        where: The reading's place in the maker's notes, for messages.

    Raises:
        InputError: If the distance is no number or the width not above zero.
    """

    distance: float
    width: float
    where: str = ""

    def __post_init__(self) -> None:
        where = self.where or "a reading"
        require_finite(f"{where}, distance", self.distance, "mm")
        require_positive(f"{where}, width", self.width, "mm")


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthAtFret:
    """A width read at a fret.

    Attributes:
        fret: Its number; 0 for the nut.
        width: From edge to edge, mm.
        where: The reading's place in the maker's notes, for messages.

    Raises:
        InputError: If there is no such fret or the width is not above zero.
    """

    fret: int
    width: float
    where: str = ""

    def __post_init__(self) -> None:
        where = self.where or "a reading"
        require_fret(f"{where}, fret", self.fret)
        require_positive(f"{where}, width at fret {self.fret}", self.width, "mm")


WidthReading = WidthAt | WidthAtFret


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredWidth:
    """A width as it was measured, against the fitted taper.

    Attributes:
        distance: From the front of the nut, mm.
        width: Mean of the readings there, mm.
        expected: What the taper has there, mm.
        residual: `width` less `expected`, mm.
        readings: How many there are.
    """

    distance: float
    width: float
    expected: float
    residual: float
    readings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WidthSlip:
    """A reading that does not follow the others and was left out of the fit.

    Attributes:
        reading: As given.
        residual: Reading less fitted width, mm.
    """

    reading: WidthReading
    residual: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TaperFit:
    """A straight taper fitted to widths.

    Attributes:
        line: Width in mm against distance from the nut in mm, with uncertainties.
        widths: The measured places in ascending order of distance.
        slips: Readings left out, in ascending order of distance and width.
    """

    line: LineFit
    widths: tuple[MeasuredWidth, ...]
    slips: tuple[WidthSlip, ...]

    @property
    def width_at_nut(self) -> float:
        """Width at the nut, mm; its standard uncertainty is `line.intercept_uncertainty`."""
        return self.line.intercept

    @property
    def taper(self) -> float:
        """By how much the board widens, mm for each mm of length; uncertainty in `line.slope_uncertainty`."""
        return self.line.slope

    def width_at(self, along: float) -> tuple[float, float]:
        """Returns the taper's width at a distance from the nut and its standard uncertainty, both in mm."""
        return self.line.at(along)

    def expanded(self, along: float) -> float:
        """Returns half the interval that holds the width there with a probability of 95 %, mm (JCGM 100:2008, G.3)."""
        return coverage_factor(self.line.freedom) * self.line.at(along)[1]


def fit_taper(
    readings: Sequence[WidthReading],
    *,
    scale: float | None = None,
    rule: FretRule = TWELVE_EQUAL,
    resolution: float | None = None,
) -> TaperFit:
    """Returns the straight taper that measured widths tell.

    Slips are found and left out first (`line_fit.sound_readings`); then each place counts once, with the mean of its
    readings. The places themselves are taken as exact: a millimetre along a neck changes its width by hundredths.

    Args:
        readings: In any order, at frets or distances; repeats are welcome.
        scale: Scale length, mm; needed for widths at frets.
        rule: What the frets follow.
        resolution: Smallest step of the caliper, mm, as in `measured.fit_neck`.

    Raises:
        InputError: If a width at a fret lacks the scale, or there are fewer than three places, or that agree.

    Source: JCGM 100:2008, H.3.
    """
    if scale is not None:
        require_positive("scale length", scale, "mm")
    least = least_scatter(resolution)
    placed = sorted(
        ((_along(reading, scale, rule), reading) for reading in readings),
        key=lambda each: (each[0], each[1].width, each[1].where),
    )
    points = [(along, reading.width) for along, reading in placed]
    _require_places({along for along, _ in points}, agree=False)
    kept = sound_readings(points, through_origin=False, least_scatter=least)
    found = places([point for point, keep in zip(points, kept, strict=True) if keep])
    _require_places({place.x for place in found}, agree=True)
    line = fit_places(found, through_origin=False, least_scatter=least)
    return TaperFit(
        line=line,
        widths=tuple(
            MeasuredWidth(
                distance=place.x,
                width=place.y,
                expected=line.at(place.x)[0],
                residual=residual,
                readings=place.count,
            )
            for place, residual in zip(found, line.residuals, strict=True)
        ),
        slips=tuple(
            WidthSlip(reading=reading, residual=reading.width - line.at(along)[0])
            for (along, reading), keep in zip(placed, kept, strict=True)
            if not keep
        ),
    )


def _along(reading: WidthReading, scale: float | None, rule: FretRule) -> float:
    match reading:
        case WidthAt():
            return reading.distance
        case WidthAtFret():
            if scale is None:
                raise InputError(
                    where=reading.where or "a reading",
                    got=f"a width at fret {reading.fret}",
                    expected="the scale length with it",
                    mend="Give the scale length, or the distance from the nut instead of the fret.",
                )
            return distance(rule, scale, reading.fret)
        case _:
            assert_never(reading)


def _require_places(found: set[float], *, agree: bool) -> None:
    if len(found) < 3:
        raise InputError(
            where="the readings",
            got=f"widths at {len(found)} {'place' if len(found) == 1 else 'places'}",
            expected="at least 3 different places" + (" where the widths agree" if agree else ""),
            mend="Measure again." if agree else "Measure at the nut, at the last fret and between.",
        )

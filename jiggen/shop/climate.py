"""Growth: what a sheet's length does between the day it is cut and the day it is used.

A part is drawn at the size it shall have in use. Cut warmer or damper than that, it must be cut larger, since it will
shrink; the factor for a length is 1 / ((1 + α (T_use - T_cut)) (1 + β (H_use - H_cut))).
"""

import math
from dataclasses import dataclass

from jiggen.design.making import Make
from jiggen.design.model import ASSUMED, Given
from jiggen.errors import InputError, JiggenError, raise_all
from jiggen.shop.machine import Machine, Process
from jiggen.shop.material import Material

#: Source: ISO 1, standard reference temperature for the specification of geometrical properties.
REFERENCE_DEGC = 20.0
#: Source: ISO 291, standard atmosphere 23/50, whose humidity is also what instrument makers aim at (common practice).
REFERENCE_HUMIDITY = 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """The air that a part is cut in and used in.

    Attributes:
        cut_degc: Temperature of the sheet when cut, °C.
        use_degc: Temperature of the part in use, °C.
        cut_humidity: Relative humidity that the sheet has taken on when cut, per cent.
        use_humidity: Relative humidity that the part has taken on in use, per cent.
    """

    cut_degc: Given[float]
    use_degc: Given[float]
    cut_humidity: Given[float]
    use_humidity: Given[float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """Factors from the size in use to the size when cut.

    Attributes:
        along: Along the grain, which lies along the part's x; the only one where the sheet has no grain.
        across: Across it, along the part's y.
    """

    along: float = 1.0
    across: float = 1.0


def climate_of(make: Make) -> Climate:
    """Returns the climate that a design states; what it leaves open is the reference, marked assumed."""

    def or_assumed(given: Given[float] | None, value: float, note: str) -> Given[float]:
        return given if given is not None else Given(value, ASSUMED, note=note)

    iso_1, iso_291 = "reference temperature, ISO 1", "standard atmosphere, ISO 291"
    return Climate(
        cut_degc=or_assumed(make.cut_degc, REFERENCE_DEGC, iso_1),
        use_degc=or_assumed(make.use_degc, REFERENCE_DEGC, iso_1),
        cut_humidity=or_assumed(make.cut_humidity, REFERENCE_HUMIDITY, iso_291),
        use_humidity=or_assumed(make.use_humidity, REFERENCE_HUMIDITY, iso_291),
    )


def growth_factor(expansion: float, warming_degc: float, moisture: float, damping_percent: float) -> float:
    """Returns the factor from a length in use to that length when cut.

    Args:
        expansion: Growth per °C, as a share of the length.
        warming_degc: From cutting to use.
        moisture: Growth per per cent of relative humidity, as a share of the length.
        damping_percent: Change of relative humidity from cutting to use, in per cent points.

    Source: linear expansion ΔL = α L ΔT, any handbook of physics; the same form for moisture is common practice for
        small changes.
    """
    return 1.0 / ((1.0 + expansion * warming_degc) * (1.0 + moisture * damping_percent))


def growth_of(material: Material, machine: Machine, climate: Climate) -> Growth:
    """Returns how much larger a part must be cut.

    Paper shows the nominal size, so a printed check has no growth.

    Raises:
        InputError: If the climate changes, and the material does not say what that does to it.
    """
    if machine.process is Process.PAPER:
        return Growth()
    warming = climate.use_degc.value - climate.cut_degc.value
    damping = climate.use_humidity.value - climate.cut_humidity.value
    errors: list[JiggenError] = []
    if not math.isclose(warming, 0.0, abs_tol=1e-9) and material.expansion is None:
        errors.append(_unknown(climate.use_degc, material, "expansion", f"{warming:+g} °C"))
    if not math.isclose(damping, 0.0, abs_tol=1e-9) and material.moisture_along is None:
        errors.append(_unknown(climate.use_humidity, material, "moisture-along", f"{damping:+g} %"))
    raise_all(errors)
    expansion, along, across = (
        given.value if given is not None else 0.0
        for given in (
            material.expansion,
            material.moisture_along,
            material.moisture_across or material.moisture_along,
        )
    )
    return Growth(
        along=growth_factor(expansion, warming, along, damping),
        across=growth_factor(expansion, warming, across, damping),
    )


def _unknown(given: Given[float], material: Material, key: str, change: str) -> InputError:
    return InputError(
        where=given.where or "design, make",
        got=f"a change of {change} between cutting and use",
        expected=f"a material that says what that does to it; {material.name} does not",
        mend=f"Add growth.{key} to the material's profile, or give the same value for both.",
    )


def cents_of_scaling(factor: float, fret_fraction: float) -> float:
    """Returns how sharp a fret sounds that stands `factor` times its distance from the nut, the saddle being right.

    Args:
        factor: Of the fret's distance from the nut, near 1.
        fret_fraction: That distance as a share of the scale length, below 1.

    Source: a string sounds in inverse proportion to its length; 1200 cents to the octave.
    """
    return 1200.0 * math.log2((1.0 - fret_fraction) / (1.0 - factor * fret_fraction))

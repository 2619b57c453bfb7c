"""What strings pull: unit mass, tension, and how near a string is to its strength.

Newtons, kg/m, Hz, mm; stress in MPa, which is N/mm².
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.design.string_set import SetString
from jiggen.layout.quantity import require_positive
from jiggen.units import INCH

#: Sentences for whoever strings an instrument or works beside it under tension. Source: common practice.
TENSION_CAUTIONS = (
    "A string that breaks whips: wear eye protection while stringing up, tuning and cutting strings.",
    "Keep your face and other people's out of the line of the strings while the tension rises.",
    "Slacken all strings evenly before work on nut, bridge or neck; never cut a string at full tension.",
    "Cut ends are sharp: trim them, turn them in and sweep them up.",
)

#: kg in a pound. Source: NIST SP 811, exact.
POUND_KG = 0.45359237

#: Share of its room that round wire fills when it is wound close, seen along the string: a circle in its square.
ROUND_WIRE_FILL = math.pi / 4.0


def plain_unit_mass(*, diameter_mm: float, density_kg_m3: float) -> float:
    """Returns the unit mass of a plain string, kg/m.

    Args:
        diameter_mm: Of the string.
        density_kg_m3: Of its wire.

    Raises:
        InputError: If a number is not positive.

    Source: geometry, density · π d² / 4.
    """
    require_positive("string diameter", diameter_mm, "mm")
    require_positive("density of the wire", density_kg_m3, "kg/m³")
    return density_kg_m3 * _area(diameter_mm) * 1e-6


def wound_unit_mass(
    *, diameter_mm: float, core_diameter_mm: float, core_density_kg_m3: float, wrap_density_kg_m3: float
) -> float:
    """Returns the unit mass of a round-wound string from its parts, kg/m.

    Args:
        diameter_mm: Over the wrap.
        core_diameter_mm: Of the core, taken as round.
        core_density_kg_m3: Of the core's wire.
        wrap_density_kg_m3: Of the wrap's wire.

    Returns:
        An estimate: the wrap is taken as round wire wound close, in one layer or more, of the same metal all
        through. Flat-wound strings weigh more.

    Raises:
        InputError: If a number is not positive or the core is not thinner than the string.

    Source: geometry. A wire of diameter w wound close about a core c has length π(c + w)/w per unit of string and
        so fills π/4 of the ring between c and c + 2w.
    """
    core = plain_unit_mass(diameter_mm=core_diameter_mm, density_kg_m3=core_density_kg_m3)
    require_positive("density of the wrap", wrap_density_kg_m3, "kg/m³")
    require_positive("string diameter less core diameter", diameter_mm - core_diameter_mm, "mm")
    ring = _area(diameter_mm) - _area(core_diameter_mm)
    return core + wrap_density_kg_m3 * ring * ROUND_WIRE_FILL * 1e-6


def unit_mass_from_lb_in(unit_weight_lb_in: float) -> float:
    """Returns the unit mass in kg/m of a unit weight in pounds per inch, as American string charts give it.

    Raises:
        InputError: If it is not positive.
    """
    require_positive("unit weight", unit_weight_lb_in, "lb/in")
    return unit_weight_lb_in * POUND_KG / (float(INCH) * 1e-3)


def unit_mass_of(string: SetString) -> float:
    """Returns the unit mass of a string of a set, kg/m: the one it gives, or else one from its parts."""
    if string.unit_mass_kg_m is not None:
        return string.unit_mass_kg_m.value
    diameter, core, wrap = string.diameter_mm.value, string.core_diameter_mm, string.wrap
    if wrap is None or core is None:
        return plain_unit_mass(diameter_mm=diameter, density_kg_m3=string.wire.density_kg_m3.value)
    return wound_unit_mass(
        diameter_mm=diameter,
        core_diameter_mm=core.value,
        core_density_kg_m3=string.wire.density_kg_m3.value,
        wrap_density_kg_m3=wrap.density_kg_m3.value,
    )


def tension_n(*, unit_mass_kg_m: float, speaking_length_mm: float, frequency_hz: float) -> float:
    """Returns the tension that gives a string its pitch, in N.

    Args:
        unit_mass_kg_m: Of the string.
        speaking_length_mm: From nut to saddle.
        frequency_hz: Of the open string.

    Raises:
        InputError: If a number is not positive.

    Source: T = μ (2 L f)², the ideal string (Mersenne's law).
    """
    require_positive("unit mass", unit_mass_kg_m, "kg/m")
    require_positive("speaking length", speaking_length_mm, "mm")
    require_positive("frequency", frequency_hz, "Hz")
    return unit_mass_kg_m * (2.0 * speaking_length_mm * 1e-3 * frequency_hz) ** 2


def open_frequency_hz(*, unit_mass_kg_m: float, speaking_length_mm: float, tension_n: float) -> float:
    """Returns the frequency at which an open string sounds under a tension, in Hz: `tension_n` the other way.

    Raises:
        InputError: If a number is not positive.
    """
    require_positive("unit mass", unit_mass_kg_m, "kg/m")
    require_positive("speaking length", speaking_length_mm, "mm")
    require_positive("tension", tension_n, "N")
    return math.sqrt(tension_n / unit_mass_kg_m) / (2.0 * speaking_length_mm * 1e-3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """How hard a string's load-bearing wire is pulled.

    Attributes:
        tension_n: On the whole string.
        load_diameter_mm: Of the wire that carries it: the plain string or the core.
        stress_mpa: Over that wire's area, taken as round.
        strength_mpa: At which such wire breaks.
        strength_source: Where that figure comes from.
    """

    tension_n: float
    load_diameter_mm: float
    stress_mpa: float
    strength_mpa: float
    strength_source: str

    @property
    def share(self) -> float:
        """Stress over strength: 1 is where it breaks. Bends at nut, saddle and post leave less in practice."""
        return self.stress_mpa / self.strength_mpa


def strain(*, tension_n: float, load_diameter_mm: float, strength_mpa: float, strength_source: str) -> Strain:
    """Returns how near a string is to its strength.

    Args:
        tension_n: On the string.
        load_diameter_mm: Of the plain string, or of the core of a wound one, whose wrap carries nothing.
        strength_mpa: Tensile strength of that wire.
        strength_source: Where it comes from.

    Raises:
        InputError: If a number is not positive.

    Source: stress = T / (π d² / 4).
    """
    require_positive("tension", tension_n, "N")
    require_positive("diameter that carries the load", load_diameter_mm, "mm")
    require_positive("tensile strength", strength_mpa, "MPa")
    return Strain(
        tension_n=tension_n,
        load_diameter_mm=load_diameter_mm,
        stress_mpa=tension_n / _area(load_diameter_mm),
        strength_mpa=strength_mpa,
        strength_source=strength_source,
    )


def strain_of(string: SetString, tension_n: float) -> Strain | None:
    """Returns how near a string of a set is to its strength; None when core or strength are not known."""
    if string.wire.strength is None or string.load_diameter_mm is None:
        return None
    return strain(
        tension_n=tension_n,
        load_diameter_mm=string.load_diameter_mm,
        strength_mpa=string.wire.strength.at_diameter(string.load_diameter_mm),
        strength_source=string.wire.strength.source,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """What all strings pull together.

    Attributes:
        strings_n: Each string, N.
        courses_n: Each course, N, first course first.
        total_n: All of them, N.
    """

    strings_n: tuple[float, ...]
    courses_n: tuple[float, ...]
    total_n: float


def add_up(tensions_n: Sequence[float], courses: Sequence[int]) -> Pull:
    """Returns the pull per course and in all.

    Args:
        tensions_n: Of each string, N, first string first.
        courses: The number of each string's course, counted from 1, as many as there are strings.

    Raises:
        ValueError: If the two differ in length.
    """
    per_course = dict.fromkeys(sorted(courses), 0.0)
    for tension, course in zip(tensions_n, courses, strict=True):
        per_course[course] += tension
    return Pull(
        strings_n=tuple(tensions_n),
        courses_n=tuple(per_course.values()),
        total_n=math.fsum(tensions_n),
    )


def _area(diameter_mm: float) -> float:
    """Returns the area of a circle, mm²."""
    return math.pi * diameter_mm**2 / 4.0

"""Papers that printers hold. Millimetres."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from jiggen.units import MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Paper:
    """A size of paper, upright.

    Attributes:
        name: As typed after `--paper`.
        title: As printed.
        width_mm: The shorter side.
        height_mm: The longer side.
    """

    name: str
    title: str
    width_mm: float
    height_mm: float


#: Sizes of ISO 216, and of ANSI/ASME Y14.1 (A and B).
A4 = Paper("a4", "A4", 210.0, 297.0)
A3 = Paper("a3", "A3", 297.0, 420.0)
LETTER = Paper("letter", "Letter", 8.5 * MM_PER_INCH, 11.0 * MM_PER_INCH)
TABLOID = Paper("tabloid", "Tabloid", 11.0 * MM_PER_INCH, 17.0 * MM_PER_INCH)

PAPERS: Mapping[str, Paper] = MappingProxyType({each.name: each for each in (A4, A3, LETTER, TABLOID)})

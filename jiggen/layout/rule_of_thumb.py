"""Setbacks for strings of which nobody knows the gauges: rules of thumb, and marked as such."""

from dataclasses import dataclass

from jiggen.design.model import Family


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleOfThumb:
    """A straight saddle to start from when the strings are not known. Millimetres; no computation stands behind it.

    Attributes:
        family: Kind of instrument.
        treble_mm: Setback of the saddle at the first string, away from the nut.
        bass_mm: Setback at the last string.
        nut_mm: Setback of the nut, away from the saddle: negative shortens the way to fret 1.
        give_or_take_mm: How far good instruments are either side of the saddle's figures.
        source: Where it comes from.
    """

    family: Family
    treble_mm: float
    bass_mm: float
    nut_mm: float
    give_or_take_mm: float
    source: str

    @property
    def caution(self) -> str:
        """To be printed beside it."""
        return (
            f"A rule of thumb ({self.source}), give or take {self.give_or_take_mm:g} mm, not computed from strings: "
            "name the gauges for an estimate, and leave room to file or to move the saddle."
        )


_PUBLISHED = "mean of five nylon sets at 650 mm, Anderson & Beausoleil, J. Acoust. Soc. Am. 156(1), 683, 2024"
_PRACTICE = "common practice"
_RULES = (
    (Family.NYLON_GUITAR, 1.9, 1.9, -0.37, 0.4, _PUBLISHED),
    (Family.STEEL_GUITAR, 2.0, 4.5, 0.0, 1.0, _PRACTICE),
    (Family.ELECTRIC_GUITAR, 2.0, 4.0, 0.0, 1.5, _PRACTICE),
    (Family.BASS, 3.0, 5.5, 0.0, 1.5, _PRACTICE),
    (Family.UKULELE, 2.0, 2.0, 0.0, 1.0, _PRACTICE),
    (Family.MANDOLIN, 2.0, 4.0, 0.0, 1.5, _PRACTICE),
)


def rule_of_thumb(family: Family) -> RuleOfThumb:
    """Returns the rule of thumb for a kind of instrument, whatever its scale."""
    row = next(row for row in _RULES if row[0] is family)
    _, treble, bass, nut, give_or_take, source = row
    return RuleOfThumb(
        family=family,
        treble_mm=treble,
        bass_mm=bass,
        nut_mm=nut,
        give_or_take_mm=give_or_take,
        source=source,
    )

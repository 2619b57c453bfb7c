"""Materials: sheet, thickness and how it behaves, from a profile."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A sheet material as its profile describes it.

    Attributes:
        name: Profile name.
        title: For people, with the thickness: `3 mm cast acrylic`.
        thickness_mm: Nominal sheet thickness.
        transparent: Whether work can be seen through it.
        cautions: Sentences to print for whoever cuts it.
    """

    name: str
    title: str
    thickness_mm: float
    transparent: bool
    cautions: tuple[str, ...]

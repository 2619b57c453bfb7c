"""Materials: a sheet, how it grows, how wide a cut is in it, and what may not be done to it; from a profile."""

from dataclasses import dataclass

from jiggen.design.model import Given
from jiggen.shop.kerf import Kerf
from jiggen.shop.machine import Process
from jiggen.shop.price import Price


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far the sheet's thickness may lie off its nominal value.

    Attributes:
        over_mm: Above it.
        under_mm: Below it, as a positive number.
        standard: That allows it.
    """

    over_mm: float
    under_mm: float
    standard: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """Why a material must not go on some kind of machine.

    Attributes:
        process: The kind of machine.
        reason: A sentence.
    """

    process: Process
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A sheet material as its profile describes it.

    Attributes:
        name: Profile name.
        title: For people, with the thickness: `3 mm cast acrylic`.
        thickness_mm: Of the sheet; with no word of a measurement it is nominal.
        thickness_source: Where that figure comes from.
        transparent: Whether work can be seen through it.
        tolerance: Of the thickness; None when nobody states one.
        expansion: Growth per °C, as a share of the length; None when it is not known.
        moisture_along: Growth per per cent of relative humidity along the grain, as a share of the length, once the
            sheet has taken it on; None when it is not known.
        moisture_across: The same across the grain; equal where the sheet has none.
        gap_mm: Smallest distance between two parts, where the sheet wants more than the machine; None where it does not.
        kerfs: How wide a cut is, as measured or assumed; none for what is not cut by a beam.
        refusals: Machines on which it must not be worked.
        price_per_m2: Of the sheet; None when nobody said.
        cautions: Sentences for whoever works it, however it is done.
        laser_cautions: The same on a laser.
        router_cautions: The same on a router.
    """

    name: str
    title: str
    thickness_mm: float
    thickness_source: str = "nominal"
    transparent: bool
    tolerance: Tolerance | None = None
    expansion: Given[float] | None = None
    moisture_along: Given[float] | None = None
    moisture_across: Given[float] | None = None
    gap_mm: float | None = None
    kerfs: tuple[Kerf, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    price_per_m2: Price | None = None
    cautions: tuple[str, ...] = ()
    laser_cautions: tuple[str, ...] = ()
    router_cautions: tuple[str, ...] = ()

    @property
    def has_grain(self) -> bool:
        """Whether it grows differently along and across, so that parts must not be turned on the sheet."""
        along, across = self.moisture_along, self.moisture_across
        return along is not None and across is not None and along.value != across.value

"""What sheets and parts cost, as far as material and machine have a price."""

from dataclasses import dataclass

from jiggen.geometry.measure import area
from jiggen.sheets.estimate import seconds_of_part, share_used, total_seconds, work_of
from jiggen.sheets.model import Placement, Sheet
from jiggen.shop.material import Material
from jiggen.shop.price import Price

_MM2_PER_M2, _SECONDS_PER_HOUR = 1e6, 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What something costs; None where the price is not known.

    Attributes:
        material: The sheet, or so much of it as a part takes.
        unused: As much of that as no part takes.
        machine: Its time.
    """

    material: Price | None
    unused: Price | None
    machine: Price | None

    @property
    def total(self) -> Price | None:
        """Material and machine, as far as they are known."""
        known = [each for each in (self.material, self.machine) if each is not None]
        return known[0].plus(known[1]) if len(known) == 2 else next(iter(known), None)


def cost_of_sheet(sheet: Sheet, material: Material) -> Cost:
    """Returns what a sheet costs, all of it, and the time that it takes."""
    per_m2 = material.price_per_m2
    whole = per_m2.times(sheet.width_mm * sheet.height_mm / _MM2_PER_M2) if per_m2 else None
    return Cost(
        material=whole,
        unused=whole.times(1.0 - share_used(sheet)) if whole else None,
        machine=_of_time(sheet, total_seconds(work_of(sheet))),
    )


def cost_of_part(sheet: Sheet, placement: Placement, material: Material) -> Cost:
    """Returns what a part costs: the sheet within its outline, and the time of what is done for it, travel left out.

    A part that lies in an opening of another takes none of the sheet, since that one has paid for it.
    """
    part, per_m2 = placement.cut_part.part, material.price_per_m2
    taken = abs(area(part.outline)) if placement.within is None else 0.0
    return Cost(
        material=per_m2.times(taken / _MM2_PER_M2) if per_m2 else None,
        unused=None,
        machine=_of_time(sheet, seconds_of_part(sheet, part.name)),
    )


def _of_time(sheet: Sheet, seconds: float | None) -> Price | None:
    per_hour = sheet.machine.price_per_hour
    return per_hour.times(seconds / _SECONDS_PER_HOUR) if per_hour and seconds is not None else None

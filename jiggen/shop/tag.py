"""The tag: what a part says about itself. Built here and nowhere else; engraved, and written into each file."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """Where a part comes from and what was done to make it the right size.

    Attributes:
        design_name: The maker's name for the design.
        design_id: Short hash of the canonical design, so that a stale part shows.
        part_name: Which part of the design.
        material: Title of the material profile.
        thickness_mm: Sheet thickness.
        kerf_mm: Full width of the beam's cut that was reckoned with.
        kerf_source: Where that figure comes from.
        offset_mm: How far edges moved out and openings in: half the kerf.
        growth_scale: Factor for thermal and moisture growth.
        machine_scale_x: Factor for the machine's x axis.
        machine_scale_y: Factor for the machine's y axis.
        cut_degc: Temperature when cut.
        use_degc: Temperature when used.
        revision_date: Date of the design's revision, ISO 8601; empty when the design has none.
        version: Version of jiggen.
    """

    design_name: str
    design_id: str
    part_name: str
    material: str
    thickness_mm: float
    kerf_mm: float
    kerf_source: str
    offset_mm: float
    growth_scale: float = 1.0
    machine_scale_x: float = 1.0
    machine_scale_y: float = 1.0
    cut_degc: float = 20.0
    use_degc: float = 20.0
    revision_date: str = ""
    version: str

    def line(self) -> str:
        """Returns the tag as one engraved line, at most 120 characters."""
        date = f" · {self.revision_date}" if self.revision_date else ""
        return (
            f"{self.design_name} {self.design_id} · {self.material} · kerf {self.kerf_mm:.2f}"
            f" offset {self.offset_mm:.2f}{date} · jiggen {self.version}"
        )

"""The tag: what a part says about itself. Built here and nowhere else; engraved, and written into each file."""

from dataclasses import dataclass

from jiggen.design.making import MarkFace, TrueFace
from jiggen.design.spec import Spec
from jiggen.parts.model import Part
from jiggen.shop.workshop import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """Where a part comes from and what was done to make it the right size.

    A path in a file is made of the finished contour in this order: times the growth scale, about the part's origin;
    moved by the offset; laid on the sheet; times the machine scale, about the sheet's origin.

    Attributes:
        design_name: The maker's name for the design.
        design_id: Short hash of the canonical design, so that a stale part shows.
        part_name: Which part of the design.
        material: Title of the material profile.
        thickness_mm: Sheet thickness.
        kerf_mm: Full width of the beam's cut that was reckoned with, on the true face.
        kerf_source: Where that figure comes from.
        offset_mm: How far edges moved out and openings in: half the kerf.
        true_face: The face that has the drawn size where the cut tapers: `marked`, `plain` or `middle`.
        growth_scale: Factor for thermal and moisture growth, along the part's x.
        growth_scale_across: The same along its y; differs only where a sheet has a grain.
        machine_scale_x: Factor for the machine's x axis, that is the sheet's, however the part lies on it.
        machine_scale_y: Factor for the machine's y axis.
        cut_degc: Temperature when cut.
        use_degc: Temperature when used.
        cut_humidity: Relative humidity when cut, per cent.
        use_humidity: Relative humidity when used, per cent.
        mark_face: The face that carries lines and lettering: `top`, or `under`, for which the part is cut mirrored.
        pattern_guide_mm: For a router pattern, the diameter of the guide that runs along it; 0 for the part itself.
        pattern_bit_mm: For a router pattern, the diameter of the bit; 0 for the part itself.
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
    true_face: str = TrueFace.MARKED.value
    growth_scale: float = 1.0
    growth_scale_across: float = 1.0
    machine_scale_x: float = 1.0
    machine_scale_y: float = 1.0
    cut_degc: float = 20.0
    use_degc: float = 20.0
    cut_humidity: float = 50.0
    use_humidity: float = 50.0
    mark_face: str = MarkFace.TOP.value
    pattern_guide_mm: float = 0.0
    pattern_bit_mm: float = 0.0
    revision_date: str = ""
    version: str

    @property
    def mirrored(self) -> bool:
        """Whether the part is cut mirrored, so that its marks come to lie underneath."""
        return self.mark_face == MarkFace.UNDER.value

    def line(self) -> str:
        """Returns the tag as it is engraved: what is plain goes without saying."""
        return " · ".join(filter(None, self._items()))

    def _items(self) -> tuple[str, ...]:
        return (
            f"{self.design_name} {self.design_id}",
            self.material,
            self._kerf(),
            *self._growth(),
            self._machine(),
            "marks under" if self.mirrored else "",
            self._pattern(),
            self.revision_date,
            f"jiggen {self.version}",
        )

    def _kerf(self) -> str:
        face = "" if self.true_face == TrueFace.MARKED.value else f" {self.true_face} face"
        return f"kerf {self.kerf_mm:.2f}{face}" if self.kerf_mm else "no kerf"

    def _growth(self) -> tuple[str, ...]:
        """What growth was allowed for, and what changes between cutting and use."""
        if self.growth_scale == self.growth_scale_across == 1.0:
            return ()
        across = "" if self.growth_scale == self.growth_scale_across else f"/{self.growth_scale_across:.5f}"
        warm, damp = self.cut_degc != self.use_degc, self.cut_humidity != self.use_humidity
        return (
            f"size ×{self.growth_scale:.5f}{across}",
            f"cut {self.cut_degc:g} use {self.use_degc:g} °C" if warm else "",
            f"cut {self.cut_humidity:g} use {self.use_humidity:g} % RH" if damp else "",
        )

    def _machine(self) -> str:
        if self.machine_scale_x == self.machine_scale_y == 1.0:
            return ""
        return f"machine ×{self.machine_scale_x:.4f} ×{self.machine_scale_y:.4f}"

    def _pattern(self) -> str:
        if not self.pattern_guide_mm:
            return ""
        return f"router pattern: guide {self.pattern_guide_mm:g} bit {self.pattern_bit_mm:g}"


def tag_of(part: Part, workshop: Workshop, *, spec: Spec, identity: str, version: str) -> Tag:
    """Returns the tag of a part of a design, made in a workshop.

    Args:
        part: Before the workshop did anything to it.
        workshop: How it is made.
        spec: Of the design.
        identity: The design's id.
        version: Of jiggen.
    """
    climate, pattern = workshop.climate, workshop.pattern if part.is_led else None
    return Tag(
        design_name=spec.design.name,
        design_id=identity,
        part_name=part.title,
        material=workshop.material.title,
        thickness_mm=workshop.material.thickness_mm,
        kerf_mm=workshop.kerf_mm,
        kerf_source=workshop.kerf.source,
        offset_mm=workshop.kerf_mm / 2.0,
        true_face=workshop.true_face.value,
        growth_scale=workshop.growth.along,
        growth_scale_across=workshop.growth.across,
        machine_scale_x=workshop.machine.scale_x.value,
        machine_scale_y=workshop.machine.scale_y.value,
        cut_degc=climate.cut_degc.value,
        use_degc=climate.use_degc.value,
        cut_humidity=climate.cut_humidity.value,
        use_humidity=climate.use_humidity.value,
        mark_face=workshop.face_of(part).value,
        pattern_guide_mm=pattern.guide_mm if pattern else 0.0,
        pattern_bit_mm=pattern.bit_mm if pattern else 0.0,
        revision_date=spec.design.date,
        version=version,
    )

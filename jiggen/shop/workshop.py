"""The workshop: one material on one machine, in one climate, with every choice made; what all parts are made with."""

from dataclasses import dataclass, replace

from jiggen.design.making import Make, MarkFace, Stock, TrueFace
from jiggen.design.model import CHOSEN, Given
from jiggen.errors import ConflictError, InputError, LimitError, quoted
from jiggen.parts.model import Part
from jiggen.shop.climate import Climate, Growth, climate_of, growth_of
from jiggen.shop.kerf import Kerf, even
from jiggen.shop.machine import Machine, Process
from jiggen.shop.material import Material
from jiggen.shop.pattern import Pattern, pattern_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """How parts are made.

    Attributes:
        material: The sheet.
        machine: What works it.
        kerf: The one that holds for both.
        true_face: Which face has the drawn size.
        climate: When cut and in use.
        growth: What follows from it.
        mark_face: Which face carries the marks, if the maker said so.
        pattern: The router that shall run along the parts; None: the parts themselves are wanted.
        stock: Sheets at hand; none: as many of the bed's size as it takes.
    """

    material: Material
    machine: Machine
    kerf: Kerf
    true_face: TrueFace
    climate: Climate
    growth: Growth
    mark_face: MarkFace | None
    pattern: Pattern | None
    stock: tuple[Stock, ...] = ()

    @property
    def is_paper(self) -> bool:
        """Whether it only prints, to check a design."""
        return self.machine.process is Process.PAPER

    @property
    def kerf_mm(self) -> float:
        """Full width of the cut on the true face, in mm."""
        return self.kerf.at(self.true_face)

    def face_of(self, part: Part) -> MarkFace:
        """Returns which face of a part carries its lines and lettering.

        On a clear part that lies on the work they are best underneath, free of parallax. A print on paper is read as
        it lies.
        """
        if self.is_paper:
            return MarkFace.TOP
        if self.mark_face is not None:
            return self.mark_face
        return MarkFace.UNDER if self.material.transparent and part.lies_on_work else MarkFace.TOP

    @property
    def cautions(self) -> tuple[str, ...]:
        """The sentences that fit this material and machine, each once."""
        of_process = {
            Process.LASER: self.material.laser_cautions,
            Process.ROUTER: self.material.router_cautions,
            Process.PAPER: (),
        }[self.machine.process]
        of_material = () if self.machine.process is Process.PAPER else self.material.cautions
        return tuple(dict.fromkeys((*self.machine.cautions, *of_material, *of_process)))


def fit_out(material: Material, machine: Machine, make: Make) -> Workshop:
    """Returns the workshop for a material on a machine as a design asks for it; parts keep the wider gap of the two.

    Raises:
        JiggenError: If the material must not go on the machine, no kerf is known, a choice is open, or the climate
            changes in a way the material knows nothing of.
    """
    for refusal in material.refusals:
        if refusal.process is machine.process:
            raise LimitError(
                where=f"material {material.name} on machine {machine.name}",
                got=f"{material.title} for a {machine.process}",
                expected="a material that can be worked on it safely",
                mend=refusal.reason,
            )
    hour, square_metre = machine.price_per_hour, material.price_per_m2
    if hour and square_metre and hour.currency != square_metre.currency:
        raise ConflictError(
            where=f"machine {machine.name}, price-per-hour",
            got=f"{hour} beside {square_metre} for a square metre of {material.title}",
            expected="one currency",
            mend="Give both prices in the same one.",
        )
    if material.gap_mm is not None and material.gap_mm > machine.gap_mm:
        machine = replace(machine, gap_mm=material.gap_mm)
    kerf = choose_kerf(material, machine, make.setting)
    true_face = make.true_face.value if make.true_face is not None else TrueFace.MARKED
    if kerf.at(true_face) > machine.gap_mm:
        raise LimitError(
            where=f"machine {machine.name}, gap",
            got=f"{machine.gap_mm:.2f} mm between parts",
            expected=f"at least the kerf of {kerf.at(true_face):.2f} mm in {material.title}",
            mend="Cuts would run into one another: give the machine's profile a larger gap.",
        )
    climate = climate_of(make)
    return Workshop(
        material=material,
        machine=machine,
        kerf=kerf,
        true_face=true_face,
        climate=climate,
        growth=growth_of(material, machine, climate),
        mark_face=make.mark_face.value if make.mark_face is not None else None,
        pattern=pattern_of(make),
        stock=make.stock,
    )


def choose_kerf(material: Material, machine: Machine, setting: str = "") -> Kerf:
    """Returns the kerf that holds for a material on a machine.

    Best is one of the material that names the machine, with the setting asked for; then the machine's own; then what
    the material assumes for any laser. A router's is its bit, whatever the material, and paper has none.

    Raises:
        InputError: If there is none, or the setting is not known, or more than one holds and none is asked for.
    """
    match machine.process:
        case Process.PAPER:
            return even(Given(0.0, CHOSEN, note="printed, not cut"))
        case Process.ROUTER:
            if machine.kerf is None:
                raise _no_kerf(material, machine)
            return machine.kerf
        case Process.LASER:
            named = [kerf for kerf in material.kerfs if kerf.machine == machine.name]
            if setting:
                return _with_setting(
                    named or [each for each in material.kerfs if not each.machine], setting, material
                )
            if len(named) > 1:
                raise InputError(
                    where="make.setting",
                    got=f"nothing, and {len(named)} kerfs of {material.name} on {machine.name}",
                    expected=f"one of {', '.join(quoted(kerf.setting) for kerf in named)}",
                    mend="Say in the design's [make] table which power and speed you cut at.",
                )
            candidates = [
                *named,
                *([machine.kerf] if machine.kerf else []),
                *(k for k in material.kerfs if not k.machine),
            ]
            if not candidates:
                raise _no_kerf(material, machine)
            return candidates[0]


def _with_setting(kerfs: list[Kerf], setting: str, material: Material) -> Kerf:
    for kerf in kerfs:
        if kerf.setting == setting:
            return kerf
    known = ", ".join(quoted(kerf.setting) for kerf in kerfs if kerf.setting)
    raise InputError(
        where="make.setting",
        got=quoted(setting),
        expected=f"one of {known}" if known else f"none, since no kerf of {material.name} here names one",
    )


def _no_kerf(material: Material, machine: Machine) -> InputError:
    return InputError(
        where=f"material {material.name} on machine {machine.name}",
        got="no kerf",
        expected="a kerf in the material's or the machine's profile",
        mend="Cut a coupon (jiggen coupon) and measure it, or write down what you assume.",
    )

"""From a worked-out neck to sheets ready to cut, as named steps: parts drawn, made the right size, and laid on stock."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from jiggen import __version__
from jiggen.design.making import Make, Stock
from jiggen.design.spec import Spec
from jiggen.errors import JiggenError, raise_all
from jiggen.export.options import DEFAULTS, Options
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import choose
from jiggen.parts.model import Bench, Part
from jiggen.profiles import find
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.in_pieces import in_pieces
from jiggen.sheets.model import Member, SheetSet
from jiggen.sheets.nest import nest
from jiggen.shop.check import check_part
from jiggen.shop.compensate import compensate
from jiggen.shop.limits import allowed, errors_of
from jiggen.shop.model import CutPart
from jiggen.shop.read import machine_from_profile, material_from_profile
from jiggen.shop.tag import tag_of
from jiggen.shop.workshop import Workshop, fit_out
from jiggen.splitting.split import IN_ONE, Wish, check_names

DEFAULT_MATERIAL, DEFAULT_MACHINE = "cast-acrylic-3", "large-laser"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is asked of a run beyond the design itself; what is empty is taken from the design, then the defaults.

    Attributes:
        parts: Names of parts.
        material: Name of a material profile.
        machine: Name of a machine profile.
        stock: Sheets at hand.
        allow: Names of warnings that the maker has seen.
        formats: Words for formats, such as `dxf` and `svg`; empty: all.
        options: How the files are written.
        proof: Whether the files are read back and measured before they are saved.
        tab_width_mm: Of tabs that hold parts in the sheet; None: as the machine's profile says.
        pieces: How parts are divided that are too large for the bed.
    """

    parts: tuple[str, ...] = ()
    material: str = ""
    machine: str = ""
    stock: tuple[Stock, ...] = ()
    formats: tuple[str, ...] = ()
    allow: tuple[str, ...] = ()
    options: Options = DEFAULTS
    proof: bool = True
    tab_width_mm: float | None = None
    pieces: Wish = field(default_factory=Wish)


def fit_out_workshop(make: Make, order: Order) -> Workshop:
    """Returns the workshop that a design and an order ask for.

    Raises:
        JiggenError: If a material or a machine is not known, or the one must not go on the other.
    """
    material = material_from_profile(find("materials", order.material or make.material or DEFAULT_MATERIAL))
    machine = machine_from_profile(find("machines", order.machine or make.machine or DEFAULT_MACHINE))
    if order.tab_width_mm is not None:
        machine = replace(machine, tab_width_mm=order.tab_width_mm or None)
    return fit_out(material, machine, replace(make, stock=order.stock or make.stock))


def draw_up(neck: Neck, order: Order) -> SheetSet:
    """Returns the sheets to cut: parts drawn, made the right size for machine and material, and laid on stock.

    Raises:
        JiggenError: If a part, a material or a machine is not known, or a part cannot be made or does not fit.
    """
    workshop = fit_out_workshop(neck.spec.make, order)
    parts = draw_parts(neck, order, workshop)
    return lay_on_sheets(parts, neck, workshop, allow=order.allow, pieces=order.pieces)


def bench_of(workshop: Workshop) -> Bench:
    """Returns what a part must know of where it is made and used."""
    return Bench(
        smallest_lettering_mm=workshop.machine.smallest_lettering_mm,
        thickness_mm=workshop.material.thickness_mm,
    )


def draw_parts(neck: Neck, order: Order, workshop: Workshop) -> list[Part]:
    """Returns the parts that are asked for, at finished size.

    Raises:
        JiggenError: If a part is not known, or cannot be drawn for this neck.
    """
    bench = bench_of(workshop)
    where = "--only" if order.parts else "make.parts"
    entries = choose(order.parts or neck.spec.make.parts, neck, where=where)
    return [part for entry in entries for part in entry.build(neck, bench)]


def lay_on_sheets(
    parts: Sequence[Part],
    neck: Neck,
    workshop: Workshop,
    *,
    allow: Sequence[str] = (),
    pieces: Wish = IN_ONE,
) -> SheetSet:
    """Returns parts as they must be cut, laid on sheets and checked against what machine and sheet can take.

    Args:
        parts: At finished size.
        neck: That they were drawn from.
        workshop: How they are made.
        allow: Names of warnings that the maker has seen.
        pieces: How parts are divided that are too large for the bed; when left out, they are not.

    Raises:
        JiggenError: If a part cannot be made, does not fit or breaks a limit; all that is wrong with all parts.
    """
    cut_parts = cut_parts_of(parts, neck, workshop, pieces)
    return laid(cut_parts, neck.spec, neck.id, workshop, allow=allow)


def cut_parts_of(parts: Sequence[Part], neck: Neck, workshop: Workshop, pieces: Wish) -> list[CutPart]:
    """Returns parts as they must be cut, each with its tag; those that are too large for the bed in pieces.

    Args:
        parts: At finished size.
        neck: That they were drawn from.
        workshop: How they are made.
        pieces: How parts are divided.

    Raises:
        JiggenError: If a part cannot be made; all that is wrong with all parts.
    """

    def cut(part: Part) -> CutPart:
        tag = tag_of(part, workshop, spec=neck.spec, identity=neck.id, version=__version__)
        return compensate(part, workshop, tag)

    check_names(pieces, [part.name for part in parts])
    errors: list[JiggenError] = []
    cut_parts: list[CutPart] = []
    for part in parts:
        try:
            cut_parts += in_pieces(part, neck.spec, workshop, pieces, cut)
        except JiggenError as error:
            errors.append(error)
    raise_all(errors)
    return cut_parts


def laid(
    cut_parts: Sequence[CutPart],
    spec: Spec,
    identity: str,
    workshop: Workshop,
    *,
    allow: Sequence[str] = (),
    members: Sequence[Member] = (),
) -> SheetSet:
    """Returns parts laid on sheets, and checked against what machine and sheet can take.

    Args:
        cut_parts: As they must be cut.
        spec: What the whole is called, and how accurate it is to be.
        identity: Id of the design, or of a class of them.
        workshop: How they are made.
        allow: Names of warnings that the maker has seen.
        members: The designs of a class, when the parts are those of several.

    Raises:
        JiggenError: If a part does not fit or breaks a limit; all that is wrong with all parts.
    """
    sheets = nest(cut_parts, workshop.machine, workshop.stock)
    findings = allowed(
        (
            *(finding for part in cut_parts for finding in check_part(part, workshop)),
            *(finding for sheet in sheets for finding in check_sheet_room(sheet)),
        ),
        allow,
        where="--allow",
    )
    raise_all(errors_of(findings))
    return SheetSet(
        spec=spec,
        design_id=identity,
        workshop=workshop,
        sheets=sheets,
        findings=findings,
        members=tuple(members),
    )

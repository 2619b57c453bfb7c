"""The whole run, from a design to proven files, as named steps. The command line and scripts call these."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from jiggen import __version__
from jiggen.design.fill import fill_design
from jiggen.design.identity import design_id
from jiggen.design.model import CompensationBy, Design, Given, Spec
from jiggen.design.read import read_defaults, read_design, read_string_set
from jiggen.design.solve import solve
from jiggen.design.string_set import StringSet
from jiggen.export.formats import encode_job
from jiggen.export.manifest import FILE_NAME as MANIFEST
from jiggen.export.save import save_job
from jiggen.export.slug import slug
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import StringSetup, set_up
from jiggen.parts.catalogue import choose
from jiggen.parts.model import Bench
from jiggen.profiles import find
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Report
from jiggen.sheets.model import SheetSet
from jiggen.sheets.nest import nest
from jiggen.shop.compensate import compensate
from jiggen.shop.machine import Machine
from jiggen.shop.material import Material
from jiggen.shop.read import machine_from_profile, material_from_profile
from jiggen.shop.tag import Tag

__all__ = [
    "DEFAULT_PROFILE",
    "Made",
    "Neck",
    "Order",
    "UnprovenError",
    "draw_up",
    "load",
    "make",
    "tag_for",
    "work_out",
]

DEFAULT_PROFILE, DEFAULT_MATERIAL, DEFAULT_MACHINE = "six-string-guitar", "cast-acrylic-3", "large-laser"


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """What is asked of a run beyond the design itself; what is empty is taken from the design, then the defaults.

    Attributes:
        parts: Names of parts.
        material: Name of a material profile.
        machine: Name of a machine profile.
        formats: Of the sheets' files, such as `dxf` and `svg`; empty: all.
    """

    parts: tuple[str, ...] = ()
    material: str = ""
    machine: str = ""
    formats: tuple[str, ...] = ()


def load(path: Path | str) -> Design:
    """Reads a design file.

    Raises:
        InputError: If it cannot be read or holds something that is not known.
    """
    return read_design(path)


@dataclass(frozen=True, slots=True, kw_only=True)
class Neck:
    """A design worked out.

    Attributes:
        spec: Every number, given, solved or assumed.
        layout: The geometry.
        setup: Pull of the strings and place of the saddle.
        id: Of the spec.
    """

    spec: Spec
    layout: Layout
    setup: StringSetup
    id: str


def work_out(design: Design, *, by_rule_of_thumb: bool = False) -> Neck:
    """Returns the neck that follows from a design: numbers solved, or assumed from the profile, and laid out.

    Args:
        design: What the maker said.
        by_rule_of_thumb: Whether the saddle is to be placed by a rule of thumb, whatever the design says.

    Raises:
        JiggenError: If numbers are missing, disagree, or make no instrument.
    """
    if by_rule_of_thumb:
        by = Given(CompensationBy.RULE_OF_THUMB, where="--rule-of-thumb")
        design = replace(design, setup=replace(design.setup, compensation=by))
    defaults = read_defaults(design)
    filled = fill_design(design, defaults) if defaults else design
    string_set = read_string_set(filled)
    if string_set and design.gauges is None and _as_many(filled, string_set):
        design = replace(design, gauges=string_set.gauges)
    spec = solve(design, defaults)
    layout = lay_out(spec)
    return Neck(spec=spec, layout=layout, setup=set_up(layout, string_set), id=design_id(spec))


def _as_many(design: Design, string_set: StringSet) -> bool:
    return design.string_count is None or design.string_count.value == len(string_set.strings)


def draw_up(neck: Neck, order: Order) -> SheetSet:
    """Returns the sheets to cut: parts drawn, made the right size for machine and material, and laid on stock.

    Raises:
        JiggenError: If a part, a material or a machine is not known, or a part cannot be made or does not fit.
    """
    spec, layout, make = neck.spec, neck.layout, neck.spec.make
    material = material_from_profile(find("materials", order.material or make.material or DEFAULT_MATERIAL))
    machine = machine_from_profile(find("machines", order.machine or make.machine or DEFAULT_MACHINE))
    bench = Bench(design_id=neck.id, smallest_lettering_mm=machine.smallest_lettering_mm)
    entries = choose(order.parts or make.parts, where="--only" if order.parts else "make.parts")
    cut_parts = [
        compensate(part, tag_for(spec, neck.id, part.title, material, machine), machine)
        for part in (entry.build(layout, bench) for entry in entries)
    ]
    return SheetSet(
        spec=spec,
        design_id=neck.id,
        material=material,
        machine=machine,
        sheets=nest(cut_parts, machine),
    )


def tag_for(spec: Spec, identity: str, part_name: str, material: Material, machine: Machine) -> Tag:
    """Returns the tag of a part made from a spec in a material on a machine."""
    return Tag(
        design_name=spec.design.name,
        design_id=identity,
        part_name=part_name,
        material=material.title,
        thickness_mm=material.thickness_mm,
        kerf_mm=machine.kerf_mm,
        kerf_source=machine.kerf_source,
        offset_mm=machine.kerf_mm / 2.0,
        revision_date=spec.design.date,
        version=__version__,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What a run made.

    Attributes:
        sheet_set: The sheets.
        files: File names in the order in which they were written.
        folder: Where they are.
        report: What the proof found.
    """

    sheet_set: SheetSet
    files: tuple[str, ...]
    folder: Path
    report: Report

    def lines(self) -> Iterator[str]:
        """Yields what was made and how the proof went, for people."""
        for sheet in self.sheet_set.sheets:
            parts = ", ".join(placement.cut_part.part.name for placement in sheet.placements)
            yield f"sheet {sheet.number}, {sheet.width_mm:.0f} × {sheet.height_mm:.0f} mm: {parts}"
        yield f"wrote {', '.join(self.files)} to {self.folder}"
        yield self.report.text().splitlines()[-1]


class UnprovenError(Exception):
    """The files do not say what the layout says: a mistake of ours, so nothing was saved."""


def make(design: Design, order: Order, out: Path, *, replace_edited: bool = False) -> Made:
    """Makes the files of a design and saves them, whole or not at all, once they have passed the proof.

    Args:
        design: What the maker said.
        order: What is asked beyond it.
        out: Folder in which the set gets a folder of its own.
        replace_edited: Whether files changed by hand since may be written over.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    sheet_set = draw_up(work_out(design), order)
    files = encode_job(sheet_set, order.formats)
    report = prove_files(files[MANIFEST], {name: data for name, data in files.items() if name != MANIFEST})
    if not report.ok:
        raise UnprovenError(f"the written files failed the proof; nothing was saved\n{report.text()}")
    folder = out / slug(design.name)
    save_job(folder, files, replace_edited=replace_edited)
    return Made(sheet_set=sheet_set, files=tuple(files), folder=folder, report=report)

"""Seeded random designs, made into files on random machines from random sheets in random weather."""

from collections.abc import Mapping
from dataclasses import replace
from random import Random

from support.random_designs import random_design

from jiggen.design.making import Make, MarkFace, TrueFace
from jiggen.design.model import Given
from jiggen.errors import JiggenError
from jiggen.export.formats import encode_job
from jiggen.export.options import Options
from jiggen.export.writer import Job
from jiggen.parts.catalogue import choose
from jiggen.prepare import Order, bench_of, fit_out_workshop, lay_on_sheets
from jiggen.reckon import work_out
from jiggen.shop.limits import LIMITS, Severity

MATERIALS = ("cast-acrylic-3", "cast-acrylic-6", "birch-ply-3", "mdf-3", "petg-2", "veneer-0.6", "card-0.5")
PARTS = (
    "plan-template",
    "fret-slot-guide",
    "saw-guide",
    "nut-rule",
    "board-template",
    "fret-rule",
    "nut-card",
)


def random_set(seed: int) -> tuple[bytes, Mapping[str, bytes]] | None:
    """Returns the manifest and the files of a random set; None where the design cannot be made."""
    chance = Random(seed)  # noqa: S311 - chance for tests, not for secrets
    design, _ = random_design(chance)
    design = replace(design, make=_make(chance), date="2026-11-25")
    order = Order(
        material=chance.choice(MATERIALS),
        machine=chance.choice(("large-laser", "large-laser", "medium-laser")),
        parts=tuple(chance.sample(PARTS, chance.randint(1, 4))),
    )
    uneven = chance.random() < 0.4
    scales = (chance.uniform(0.997, 1.003), chance.uniform(0.997, 1.003)) if uneven else (1.0, 1.0)
    allow = [limit.name for limit in LIMITS.values() if limit.severity is Severity.WARNING]
    try:
        neck = work_out(design)
        workshop = fit_out_workshop(neck.spec.make, order)
        machine = replace(
            workshop.machine,
            bed_width_mm=1600.0,
            bed_height_mm=900.0,
            scale_x=Given(scales[0]),
            scale_y=Given(scales[1]),
        )
        workshop = replace(workshop, machine=machine)
        bench = bench_of(workshop)
        entries = choose(order.parts, neck, where="--only")
        parts = [part for entry in entries for part in entry.build(neck, bench)]
        sheet_set = lay_on_sheets(parts, neck, workshop, allow=allow)
        options = Options(plan=False, dxf_entities=chance.choice(_ENTITIES))
        job = Job(sheet_set=sheet_set, layout=neck.layout, setup=neck.setup, options=options)
        files = encode_job(job, ("dxf", "svg"))
    except JiggenError:
        return None
    return files.pop("manifest.json"), files


_ENTITIES = tuple(type(Options().dxf_entities))


def _make(chance: Random) -> Make:
    """Random weather, faces and sides."""
    make = Make()
    if chance.random() < 0.4:
        make = replace(make, cut_degc=Given(chance.uniform(15.0, 35.0)), use_degc=Given(20.0))
    if chance.random() < 0.3:
        make = replace(make, cut_humidity=Given(chance.uniform(30.0, 80.0)), use_humidity=Given(50.0))
    if chance.random() < 0.5:
        make = replace(make, mark_face=Given(chance.choice(tuple(MarkFace))))
    if chance.random() < 0.3:
        make = replace(make, true_face=Given(chance.choice(tuple(TrueFace))))
    return make

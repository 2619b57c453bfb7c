"""What a maker does at the bench beside making a set: a kerf coupon, readings of parts, the id on a part."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from jiggen.design.accuracy import limits_of
from jiggen.design.making import MarkFace
from jiggen.design.model import Design
from jiggen.export.slug import slug
from jiggen.job import Made, make_of
from jiggen.layout.worked_neck import Neck
from jiggen.parts.catalogue import ALL, CATALOGUE
from jiggen.parts.coupon import coupon
from jiggen.parts.model import name_of_whole
from jiggen.prepare import Order, bench_of, cut_parts_of, draw_parts, fit_out_workshop, lay_on_sheets
from jiggen.reckon import work_out
from jiggen.shop.workshop import Workshop

if TYPE_CHECKING:
    from jiggen.proof.gauges import Gauges
    from jiggen.proof.known import Currency

#: The instrument whose tools a coupon is made for, and whose frets its uncertainty is told at, when none is named.
COUPON_PROFILE = "steel-string-14-fret"
#: What a coupon is there to try.
COUPON_ALLOWS = ("hole-under-thickness", "small-lettering", "single-pass", "narrow-web")


def make_coupon(design: Design | None, order: Order, out: Path, *, replace_edited: bool = False) -> Made:
    """Makes the files of a kerf coupon for a material on a machine, as `make` does those of a design.

    Args:
        design: Whose tools the fits are tried for; None: those of `COUPON_PROFILE`.
        order: What is asked beyond it; parts are not looked at.
        out: Folder in which the set gets a folder of its own.
        replace_edited: Whether files changed by hand since may be written over.

    Raises:
        JiggenError: If the maker has something to mend.
        UnprovenError: If a file is out by more than the proof allows.
    """
    neck, workshop = coupon_bench(design, order)
    part = coupon(neck.layout, bench_of(workshop))
    sheet_set = lay_on_sheets([part], neck, workshop, allow=(*COUPON_ALLOWS, *order.allow))
    order = replace(order, options=replace(order.options, plan=False))
    name = f"coupon-{workshop.material.name}-{workshop.machine.name}"
    return make_of(neck, sheet_set, order, out / slug(name), replace_edited=replace_edited)


def coupon_bench(design: Design | None, order: Order) -> tuple[Neck, Workshop]:
    """Returns what a coupon is made for and with: marks on its upper face, and as itself, not as a pattern.

    Args:
        design: Whose tools the fits are tried for; None: those of `COUPON_PROFILE`.
        order: What is asked beyond it.

    Raises:
        JiggenError: If the maker has something to mend.
    """
    neck = work_out(design or Design(name="Coupon", profile=COUPON_PROFILE))
    workshop = fit_out_workshop(neck.spec.make, order)
    return neck, replace(workshop, mark_face=MarkFace.TOP, pattern=None)


def stand(design: Design, part_id: str, out: Path) -> "Currency":
    """Returns whether a part was made from a design as it is now, and which numbers changed since.

    Args:
        design: What the maker says now.
        part_id: The id engraved on the part, or its first four figures at least.
        out: Folder in which sets were made.

    Raises:
        JiggenError: If it is no id, or the design or a manifest has a mistake.
    """
    from jiggen.export.manifest import design_numbers
    from jiggen.proof.known import compare, read_known

    neck = work_out(design)
    return compare(part_id, neck.id, design_numbers(neck.spec), read_known(out))


def gauges_of(neck: Neck, order: Order, names: Sequence[str]) -> tuple["Gauges", dict[str, float]]:
    """Returns what can be measured of a design, and the kerf that each of its parts was cut with, in mm.

    Args:
        neck: Of the design.
        order: Material and machine that parts were made with.
        names: Of the parts that were measured, or of pieces of theirs; none are drawn when it is empty.

    Raises:
        JiggenError: If a part, a material or a machine is not known, or a part cannot be drawn.
    """
    from jiggen.proof.gauges import Gauges

    workshop = fit_out_workshop(neck.spec.make, order)
    known = {entry.name for entry in CATALOGUE}
    wholes = tuple(dict.fromkeys(name_of_whole(name) for name in names))
    wanted = wholes if known.issuperset(wholes) else (ALL,)  # sets of gauges have names of their own
    parts = draw_parts(neck, replace(order, parts=wanted), workshop) if names else []
    in_pieces = [part for part in parts if part.name in wholes and part.name not in names]
    parts += [cut.part for cut in cut_parts_of(in_pieces, neck, workshop, order.pieces) if cut.part.piece]
    limits = limits_of(neck.spec.design.accuracy, workshop.machine.accuracy)
    return Gauges(neck.layout, parts, limits), {part.name: workshop.kerf_mm for part in parts}

"""`jiggen coupon`: a plate to cut and measure, and what its readings tell."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from jiggen.design.model import Design
    from jiggen.prepare import Order
    from jiggen.shop.coupon_fit import CouponFit
    from jiggen.shop.workshop import Workshop


@click.command("coupon")
@click.argument("design", type=click.Path(path_type=Path), required=False)
@click.option("--material", default="", metavar="NAME", help="Material profile.")
@click.option("--machine", default="", metavar="NAME", help="Machine profile.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out"),
    show_default=True,
    help="Folder to make the coupon's folder in.",
)
@click.option(
    "--replace-edited", is_flag=True, help="Write over files that were changed by hand since they were made."
)
@click.option(
    "--blank",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a table for the readings, to be filled in, instead of the coupon.",
)
@click.option(
    "--readings",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Read the table: kerf, scale of both axes, squareness, and a material profile with the kerf.",
)
@click.option("--setting", default="", metavar="WORDS", help="Power and speed that the coupon was cut with.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Folder of profiles that the material's goes into.  [default: your own, see README]",
)
@click.option("--replace", is_flag=True, help="Write over a table or a material profile of that name.")
@click.option("--keep-readings", is_flag=True, help="Keep the readings beside the profile.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of sentences.")
def command(
    design: Path | None,
    material: str,
    machine: str,
    out: Path,
    replace_edited: bool,
    blank: Path | None,
    readings: Path | None,
    setting: str,
    into: Path | None,
    replace: bool,
    keep_readings: bool,
    as_json: bool,
) -> None:
    """Make a kerf coupon, and learn kerf and scale from it.

    Cut it, measure it with a caliper, and give the readings back. With DESIGN, its fits are tried for the tools of
    that design, and its uncertainty is told at that instrument's frets.

    \b
    jiggen coupon --material cast-acrylic-3 --machine large-laser
    jiggen coupon --blank readings.csv
    jiggen coupon --readings readings.csv
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen import prepare, reckon
    from jiggen.errors import InputError

    if blank and readings:
        raise InputError(
            where="--blank and --readings",
            got="both",
            expected="one of them",
            mend="Write the table first, fill it in, then read it.",
        )
    said = reckon.load(design) if design else None
    order = prepare.Order(material=material, machine=machine)
    if blank:
        _write_blank(said, order, blank, replace=replace)
    elif readings:
        keeping = _Keeping(setting=setting, into=into, replace=replace, readings=keep_readings)
        _read(said, order, readings, keeping, as_json=as_json)
    else:
        _make(said, order, out, replace_edited=replace_edited)


def _make(design: "Design | None", order: "Order", out: Path, *, replace_edited: bool) -> None:
    from jiggen import bench_work

    made = bench_work.make_coupon(design, order, out, replace_edited=replace_edited)
    for line in made.lines():
        click.echo(line)
    for caution in made.sheet_set.workshop.cautions:
        click.echo(f"caution: {caution}", err=True)
    click.echo("cut it, then: jiggen coupon --blank readings.csv", err=True)


def _write_blank(design: "Design | None", order: "Order", path: Path, *, replace: bool) -> None:
    from jiggen import bench_work
    from jiggen.export.save import write_file
    from jiggen.shop.coupon_readings import blank_readings

    _, workshop = bench_work.coupon_bench(design, order)
    write_file(path, blank_readings(workshop.kerf_mm).encode(), overwrite=replace)
    click.echo(f"wrote {path}; fill it in, then: jiggen coupon --readings {path}", err=True)


def _read(design: "Design | None", order: "Order", path: Path, keeping: "_Keeping", *, as_json: bool) -> None:
    """Prints what readings tell, then writes the profile."""
    from jiggen import bench_work
    from jiggen.cli.columns import print_json
    from jiggen.profiles import read_text
    from jiggen.shop.coupon_fit import fit_coupon
    from jiggen.shop.coupon_readings import coupon_readings_from_text
    from jiggen.shop.coupon_story import at_frets, coupon_lines, coupon_table

    neck, workshop = bench_work.coupon_bench(design, order)
    text = read_text(path)
    fit = fit_coupon(coupon_readings_from_text(text, file=str(path)))
    scale = neck.spec.scale.value
    frets = at_frets(fit, scale, neck.telling_frets())
    if as_json:
        print_json(coupon_table(fit, workshop.machine, frets))
    else:
        for line in coupon_lines(fit, workshop.machine, frets, scale):
            click.echo(line)
    for each in _write_profile(workshop, fit, text, keeping):
        click.echo(f"wrote {each}", err=True)


@dataclass(frozen=True)
class _Keeping:
    """What to keep of the readings, and where."""

    setting: str
    into: Path | None
    replace: bool
    readings: bool


def _write_profile(workshop: "Workshop", fit: "CouponFit", text: str, keeping: _Keeping) -> Iterator[Path]:
    """Writes the material's profile with the measured kerf, and the readings beside it, if asked for."""
    from jiggen.cli.clock import today
    from jiggen.export.save import write_file
    from jiggen.shop.coupon_story import measured
    from jiggen.shop.write import material_text

    material, machine, day = workshop.material, workshop.machine, today()
    source = f"coupon of {day}"
    known = measured(material, machine, fit, setting=keeping.setting, source=source)
    heading = (
        f"{material.title}, with the kerf of {machine.title} from the {source}.\nWritten by jiggen coupon."
    )
    folder = _profiles(keeping.into) / "materials"
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{material.name}.toml"
    write_file(path, material_text(known, heading=heading).encode(), overwrite=keeping.replace)
    yield path
    if keeping.readings:
        beside = folder / f"{material.name}-{machine.name}-{day}.csv"
        write_file(beside, text.encode(), overwrite=keeping.replace)
        yield beside


def _profiles(into: Path | None) -> Path:
    """Returns the folder of profiles to write to: the one named, or the user's own.

    Raises:
        InputError: If no home is known and none is named.
    """
    import os
    import sys

    from jiggen.errors import InputError
    from jiggen.profiles import settings_folder

    folder = into or settings_folder(sys.platform, os.environ)
    if folder is None:
        raise InputError(
            where="--into",
            got="nothing, and no home folder",
            expected="a folder for the profile",
            mend="Name one, and list it in JIGGEN_PROFILES.",
        )
    return folder

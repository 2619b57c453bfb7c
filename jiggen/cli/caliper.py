"""`jiggen caliper`: readings of what was cut or built, against the design."""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

import click

from jiggen.cli.types import LENGTH
from jiggen.units import Length

if TYPE_CHECKING:
    from jiggen.layout.worked_neck import Neck
    from jiggen.proof.caliper import Judgement
    from jiggen.proof.gauges import Gauges


@click.command("caliper")
@click.argument("design", type=click.Path(path_type=Path))
@click.argument("readings", type=click.Path(path_type=Path), required=False)
@click.option(
    "--blank",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write a table for the readings, to be filled in.",
)
@click.option(
    "--part", default="", metavar="NAME", help="With --blank: for this part, not for board and strings."
)
@click.option(
    "--resolution",
    type=LENGTH,
    default="0.02mm",
    show_default=True,
    help="Smallest step of the caliper or rule.",
)
@click.option("--material", default="", metavar="NAME", help="Material profile that parts were cut from.")
@click.option("--machine", default="", metavar="NAME", help="Machine profile that they were cut on.")
@click.option(
    "--into",
    type=click.Path(path_type=Path),
    default=Path(),
    metavar="FOLDER",
    help="Where picture and page go.  [default: here]",
)
@click.option("--replace", is_flag=True, help="Write over files of their names.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON, and write neither picture nor page.")
def command(
    design: Path,
    readings: Path | None,
    blank: Path | None,
    part: str,
    resolution: Length,
    material: str,
    machine: str,
    into: Path,
    replace: bool,
    as_json: bool,
) -> None:
    """Set READINGS of a cut part, a slotted board or a finished instrument against DESIGN.

    Tells how far each is off in mm and cents, how sure that is, what they have in common, and what to do: leave it,
    move the saddle by so much, cut again with another kerf.

    \b
    jiggen caliper wren.toml --blank readings.csv
    jiggen caliper wren.toml readings.csv
    jiggen caliper wren.toml --blank guide.csv --part saw-guide
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen import bench_work, prepare, reckon
    from jiggen.errors import InputError
    from jiggen.export.save import write_file
    from jiggen.profiles import read_text
    from jiggen.proof.gauges import part_names

    if (readings is None) == (blank is None):
        got = "neither READINGS nor --blank" if blank is None else f"{readings} beside --blank {blank}"
        raise InputError(where="caliper", got=got, expected="one of them")
    neck = reckon.work_out(reckon.load(design))
    order = prepare.Order(material=material, machine=machine)
    if blank is not None:
        gauges, _ = bench_work.gauges_of(neck, order, [part] if part else [])
        write_file(blank, gauges.blank(part).encode(), overwrite=replace)
        click.echo(f"wrote {blank}; fill it in, then: jiggen caliper {design} {blank}", err=True)
    elif readings is not None:
        text = read_text(readings, what="a table of readings")
        gauges, kerfs = bench_work.gauges_of(neck, order, part_names(text))
        judgement = _judged(text, str(readings), gauges, kerfs, resolution.mm)
        if as_json:
            _print_json(judgement)
        else:
            _write(judgement, neck, readings.name, into, replace=replace)


def _judged(
    text: str, file: str, gauges: "Gauges", kerfs: Mapping[str, float], resolution_mm: float
) -> "Judgement":
    from jiggen.proof.caliper import judge
    from jiggen.proof.gauges import gauge_readings

    return judge(
        gauge_readings(text, gauges, file=file),
        scale_mm=gauges.scale_mm,
        fret_cents_limit=gauges.limits.fret_cents,
        kerfs_mm=kerfs,
        resolution_mm=resolution_mm,
    )


def _print_json(judgement: "Judgement") -> None:
    from jiggen.cli.columns import print_json
    from jiggen.proof.caliper_report import judgement_dict

    print_json(judgement_dict(judgement))


def _write(judgement: "Judgement", neck: "Neck", readings: str, into: Path, *, replace: bool) -> None:
    """Prints what the readings tell, and writes picture and page."""
    from jiggen.cli.columns import table
    from jiggen.errors import InputError
    from jiggen.export.page_svg import encode_page
    from jiggen.export.save import write_file
    from jiggen.export.slug import slug
    from jiggen.proof.caliper_picture import picture
    from jiggen.proof.caliper_report import judgement_lines, judgement_page, judgement_rows, saddle_rows

    name = neck.spec.design.name
    title = f"{name}, measured"
    svg = encode_page(picture(judgement, title), subject=f"{name} {neck.id}, {readings}")
    facts = (f"{name} {neck.id}", f"readings in {readings}")
    drawn = svg.decode().partition("?>\n")[2]
    page = judgement_page(judgement, title=title, facts=facts, picture=drawn)
    files = {
        into / f"{slug(name)}-caliper{suffix}": data for suffix, data in ((".svg", svg), (".html", page))
    }
    if not into.is_dir():
        raise InputError(where="--into", got=str(into), expected="a folder that exists")
    taken = [path for path in files if path.exists() and not replace]
    if taken:
        raise InputError(
            where=", ".join(map(str, taken)),
            got="files that exist",
            expected="new names",
            mend="Say --replace, or another folder with --into",
        )
    head, rows = judgement_rows(judgement)
    click.echo(table(head, rows))
    head, rows = saddle_rows(judgement)
    if rows:
        click.echo()
        click.echo(table(head, rows))
    click.echo()
    for line in judgement_lines(judgement):
        click.echo(line)
    for path, data in files.items():
        write_file(path, data, overwrite=replace)
        click.echo(f"wrote {path}", err=True)

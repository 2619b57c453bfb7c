"""`jiggen make`: the files for the laser."""

from pathlib import Path

import click


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _list(context: click.Context, _: click.Parameter, value: bool) -> None:
    """Prints all parts and ends the run, if that was asked for."""
    if not value or context.resilient_parsing:
        return
    from jiggen.cli.parts_list import print_parts
    from jiggen.parts.catalogue import CATALOGUE

    print_parts(CATALOGUE)
    context.exit()


@click.command("make")
@click.option(
    "--list",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_list,
    help="List all parts, with what each is for and needs.",
)
@click.argument("design", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out"),
    show_default=True,
    help="Folder to make the set's folder in.",
)
@click.option("--only", default="", metavar="PART,…", help="Make these parts only; all: every one.")
@click.option(
    "--format",
    "formats",
    default="",
    metavar="FORMAT,…",
    help="Write these formats only: dxf, svg, pdf, png, ticket.",
)
@click.option("--machine", default="", metavar="NAME", help="Machine profile.")
@click.option("--material", default="", metavar="NAME", help="Material profile.")
@click.option("--allow", default="", metavar="NAME,…", help="Warnings that you have seen and that may be.")
@click.option(
    "--dxf-version",
    default="r2000",
    metavar="NAME",
    help="r2000, or r12 for old controllers.",
    show_default=True,
)
@click.option(
    "--dxf-entities",
    default="polyline",
    metavar="NAME",
    show_default=True,
    help="polyline: contours in one piece, arcs as bulges; primitives: lines, arcs and circles one by one;"
    " segments: straight lines only.",
)
@click.option(
    "--dpi", type=float, metavar="NUMBER", help="Pixels per inch of pictures.  [default: 1200 pixels wide]"
)
@click.option(
    "--paper",
    default="a4",
    metavar="NAME",
    show_default=True,
    help="Of the plan in tiles: a4, a3, letter, tabloid.",
)
@click.option(
    "--check-line",
    is_flag=True,
    help="Add a line of 50 mm to DXF and SVG, in an operation of its own, to measure.",
)
@click.option("--no-proof", is_flag=True, help="Do not read the files back and measure them.")
@click.option("--dry-run", is_flag=True, help="Do all but write, and say what would be written.")
@click.option(
    "--replace-edited", is_flag=True, help="Write over files that were changed by hand since they were made."
)
def command(
    design: Path,
    out: Path,
    only: str,
    formats: str,
    machine: str,
    material: str,
    allow: str,
    dxf_version: str,
    dxf_entities: str,
    dpi: float | None,
    paper: str,
    check_line: bool,
    no_proof: bool,
    dry_run: bool,
    replace_edited: bool,
) -> None:
    """Make the laser-ready files of DESIGN."""
    from jiggen import job, reckon
    from jiggen.cli.printing import print_doubts
    from jiggen.export.options import read_options
    from jiggen.shop.limits import told

    order = job.Order(
        parts=_words(only),
        formats=_words(formats),
        machine=machine,
        material=material,
        allow=_words(allow),
        options=read_options(
            dxf_version=dxf_version, dxf_entities=dxf_entities, dpi=dpi, paper=paper, check_line=check_line
        ),
        proof=not no_proof,
    )
    made = job.make(reckon.load(design), order, out, replace_edited=replace_edited, dry_run=dry_run)
    for line in made.lines():
        click.echo(line)
    print_doubts(made.neck)
    for caution in order.options.cautions:
        click.echo(f"caution: {caution}", err=True)
    for sentence in told([each for each in made.sheet_set.findings if not each.allowed]):
        click.echo(sentence, err=True)
    for caution in made.sheet_set.workshop.cautions:
        click.echo(f"caution: {caution}", err=True)

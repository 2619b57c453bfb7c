"""`jiggen make`: the files for the laser."""

from pathlib import Path

import click


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


@click.command("make")
@click.argument("design", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out"),
    show_default=True,
    help="Folder to make the set's folder in.",
)
@click.option("--only", default="", metavar="PART,…", help="Make these parts only.")
@click.option(
    "--format", "formats", default="", metavar="FORMAT,…", help="Write these formats only: dxf, svg, png."
)
@click.option("--machine", default="", metavar="NAME", help="Machine profile.")
@click.option("--material", default="", metavar="NAME", help="Material profile.")
@click.option("--allow", default="", metavar="NAME,…", help="Warnings that you have seen and that may be.")
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
    replace_edited: bool,
) -> None:
    """Make the laser-ready files of DESIGN."""
    from jiggen import job

    order = job.Order(
        parts=_words(only),
        formats=_words(formats),
        machine=machine,
        material=material,
        allow=_words(allow),
    )
    made = job.make(job.load(design), order, out, replace_edited=replace_edited)
    for line in made.lines():
        click.echo(line)
    for finding in made.sheet_set.findings:
        if not finding.allowed:
            click.echo(str(finding), err=True)
    for caution in made.sheet_set.workshop.cautions:
        click.echo(f"caution: {caution}", err=True)

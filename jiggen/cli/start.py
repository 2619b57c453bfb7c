"""`jiggen start`: a design file from a few numbers."""

from pathlib import Path

import click

from jiggen.cli.types import LENGTH
from jiggen.units import Length


@click.command("start")
@click.option("--nut", type=LENGTH, required=True, help="Width of the board at the nut.")
@click.option("--spread", type=LENGTH, required=True, help="Outer strings at the bridge, centre to centre.")
@click.option("--scale", type=LENGTH, required=True, help="Scale length, nut to saddle line.")
@click.option("--name", required=True, help="What the design is called.")
@click.option("--profile", default="", metavar="NAME", help="Instrument profile that fills what is left out.")
@click.option(
    "--file", "target", type=click.Path(path_type=Path), help="Where to write it.  [default: NAME.toml here]"
)
@click.option("--replace", is_flag=True, help="Write over a design file of that name.")
def command(
    nut: Length,
    spread: Length,
    scale: Length,
    name: str,
    profile: str,
    target: Path | None,
    replace: bool,
) -> None:
    """Write a design file from a few numbers, and print the layout.

    \b
    jiggen start --nut 46mm --spread 57mm --scale 628mm --name Wren
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen import job
    from jiggen.cli.clock import today
    from jiggen.cli.printing import print_layout
    from jiggen.design.model import Design, Given
    from jiggen.design.read import read_defaults
    from jiggen.design.write import design_text
    from jiggen.export.save import write_file
    from jiggen.export.slug import slug

    design = Design(
        name=name,
        date=today(),
        profile=profile or job.DEFAULT_PROFILE,
        scale=Given(scale.mm, text=scale.text, where="--scale"),
        nut_width=Given(nut.mm, text=nut.text, where="--nut"),
        spread_at_bridge=Given(spread.mm, text=spread.text, where="--spread"),
    )
    neck = job.work_out(design)
    path = target or Path(f"{slug(name)}.toml")
    write_file(path, design_text(design, read_defaults(design)).encode(), overwrite=replace)
    print_layout(neck)
    click.echo(f"wrote {path}; next: jiggen make {path}", err=True)

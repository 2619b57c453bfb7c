"""`jiggen layout`: the numbers of a design, laid out."""

from pathlib import Path

import click


@click.command("layout")
@click.argument("design", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
def command(design: Path, as_json: bool) -> None:
    """Print frets, board widths and string positions of DESIGN."""
    from jiggen import job
    from jiggen.cli.printing import print_json, print_layout
    from jiggen.layout.tables import layout_tables

    layout = job.lay_out(job.solve(job.load(design)))
    if as_json:
        print_json(layout_tables(layout, job.design_id(layout.spec)))
    else:
        print_layout(layout)

"""`jiggen layout`: the numbers of a design, laid out."""

from pathlib import Path

import click


@click.command("layout")
@click.argument("design", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
@click.option("--explain", is_flag=True, help="Print how every number follows, step by step.")
@click.option(
    "--rule-of-thumb", is_flag=True, help="Place the saddle by a rule of thumb, for strings not known."
)
def command(design: Path, as_json: bool, explain: bool, rule_of_thumb: bool) -> None:
    """Print frets, board widths, strings, tension and saddle of DESIGN."""
    from jiggen import reckon
    from jiggen.cli.columns import print_json
    from jiggen.cli.printing import neck_tables, print_derivation, print_layout

    neck = reckon.work_out(reckon.load(design), by_rule_of_thumb=rule_of_thumb)
    if as_json:
        print_json(neck_tables(neck))
    elif explain:
        print_derivation(neck)
    else:
        print_layout(neck)

"""`jiggen schema`: the form of our files, for editors and for other programs."""

import click


@click.command("schema")
@click.argument("kind", default="design", metavar="[KIND]")
def command(kind: str) -> None:
    """Print the JSON Schema of a KIND of file: design, material, machine or manifest.

    Save it, and name it to your editor, which then completes keys and marks those that are wrong.

    \b
    jiggen schema design > jiggen-design.schema.json
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen.cli.columns import print_json
    from jiggen.export.schemas import schema_of

    print_json(schema_of(kind))

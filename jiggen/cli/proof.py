"""`jiggen proof`: whether files make the parts that were drawn, and whether a part is of the design as it is now."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from jiggen.proof.known import Change, Currency
    from jiggen.proof.report import Report


@click.command("proof")
@click.argument("path", type=click.Path(path_type=Path), metavar="FOLDER|DESIGN")
@click.option(
    "--file",
    "edited",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A DXF or SVG of that set that was edited elsewhere: what changed, and whether its parts still serve.",
)
@click.option("--every-row", is_flag=True, help="Print every measurement, not only those that are off.")
@click.option(
    "--id",
    "part_id",
    metavar="ID",
    help="The id on a part: whether it was made from DESIGN as it is now, and which numbers changed since.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("out"),
    show_default=True,
    help="With --id: the folder in which sets were made.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
@click.pass_context
def command(
    context: click.Context,
    path: Path,
    edited: Path | None,
    every_row: bool,
    part_id: str | None,
    out: Path,
    as_json: bool,
) -> None:
    """Read the files of a set back, cut them virtually, and measure what falls out.

    FOLDER is what `jiggen make` wrote. Ends with exit code 2 when anything is out, missing or too much, or when a
    part is not of the design as it is now.

    \b
    jiggen proof out/wren
    jiggen proof out/wren --file sheet-1-edited.svg
    jiggen proof --id 7F2A-91C3 wren.toml
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen.cli.app import USER_ERROR
    from jiggen.errors import InputError

    if part_id is not None:
        if edited is not None:
            raise InputError(where="--file", got=f"{edited} beside --id", expected="one or the other")
        good = _print_currency(path, part_id, out, as_json=as_json)
    else:
        good = _print_report(path, edited, every_row=every_row, as_json=as_json)
    if not good:
        context.exit(USER_ERROR)


def _print_report(folder: Path, edited: Path | None, *, every_row: bool, as_json: bool) -> bool:
    """Proves a folder or a file of it; returns whether all is well."""
    from jiggen.cli.columns import print_json
    from jiggen.proof.prove import prove, prove_edited

    report: Report = prove(folder) if edited is None else prove_edited(folder, edited)
    if as_json:
        print_json(report.as_dict())
    else:
        click.echo(report.text(every_row=every_row))
    return report.ok


def _print_currency(path: Path, part_id: str, out: Path, *, as_json: bool) -> bool:
    """Tells how a part stands to a design; returns whether it is current."""
    from jiggen import bench_work, reckon
    from jiggen.cli.columns import print_json, table
    from jiggen.proof.known import Standing

    design = reckon.load(path)
    currency = bench_work.stand(design, part_id, out)
    if as_json:
        print_json(_currency_dict(currency))
    else:
        click.echo(_sentence(currency, design.name, out))
        if currency.changes:
            rows = [_cells(change) for change in currency.changes]
            click.echo(table(["number", "was", "now"], rows))
        if currency.known is not None and currency.standing is Standing.STALE:
            click.echo(f"made from it: {', '.join(currency.known.parts)}")
    return currency.standing is Standing.CURRENT


def _sentence(currency: "Currency", name: str, out: Path) -> str:
    from jiggen.proof.known import Standing

    part, known = click.style(currency.id, bold=True), currency.known
    match currency.standing:
        case Standing.CURRENT:
            return f"{part} is current: it is {name} as it is now."
        case Standing.STALE if known is not None:
            state = ", ".join(
                filter(None, (known.name, known.revision and f"revision {known.revision}", known.date))
            )
            return f"{part} is stale: it is {state} ({known.place}); {name} is {currency.current_id} now."
        case _:
            return (
                f"{part} is not {name} as it is now, which is {currency.current_id}; no manifest in {out} knows it, "
                "so what changed cannot be told."
            )


def _cells(change: "Change") -> list[str]:
    return [change.name.replace("_", " "), *(_value(each, change.unit) for each in (change.was, change.now))]


def _value(value: Any, unit: str) -> str:
    match value:
        case None:
            return "–"
        case bool():
            return "yes" if value else "no"
        case list():
            return ", ".join(_value(each, "") for each in value) + (f" {unit}" if unit else "")
        case float():
            return f"{value:.4f}".rstrip("0").rstrip(".") + (f" {unit}" if unit else "")
        case _:
            return f"{value} {unit}".strip()


def _currency_dict(currency: "Currency") -> dict[str, Any]:
    known = currency.known
    return {
        "schema": "jiggen-standing/1",
        "id": currency.id,
        "current_id": currency.current_id,
        "standing": str(currency.standing),
        "known": None
        if known is None
        else {
            "name": known.name,
            "revision": known.revision,
            "date": known.date,
            "parts": list(known.parts),
            "place": known.place,
        },
        "changes": [
            {"number": change.name, "was": change.was, "now": change.now, "unit": change.unit}
            for change in currency.changes
        ],
    }

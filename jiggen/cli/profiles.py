"""`jiggen profiles`: the library of profiles."""

import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from jiggen.design.origins import Origin, origins
from jiggen.design.read import design_of, read_defaults
from jiggen.errors import InputError, JiggenError, did_you_mean, quoted, raise_all
from jiggen.profiles import KINDS, Place, find, folders, names, places, read_text
from jiggen.tables.document import parse_toml

_WIDEST = 48  #: characters of a value in a table; JSON has it whole


@click.command("profiles")
@click.argument("kind", default="", metavar="[KIND]")
@click.argument("name", default="", metavar="[NAME]")
@click.option("--values", is_flag=True, help="Print each value of an instrument, its source and its file.")
@click.option(
    "--design",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="The same of a design file and the profile behind it.",
)
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of text.")
def command(kind: str, name: str, values: bool, design: Path | None, as_json: bool) -> None:
    """List the profiles, those of a KIND, or show the one of a NAME.

    Kinds are instruments, strings, wires, materials and machines. Your own folder comes before the library: the one
    in JIGGEN_PROFILES, or jiggen/profiles where your system keeps settings.

    \b
    jiggen profiles instruments
    jiggen profiles instruments mandolin > mine.toml
    """  # noqa: D301 - click's mark for lines that shall not be joined
    if design is not None:
        if kind:
            raise InputError(where="--design", got=f"{design} beside {kind}", expected="one or the other")
        _show_design_values(design, as_json=as_json)
    elif name:
        _show(kind, name, values=values, as_json=as_json)
    elif values:
        raise InputError(
            where="--values",
            got=f"{kind or 'no kind'} without a name",
            expected="one instrument",
            mend="Write: jiggen profiles instruments mandolin --values",
        )
    else:
        _list(kind, as_json=as_json)


def _list(kind: str, *, as_json: bool) -> None:
    """Lists the profiles of a kind, or of all kinds; one that cannot be read is listed, then complained of."""
    from jiggen.cli.columns import print_json, table

    _check_kind(kind)
    faults: list[JiggenError] = []
    rows = [_row(place, faults) for each in ([kind] if kind else KINDS) for place in places(each)]
    if as_json:
        print_json(
            {
                "schema": "jiggen-profiles/1",
                "folders": [str(folder) for folder in folders()],
                "profiles": rows,
            }
        )
    elif kind:
        for row in rows:
            click.echo(click.style(row["name"], bold=True) + f"  {row['title']}")
            if row["note"]:
                click.echo(textwrap.fill(row["note"], 100, initial_indent="    ", subsequent_indent="    "))
            for line in [row["file"], *_hidden(row)]:
                click.echo(f"    {line}")
    else:
        cells = [
            [
                row["kind"],
                row["name"],
                row["title"],
                _short(row["note"].partition(". ")[0]),
                "; ".join(_from(row)),
            ]
            for row in rows
        ]
        click.echo(table(["kind", "name", "title", "note", "from"], cells, left=5))
        click.echo(f"library: {folders()[-1]}")
    raise_all(faults)


def _check_kind(kind: str) -> None:
    """Raises for a kind that is none, with a hint when it is a profile's name."""
    if not kind or kind in KINDS:
        return
    of = next((each for each in KINDS if kind in names(each)), "")
    raise InputError(
        where="KIND",
        got=quoted(kind),
        expected=f"one of {', '.join(KINDS)}",
        mend=f"Write: jiggen profiles {of} {kind}" if of else did_you_mean(kind, KINDS),
    )


def _row(place: Place, faults: list[JiggenError]) -> dict[str, Any]:
    """Returns what JSON says of a profile; one that cannot be read adds to the faults."""
    row: dict[str, Any] = {
        "kind": place.kind,
        "name": place.name,
        "title": "",
        "note": "",
        "file": str(place.path),
        "packaged": place.packaged,
        "hides": [str(path) for path in place.hidden],
    }
    try:
        tables = find(place.kind, place.name).tables.tables
    except JiggenError as fault:
        faults.append(fault)
        return row | {"title": "cannot be read"}
    title = tables.get("title", tables.get("name", ""))
    note = tables.get("note", "")
    return row | {"title": str(title), "note": " ".join(str(note).split())}


def _from(row: dict[str, Any]) -> list[str]:
    """Returns where a profile comes from, for people."""
    return ["library" if row["packaged"] else row["file"], *_hidden(row)]


def _hidden(row: dict[str, Any]) -> list[str]:
    return [f"hides {path}" for path in row["hides"]]


def _short(text: str) -> str:
    return text if len(text) <= _WIDEST else f"{text[: _WIDEST - 1]}…"


def _show(kind: str, name: str, *, values: bool, as_json: bool) -> None:
    """Shows one profile: its text, or its values."""
    from jiggen.cli.columns import print_json

    _check_kind(kind)
    if values and kind != "instruments":
        raise InputError(where="--values", got=kind, expected="instruments, which alone are designs")
    profile = find(kind, name, where="NAME")
    row = _row(next(place for place in places(kind) if place.name == name), [])
    found = origins(profile.tables) if values else ()
    if as_json:
        more = {"values": _values(found)} if values else {"text": profile.text}
        print_json({"schema": "jiggen-profile/1", **row, **more})
    elif values:
        _print_values(found)
    else:
        for line in [f"from {profile.path}", *_hidden(row)]:
            click.echo(line, err=True)
        click.echo(profile.text, nl=not profile.text.endswith("\n"))


def _show_design_values(path: Path, *, as_json: bool) -> None:
    """Shows the values of a maker's own design."""
    from jiggen.cli.columns import print_json

    document = parse_toml(read_text(path), file=str(path))
    design = design_of(document)
    behind = find("instruments", design.profile).tables if read_defaults(design) else None
    found = origins(document, behind)
    if as_json:
        print_json({"schema": "jiggen-profile/1", "file": str(path), "values": _values(found)})
    else:
        _print_values(found)


def _values(found: Sequence[Origin]) -> list[dict[str, Any]]:
    return [
        {
            "key": each.key,
            "value": each.value,
            "source": each.source,
            "note": each.note,
            "file": each.file,
            "line": each.line,
        }
        for each in found
    ]


def _print_values(found: Sequence[Origin]) -> None:
    from jiggen.cli.columns import table

    rows = [
        [
            each.key,
            _short(each.value),
            each.source,
            _short(each.note),
            f"{each.file}, line {each.line}" if each.file else "goes without saying",
        ]
        for each in found
    ]
    click.echo(table(["key", "value", "source", "note", "from"], rows, left=5))

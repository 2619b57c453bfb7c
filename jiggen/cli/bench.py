"""The readings of a finished neck, for people."""

from collections.abc import Iterator
from typing import Any

import click

from jiggen.cli.columns import table
from jiggen.layout.bench import BenchFit
from jiggen.layout.bench_tables import fit_tables
from jiggen.units import format_both


def print_fit(fit: BenchFit) -> None:
    """Prints how well the readings tell the scale, fret by fret, and which of them are slips."""
    tables = fit_tables(fit)
    click.echo(
        table(
            ["fret", "readings", "from nut", "by the rule", "off", "cents"],
            [
                [
                    str(fret["fret"]),
                    str(fret["readings"]),
                    f"{fret['from-nut']:.2f}",
                    f"{fret['by-the-rule']:.2f}",
                    f"{fret['off']:+.2f}",
                    _cents(fret["cents"]),
                ]
                for fret in tables["frets"]
            ],
            left=0,
        )
    )
    if tables["widths"]:
        click.echo()
        click.echo(_widths(tables["widths"]))
    click.echo()
    click.echo(table(["", ""], [[*line] for line in _lines(tables)], left=2).strip("\n"))
    for line in _slips(tables):
        click.echo(f"slip, left out: {line}")
    click.echo("all in mm")


def _widths(widths: list[dict[str, Any]]) -> str:
    return table(
        ["width at", "from nut", "readings", "width", "by the taper", "off"],
        [
            [
                "nut" if each["from-nut"] == 0.0 else "–" if each["fret"] is None else f"fret {each['fret']}",
                f"{each['from-nut']:.2f}",
                str(each["readings"]),
                f"{each['width']:.2f}",
                "–" if each["by-the-taper"] is None else f"{each['by-the-taper']:.2f}",
                "–" if each["off"] is None else f"{each['off']:+.2f}",
            ]
            for each in widths
        ],
    )


def _lines(tables: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Yields what the fit comes to, a name and a sentence each."""
    scale, zero, rule = tables["scale"], tables["zero"], tables["fret-rule"]
    yield "scale length", format_both(scale["value"])
    freedom, expanded = scale["degrees-of-freedom"], scale["expanded-uncertainty-95"]
    yield (
        "standard uncertainty",
        f"{scale['standard-uncertainty']:.3f} mm from the scatter, {freedom} degrees of freedom; 95 %: ± {expanded:.3f} mm",
    )
    yield "", "what the bench rule itself is wrong by comes on top"
    if zero:
        offset = f"{zero['offset']:+.2f} ± {zero['standard-uncertainty']:.2f} mm"
        yield (
            "zero of the bench rule",
            f"{offset} off the nut, taken off every reading"
            if zero["taken-off"]
            else f"at the nut; left free it would be {offset} off, which is within chance",
        )
    yield "fret rule", rule["reason"] if rule else "too few frets to tell one rule from another"
    for name, key in (("spread at nut", "spread-at-nut"), ("spread at bridge", "spread-at-bridge")):
        if tables[key]:
            yield name, f"{format_both(tables[key]['value'])}, readings: {tables[key]['readings']}"


def _slips(tables: dict[str, Any]) -> Iterator[str]:
    for slip in tables["slips"]:
        yield (
            f"{slip['where']}, fret {slip['fret']} read at {slip['read']:.2f} mm, "
            f"{slip['off']:+.2f} mm and {_cents(slip['cents'])} cents off"
        )
    for slip in tables["width-slips"]:
        yield f"{slip['where']}, width read as {slip['read']:.2f} mm, {slip['off']:+.2f} mm off"


def _cents(cents: float | None) -> str:
    """Returns cents, or a dash beyond the saddle, where there is no pitch."""
    return "–" if cents is None else f"{cents:+.1f}"

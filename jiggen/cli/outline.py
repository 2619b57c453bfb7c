"""`jiggen outline`: what is in an outline that a maker brings along."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from jiggen.cli.types import LENGTH
from jiggen.units import Length

if TYPE_CHECKING:
    from jiggen.outlines.model import Brought, Wish

#: Paper round a drawing, mm.
_MARGIN = 10.0
#: Places nearer than this, in mm, print alike.
_SAME_PLACE = 0.005


@click.command("outline")
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--units", metavar="UNIT", help="What one unit of the file is, if it does not say so: mm, cm, in."
)
@click.option(
    "--scale-to", metavar="LENGTH", help='A length it shall have: "body-length 480 mm" or "width 370 mm".'
)
@click.option(
    "--gap", type=LENGTH, help="How far apart two ends may lie and still be joined; 0.05mm if not said."
)
@click.option(
    "--tolerance", type=LENGTH, help="How far arcs may lie off the file's curves; 0.01mm if not said."
)
@click.option(
    "--axis", default="auto", metavar="AXIS", help='Centre line in the file: auto, x, y, or "y at 120 mm".'
)
@click.option("--turned", is_flag=True, help="Take the other end as the neck end.")
@click.option("--layer", metavar="NAME", help="Take only this layer of a DXF, or group of an SVG.")
@click.option(
    "--smooth", type=LENGTH, help="How far a curve may pass stations, root mean square; 0.5mm if not said."
)
@click.option(
    "--svg", type=click.Path(path_type=Path), help="Write the outline as it was understood, true to size."
)
@click.option("--replace", is_flag=True, help="With --svg, replace a file that exists.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
def command(
    file: Path,
    units: str | None,
    scale_to: str | None,
    gap: Length | None,
    tolerance: Length | None,
    axis: str,
    turned: bool,
    layer: str | None,
    smooth: Length | None,
    svg: Path | None,
    replace: bool,
    as_json: bool,
) -> None:
    """Tell what is in FILE: an outline as SVG or DXF, or a table of stations and half widths.

    It is laid along its centre line, neck end first, and measured. What was taken, what was not, and why, is printed.
    """
    from jiggen.cli.columns import print_json
    from jiggen.outlines.facts import facts_of
    from jiggen.outlines.read import read_outline

    wish = _wish(units, scale_to, gap, tolerance, axis, layer, smooth, turned=turned)
    brought = read_outline(file, wish=wish)
    if svg is not None:
        _write(brought, file, svg, replace=replace)
    facts = facts_of(brought, file=str(file))
    if as_json:
        print_json(facts)
    else:
        _print(facts)


def _wish(
    units: str | None,
    scale_to: str | None,
    gap: Length | None,
    tolerance: Length | None,
    axis: str,
    layer: str | None,
    smooth: Length | None,
    *,
    turned: bool,
) -> "Wish":
    from jiggen.outlines.asked import read_axis, read_scale_to
    from jiggen.outlines.model import Wish
    from jiggen.units import parse_unit

    usual = Wish()
    return Wish(
        units=None if units is None else parse_unit(units, where="--units"),
        scale_to=None if scale_to is None else read_scale_to(scale_to, where="--scale-to"),
        gap_mm=usual.gap_mm if gap is None else gap.mm,
        tolerance_mm=usual.tolerance_mm if tolerance is None else tolerance.mm,
        smooth_mm=usual.smooth_mm if smooth is None else smooth.mm,
        axis=read_axis(axis, where="--axis"),
        layer=layer,
        turned=turned,
    )


def _print(facts: dict[str, Any]) -> None:
    """Prints what was taken and what is in it; what was ignored goes to standard error."""
    from jiggen.cli.columns import table
    from jiggen.units import format_inch, format_mm

    click.echo(click.style(facts["file"], bold=True))
    for sentence in facts["took"]:
        click.echo(f"  {sentence}")
    rows = [("length", facts["length"]), ("width", facts["width"])]
    along = facts["centre-line-length"]
    if along is not None and abs(along - facts["length"]) > _SAME_PLACE:
        rows.append(("length along the centre line", along))
    rows += [(f"{each['is']}, {_where(each)} from the neck end", each["width"]) for each in facts["bouts"]]
    rows.append(("perimeter", facts["perimeter"]))
    if bend := facts["smallest-bend"]:
        rows.append((f"smallest bend, {bend['from-neck-end']:.2f} from the neck end", bend["radius"]))
    click.echo()
    click.echo(
        table(["outline", "mm", "inch"], [[name, format_mm(size), format_inch(size)] for name, size in rows])
    )
    click.echo()
    click.echo(
        f"area {facts['area'] / 100.0:.2f} cm²; {facts['arcs']} arcs and {facts['lines']} lines,"
        f" at most {facts['fit-error']:.4f} mm off the file's curves"
    )
    click.echo(f"one side lies at most {facts['asymmetry']:.3f} mm off the mirrored other")
    _print_inner(facts)
    _print_stations(facts)
    for sentence in facts["ignored"]:
        click.echo(f"ignored: {sentence}", err=True)


def _where(bout: dict[str, Any]) -> str:
    """Tells where a bout lies: on each side, where these differ."""
    treble, bass = (bout[side]["from-neck-end"] for side in ("treble", "bass"))
    if abs(treble - bass) < _SAME_PLACE:
        return f"{bout['from-neck-end']:.2f}"
    return f"treble {treble:.2f}, bass {bass:.2f}"


def _print_inner(facts: dict[str, Any]) -> None:
    from jiggen.cli.columns import table

    if facts["inner"]:
        keys = ("length", "width", "from-neck-end", "from-centre-line")
        rows = [
            [str(number), *(f"{each[key]:.2f}" for key in keys), f"{each['area'] / 100.0:.2f}"]
            for number, each in enumerate(facts["inner"], start=1)
        ]
        click.echo()
        click.echo(
            table(["within it", "length", "width", "from neck end", "from centre line", "area cm²"], rows)
        )


def _print_stations(facts: dict[str, Any]) -> None:
    from jiggen.cli.columns import table

    stations = facts["stations"]
    by_side = [[each for each in stations if each["side"] == side] for side in (1, -1)]
    if by_side[0] and all(
        abs(one["half-width"] - other["half-width"]) + abs(one["residual"] - other["residual"]) < 1e-6
        for one, other in zip(*by_side, strict=True)
    ):
        stations = [each | {"side": 0} for each in by_side[0]]
    if stations:
        names = {1: "treble", -1: "bass", 0: "both"}
        rows = [
            [
                f"{each['from-neck-end']:.2f}",
                names[each["side"]],
                f"{each['half-width']:.2f}",
                f"{each['residual']:+.3f}",
            ]
            for each in stations
        ]
        click.echo()
        click.echo(table(["station", "side", "half width", "curve farther out by"], rows, left=0))


def _write(brought: "Brought", file: Path, svg: Path, *, replace: bool) -> None:
    """Writes the outline, what lies within it, and its centre line, at full size."""
    from jiggen.drawing.model import Ink, Page, Pen
    from jiggen.export.page_svg import encode_page
    from jiggen.export.save import write_file
    from jiggen.geometry.path import segment
    from jiggen.geometry.point import Point
    from jiggen.geometry.similarity import shifted

    box = brought.outline.box
    place = shifted(_MARGIN - box.low.x, _MARGIN - box.low.y)
    width, height = box.width + 2.0 * _MARGIN, box.height + 2.0 * _MARGIN
    centre = segment(
        Point(_MARGIN / 2.0, _MARGIN - box.low.y), Point(width - _MARGIN / 2.0, _MARGIN - box.low.y)
    )
    page = Page(
        title=f"{file.name}, its outline",
        width_mm=width,
        height_mm=height,
        items=(
            Ink(paths=(centre,), pen=Pen(0.13, "#808080"), id="centre-line"),
            Ink(paths=tuple(map(place.path, brought.inner)), pen=Pen(0.25, "#000000"), id="inner"),
            Ink(paths=(place.path(brought.outline),), pen=Pen(0.35, "#000000"), id="outline"),
        ),
    )
    write_file(svg, encode_page(page, subject=f"{file.name}, sha256 {brought.sha256}"), overwrite=replace)
    click.echo(f"wrote {svg}", err=True)

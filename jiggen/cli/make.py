"""`jiggen make`: the files for the laser."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from jiggen.splitting.split import Wish


def _words(text: str) -> tuple[str, ...]:
    return tuple(word.strip() for word in text.split(",") if word.strip())


def _are_many(designs: tuple[Path, ...]) -> bool:
    return len(designs) > 1 or designs[0].suffix.lower() == ".csv"


def _refuse_idle(designs: tuple[Path, ...], *, base: Path | None, vary: str, dry_run: bool) -> None:
    """Refuses options that would do nothing for the designs that are named."""
    from jiggen.errors import InputError

    lists = [each for each in designs if each.suffix.lower() == ".csv"]
    for option, given, fits, expected in (
        ("--from", base is not None, bool(lists), "a class list, *.csv, that starts from it"),
        ("--vary", bool(vary), not _are_many(designs), "one design to vary"),
        ("--dry-run", dry_run, not _are_many(designs) and not vary, "one design"),
    ):
        if given and not fits:
            raise InputError(where=option, got=", ".join(map(str, designs)), expected=expected)


def _wish(split_at: tuple[str, ...], *, never: bool) -> "Wish":
    """Reads where parts shall be divided."""
    from jiggen.errors import InputError
    from jiggen.splitting.split import Wish
    from jiggen.units import parse_length

    places: list[tuple[str, float]] = []
    for text in split_at:
        name, equals, place = (each.strip() for each in text.partition("="))
        if not (name and equals and place):
            raise InputError(
                where="--split-at",
                got=repr(text),
                expected="a part and a length, such as plan-template=320mm",
            )
        places.append((name, parse_length(place, where=f"--split-at {name}").mm))
    if places and never:
        raise InputError(where="--no-split", got="--split-at beside it", expected="one of them")
    return Wish(never=never, at=tuple(places))


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
@click.argument("designs", metavar="DESIGN…", type=click.Path(path_type=Path), nargs=-1, required=True)
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
@click.option(
    "--stock",
    default="",
    metavar="SIZE,…",
    help="Sheets at hand, the smallest used first: 420x260mm, 600x300mm*2.",
)
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
@click.option(
    "--tabs",
    default="",
    metavar="WIDTH",
    help="Leave tabs of this width uncut that hold parts in the sheet; 0mm: none.  [default: the machine's]",
)
@click.option(
    "--split-at",
    multiple=True,
    metavar="PART=LENGTH",
    help="Divide a part there, by its distance from the nut.  [default: at the best place, if it is too large]",
)
@click.option("--no-split", is_flag=True, help="A part that is too large for the bed is an error.")
@click.option("--no-proof", is_flag=True, help="Do not read the files back and measure them.")
@click.option("--dry-run", is_flag=True, help="Do all but write, and say what would be written.")
@click.option(
    "--replace-edited", is_flag=True, help="Write over files that were changed by hand since they were made."
)
@click.option(
    "--from",
    "base",
    type=click.Path(path_type=Path),
    metavar="DESIGN",
    help="The design that the rows of a class list start from.",
)
@click.option(
    "--class-name", default="", metavar="NAME", help="What the sheets of several designs are called."
)
@click.option(
    "--jobs",
    type=click.IntRange(1, 64),
    metavar="NUMBER",
    help="Processes that share the work.  [default: one a core, for one design three at most]",
)
@click.option("--again", is_flag=True, help="Of many designs, make those too that nothing has changed in.")
@click.option("--apart", is_flag=True, help="Of many designs, make each one's own set only.")
@click.option(
    "--vary",
    default="",
    metavar="KEY=FROM:TO:STEP",
    help="Make the parts for each value of a key, on the same sheets.",
)
def command(
    designs: tuple[Path, ...],
    out: Path,
    only: str,
    formats: str,
    machine: str,
    material: str,
    stock: str,
    allow: str,
    dxf_version: str,
    dxf_entities: str,
    dpi: float | None,
    paper: str,
    check_line: bool,
    tabs: str,
    split_at: tuple[str, ...],
    no_split: bool,
    no_proof: bool,
    dry_run: bool,
    replace_edited: bool,
    base: Path | None,
    class_name: str,
    jobs: int | None,
    again: bool,
    apart: bool,
    vary: str,
) -> None:
    """Make the laser-ready files of one design or of many.

    \b
    jiggen make wren.toml
    jiggen make designs/*.toml
    jiggen make class.csv --from wren.toml
    jiggen make wren.toml --only nut-rule --vary nut=42mm:46mm:0.5mm
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen import job, prepare, reckon
    from jiggen.cli.printing import print_doubts
    from jiggen.design.stock_text import read_stock
    from jiggen.export.options import read_options
    from jiggen.hands import MOST_AT_ONE, cores, helped
    from jiggen.parts.catalogue import left_out
    from jiggen.shop.limits import told
    from jiggen.units import parse_length

    order = prepare.Order(
        parts=_words(only),
        formats=_words(formats),
        machine=machine,
        material=material,
        stock=read_stock(stock, where="--stock"),
        allow=_words(allow),
        options=read_options(
            dxf_version=dxf_version, dxf_entities=dxf_entities, dpi=dpi, paper=paper, check_line=check_line
        ),
        proof=not no_proof,
        pieces=_wish(split_at, never=no_split),
        tab_width_mm=parse_length(tabs, where="--tabs", allow="non-negative").mm if tabs else None,
    )
    _refuse_idle(designs, base=base, vary=vary, dry_run=dry_run)
    if vary:
        from jiggen.cli.many import make_family

        make_family(designs[0], vary, order, out, name=class_name, replace_edited=replace_edited)
        return
    if _are_many(designs):
        from jiggen.cli.many import make_class

        make_class(
            designs,
            order,
            out,
            base=base,
            name=class_name,
            jobs=jobs or 0,
            again=again,
            apart=apart,
            replace_edited=replace_edited,
        )
        return
    with helped((jobs or min(cores(), MOST_AT_ONE)) - 1, ready=job.ready_to_help) as hands:
        made = job.make(
            reckon.load(designs[0]), order, out, replace_edited=replace_edited, dry_run=dry_run, hands=hands
        )
    for line in made.lines():
        click.echo(line)
    for sentence in left_out(order.parts or made.neck.spec.make.parts, made.neck):
        click.echo(sentence, err=True)
    print_doubts(made.neck)
    for caution in order.options.cautions:
        click.echo(f"caution: {caution}", err=True)
    for sentence in told([each for each in made.sheet_set.findings if not each.allowed]):
        click.echo(sentence, err=True)
    for caution in made.sheet_set.workshop.cautions:
        click.echo(f"caution: {caution}", err=True)

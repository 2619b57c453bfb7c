"""`jiggen start`: a design file from a few numbers, or from a neck on the bench."""

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from jiggen.cli.types import LENGTH
from jiggen.design.model import Design, Given
from jiggen.errors import ConflictError, InputError, JiggenError, SeveralErrors, raise_all
from jiggen.units import Length

if TYPE_CHECKING:  # imported when used, like all that costs start-up time
    from jiggen.layout.bench import BenchFit
    from jiggen.layout.worked_neck import Neck


@click.command("start")
@click.option("--nut", type=LENGTH, help="Width of the board at the nut.")
@click.option("--spread", type=LENGTH, help="Outer strings at the bridge, centre to centre.")
@click.option("--scale", type=LENGTH, help="Scale length, nut to saddle line.")
@click.option(
    "--fanned", type=(LENGTH, LENGTH), metavar="BASS TREBLE", help="Two scales in place of one: fanned frets."
)
@click.option("--straight-fret", type=click.FloatRange(-0.9, 60), help="The fret that runs square across.")
@click.option("--setback", type=LENGTH, help="Board's edge to outer string, as the profile counts it.")
@click.option("--frets", type=click.IntRange(0, 60), help="Number of frets.")
@click.option("--strings", type=click.IntRange(1, 24), help="Number of strings.")
@click.option("--left-handed", is_flag=True, help="Mirror everything.")
@click.option(
    "--measured",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Take scale and widths from readings of a neck, rows of: fret, distance, unit.",
)
@click.option("--name", required=True, help="What the design is called.")
@click.option("--profile", default="", metavar="NAME", help="Instrument profile that fills what is left out.")
@click.option(
    "--file", "target", type=click.Path(path_type=Path), help="Where to write it.  [default: NAME.toml here]"
)
@click.option("--replace", is_flag=True, help="Write over a design file of that name.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON instead of tables.")
def command(
    name: str,
    profile: str,
    measured: Path | None,
    target: Path | None,
    replace: bool,
    as_json: bool,
    **numbers: Any,
) -> None:
    """Write a design file from a few numbers, and print the layout.

    \b
    jiggen start --nut 46mm --spread 57mm --scale 628mm --name Wren
    jiggen start --profile mandolin --name Siskin
    jiggen start --measured bench.csv --spread 57mm --name Wren
    """  # noqa: D301 - click's mark for lines that shall not be joined
    from jiggen import reckon
    from jiggen.cli.bench import print_fit
    from jiggen.cli.clock import today
    from jiggen.cli.columns import print_json
    from jiggen.cli.printing import neck_tables, print_layout
    from jiggen.design.read import read_defaults
    from jiggen.design.write import design_text
    from jiggen.export.save import write_file
    from jiggen.export.slug import slug
    from jiggen.layout.bench_tables import fit_tables

    said = _said(numbers)
    fit = None
    if measured is not None:
        fit, found = _measured(measured)
        said = _together(said, found)
    design = Design(name=name, date=today(), profile=profile or reckon.DEFAULT_PROFILE, **said)
    neck = _work_out(design)
    path = target or Path(f"{slug(name)}.toml")
    write_file(path, design_text(design, read_defaults(design)).encode(), overwrite=replace)
    if as_json:
        fitted = {"fit": fit_tables(fit)} if fit else {}
        print_json({"schema": "jiggen-start/1", "file": str(path), **fitted, "layout": neck_tables(neck)})
    else:
        if fit:
            print_fit(fit)
            click.echo()
        print_layout(neck)
    click.echo(f"wrote {path}; next: jiggen make {path}", err=True)


#: A `Given` by field of `Design`.
_Numbers = dict[str, Any]

#: Options that are a number of the design each, and its field.
_FIELDS = {
    "nut": "nut_width",
    "spread": "spread_at_bridge",
    "scale": "scale",
    "straight_fret": "straight_fret",
    "setback": "setback",
    "frets": "frets",
    "strings": "string_count",
}


def _said(numbers: dict[str, Any]) -> _Numbers:
    """Returns the numbers that were given as options, by field of `Design`."""

    def given(option: str, value: Any) -> Given[Any]:
        where = f"--{option.replace('_', '-')}"
        if isinstance(value, Length):
            return Given(value.mm, text=value.text, where=where)
        return Given(value, text=str(value), where=where)

    said = {field: given(name, numbers[name]) for name, field in _FIELDS.items() if numbers[name] is not None}
    if numbers["fanned"]:
        said["scale_bass"], said["scale_treble"] = (given("fanned", each) for each in numbers["fanned"])
    if numbers["left_handed"]:
        said["left_handed"] = Given(value=True, where="--left-handed")
    return said


def _measured(path: Path) -> tuple["BenchFit", _Numbers]:
    """Returns the fit of a file of readings, and its numbers by field of `Design`; warns when no rule fits."""
    from jiggen.layout.bench import design_numbers, fit_bench
    from jiggen.layout.measured_rule import Verdict
    from jiggen.layout.readings import readings_from_text
    from jiggen.profiles import read_text

    readings = readings_from_text(read_text(path, what="a table of readings"), file=str(path))
    try:
        fit = fit_bench(readings)
    except JiggenError as error:
        raise error.at(f"{path}, {error.where}") from error
    if fit.comparison and fit.comparison.verdict is Verdict.NONE_FITS:
        click.echo(f"note: {fit.comparison.reason} The scale is by 12 equal steps.", err=True)
    return fit, design_numbers(fit, file=str(path))


def _together(said: _Numbers, found: _Numbers) -> _Numbers:
    """Returns options and readings together; the number of frets alone may be said beside what was read.

    Raises:
        JiggenError: If an option says what was measured too.
    """
    raise_all(
        [
            ConflictError(
                where=said[field].where,
                got=f"{said[field].text or 'a value'} beside the readings in {found[field].where}",
                expected="one or the other",
                mend=f"Leave {said[field].where} out.",
            )
            for field in said
            if field in found and field != "frets"
        ]
    )
    return found | said


#: What the solver may miss: the end of its place, the option, and an example.
_OPTIONS = (
    ("neck.scale", "--scale", "628mm"),
    ("neck.nut-width", "--nut", "46mm"),
    ("strings.spread-at-bridge", "--spread", "57mm"),
    ("strings.setback", "--setback", "3.5mm"),
    ("neck.frets", "--frets", "19"),
    ("strings.count", "--strings", "6"),
)


def _work_out(design: Design) -> "Neck":
    """Works the neck out; a number that is missing is asked for by its option."""
    from jiggen import reckon

    try:
        return reckon.work_out(design)
    except JiggenError as error:
        errors = error.errors if isinstance(error, SeveralErrors) else (error,)
        raise_all([_by_option(each) for each in errors])
        raise


def _by_option(error: JiggenError) -> JiggenError:
    """Returns the error for a missing number in the words of the command line; any other as it is."""
    for key, option, example in _OPTIONS:
        if error.got == "nothing" and error.where.endswith(f", {key}"):
            mend = f"Add {option} {example}, or name a profile that has it: jiggen profiles instruments"
            return InputError(where=option, got="nothing", expected=error.expected, mend=mend)
    return error

"""The program `jiggen`: its commands, and the one place where an error becomes an exit code."""

import importlib
import sys
from collections.abc import Sequence
from typing import Any

import click

from jiggen import __version__
from jiggen.errors import JiggenError
from jiggen.garbage import collect_seldom

#: The maker's mistake, and ours.
USER_ERROR, OUR_ERROR = 2, 1

#: Command word, the module that holds it, and its line in the list of commands; a module is imported when used.
COMMANDS = {
    "start": "Write a design file from a few numbers.",
    "layout": "Print frets, board widths and string positions.",
    "make": "Make the files for the laser.",
    "proof": "Measure what files would make; tell whether a part is of the design as it is now.",
    "caliper": "Set readings of a cut part, a board or an instrument against the design.",
    "outline": "Tell what is in an outline that you bring along: SVG, DXF or stations.",
    "coupon": "Make a kerf coupon, and learn kerf and scale from its readings.",
    "schema": "Print the form of our files, for editors that complete and check keys.",
    "page": "Show a design on a page in your browser, live.",
    "profiles": "List the library of instruments, strings, materials and machines, or show a profile.",
}


class House(click.Group):
    """The group of commands: imports a command only when it is called, and turns errors into exit codes."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Returns the command words in the order of the work."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Returns the command of that word, or None."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"jiggen.cli.{cmd_name}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Lists the commands from the table, so that `--help` imports none of them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> Any:
        """Runs a command; the maker's mistakes end in one sentence and exit code 2, ours in exit code 1."""
        try:
            return super().invoke(ctx)
        except JiggenError as error:
            _complain(str(error))
            sys.exit(USER_ERROR)
        except (click.ClickException, click.exceptions.Exit, click.Abort, BrokenPipeError):
            raise  # click knows what to do, also when nobody listens any more
        except OSError as error:
            _complain(f"{error.filename or 'file'}: {error.strerror or error}")
            sys.exit(USER_ERROR)
        except Exception as error:
            if ctx.params.get("trace"):
                raise
            _complain(
                f"this is a mistake in jiggen, not yours: {type(error).__name__}: {error}\n"
                "Run again as `jiggen --trace …` for the details, and please report it."
            )
            sys.exit(OUR_ERROR)


def _complain(text: str) -> None:
    for line in text.splitlines():
        click.echo(f"{click.style('jiggen:', bold=True)} {line}", err=True)


@click.group(cls=House, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="jiggen %(version)s")
@click.option("--trace", is_flag=True, help="On a mistake of ours, show where it happened.")
def app(trace: bool) -> None:
    """A few numbers in; right-sized, labelled, laser-ready templates and jigs out.

    Lengths take a unit: 46mm, 4.6cm, 25.5in, "25 1/2in", 1-11/16in.
    """


def main(arguments: Sequence[str] | None = None) -> None:
    """Runs the program.

    Args:
        arguments: Those after the program's name; None takes them from the command line.
    """
    collect_seldom()
    app.main(args=list(arguments) if arguments is not None else None, prog_name="jiggen")

"""`jiggen page`: the design on a local page, live."""

from pathlib import Path

import click

#: What the page takes and nothing else does.
NEEDED = ("starlette", "tomlkit", "uvicorn")


@click.command("page")
@click.argument("design", type=click.Path(path_type=Path), required=False)
@click.option(
    "--port", type=click.IntRange(1, 65535), metavar="NUMBER", help="Listen there and nowhere else."
)
@click.option("--no-browser", is_flag=True, help="Print the address and open no browser.")
def command(design: Path | None, port: int | None, no_browser: bool) -> None:
    """Show DESIGN on a page in your browser, live. Ctrl-C ends it.

    The page is for this machine only. It never writes your file: save from the page, where you like.
    """
    from importlib.util import find_spec

    from jiggen.cli.clock import today
    from jiggen.errors import InputError
    from jiggen.profiles import read_text

    missing = [each for each in NEEDED if find_spec(each) is None]
    if missing:
        raise InputError(
            where="jiggen page",
            got=f"no {', '.join(missing)}",
            expected="the libraries of the page",
            mend="Install them: pip install 'jiggen[page]'",
        )
    from jiggen.page.serve import listen, serve

    text = read_text(design) if design else ""
    opened = {"text": text, "file": str(design) if design else "", "today": today()}

    def ready(address: str) -> None:
        click.echo(f"the page is at {address}")
        click.echo("it is for this machine only; Ctrl-C ends it", err=True)
        if not no_browser:
            import webbrowser

            webbrowser.open(address)

    serve(listen(port), opened, ready)

"""Sets made the way a maker makes them, into a folder of the test's own."""

from pathlib import Path

from jiggen import job, prepare, reckon

DESIGNS = Path(__file__).parents[2] / "profiles" / "instruments"


def make_set(out: Path, *parts: str, design: str = "wren", formats: tuple[str, ...] = ("dxf", "svg")) -> Path:
    """Returns the folder of a set of some parts, all when none are named."""
    made = job.make(reckon.load(DESIGNS / f"{design}.toml"), prepare.Order(parts=parts, formats=formats), out)
    return made.folder

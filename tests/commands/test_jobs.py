"""However many processes share the work on a set, the files are the same to the byte."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from jiggen.cli.app import app

WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"


def made(out: Path, *options: str) -> tuple[dict[str, bytes], str]:
    """Makes two parts of the Wren; returns the files and what was said of them, without their place."""
    result = CliRunner().invoke(
        app, ["make", str(WREN), "--only", "nut-rule,saw-guide", "--out", str(out), *options]
    )
    assert result.exit_code == 0, result.output
    files = {path.name: path.read_bytes() for path in (out / "wren").iterdir()}
    return files, result.stdout.replace(str(out), "")


@pytest.mark.parametrize("jobs", ["2", "4"])
def test_processes_that_share_the_work_write_the_same_bytes(tmp_path: Path, jobs: str) -> None:
    alone = made(tmp_path / "alone", "--jobs", "1")
    assert made(tmp_path / "shared", "--jobs", jobs) == alone
    assert "no fault" in alone[1]


def test_a_mistake_of_the_makers_is_told_as_such_whoever_finds_it(tmp_path: Path) -> None:
    for jobs in ("1", "2"):
        result = CliRunner().invoke(
            app, ["make", str(WREN), "--dpi", "90000", "--out", str(tmp_path), "--jobs", jobs]
        )
        assert result.exit_code == 2
        assert "--dpi: got 90000" in result.stderr
    assert not list(tmp_path.iterdir())

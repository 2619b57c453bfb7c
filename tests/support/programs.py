"""Programs of other people that judge our files."""

import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

import pytest


def run_program(
    program: str, *arguments: str | Path, package: str, env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """Runs a program; where it is missing the test is skipped, or fails if JIGGEN_ALL_JUDGES=1 wants all of them.

    Args:
        program: Its name on the search path.
        arguments: As strings or paths.
        package: The Debian package that holds it.
        env: Settings on top of the present ones.
    """
    found = shutil.which(program)
    if found is None:
        message = f"{program} is missing: apt install {package}"
        if os.environ.get("JIGGEN_ALL_JUDGES") == "1":
            pytest.fail(message)
        pytest.skip(message)
    done = subprocess.run(
        [found, *map(str, arguments)], capture_output=True, env={**os.environ, **(env or {})}, check=False
    )
    assert done.returncode == 0, f"{program}: {done.stderr.decode(errors='replace')}"
    return done

"""How long each writer takes on a full sheet: 250 features and 1500 strokes of lettering.

Run from the top of the project: `PYTHONPATH=.:tests python tests/bench/bench_export.py`.
"""

import sys
import time
from collections.abc import Callable
from functools import partial

from support.sheets import full_sheet_set

from jiggen.export.formats import JOB_WRITERS, SHEET_WRITERS
from jiggen.export.lint import check_sheet
from jiggen.export.manifest import encode_manifest


def best_of(times: int, work: Callable[[], object]) -> float:
    """The shortest of several runs, in milliseconds: the one least disturbed."""
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return min(seconds) * 1000.0


def main() -> None:
    """Prints one line per writer."""
    job = full_sheet_set()
    sheet = job.sheets[0]
    works: dict[str, Callable[[], object]] = {
        "lint": partial(check_sheet, sheet),
        "manifest": partial(encode_manifest, job, {}),
        **{name: partial(writer.encode, sheet) for name, writer in SHEET_WRITERS.items()},
        **{name: partial(writer.encode, job) for name, writer in JOB_WRITERS.items()},
    }
    for name, work in works.items():
        work()  # imports what it needs
        sys.stdout.write(f"{name:10} {best_of(5, work):7.1f} ms\n")


if __name__ == "__main__":
    main()

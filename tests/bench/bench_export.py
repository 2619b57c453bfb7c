"""How long each writer takes on a full sheet: 250 features and 1500 strokes of lettering.

Run from the top of the project: `PYTHONPATH=.:tests python tests/bench/bench_export.py`.
"""

import time

from support.sheets import full_sheet_set

from jiggen.export.formats import JOB_WRITERS, SHEET_WRITERS
from jiggen.export.lint import check_sheet
from jiggen.export.manifest import encode_manifest


def best_of(times: int, work: object) -> float:
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
    works = {"lint": lambda: check_sheet(sheet), "manifest": lambda: encode_manifest(job, {})}
    works |= {name: lambda writer=writer: writer.encode(sheet) for name, writer in SHEET_WRITERS.items()}
    works |= {name: lambda writer=writer: writer.encode(job) for name, writer in JOB_WRITERS.items()}
    for name, work in works.items():
        work()  # imports what it needs
        print(f"{name:10} {best_of(5, work):7.1f} ms")


if __name__ == "__main__":
    main()

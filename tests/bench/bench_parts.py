"""What each shop aid costs: seconds to draw it, to make it for a workshop, and to write and prove its files.

    python tests/bench/bench_parts.py [DESIGN.toml]

Without a design it takes the library's Wren. The first run of everything is not counted:
imports and caches are warm. Every figure is the least of several runs.
"""

import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from jiggen.export.formats import encode_job
from jiggen.export.manifest import FILE_NAME
from jiggen.export.writer import Job
from jiggen.parts.catalogue import ALL, choose
from jiggen.prepare import Order, bench_of, fit_out_workshop, lay_on_sheets
from jiggen.proof.prove import prove_files
from jiggen.reckon import load, work_out

T = TypeVar("T")

RUNS = 5
WREN = Path(__file__).parents[2] / "profiles" / "instruments" / "wren.toml"


def least(run: Callable[[], T], runs: int = RUNS) -> tuple[float, T]:
    """Returns the least time of several runs, in ms, and what the last one returned."""
    best = float("inf")
    result = run()
    for _ in range(runs):
        start = time.perf_counter()
        result = run()
        best = min(best, time.perf_counter() - start)
    return best * 1000.0, result


def main(path: Path) -> None:
    """Prints the table."""
    neck = work_out(load(path))
    workshop = fit_out_workshop(neck.spec.make, Order())
    bench = bench_of(workshop)
    entries = choose((ALL,), neck, where="benchmark")

    print(f"{neck.spec.design.name}, ms{'':24}parts  features      draw  make + limits  files + proof")
    totals = [0.0, 0.0, 0.0]
    for entry in entries:
        draw, parts = least(lambda entry=entry: entry.build(neck, bench))
        make, sheet_set = least(lambda parts=parts: lay_on_sheets(parts, neck, workshop))
        job = Job(sheet_set=sheet_set, layout=neck.layout, setup=neck.setup)

        def written(job: Job = job) -> bool:
            files = encode_job(job, ("dxf", "svg"))
            rest = {name: data for name, data in files.items() if name != FILE_NAME}
            return prove_files(files[FILE_NAME], rest).ok

        write, proved = least(written, 2)
        features = sum(len(part.features) for part in parts)
        mark = "" if proved else "  NOT PROVED"
        print(f"{entry.name:<28}{len(parts):>9}{features:>10}{draw:>10.1f}{make:>15.1f}{write:>15.1f}{mark}")
        totals = [total + each for total, each in zip(totals, (draw, make, write), strict=True)]
    print(f"{'each on its own, in all':<47}{totals[0]:>10.1f}{totals[1]:>15.1f}{totals[2]:>15.1f}")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else WREN)

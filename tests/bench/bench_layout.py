"""How long a layout takes, and whether ten thousand random necks agree with themselves.

Run from the top of the project: `PYTHONPATH=.:tests python tests/bench/bench_layout.py [number of necks]`. Ends with 1
when a figure is missed.
"""

import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from random import Random

from support.random_designs import disagreement, random_design

from jiggen.design.model import Given
from jiggen.design.read import read_design, read_string_set
from jiggen.design.solve import solve
from jiggen.layout.neck import lay_out
from jiggen.layout.setup import set_up
from jiggen.layout.warnings import layout_warnings
from jiggen.profiles import find

NECKS = 10_000
DISAGREEMENT = 1e-9  # mm, between two ways of computing one length
WARM, COLD = 3.0, 150.0  # ms
RUNS = 10
INSTRUMENT = "electric-long-scale"


def best_of(times: int, work: Callable[[], object]) -> float:
    """The shortest of several runs, in milliseconds: the one least disturbed."""
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return min(seconds) * 1000.0


def random_necks(count: int) -> bool:
    """Solves and lays out random necks; an exception of any of them ends the run."""
    start = time.perf_counter()
    worst = max(
        disagreement(*random_design(Random(seed)))  # noqa: S311 - no secrets here
        for seed in range(count)
    )
    seconds = time.perf_counter() - start
    say(f"{count} random necks in {seconds:.1f} s, all solved; largest disagreement {worst:.1e} mm")
    return worst <= DISAGREEMENT


def warm() -> bool:
    """Times each step of one six-string neck of 24 frets with compensation."""
    path = find("instruments", INSTRUMENT).path
    design = replace(read_design(path), frets=Given(24), overhang=Given(6.0))
    string_set = read_string_set(design)
    spec = solve(design)
    layout = lay_out(spec)
    setup = set_up(layout, string_set)
    if not (setup.saddle and setup.saddle.compensations and len(layout.frets) == 24):
        raise RuntimeError(f"{INSTRUMENT} is no neck of 24 frets with compensation")
    steps = {
        "solve": lambda: solve(design),
        "lay out": lambda: lay_out(spec),
        "tension and compensation": lambda: set_up(layout, string_set),
        "warnings": lambda: layout_warnings(layout),
    }
    total = 0.0
    for name, step in steps.items():
        shortest = best_of(100, step)
        total += shortest
        say(f"{name:26} {shortest:6.2f} ms")
    say(f"{'six strings, 24 frets':26} {total:6.2f} ms, at most {WARM:g}")
    return total <= WARM


def cold() -> bool:
    """Times the command, interpreter and all."""
    command = [sys.executable, "-m", "jiggen", "layout", str(find("instruments", INSTRUMENT).path)]

    def run() -> None:
        subprocess.run(command, check=True, capture_output=True)

    run()
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    shortest = best_of(RUNS, run)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    processor = (after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime) / RUNS * 1000.0
    say(
        f"{'as a command':26} {shortest:6.0f} ms, at most {COLD:g}; {processor:.0f} ms of a processor on average"
    )
    return shortest <= COLD


def say(line: str) -> None:
    """Prints at once."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Prints all figures; returns the exit code."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else NECKS
    results = [random_necks(count), warm(), cold()]
    return 0 if all(results) else 1


if __name__ == "__main__":
    raise SystemExit(main())

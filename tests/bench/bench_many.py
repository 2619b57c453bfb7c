"""Throughput, memory and steadiness of a run over many designs. Run on request: `python tests/bench/bench_many.py`.

Designs are those of the demo class, over and over under other names. Memory is that of all processes together, each page
that they share counted once (PSS, where Linux tells it). Numbers after the command are how many designs: 10 1000.
"""

import csv
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
CLASS = ROOT / "tests" / "support" / "evening-class.csv"


def family(parent: int) -> Iterator[int]:
    """Yields a process and all that it started."""
    yield parent
    for path in Path(f"/proc/{parent}/task").glob("*/children"):
        for child in path.read_text(encoding="ascii").split():
            yield from family(int(child))


def pss_mb(parent: int) -> float:
    """Returns the memory that a process and its children take, in MB; 0 for what has just ended."""
    total = 0
    try:
        for process in family(parent):
            text = Path(f"/proc/{process}/smaps_rollup").read_text(encoding="ascii")
            total += next(int(line.split()[1]) for line in text.splitlines() if line.startswith("Pss:"))
    except OSError:
        return 0.0
    return total / 1024.0


def class_of(count: int, path: Path) -> None:
    """Writes a class list of so many designs."""
    with CLASS.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, skipinitialspace=True))
    lines = ["owner, name, profile"]
    for number in range(count):
        row = rows[number % len(rows)]
        lines.append(f"{row['owner']}, {row['name'].strip()} {number + 1}, {row['profile'].strip()}")
    path.write_text("\n".join(lines), encoding="utf-8")


def run(count: int, *more: str) -> tuple[float, float]:
    """Returns wall seconds and the peak of memory in MB of a run over so many designs."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        class_of(count, folder / "class.csv")
        peak = 0.0
        start = time.perf_counter()
        process = subprocess.Popen(
            [
                sys.executable,
                "-m",
                "jiggen",
                "make",
                "class.csv",
                "--format",
                "dxf,svg",
                "--jobs",
                "2",
                *more,
            ],
            cwd=folder,
            env={"PYTHONPATH": str(ROOT), "PATH": ""},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        while process.poll() is None:
            peak = max(peak, pss_mb(process.pid))
            time.sleep(0.1)
        seconds = time.perf_counter() - start
        if process.returncode:
            raise SystemExit(f"the run over {count} designs ended with {process.returncode}")
        return seconds, peak


def main() -> None:
    """Prints the figures beside what they should be."""
    counts = [int(each) for each in sys.argv[1:]] or [10, 100, 1000]
    print(
        f"{'designs':>8} {'':16} {'seconds':>8} {'a second':>9} {'MB in all':>10}   (at least 15, at most 300)"
    )
    each_took = []
    for count in counts:
        for words, more in (("own sets", ("--apart",)), ("and shared", ())):
            seconds, peak = run(count, *more)
            print(f"{count:8} {words:16} {seconds:8.1f} {count / seconds:9.2f} {peak:10.0f}", flush=True)
            if not more:
                each_took.append(seconds / count)
    print(f"time a design, last to first: {each_took[-1] / each_took[0]:.2f} (less than 1.1)")


if __name__ == "__main__":
    main()

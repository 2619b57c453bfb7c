"""What outlines cost that makers bring along: seconds to read them, and what hostile files take before they are refused.

    PYTHONPATH=.:tests python tests/bench/bench_outline.py

Each import is run several times, and the least counts, in processor time, with imports and caches warm. Each hostile file is refused by a
process of its own, whose processor time and memory count from its start, the imports of Python and of the libraries
included.
"""

import math
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import ezdxf
from support.hostile import CASES
from support.outlines import dxf_bytes, svg

from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

RUNS = 7
#: Seconds within which 5,000 segments are meant to be read; seconds and MiB within which any file is meant to be refused.
MEANT_S, REFUSED_S, REFUSED_MIB = 0.5, 5.0, 500.0
APART = """
import resource, sys
from pathlib import Path
from jiggen.errors import JiggenError
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline
try:
    read_outline(Path(sys.argv[1]), wish=Wish())
except JiggenError:
    used = resource.getrusage(resource.RUSAGE_SELF)
    peak = int(Path("/proc/self/status").read_text().partition("VmHWM:")[2].split()[0])
    print(used.ru_utime + used.ru_stime, peak / 1024.0)
"""


def body(angle: float) -> tuple[float, float]:
    """A place on a body with two bouts, mm."""
    radius = 180.0 * (1.0 + 0.25 * math.cos(2.0 * angle) - 0.05 * math.cos(angle))
    return 300.0 + radius * math.cos(angle), 200.0 + 0.8 * radius * math.sin(angle)


def curves(count: int) -> str:
    """Path data of so many cubic Bézier curves round the body."""
    step = math.tau / count
    words = []
    for index in range(count):
        here, after = body(step * index), body(step * (index + 1))
        before, beyond = body(step * (index - 1)), body(step * (index + 2))
        controls = (
            here[0] + (after[0] - before[0]) / 6.0,
            here[1] + (after[1] - before[1]) / 6.0,
            after[0] - (beyond[0] - here[0]) / 6.0,
            after[1] - (beyond[1] - here[1]) / 6.0,
            *after,
        )
        words.append("C" + " ".join(f"{each:.5f}" for each in controls))
    start = body(0.0)
    return f"M{start[0]:.5f} {start[1]:.5f}{''.join(words)}Z"


def drawings() -> dict[str, bytes]:
    """Files to read, by what is in them."""
    corners = " ".join(f"{x:.5f} {y:.5f}" for x, y in (body(math.tau * step / 5000) for step in range(5000)))
    loose = "".join(
        f'<path d="M{x:.5f} {y:.5f}L{after[0]:.5f} {after[1]:.5f}"/>'
        for (x, y), after in (
            (body(math.tau * step / 5000), body(math.tau * (step + 1) / 5000)) for step in range(5000)
        )
    )
    document = ezdxf.new("R2010", units=4)
    document.modelspace().add_spline([body(math.tau * step / 60) for step in range(61)])
    return {
        "5,000 curves in one path.svg": svg(f'<path d="{curves(5000)}"/>').encode(),
        "6 curves.svg": svg(f'<path d="{curves(6)}"/>').encode(),
        "5,000 sides of a polygon.svg": svg(f'<polygon points="{corners}"/>').encode(),
        "5,000 paths of one line each.svg": svg(loose).encode(),
        "a spline through 60 points.dxf": dxf_bytes(document),
    }


def main() -> None:
    """Prints the figures."""
    with tempfile.TemporaryDirectory() as folder:
        for name, data in drawings().items():
            file = Path(folder) / name
            file.write_bytes(data)
            best = math.inf
            for _ in range(RUNS):
                start = time.process_time()
                found = read_outline(file, wish=Wish())
                best = min(best, time.process_time() - start)
            meant = f", meant to be {MEANT_S}" if name.startswith("5,000 curves") else ""
            print(f"{name}: {best:.3f} s{meant}; {len(found.outline)} segments")
        slowest, largest = ("", 0.0), ("", 0.0)
        for name, write, _ in CASES:
            file = Path(folder) / name
            write(file)
            done = subprocess.run(
                [sys.executable, "-c", APART, str(file)],
                capture_output=True,
                text=True,
                check=True,
                env={**os.environ, "OPENBLAS_NUM_THREADS": "1"},
            )
            file.unlink()
            seconds, peak = map(float, done.stdout.split())
            slowest, largest = max(slowest, (name, seconds), key=_size), max(largest, (name, peak), key=_size)
        print(f"{len(CASES)} hostile files refused;")
        print(
            f"  the slowest, {slowest[0]}, in {slowest[1]:.2f} s of processor time, meant to be {REFUSED_S}"
        )
        print(f"  the largest, {largest[0]}, in {largest[1]:.0f} MiB, meant to be {REFUSED_MIB:.0f}")


def _size(row: tuple[str, float]) -> float:
    return row[1]


if __name__ == "__main__":
    main()

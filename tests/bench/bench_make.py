"""Whole-process figures of the commands, with the Wren. Run on request: `python tests/bench/bench_make.py`.

Each command runs in fresh processes after a warm-up; the median counts, since machines are noisy.
"""

import json
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
WREN = ROOT / "profiles" / "instruments" / "wren.toml"
RUNS = 7


def seconds(*arguments: str, folder: Path) -> tuple[float, float]:
    """Median wall and processor seconds of `jiggen ARGUMENTS` in fresh processes."""
    walls, cpus = [], []
    for _ in range(RUNS + 1):
        before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "jiggen", *arguments],
            check=True,
            capture_output=True,
            cwd=folder,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        walls.append(time.perf_counter() - start)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        cpus.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return statistics.median(walls[1:]), statistics.median(cpus[1:])


def main() -> None:
    """Prints the figures beside what they should be."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rows = [
            ("jiggen --help", *seconds("--help", folder=folder), 0.12),
            ("jiggen layout wren.toml", *seconds("layout", str(WREN), folder=folder), 0.15),
            (
                "jiggen make wren.toml --format dxf,svg,png",
                *seconds("make", str(WREN), "--format", "dxf,svg,png", folder=folder),
                1.0,
            ),
            ("jiggen make wren.toml, all files", *seconds("make", str(WREN), folder=folder), 1.5),
        ]
        made = folder / "out" / "wren"
        sizes = {path.name: path.stat().st_size for path in sorted(made.iterdir())}
        manifest = json.loads((made / "manifest.json").read_text(encoding="utf-8"))
        sys.path.insert(0, str(ROOT))
        from jiggen.proof.prove import prove

        worst = prove(made).worst
    print(f"{'command':45} {'wall s':>8} {'cpu s':>8} {'target':>8}")
    for command, wall, cpu, target in rows:
        print(f"{command:45} {wall:8.3f} {cpu:8.3f} {target:8.2f}")
    print()
    for file, size in sizes.items():
        print(f"{file:45} {size / 1000:8.1f} kB")
    print(
        f"features: {sum(len(part['features']) for sheet in manifest['sheets'] for part in sheet['parts'])}"
    )
    print(f"largest difference read back: {abs(worst.difference_mm) if worst else float('nan'):.4f} mm")


if __name__ == "__main__":
    main()

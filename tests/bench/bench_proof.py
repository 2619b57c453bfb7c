"""What the proof costs, how often it cries wolf, and how much it misses. Run on request, from the top of the project:

PYTHONPATH=.:tests python tests/bench/bench_proof.py [number of random designs, default 500]

Times are of the whole Wren, DXF and SVG, warm: wall clock and processor, since machines are noisy. Clean designs are
random necks made of random sheets on random machines in random weather. Faults are seeded into files of a saw guide
and its strip, of random size above the resolution that the proof states; below it, slots are moved by less and less, to
show where it stops to see.
"""

import json
import statistics
import sys
import tempfile
import time
from pathlib import Path

from support.made import make_set
from support.random_sets import random_set
from support.spoilt import FAULTS, RESOLUTION, shift, spoil, take_apart

from jiggen.proof.prove import prove_files

RUNS, SEEDED, TARGET_S = 15, 400, 0.3
SHIFTS = (0.002, 0.004, 0.0045, 0.0055, 0.006, 0.01, 0.05)  # mm


def files_of(folder: Path) -> tuple[bytes, dict[str, bytes]]:
    """The manifest and the other files of a set."""
    files = {path.name: path.read_bytes() for path in folder.iterdir()}
    return files.pop("manifest.json"), files


def cost(out: Path) -> None:
    """Prints what one proof costs."""
    manifest, files = files_of(make_set(out))
    walls, cpus = [], []
    for _ in range(RUNS + 2):
        wall, cpu = time.perf_counter(), time.process_time()
        report = prove_files(manifest, files)
        walls.append(time.perf_counter() - wall)
        cpus.append(time.process_time() - cpu)
    wall, cpu = statistics.median(walls[2:]), statistics.median(cpus[2:])
    print(f"proof of the full Wren, warm: {wall:.3f} s wall, {cpu:.3f} s processor; target {TARGET_S} s")
    print(f"  {report.verdict()}")


def false_alarms(wanted: int) -> None:
    """Prints how many of so many clean sets are not proved."""
    made = alarms = seed = 0
    worst = 0.0
    while made < wanted:
        found = random_set(seed)
        seed += 1
        if found is None:
            continue
        made += 1
        report = prove_files(*found)
        alarms += not report.ok or any(not finding.is_warning for finding in report.findings)
        worst = max(worst, abs(report.worst.difference_mm) if report.worst else 0.0)
    print(f"false alarms: {alarms} in {made} random clean sets; largest difference {worst:.4f} mm")


def misses(out: Path) -> None:
    """Prints how many seeded faults are missed or misnamed, kind by kind, and where the proof stops to see."""
    manifest_bytes, files = files_of(make_set(out, "saw-guide"))
    manifest = json.loads(manifest_bytes)
    manifest["files"] = {}
    manifests = {}
    for name in ("sheet-1.dxf", "sheet-1.svg"):
        manifest["sheets"][0]["files"] = [name]
        manifests[name] = json.dumps(manifest).encode()
    kinds: dict[str, list[int]] = {}
    for number in range(SEEDED):
        name = ("sheet-1.dxf", "sheet-1.svg")[number // len(FAULTS) % 2]
        spoilt, seeded = spoil(number, name, files[name], "saw-guide")
        report = prove_files(manifests[name], {name: spoilt})
        mine = [each for each in report.findings if (each.fault, each.part) == (seeded.fault, seeded.part)]
        named = any(not seeded.feature or seeded.feature in each.features for each in mine)
        tally = kinds.setdefault(seeded.kind, [0, 0, 0])
        tally[0] += 1
        tally[1] += report.ok
        tally[2] += not named
    print(f"seeded faults: {SEEDED}, of which missed {sum(t[1] for t in kinds.values())},", end=" ")
    print(f"misnamed {sum(t[2] for t in kinds.values())}; stated resolution {RESOLUTION} mm")
    for kind, (count, missed, misnamed) in kinds.items():
        print(f"  {kind:24} {count:4}  missed {missed}  misnamed {misnamed}")
    for by in SHIFTS:
        found = 0
        for fret in range(1, 19):
            file = take_apart("sheet-1.dxf", files["sheet-1.dxf"])
            for thing in file.named(f"saw-guide.fret.{fret}"):
                thing.map(shift(by, 0.0))
            found += not prove_files(manifests["sheet-1.dxf"], {"sheet-1.dxf": file.data()}).ok
        print(f"  a slot moved by {by:.4f} mm is found {found} times in 18")


def main() -> None:
    """Prints all figures."""
    with tempfile.TemporaryDirectory() as name:
        cost(Path(name))
        misses(Path(name))
    false_alarms(int(sys.argv[1]) if len(sys.argv) > 1 else 500)


if __name__ == "__main__":
    main()

"""What the files of the Wren take: time cold and warm, memory, sizes, and the same entities by bare ezdxf and reportlab.

Run from the top of the project: `PYTHONPATH=.:tests python tests/bench/bench_export.py`. Needs reportlab besides the
test extras: `pip install reportlab`.
"""

import io
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from jiggen import job, prepare, reckon
from jiggen.export.dxf import encode_dxf
from jiggen.export.formats import PLAN_WRITERS, SHEET_WRITERS, encode_job
from jiggen.export.lint import check_sheet
from jiggen.export.manifest import encode_manifest
from jiggen.export.pdf import encode_sheet
from jiggen.export.writer import Job, Writer
from jiggen.geometry.measure import to_bulges
from jiggen.geometry.path import Arc, as_circle
from jiggen.hands import ALONE, Hands, helped
from jiggen.sheets.model import Sheet

DESIGN = Path("profiles/instruments/wren.toml")
#: Largest allowed: seconds cold, milliseconds warm, megabytes, kilobytes, and times what bare libraries take.
COLD_S, FOUR_S, WARM_MS, MEMORY_MB, TIMES = 1.5, 1.0, 250.0, 250.0, 1.5
SIZES_KB = {"sheet-1.dxf": 300.0, "sheet-1.svg": 300.0, "plan.svg": 300.0, "plan.pdf": 200.0}


def best_of(times: int, work: Callable[[], object]) -> float:
    """The shortest of several runs, in milliseconds: the one least disturbed."""
    seconds = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return min(seconds) * 1000.0


def say(what: str, value: float, unit: str, most: float | None = None) -> None:
    limit = "" if most is None else f"  at most {most:g} {unit}{'' if value <= most else '  MISSED'}"
    sys.stdout.write(
        f"{what:44}{value:9.1f} {unit:3}{limit}\n" if unit != "s" else f"{what:44}{value:9.2f} s  {limit}\n"
    )


def cold(*more: str) -> float:
    """Seconds of a whole process that makes the Wren, the best of five."""

    def run() -> None:
        with tempfile.TemporaryDirectory() as out:
            command = [sys.executable, "-m", "jiggen", "make", str(DESIGN), "--out", out, *more]
            subprocess.run(command, check=True, capture_output=True)

    return best_of(5, run) / 1000.0


def by_ezdxf(sheet: Sheet) -> bytes:
    """The entities of a sheet by bare calls, without names or tags."""
    from ezdxf.filemanagement import new

    doc = new("R2000")
    space = doc.modelspace()
    for operation in sheet.machine.operations:
        doc.layers.add(operation.name, color=operation.aci)
        looks = {"layer": operation.name}
        for mark in sheet.marks(operation.name):
            for path in mark.paths:
                circle = as_circle(path)
                if circle:
                    space.add_circle((circle[0].x, circle[0].y), circle[1], dxfattribs=looks)
                elif len(path) == 1 and not isinstance(path.segments[0], Arc):
                    ends = path.segments[0]
                    space.add_line((ends.start.x, ends.start.y), (ends.end.x, ends.end.y), dxfattribs=looks)
                else:
                    space.add_lwpolyline(to_bulges(path), format="xyb", close=path.closed, dxfattribs=looks)
    stream = io.StringIO()
    doc.write(stream)
    return stream.getvalue().encode()


def by_reportlab(sheet: Sheet) -> bytes:
    """The same as a PDF; an arc as reportlab draws arcs."""
    from reportlab.pdfgen.canvas import Canvas

    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(sheet.width_mm, sheet.height_mm), invariant=1)
    for operation in sheet.machine.operations:
        for mark in sheet.marks(operation.name):
            drawn = canvas.beginPath()
            for path in mark.paths:
                drawn.moveTo(path.start.x, path.start.y)
                for piece in path:
                    if isinstance(piece, Arc):
                        centre, radius = piece.centre, piece.radius
                        box = (centre.x - radius, centre.y - radius, centre.x + radius, centre.y + radius)
                        start = (piece.start - centre).angle() * 57.29577951308232
                        drawn.arcTo(*box, start, piece.sweep * 57.29577951308232)
                    else:
                        drawn.lineTo(piece.end.x, piece.end.y)
            canvas.drawPath(drawn)
    canvas.save()
    return stream.getvalue()


def written(writer: Writer, job: Job) -> list[bytes]:
    """All that one writer writes."""
    return [data if isinstance(data, bytes) else data() for _, data in writer(job)]


def main() -> None:
    """Prints a line for each figure."""
    say("all formats, cold, proved and saved", cold(), "s", COLD_S)
    say("dxf, svg, png and manifest, cold", cold("--format", "dxf,svg,png"), "s", FOUR_S)
    neck = reckon.work_out(reckon.load(DESIGN))
    sheets = prepare.draw_up(neck, prepare.Order())

    def fresh(hands: Hands = ALONE) -> Job:
        for each in sheets.sheets:
            each.known.clear()
        return Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup, hands=hands)

    files = encode_job(fresh())
    with helped(1, ready=job.ready_to_help) as hands:
        say("all formats, warm, two processes", best_of(5, lambda: encode_job(fresh(hands))), "ms", WARM_MS)
    say("all formats, warm, one process", best_of(5, lambda: encode_job(fresh())), "ms")
    sheet = sheets.sheets[0]
    say("  checks before writing", best_of(5, lambda: check_sheet(sheet)), "ms")
    say("  drawing the plan", best_of(5, lambda: fresh().plan.page), "ms")
    drawn = fresh()
    plan = drawn.plan
    assert plan.page  # drawn once, before anything is timed that needs it
    for word, writer in SHEET_WRITERS.items():
        say(f"  {word}: {writer.__name__}", best_of(5, lambda writer=writer: written(writer, drawn)), "ms")
    for word, writers in PLAN_WRITERS.items():
        for writer in writers:
            say(f"  {word}: {writer.__name__}", best_of(5, lambda writer=writer: [*writer(plan)]), "ms")
    say("  manifest", best_of(5, lambda: encode_manifest(sheets, files)), "ms")
    memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
    say("peak memory of a run", memory, "MB", MEMORY_MB)
    for name, data in files.items():
        say(name, len(data) / 1000.0, "kB", SIZES_KB.get(name))
    ours, theirs = best_of(5, lambda: encode_dxf(sheet)), best_of(5, lambda: by_ezdxf(sheet))
    say("DXF by jiggen over bare ezdxf", ours / theirs, "x", TIMES)
    ours, theirs = best_of(5, lambda: encode_sheet(sheet)), best_of(5, lambda: by_reportlab(sheet))
    say("PDF by jiggen over bare reportlab", ours / theirs, "x", TIMES)


if __name__ == "__main__":
    main()

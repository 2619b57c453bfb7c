"""How close parts are laid, against a long search by another program. Run on request: `python tests/bench/bench_nest.py`.

The reference is spyrrow (extra `dev`), which packs shapes into one strip; so we lay the same parts on one endless strip
too, as high as the bed is deep, and as many sheets as it takes beside that. A number after the command is how many
seconds the reference may take; 60 when left out, 0 for none.
"""

import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from jiggen import job, prepare, reckon
from jiggen.batch.together import lettered_name
from jiggen.design.class_list import read_class_list
from jiggen.design.model import Design
from jiggen.geometry.box import Box
from jiggen.geometry.measure import area, flatten
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Role
from jiggen.sheets.close import lay_close
from jiggen.sheets.nest import MOST_STEPS, nest
from jiggen.sheets.room import lies_in, room_of
from jiggen.sheets.shelves import lay_on_shelves
from jiggen.shop.model import CutPart

CLASS = Path(__file__).parents[1] / "support" / "evening-class.csv"
ENDLESS = 20_000.0  # mm


def parts_of_class() -> tuple[list[CutPart], job.Workshop]:
    """Returns the parts of the demo class of twenty, edges only."""
    listed = read_class_list(CLASS.read_text(encoding="utf-8"), file=CLASS.name, tables={})
    designs = [each.design for each in listed if isinstance(each.design, Design)]
    necks = [reckon.work_out(replace(each, name=lettered_name(each.name, each.owner))) for each in designs]
    shop = prepare.fit_out_workshop(necks[0].spec.make, prepare.Order())
    parts: list[CutPart] = []
    for neck in necks:
        order = prepare.Order()
        for cut in prepare.cut_parts_of(prepare.draw_parts(neck, order, shop), neck, shop, order.pieces):
            edges = tuple(each for each in cut.features if each.feature.role is Role.EDGE)
            name = f"{neck.spec.design.name} {cut.part.name}"
            parts.append(replace(cut, part=replace(cut.part, name=name), features=edges))
    return parts, shop


def reference(parts: Sequence[CutPart], height: float, gap: float, seconds: int) -> float:
    """Returns the length of the strip that the other program needs."""
    import spyrrow

    items = [
        spyrrow.Item(
            part.part.name,
            [(point.x, point.y) for point in flatten(part.features[0].paths[0], 0.02)[:-1]],
            1,
            [0.0, 90.0, 180.0, 270.0],
        )
        for part in parts
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=False, min_items_separation=gap, total_computation_time=seconds, seed=1
    )
    return float(spyrrow.StripPackingInstance("class", height, items).solve(config).width)


def main() -> None:
    """Prints the figures beside what they should be."""
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    parts, shop = parts_of_class()
    room, gap = room_of(shop.machine), shop.machine.gap_mm
    own = sum(abs(area(path)) for part in parts for cut in part.features for path in cut.paths)

    rooms = [room] * len(parts)
    lies = [lies_in(part, [room]) for part in parts]
    lay_on_shelves(lies[:1], rooms, gap)  # what is loaded once
    for name, lay in (
        ("rows", lambda: lay_on_shelves(lies, rooms, gap)),
        ("close", lambda: lay_close(parts, lies, rooms, gap, MOST_STEPS)),
    ):
        start = time.perf_counter()
        sheets = [laid for laid in lay()[0] if laid]
        took = time.perf_counter() - start
        last = (room.high.y - min(each.low.y for each in sheets[-1])) / room.height
        print(f"{len(parts)} parts, {name:6} {len(sheets) - 1 + last:5.2f} sheets {took:6.2f} s")
    start = time.perf_counter()
    nest(parts, shop.machine)
    print(f"nest in all, order of cutting too {time.perf_counter() - start:10.2f} s   (at most 2)")

    strip = Box(ORIGIN, Point(room.height, ENDLESS))  # as long as it takes, downward
    start = time.perf_counter()
    ((laid,), _) = lay_close(parts, [lies_in(part, [strip]) for part in parts], [strip], gap, MOST_STEPS)
    took = time.perf_counter() - start
    ours = own / room.height / (ENDLESS - min(each.low.y for each in laid))
    print(f"one strip, ours       {ours:6.1%} full {took:6.2f} s   (at most 2)")
    if seconds:
        start = time.perf_counter()
        theirs = own / room.height / reference(parts, room.height, gap, seconds)
        took = time.perf_counter() - start
        print(f"one strip, reference  {theirs:6.1%} full {took:6.2f} s")
        print(f"ours to reference     {ours / theirs:6.3f}   (at least 0.95)")


if __name__ == "__main__":
    main()

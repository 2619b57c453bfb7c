"""How far the head travels on the Wren's sheet, against a long search by a general solver.

Run on request: `python tests/bench/bench_order.py [SECONDS]`; the search wants `pip install ortools`.
"""

import sys
import time

from ortools.constraint_solver import pywrapcp, routing_enums_pb2
from support.made import DESIGNS

from jiggen import prepare, reckon
from jiggen.geometry.point import ORIGIN, Point
from jiggen.sheets.order import shortest_way

Ends = list[tuple[Point, Point]]
_MICRON = 1000


def searched(ends: Ends, at: Point, seconds: int) -> float:
    """The shortest way that OR-tools finds in some seconds, in mm: each mark once, from either end."""
    stops = [(at, at), *ends, *(each[::-1] for each in ends)]
    far = [
        [0 if not to else round(one[1].distance(stops[to][0]) * _MICRON) for to in range(len(stops))]
        for one in stops
    ]
    manager = pywrapcp.RoutingIndexManager(len(stops), 1, 0)
    routing = pywrapcp.RoutingModel(manager)
    cost = routing.RegisterTransitCallback(
        lambda one, other: far[manager.IndexToNode(one)][manager.IndexToNode(other)]
    )
    routing.SetArcCostEvaluatorOfAllVehicles(cost)
    for mark in range(1, len(ends) + 1):
        routing.AddDisjunction([manager.NodeToIndex(mark), manager.NodeToIndex(mark + len(ends))], 10**9)
    options = pywrapcp.DefaultRoutingSearchParameters()
    options.first_solution_strategy = routing_enums_pb2.FirstSolutionStrategy.PATH_CHEAPEST_ARC
    options.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    options.time_limit.seconds = seconds
    return float(routing.SolveWithParameters(options).ObjectiveValue()) / _MICRON


def main() -> None:
    """Prints the figures beside what they should be."""
    seconds = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    (sheet,) = prepare.draw_up(neck, prepare.Order()).sheets
    at, ours, theirs, spent = ORIGIN, 0.0, 0.0, 0.0
    for operation in sheet.machine.operations:
        ends = [(mark.start, mark.end) for mark in sheet.marks(operation.name)]
        began = time.process_time()
        way = shortest_way(ends, at)
        spent += time.process_time() - began
        theirs += searched(ends, at, seconds)
        for number, turned in way:
            start, end = ends[number][::-1] if turned else ends[number]
            ours += at.distance(start)
            at = end
    print(f"travel {ours:.0f} mm, found in {seconds} s for each operation {theirs:.0f} mm")
    print(f"ratio {ours / theirs:.3f} (at most 1.1) in {spent:.3f} s (under 0.2)")


if __name__ == "__main__":
    main()

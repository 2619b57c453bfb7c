"""Contours on whole millimetres moved by whole halves: there the answer can be counted in cells of a grid.

Nothing is more degenerate: notches and necks close exactly, edges fall on edges and corners on corners. With
right angles only, a mitred offset is what a square of twice the offset sweeps, so set arithmetic is the judge.
"""

from random import Random

import pytest
from shapely import box, union_all

from jiggen.errors import LimitError
from jiggen.geometry.measure import area, faults
from jiggen.geometry.offset import grow, shrink
from jiggen.geometry.path import Path, polyline
from jiggen.geometry.point import Point

Cells = frozenset[tuple[int, int]]
HALF = 0.5  # mm, the side of a cell
MITRE_LIMIT = 4.0


def patch(chance: Random) -> Cells:
    """A patch of whole millimetres grown at random, as cells of half a millimetre."""
    squares, (x, y) = {(0, 0)}, (0, 0)
    for _ in range(chance.randint(3, 20)):
        if chance.random() < 0.4:
            x, y = chance.choice(sorted(squares))
        along, across = chance.choice(((1, 0), (-1, 0), (0, 1), (0, -1)))
        for _ in range(chance.randint(1, 5)):  # an arm: arms make bays and mouths that close
            x, y = x + along, y + across
            squares.add((x, y))
    return frozenset((2 * x + i, 2 * y + j) for x, y in squares for i in (0, 1) for j in (0, 1))


def sound_patch(seed: int) -> tuple[Cells, Path]:
    """The first patch of a seed without holes and without corners that touch, and its outline."""
    chance = Random(seed)  # noqa: S311 - chance for tests, not for secrets
    while True:
        cells = patch(chance)
        shape = union_all([box(x * HALF, y * HALF, (x + 1) * HALF, (y + 1) * HALF) for x, y in cells])
        if shape.interiors:
            continue
        path = polyline([Point(x, y) for x, y in shape.simplify(0.0).exterior.coords[:-1]], closed=True)
        if not faults(path):
            return cells, path


def swept(cells: Cells, by: int) -> Cells:
    """All cells within `by` cells of these, across, along and over corners."""
    reach = range(-by, by + 1)
    wider = {(x + step, y) for x, y in cells for step in reach}
    return frozenset((x, y + step) for x, y in wider for step in reach)


def around(cells: Cells, by: int) -> Cells:
    """What lies round these, as far as it matters."""
    return swept(cells, by + 1) - cells


def covered(loops: tuple[Path, ...]) -> float:
    return sum(abs(area(loop)) * (1.0 if area(loop) * area(loops[0]) > 0.0 else -1.0) for loop in loops)


@pytest.mark.parametrize("by", [1, 2, 3, 4])
@pytest.mark.parametrize("seed", range(25))
def test_moved_by_whole_cells(seed: int, by: int) -> None:
    cells, path = sound_patch(seed)
    larger, smaller = swept(cells, by), cells - swept(around(cells, by), by)
    loops = grow(path, by * HALF, mitre_limit=MITRE_LIMIT)
    assert all(faults(loop) == () for loop in loops)
    assert abs(covered(loops) - len(larger) * HALF**2) < 1e-6
    if not smaller:
        with pytest.raises(LimitError, match="something left"):
            shrink(path, by * HALF)
        return
    loops = shrink(path, by * HALF, mitre_limit=MITRE_LIMIT)
    assert all(faults(loop) == () for loop in loops)
    assert abs(covered(loops) - len(smaller) * HALF**2) < 1e-6

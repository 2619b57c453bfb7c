"""The sample's drawn body and headstock against dense sampling of the same Béziers by svgelements and numpy."""

from pathlib import Path

import numpy as np
import pytest
import svgelements

from jiggen.geometry.measure import area, flatten
from jiggen.layout.body import lay_out_body
from jiggen.layout.body_numbers import body_numbers
from jiggen.layout.head import lay_out_head
from jiggen.reckon import load, work_out

FOLDER = Path(__file__).parents[1] / "support" / "outlines"
#: What arcs may lie off the curves, as the reader is asked by default, mm.
TOLERANCE = 0.01
_SAMPLES = 4000  # of each curve


@pytest.fixture(scope="module")
def neck():
    return work_out(load(FOLDER / "lapwing.toml"))


def sampled(name: str) -> np.ndarray:
    """(n, 2) mm: points on the first path of a file whose user unit is a millimetre, last one as the first."""
    drawing = svgelements.SVG.parse(str(FOLDER / name), ppi=25.4)
    path = next(each for each in drawing.elements() if isinstance(each, svgelements.Path))
    shares = np.linspace(0.0, 1.0, _SAMPLES, endpoint=False)
    runs = [
        segment.npoint(shares)
        for segment in path
        if not isinstance(segment, svgelements.Move | svgelements.Close)
    ]
    points = np.vstack(runs)
    return np.vstack([points, points[:1]])


def shoelace(points: np.ndarray) -> float:
    x, y = points.T
    return abs(float(np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))) / 2.0


def crossings(points: np.ndarray, centre: float) -> list[float]:
    """Where the drawing meets its upright centre line, from top to bottom."""
    off = points[:, 0] - centre
    at = np.flatnonzero(off[:-1] * off[1:] <= 0.0)
    share = off[at] / (off[at] - off[at + 1])
    return sorted(
        {round(float(each), 3) for each in points[at, 1] + share * (points[at + 1, 1] - points[at, 1])}
    )


def test_the_body_is_the_one_that_is_drawn(neck):
    points, centre = sampled("lapwing-body.svg"), 160.0
    shape, found = lay_out_body(neck.layout), body_numbers(neck.layout)
    top, bottom = crossings(points, centre)
    assert shape.tail - shape.neck_end == pytest.approx(bottom - top, abs=TOLERANCE)
    assert found.area == pytest.approx(shoelace(points), rel=1e-4)
    steps = np.hypot(*np.diff(points, axis=0).T)
    assert found.perimeter == pytest.approx(float(steps.sum()), rel=1e-4)
    # drawn from the front, neck up: the treble side is on the right, which is where y is positive
    for side, reach in ((1.0, points[:, 0] - centre), (-1.0, centre - points[:, 0])):
        along = points[:, 1] - top
        upper, waist, lower = shape.stations
        for station, rows, extreme in (
            (upper, along < 110.0, np.max),
            (waist, (along > 90.0) & (along < 190.0) & (reach > 50.0), np.min),
            (lower, along > 190.0, np.max),
        ):
            assert station.reach(side) == pytest.approx(float(extreme(reach[rows])), abs=TOLERANCE)
            # Where it is widest it hardly bends, so that the place is settled by height alone: there the drawing
            # must reach as far as it does at its own widest place, but for what arcs may lie off it on both sides.
            near = (np.abs(along - (station.at(side) - shape.neck_end)) < 0.05) & (reach > 50.0)
            assert near.any()
            assert reach[near] == pytest.approx(float(extreme(reach[rows])), abs=2.0 * TOLERANCE)


def test_no_place_of_the_outline_lies_off_the_drawing(neck):
    from scipy.spatial import cKDTree

    points = sampled("lapwing-body.svg")
    shape = lay_out_body(neck.layout)
    top = crossings(points, 160.0)[0]
    laid = np.column_stack([points[:, 1] - top + shape.neck_end, points[:, 0] - 160.0])
    # straight lines of the drawing are sampled as densely as its curves
    places = np.array([(each.x, each.y) for each in flatten(shape.outline, 0.001)])
    distances, _ = cKDTree(laid).query(places)
    assert (
        distances.max() <= TOLERANCE + 0.05
    )  # half the way from one sample to the next on the longest curve
    back, _ = cKDTree(np.array(_dense(places))).query(laid)
    assert back.max() <= TOLERANCE + 0.01


def _dense(places: np.ndarray) -> np.ndarray:
    """Places no farther than 0.01 mm apart along a polyline."""
    walked = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(places, axis=0).T))])
    at = np.arange(0.0, walked[-1], 0.01)
    return np.column_stack([np.interp(at, walked, places[:, axis]) for axis in (0, 1)])


def test_the_headstock_is_the_one_that_is_drawn(neck):
    points = sampled("lapwing-head.svg")
    shape = lay_out_head(neck.layout)
    assert area(shape.outline) == pytest.approx(shoelace(points), rel=1e-4)
    assert neck.spec.head.length.value == pytest.approx(float(np.ptp(points[:, 1])), abs=TOLERANCE)
    assert neck.spec.head.width.value == pytest.approx(float(np.ptp(points[:, 0])), abs=TOLERANCE)
    box = shape.outline.box
    assert (box.low.x, box.high.x) == (
        pytest.approx(-5.0 - float(np.ptp(points[:, 1])), abs=TOLERANCE),
        pytest.approx(-5.0, abs=1e-6),
    )

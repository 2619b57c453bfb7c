"""The best straight fret against least squares by numpy and scipy."""

from random import Random

import numpy as np
import pytest
from scipy.optimize import minimize
from support.specs import wren

from jiggen.design.model import SetbackTo, Spacing
from jiggen.geometry.point import Point
from jiggen.layout.fan import straight_fret, x_at
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm
GAUGES = (0.25, 0.33, 0.43, 0.66, 0.91, 1.17)


def scattered(seed: int) -> list[Point]:
    """Places where six to twelve strings might be stopped, none on one line."""
    chance = Random(seed)  # noqa: S311 - no secrets here
    count = chance.randint(3, 12)
    slope, start = chance.uniform(-0.5, 0.5), chance.uniform(0.0, 400.0)
    ys = sorted((chance.uniform(-40.0, 40.0) for _ in range(count)), reverse=True)
    return [Point(start + slope * y + chance.gauss(0.0, 0.3), y) for y in ys]


@pytest.mark.parametrize("seed", range(20))
def test_the_line_is_that_of_polyfit_and_of_lstsq(seed: int) -> None:
    places = scattered(seed)
    line = straight_fret(places)
    x, y = np.array([place.x for place in places]), np.array([place.y for place in places])
    slope, at_zero = np.polyfit(y, x, 1)
    (by_lstsq, slope_by_lstsq), *_ = np.linalg.lstsq(np.vander(y, 2, increasing=True), x, rcond=None)
    assert (at_zero, slope) == pytest.approx((by_lstsq, slope_by_lstsq), abs=NANOMETRE)
    for end, place in ((line.start, places[-1]), (line.end, places[0])):
        assert end.y == place.y
        assert end.x == pytest.approx(at_zero + slope * place.y, abs=NANOMETRE)


@pytest.mark.parametrize("seed", range(5))
def test_no_line_that_scipy_finds_is_nearer(seed: int) -> None:
    places = scattered(seed)
    line = straight_fret(places)

    def squares(line_parameters) -> float:
        at_zero, slope = line_parameters
        return sum((at_zero + slope * place.y - place.x) ** 2 for place in places)

    slope = (line.end.x - line.start.x) / (line.end.y - line.start.y)
    own = squares((x_at(line, 0.0), slope))
    best = minimize(
        squares,
        (places[0].x, 0.0),
        method="Nelder-Mead",
        options={"xatol": 1e-9, "fatol": 1e-14, "maxiter": 4000},
    )
    assert own <= best.fun + 1e-9  # mm²
    assert own == pytest.approx(best.fun, abs=1e-6)


def test_frets_of_a_fan_with_equal_gaps() -> None:
    layout = lay_out(
        wren(
            scale=None,
            scale_bass=685.8,
            scale_treble=647.7,
            straight_fret=7.0,
            nut=43.0,
            spread=52.0,
            frets=24,
            gauges=GAUGES,
            spacing=Spacing.GAPS,
            setback_to=SetbackTo.EDGE,
        )
    )
    for fret in layout.frets:
        share = 1.0 - 2.0 ** (-fret.number / 12.0)
        ends = np.array(
            [[(s.line.start.x, s.line.start.y), (s.line.end.x, s.line.end.y)] for s in layout.strings]
        )
        x, y = (ends[:, 0] + (ends[:, 1] - ends[:, 0]) * share).T
        slope, at_zero = np.polyfit(y, x, 1)
        assert fret.distance == pytest.approx(at_zero, abs=NANOMETRE)
        assert np.tan(fret.skew) == pytest.approx(slope, abs=1e-9)
        along = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
        reached = [
            (np.array([place.x, place.y]) - start) @ (end - start) / length
            for place, (start, end), length in zip(fret.crossings, ends, along, strict=True)
        ]
        assert fret.bend == pytest.approx(np.abs(reached - share * along).max(), abs=NANOMETRE)

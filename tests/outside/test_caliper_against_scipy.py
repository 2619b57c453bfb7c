"""Best saddle, causes and their uncertainties against scipy's optimiser, least squares and distributions.

Source: scipy, https://scipy.org: `optimize.minimize_scalar`, `linalg.lstsq`, `stats.f`, `stats.t`.
"""

import math
from random import Random

import numpy as np
import pytest
from scipy import linalg, optimize, stats
from support.necks import seeded

from jiggen.proof.causes import Causes, Point, _chance_of_two, find_causes
from jiggen.proof.saddle_shift import FretStand, best_saddle, fret_cents

TENTH_OF_A_MICRON = 1e-4  # mm
LEAST = 0.02 / math.sqrt(12.0)  # mm, of a caliper that shows fiftieths


def frets(chance: Random, scale: float, count: int) -> list[FretStand]:
    stretch, offset = chance.gauss(1.0, 1e-3), chance.gauss(0.0, 0.3)
    return [
        FretStand(wanted, wanted * stretch + offset + chance.gauss(0.0, 0.1))
        for wanted in (scale * (1.0 - 2.0 ** (-number / 12.0)) for number in range(1, count + 1))
    ]


@pytest.mark.parametrize("seed", range(40))
def test_the_best_saddle_is_where_scipy_finds_it(seed: int) -> None:
    chance = seeded(seed)
    scale = chance.uniform(330.0, 870.0)
    stands = frets(chance, scale, chance.randint(2, 24))
    saddle = scale + chance.gauss(0.0, 2.0)
    found = best_saddle(stands, scale_mm=scale, saddle_mm=saddle)

    def squares(at: float) -> float:
        return sum(
            (1200.0 * math.log2(at / (at - fret.found) * (scale - fret.wanted) / scale)) ** 2
            for fret in stands
        )

    bounds = (0.97 * scale, 1.03 * scale)
    best = optimize.minimize_scalar(squares, bounds=bounds, method="bounded", options={"xatol": 1e-9})
    # the optimiser sees a flat bottom: it knows the place to the square root of rounding only
    assert found.at_mm == pytest.approx(best.x, abs=1e-3)
    assert sum(cents**2 for cents in found.after_cents) <= best.fun + 1e-9
    slope = optimize.approx_fprime(np.array([found.at_mm]), lambda at: squares(float(at[0])), 1e-5)
    assert abs(float(slope[0])) <= 1e-3 * max(best.fun, 1.0)


def test_the_saddle_of_an_evenly_stretched_neck_leaves_no_cent() -> None:
    stands = [FretStand(x, x * 1.002) for x in (35.247, 157.532, 314.0, 405.968)]
    found = best_saddle(stands, scale_mm=628.0, saddle_mm=628.0)
    assert found.at_mm == pytest.approx(628.0 * 1.002, abs=TENTH_OF_A_MICRON)
    assert max(map(abs, found.after_cents)) <= 1e-6
    assert fret_cents(stands, scale_mm=628.0, saddle_mm=628.0) == found.before_cents


def points(
    chance: Random, share: float, offset: float, count: int, *, signs: tuple[float, ...]
) -> list[Point]:
    made = []
    for _ in range(count):
        x, g = chance.uniform(1.0, 600.0), chance.choice(signs)
        made.append(Point(x, g, share * x + offset * g + chance.gauss(0.0, 0.02)))
    return made


def fitted(found: Causes, some: list[Point]) -> tuple[np.ndarray, np.ndarray]:
    """Values and standard uncertainties of the causes that were found, by scipy."""
    columns = []
    if found.scale is not None:
        columns.append([point.x for point in some])
    if found.offset is not None:
        columns.append([point.g for point in some])
    design, y = np.array(columns).T, np.array([point.y for point in some])
    values, *_ = linalg.lstsq(design, y)
    freedom = len(some) - design.shape[1]
    scatter = math.sqrt(float(((y - design @ values) ** 2).sum()) / freedom)
    return values, np.sqrt(np.diag(linalg.inv(design.T @ design))) * max(scatter, LEAST)


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize(("share", "offset"), [(8e-4, 0.0), (0.0, 0.15), (-6e-4, 0.12)])
@pytest.mark.parametrize("signs", [(1.0,), (1.0, -1.0), (1.0, 0.0, -1.0)])
def test_causes_and_their_uncertainties_are_scipy_s(
    seed: int, share: float, offset: float, signs: tuple[float, ...]
) -> None:
    some = points(seeded(seed), share, offset, 16, signs=signs)
    found = find_causes(some, least_scatter=LEAST)
    kept = [point for point, sound in zip(some, found.sound, strict=True) if sound]
    estimates = [each for each in (found.scale, found.offset) if each is not None]
    values, uncertainties = fitted(found, kept)
    assert [each.value for each in estimates] == pytest.approx(values.tolist(), rel=1e-6, abs=1e-12)
    assert [each.uncertainty for each in estimates] == pytest.approx(uncertainties.tolist(), rel=1e-6)
    for each in estimates:
        factor = stats.t.ppf(0.975, each.freedom)
        assert each.expanded == pytest.approx(factor * each.uncertainty, rel=1e-9)


@pytest.mark.parametrize("freedom", [1, 2, 5, 12, 40])
@pytest.mark.parametrize("ratio", [0.0, 0.3, 1.0, 4.0, 30.0])
def test_the_tail_of_f_with_two_degrees_is_scipy_s(ratio: float, freedom: int) -> None:
    assert _chance_of_two(ratio, freedom) == pytest.approx(stats.f.sf(ratio, 2, freedom), rel=1e-9)


def test_causes_cover_the_truth_as_often_as_they_say() -> None:
    """JCGM 100:2008, G.3: an expanded uncertainty of 95 % holds the true value 95 times in 100."""
    held = 0
    for seed in range(400):
        found = find_causes(points(seeded(seed), 8e-4, 0.1, 14, signs=(1.0, -1.0)), least_scatter=1e-6)
        if found.scale is not None and found.offset is not None:
            held += abs(found.scale.value - 8e-4) <= found.scale.expanded
    low, high = stats.binom.interval(0.999, 400, 0.95)
    assert low <= held <= high + 5


def test_chance_alone_is_seldom_taken_for_a_cause() -> None:
    """An F test at 1 % is wrong one time in a hundred."""
    wrong = 0
    for seed in range(400):
        found = find_causes(points(seeded(seed), 0.0, 0.0, 14, signs=(1.0, -1.0)), least_scatter=1e-6)
        wrong += found.scale is not None or found.offset is not None
    assert wrong <= stats.binom.ppf(0.999, 400, 0.02)

"""The straight line through readings: what must hold whatever the readings, and where it gives up."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.necks import seeded

from jiggen.layout.line_fit import Place, fit_line, places, sound_readings

POINTS = st.lists(
    st.tuples(st.integers(0, 30).map(float), st.integers(-1000, 1000).map(lambda value: value / 8)),
    min_size=4,
    max_size=20,
).filter(lambda points: len({x for x, _ in points}) > 2)


@given(POINTS, st.booleans(), st.randoms(use_true_random=False))
@settings(derandomize=True)
def test_the_order_of_the_points_plays_no_part(points, through_origin, chance):
    shuffled = points.copy()
    chance.shuffle(shuffled)
    one, other = (fit_line(each, through_origin=through_origin) for each in (points, shuffled))
    assert (one.slope, one.intercept, one.slope_uncertainty, one.covariance) == (
        other.slope,
        other.intercept,
        other.slope_uncertainty,
        other.covariance,
    )
    assert sorted(one.residuals) == sorted(other.residuals)


@given(POINTS)
@settings(derandomize=True)
def test_residuals_are_square_to_the_columns_of_the_design(points):
    free, held = fit_line(points), fit_line(points, through_origin=True)
    assert sum(free.residuals) == pytest.approx(0, abs=1e-9)
    assert sum(x * r for (x, _), r in zip(points, free.residuals, strict=True)) == pytest.approx(0, abs=1e-7)
    assert sum(x * r for (x, _), r in zip(points, held.residuals, strict=True)) == pytest.approx(0, abs=1e-7)
    assert held.intercept == held.intercept_uncertainty == held.covariance == 0.0
    assert free.square_sum <= held.square_sum + 1e-9


def test_the_scatter_is_no_smaller_than_was_allowed():
    exact = [(float(x), 3.0 + 2.0 * x) for x in range(5)]
    assert fit_line(exact).scatter == pytest.approx(0, abs=1e-12)
    assert fit_line(exact, least_scatter=0.01).scatter == 0.01
    assert fit_line(exact, least_scatter=0.01).at(0.0)[1] > 0.0


@pytest.mark.parametrize(
    ("points", "through_origin", "unknowns"),
    [
        ([], False, 2),
        ([(0.0, 1.0), (1.0, 2.0)], False, 2),
        ([(1.0, 1.0)], True, 1),
        ([(1.0, 1.0), (1.0, 2.0), (1.0, 3.0)], False, 2),
        ([(0.0, 1.0), (0.0, 2.0)], True, 1),
    ],
)
def test_points_that_tell_no_line_are_our_own_mistake(points, through_origin, unknowns):
    with pytest.raises(ValueError, match=rf"^{len(points)} points cannot tell a line of {unknowns} unknowns"):
        fit_line(points, through_origin=through_origin)


def test_a_place_is_the_mean_of_its_readings():
    assert places([(2.0, 5.0), (1.0, 3.0), (2.0, 6.0)]) == (
        Place(x=1.0, y=3.0, count=1),
        Place(x=2.0, y=5.5, count=2),
    )


@pytest.mark.parametrize("through_origin", [True, False])
@pytest.mark.parametrize("share", [0, 1, 3, 7])
def test_up_to_nearly_half_of_the_readings_may_be_slips(through_origin, share):
    chance = seeded(share)
    readings = [(x / 20, 628.0 * x / 20 + chance.gauss(0.0, 0.1)) for x in range(1, 21)]
    slipped = sorted(chance.sample(range(20), share))
    for index in slipped:
        readings[index] = (readings[index][0], readings[index][1] + chance.choice([-40.0, -10.0, 10.0, 63.0]))
    kept = sound_readings(readings, through_origin=through_origin, least_scatter=0.001)
    assert [index for index in range(20) if not kept[index]] == slipped


def test_too_few_readings_judge_no_slip():
    readings = [(0.1, 1.0), (0.2, 2.0), (0.3, 30.0)]
    assert sound_readings(readings, through_origin=True, least_scatter=0.001) == (True, True, True)
    readings.append((0.4, 4.0))
    assert sound_readings(readings, through_origin=True, least_scatter=0.001) == (True, True, False, True)
    assert sound_readings(readings, through_origin=False, least_scatter=0.001) == (True, True, True, True)


def test_readings_that_agree_to_the_digit_do_not_damn_the_next_digit():
    readings = [(float(x), 2.0 * x) for x in range(1, 8)] + [(8.0, 16.0005)]
    assert all(sound_readings(readings, through_origin=True, least_scatter=0.001))
    assert not all(sound_readings(readings, through_origin=True, least_scatter=0.0001))

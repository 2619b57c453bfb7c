"""Student's distribution where its value is known in closed form."""

import math

import pytest

from jiggen.layout.student import chance, coverage_factor, within


@pytest.mark.parametrize("t", [0.0, 0.1, 1.0, 3.0, 40.0])
def test_one_and_two_degrees_of_freedom_have_closed_forms(t):
    # Cauchy's distribution; and t/√(2 + t²): elementary integrals of the density.
    assert within(t, 1) == pytest.approx(2 / math.pi * math.atan(t), abs=1e-15)
    assert within(t, 2) == pytest.approx(t / math.sqrt(2 + t * t), abs=1e-15)


def test_many_degrees_of_freedom_come_near_the_normal_distribution():
    assert within(1.96, 2000) == pytest.approx(math.erf(1.96 / math.sqrt(2)), abs=1e-3)


def test_chance_is_what_is_not_within_and_looks_to_both_sides():
    assert chance(-2.5, 7) == chance(2.5, 7) == 1 - within(2.5, 7)
    assert chance(1e9, 7) >= 0.0


@pytest.mark.parametrize("freedom", [1, 2, 3, 10, 101])
@pytest.mark.parametrize("probability", [0.5, 0.6827, 0.95, 0.99])
def test_the_coverage_factor_covers(freedom, probability):
    assert within(coverage_factor(freedom, probability), freedom) == pytest.approx(probability, abs=1e-12)

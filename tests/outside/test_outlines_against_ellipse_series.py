"""The perimeter of an imported ellipse against its series.

Source: the Gauss-Kummer series, π (a + b) Σ binomial(1/2, n)² hⁿ with h = ((a - b)/(a + b))²: NIST Digital Library of
Mathematical Functions, 19.9.9 and 19.5 (from memory).
"""

import math

import pytest
from support.outlines import of_svg

from jiggen.geometry.measure import area, length


def series(one: float, other: float) -> float:
    h = ((one - other) / (one + other)) ** 2
    total, coefficient = 0.0, 1.0
    for order in range(60):
        total += coefficient**2 * h**order
        coefficient *= (0.5 - order) / (order + 1)
    return math.pi * (one + other) * total


def test_the_series_itself():
    assert series(5.0, 5.0) == pytest.approx(10.0 * math.pi)
    # Source: scipy's complete elliptic integral, 4 a E(1 - b²/a²)
    from scipy.special import ellipe

    assert series(9.0, 4.0) == pytest.approx(36.0 * ellipe(1.0 - 16.0 / 81.0), rel=1e-12)


@pytest.mark.parametrize(("one", "other"), [(240, 185), (240, 120), (250, 60), (200, 199)])
@pytest.mark.parametrize("turn", [0, 27])
def test_perimeter_and_area(tmp_path, one, other, turn):
    body = f'<ellipse transform="rotate({turn} 300 300)" cx="300" cy="300" rx="{one}" ry="{other}"/>'
    found = of_svg(tmp_path, body)
    assert length(found.outline) == pytest.approx(series(one, other), rel=1e-4)
    assert area(found.outline) == pytest.approx(math.pi * one * other, rel=1e-4)
    assert (found.length_mm, found.width_mm) == pytest.approx((2 * one, 2 * other), abs=0.02)

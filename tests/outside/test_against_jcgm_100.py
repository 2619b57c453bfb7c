"""The straight line and its uncertainty against the Guide to the expression of uncertainty in measurement."""

import math

import pytest

from jiggen.layout.line_fit import fit_line
from jiggen.layout.student import coverage_factor

#: JCGM 100:2008, H.3, table H.6: thermometer readings t and their corrections b, °C.
READINGS = (21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511)
CORRECTIONS = (-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
REFERENCE = 20.0

#: JCGM 100:2008, table G.2, 95 %: t for degrees of freedom (from memory).
T_95 = {
    1: 12.71, 2: 4.30, 3: 3.18, 4: 2.78, 5: 2.57, 6: 2.45, 7: 2.36, 8: 2.31, 9: 2.26, 10: 2.23, 15: 2.13, 20: 2.09,
    30: 2.04, 50: 2.01,
}  # fmt: skip


def test_the_calibration_line_of_h_3():
    fit = fit_line([(t - REFERENCE, b) for t, b in zip(READINGS, CORRECTIONS, strict=True)])
    # As the guide prints them: y1 = −0.1712(29) °C, y2 = 0.00218(67), r = −0.930, s = 0.0035 °C.
    assert fit.intercept == pytest.approx(-0.1712, abs=0.00005)
    assert fit.intercept_uncertainty == pytest.approx(0.0029, abs=0.00005)
    assert fit.slope == pytest.approx(0.00218, abs=0.000005)
    assert fit.slope_uncertainty == pytest.approx(0.00067, abs=0.000005)
    correlation = fit.covariance / (fit.intercept_uncertainty * fit.slope_uncertainty)
    assert correlation == pytest.approx(-0.930, abs=0.0005)
    assert fit.scatter == pytest.approx(0.0035, abs=0.00005)
    assert fit.freedom == 9
    # The same worked in 30 digits.
    assert fit.intercept == pytest.approx(-0.17120379, abs=0.5e-8)
    assert fit.intercept_uncertainty == pytest.approx(0.00287760, abs=0.5e-8)
    assert fit.slope == pytest.approx(0.00218270, abs=0.5e-8)
    assert fit.slope_uncertainty == pytest.approx(0.00066794, abs=0.5e-8)
    assert correlation == pytest.approx(-0.930430, abs=0.5e-6)
    assert fit.scatter == pytest.approx(0.00349756, abs=0.5e-8)


def test_the_predicted_correction_of_h_3_4():
    fit = fit_line([(t - REFERENCE, b) for t, b in zip(READINGS, CORRECTIONS, strict=True)])
    value, uncertainty = fit.at(30.0 - REFERENCE)
    # As the guide prints it: b(30 °C) = −0.1494(41) °C; in 30 digits −0.149377, 0.004139.
    assert value == pytest.approx(-0.149377, abs=0.5e-6)
    assert uncertainty == pytest.approx(0.004139, abs=0.5e-6)


@pytest.mark.parametrize("freedom", T_95)
def test_coverage_factors_of_table_g_2(freedom):
    assert coverage_factor(freedom) == pytest.approx(T_95[freedom], abs=0.005)


def test_resolution_is_a_rectangle_as_wide_as_one_step():
    # F.2.2.1: u = 0.29 · δx.
    from jiggen.layout.measured import least_scatter

    assert least_scatter(1.0) == pytest.approx(0.29, abs=0.005)
    assert least_scatter(1.0) == 1 / math.sqrt(12)

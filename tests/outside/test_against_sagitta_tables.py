"""Source: segment height of a circle, s = R − √(R² − w²/4), tabulated here to 30 digits; exact cases by hand."""

import pytest

from jiggen.errors import LimitError
from jiggen.layout.radius import BoardRadius, radius_from_sagitta, sagitta, slot_depth

TENTH_MICRON = 1e-4
INCH = 25.4


@pytest.mark.parametrize(
    ("radius_inch", "rises"),
    [
        (7.25, (0.8818, 1.2013, 1.2594, 1.8447, 1.9901, 2.1411)),
        (9.5, (0.6723, 0.9155, 0.9597, 1.4048, 1.5153, 1.6300)),
        (10, (0.6386, 0.8696, 0.9116, 1.3342, 1.4391, 1.5480)),
        (12, (0.5320, 0.7243, 0.7592, 1.1109, 1.1982, 1.2888)),
        (16, (0.3988, 0.5429, 0.5691, 0.8325, 0.8979, 0.9657)),
        (20, (0.3190, 0.4342, 0.4552, 0.6658, 0.7180, 0.7722)),
    ],
)
def test_rise_of_common_radii_over_common_widths(radius_inch, rises):
    widths = (36.0, 42.0, 43.0, 52.0, 54.0, 56.0)
    found = [sagitta(radius_inch * INCH, width) for width in widths]
    assert found == pytest.approx(rises, abs=TENTH_MICRON / 2 + 1e-9)


def test_exact_case_by_hand():
    assert radius_from_sagitta(42.0, 1.0) == 221.0
    assert sagitta(221.0, 42.0) == pytest.approx(1.0, abs=1e-12)


def test_compound_radius_grows_evenly():
    # 10 in at the nut to 16 in at fret 24 of a 650 scale: exactly 14 in at fret 12
    compound = BoardRadius(at_nut=10 * INCH, at_end=16 * INCH, length=487.5)
    assert compound.at(325.0) / INCH == pytest.approx(14.0, abs=1e-12)
    assert compound.at(163.0502) / INCH == pytest.approx(12.00677, abs=1e-5)


def test_slot_is_deeper_by_the_rise():
    plain = BoardRadius(at_nut=254.0, at_end=254.0, length=450.0)
    assert slot_depth(2.0, plain, 100.0, 43.0) == pytest.approx(2.9116, abs=TENTH_MICRON)
    assert slot_depth(2.0, None, 100.0, 43.0) == 2.0


def test_board_wider_than_its_circle_is_refused():
    with pytest.raises(LimitError, match="at least half the board's width, 21.00 mm"):
        sagitta(20.0, 42.0)

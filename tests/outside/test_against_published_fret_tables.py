"""Fret rules against numbers that others have printed."""

from fractions import Fraction

import pytest

from jiggen.design.fret_places import cents, distance, equal_step_distance, remaining
from jiggen.design.fret_rule import DivisorSteps, EqualSteps, RatioSteps
from jiggen.design.fret_rule_text import fret_rule_from

MICRON = 0.001  # mm

JUST = ("16/15", "9/8", "6/5", "5/4", "4/3", "45/32", "3/2", "8/5", "5/3", "9/5", "15/8", "2/1")

#: Just degree less equal temperament, cents. Stegall, note on straight intonation, 2018, table.
JUST_LESS_EQUAL = {1: 11.731285, 2: 3.910002, 3: 15.641287, 4: -13.686286, 5: -1.955001, 7: 1.955001}

#: The quarter-comma meantone of the example file on the published page of the .scl format.
MEANTONE_FILE = """\
! meanquar.scl
!
1/4-comma meantone scale
 12
!
 76.04900
 193.15686
 310.26471
 5/4
 503.42157
 579.47057
 696.57843
 25/16
 889.73529
 1006.84314
 1082.89214
 2/1
"""

#: The same as places, mm from the nut at 650 mm: fifths of the fourth root of 5 from E flat to G sharp, brought into
#: the octave; x = L · (1 − 1/ratio), 30-digit arithmetic, rounded to 0.1 µm.
MEANTONE_PLACES = (
    27.9349, 68.6223, 106.6485, 130.0000, 164.0116, 184.8979, 215.3188, 234.0000, 261.2093, 286.6390, 302.2550, 325.0,
)  # fmt: skip


def test_the_formula_of_anderson_and_beausoleil():
    # l_n = 2^(−n/12) · L0, J. Acoust. Soc. Am. 156(1), 683 (2024).
    for fret in range(25):
        assert 650.0 - equal_step_distance(650.0, fret) == pytest.approx(
            2 ** (-fret / 12) * 650.0, abs=MICRON / 1000
        )


def test_the_divisor_printed_in_the_trade_is_good_to_a_few_microns():
    # 17.817, three decimals called sufficient: Koch, textbook on building electric instruments, chapter on fret
    # distances; also Byers, American Lutherie 47, 1996.
    rule = DivisorSteps(divisor=17.817)
    for fret in range(25):
        assert abs(distance(rule, 650.0, fret) - equal_step_distance(650.0, fret)) < 2.5 * MICRON


def test_the_semitone_of_the_rule_of_18():
    # 18:17 is 98.9546 cents: exact arithmetic, four decimals. Its octave falls 12.545 cents short.
    rule = DivisorSteps(divisor=18)
    assert remaining(rule, 1) == pytest.approx(17 / 18, abs=1e-15)
    assert cents(rule, 1) == pytest.approx(98.9546, abs=0.00005)
    assert cents(rule, 12) - 1200 == pytest.approx(-12.545, abs=0.0005)


def test_just_degrees_lie_off_equal_ones_as_printed():
    rule = fret_rule_from({"ratios": list(JUST)}, where="test")
    for degree, off in JUST_LESS_EQUAL.items():
        assert cents(rule, degree) - 100 * degree == pytest.approx(off, abs=0.000_001_5)


def test_just_degrees_stop_simple_parts_of_the_string():
    rule = RatioSteps(ratios=tuple(map(Fraction, JUST)))
    # L · (1 − 1/ratio) at 650 mm: 16/15 stops a sixteenth, 9/8 a ninth, 5/4 a fifth, 3/2 a third, 15/8 seven fifteenths.
    for degree, part in {1: 1 / 16, 2: 1 / 9, 4: 1 / 5, 7: 1 / 3, 11: 7 / 15, 12: 1 / 2}.items():
        assert distance(rule, 650.0, degree) == pytest.approx(650.0 * part, abs=MICRON / 1000)


def test_quarter_comma_meantone_from_its_published_file():
    rule = fret_rule_from(
        {"scl": "meanquar.scl"}, where="test", read_scl={"meanquar.scl": MEANTONE_FILE}.__getitem__
    )
    for degree, place in enumerate(MEANTONE_PLACES, start=1):
        assert distance(rule, 650.0, degree) == pytest.approx(place, abs=0.1 * MICRON)
    # The fifth is 5^(1/4), four of which make a just major third over two octaves: article on quarter-comma meantone
    # in a public encyclopaedia. The file gives five decimals of a cent.
    assert remaining(rule, 7) ** -4 == pytest.approx(5, abs=1e-6)
    assert remaining(rule, 12) == 0.5


def test_one_cent_is_worth_what_the_derivative_says():
    # dx = l_n · ln 2 / 1200 for one cent: 1200/ln 2 = 1731 in Anderson and Beausoleil, J. Acoust. Soc. Am. 156(1),
    # 683 (2024).
    rule = EqualSteps(steps=12)
    for fret in (0, 5, 12, 24):
        step = distance(rule, 650.0, fret + 0.005) - distance(rule, 650.0, max(fret - 0.005, 0.0))
        per_cent = step / (1.0 if fret else 0.5)
        assert per_cent == pytest.approx(650.0 * remaining(rule, fret) / 1731, rel=0.001)

"""A straight taper from widths read at the bench."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.necks import seeded

from jiggen.design.fret_places import equal_step_distance
from jiggen.design.fret_rule import DivisorSteps
from jiggen.errors import InputError
from jiggen.layout.measured_width import WidthAt, WidthAtFret, WidthReading, fit_taper

NUT = 46.0  # mm
TAPER = 12.0 / 628.0  # mm per mm
PICOMETRE = 1e-9  # mm


def board(seed: int, *, noise: float = 0.05) -> list[WidthReading]:
    chance = seeded(seed)
    return [
        WidthAt(distance=float(along), width=NUT + TAPER * along + chance.gauss(0.0, noise))
        for along in range(0, 421, 30)
    ]


def test_exact_widths_give_the_exact_taper_by_fret_or_by_distance():
    frets = [
        WidthAtFret(fret=fret, width=NUT + TAPER * equal_step_distance(628.0, fret)) for fret in (0, 5, 7, 12)
    ]
    mixed = [*frets[:2], WidthAt(distance=400.0, width=NUT + TAPER * 400.0)]
    for readings in (frets, mixed):
        fit = fit_taper(readings, scale=628.0)
        assert fit.width_at_nut == pytest.approx(NUT, abs=PICOMETRE)
        assert fit.taper == pytest.approx(TAPER, abs=1e-12)
        assert fit.width_at(628.0)[0] == pytest.approx(58.0, abs=PICOMETRE)


def test_widths_at_frets_follow_the_rule_of_the_board():
    rule = DivisorSteps(divisor=18)
    readings = [WidthAtFret(fret=fret, width=NUT + 1.0 * fret) for fret in range(4)]
    assert [each.distance for each in fit_taper(readings, scale=612.0, rule=rule).widths][:2] == [0.0, 34.0]


def test_the_width_lies_within_its_uncertainty_in_the_right_share_of_runs():
    nut = saddle = 0
    for seed in range(300):
        fit = fit_taper(board(seed))
        nut += abs(fit.width_at_nut - NUT) <= fit.expanded(0.0)
        saddle += abs(fit.width_at(628.0)[0] - 58.0) <= fit.expanded(628.0)
    # 95 % with three standard deviations of a share of 300 runs.
    assert 0.912 < nut / 300 < 0.988
    assert 0.912 < saddle / 300 < 0.988


def test_slips_are_left_out_and_told():
    readings = board(1)
    readings[5] = WidthAt(distance=150.0, width=84.9, where="bench.csv, line 7")
    fit = fit_taper(readings)
    (slip,) = fit.slips
    assert slip.reading.where == "bench.csv, line 7"
    assert slip.residual == pytest.approx(84.9 - (NUT + TAPER * 150.0), abs=0.1)
    assert fit.width_at_nut == pytest.approx(NUT, abs=0.1)
    assert len(fit.widths) == 14


def test_repeats_at_a_place_count_as_their_mean():
    twice = [each for each in board(2) for _ in range(2)]
    once, often = fit_taper(board(2)), fit_taper(twice)
    assert often.line == once.line
    assert {each.readings for each in often.widths} == {2}


def test_residuals_are_widths_less_the_taper():
    for each in fit_taper(board(3)).widths:
        assert each.width - each.expected == pytest.approx(each.residual, abs=PICOMETRE)


def test_the_resolution_of_the_caliper_bounds_the_uncertainty():
    exact = [WidthAt(distance=x, width=46.0) for x in (0.0, 100.0, 200.0)]
    assert fit_taper(exact).line.scatter == 0.01
    assert fit_taper(exact, resolution=0.5).line.scatter == pytest.approx(0.5 / 12**0.5)


@given(st.permutations(board(4)))
@settings(derandomize=True, max_examples=40)
def test_any_order_of_the_readings_gives_the_same_fit(shuffled):
    assert fit_taper(shuffled) == fit_taper(board(4))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (
            lambda: fit_taper([WidthAtFret(fret=5, width=48.0, where="bench.csv, line 2")]),
            (
                "bench.csv, line 2: got a width at fret 5, expected the scale length with it. "
                "Give the scale length, or the distance from the nut instead of the fret."
            ),
        ),
        (
            lambda: fit_taper([]),
            (
                "the readings: got widths at 0 places, expected at least 3 different places. "
                "Measure at the nut, at the last fret and between."
            ),
        ),
        (
            lambda: fit_taper([WidthAt(distance=0.0, width=46.0)] * 9),
            (
                "the readings: got widths at 1 place, expected at least 3 different places. "
                "Measure at the nut, at the last fret and between."
            ),
        ),
        (
            lambda: fit_taper(
                [WidthAt(distance=0.0, width=46.0)] * 6
                + [WidthAt(distance=100.0, width=48.0)] * 6
                + [WidthAt(distance=200.0, width=84.0)]
            ),
            (
                "the readings: got widths at 2 places, expected at least 3 different places where the widths agree. "
                "Measure again."
            ),
        ),
        (lambda: fit_taper([], scale=0.0), "scale length: got 0 mm, expected a number above zero"),
        (
            lambda: WidthAt(distance=float("inf"), width=46.0),
            "a reading, distance: got inf mm, expected a finite number",
        ),
        (
            lambda: WidthAt(distance=0.0, width=0.0),
            "a reading, width: got 0 mm, expected a number above zero",
        ),
        (
            lambda: WidthAtFret(fret=-1, width=46.0, where="line 3"),
            "line 3, fret: got -1, expected a number from 0, the nut, to 1000",
        ),
        (
            lambda: WidthAtFret(fret=3, width=-46.0),
            "a reading, width at fret 3: got -46 mm, expected a number above zero",
        ),
    ],
)
def test_widths_that_tell_no_taper_are_refused_in_these_words(make, words):
    with pytest.raises(InputError) as caught:
        make()
    assert str(caught.value) == words

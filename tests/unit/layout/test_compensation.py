import pytest

from jiggen.errors import InputError, LimitError
from jiggen.layout.compensation import closed_form_setbacks, compensate, mean_setbacks
from jiggen.layout.intonation import Fretting, Setbacks, Stretch, fret_errors, stretch_of_response

NYLON = stretch_of_response(response=25.0, diameter_mm=0.86)
FRETTING = Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=4.0)
ALL_FRETS = tuple(range(1, 20))


def sum_of_squares(setbacks, frets):
    return sum(each.cents**2 for each in fret_errors(NYLON, FRETTING, setbacks, frets))


@pytest.mark.parametrize("frets", [(1, 12), (5, 7, 12), ALL_FRETS])
def test_no_setbacks_nearby_are_better(frets):
    best = compensate(NYLON, FRETTING, frets=frets).setbacks
    least = sum_of_squares(best, frets)
    for saddle, nut in ((0.01, 0.0), (-0.01, 0.0), (0.0, 0.01), (0.0, -0.01)):
        assert sum_of_squares(Setbacks(best.saddle_mm + saddle, best.nut_mm + nut), frets) > least


def test_two_frets_and_two_setbacks_leave_nothing():
    found = compensate(NYLON, FRETTING, frets=(1, 12))
    assert found.residual_cents == pytest.approx((0.0, 0.0), abs=1e-6)


def test_the_octave_alone_by_the_saddle_alone():
    found = compensate(NYLON, FRETTING, frets=(12,), at_nut=False)
    assert found.residual_cents == pytest.approx((0.0,), abs=1e-6)
    assert found.setbacks.nut_mm == 0.0


def test_what_was_computed_carries_what_it_was_computed_from():
    found = compensate(NYLON, FRETTING, report=ALL_FRETS)
    assert (found.stretch, found.fretting, found.fitted_frets) == (NYLON, FRETTING, tuple(range(1, 13)))
    assert found.reported_frets == ALL_FRETS
    errors = tuple(each.cents for each in fret_errors(NYLON, FRETTING, found.setbacks, ALL_FRETS))
    assert found.residual_cents == errors
    assert found.rms_cents == pytest.approx((sum(each**2 for each in errors[:12]) / 12) ** 0.5, abs=1e-12)
    bare = fret_errors(NYLON, FRETTING, Setbacks(0.0))
    assert found.uncompensated_rms_cents == pytest.approx(
        (sum(each.cents**2 for each in bare) / 12) ** 0.5, abs=1e-12
    )


def test_the_nut_helps():
    both = compensate(NYLON, FRETTING)
    saddle_only = compensate(NYLON, FRETTING, at_nut=False)
    assert both.rms_cents < saddle_only.rms_cents < saddle_only.uncompensated_rms_cents


def test_the_same_numbers_give_the_very_same_bits():
    assert compensate(NYLON, FRETTING) == compensate(NYLON, FRETTING)


def test_mean_of_setbacks():
    assert mean_setbacks([Setbacks(1.0, -0.5), Setbacks(2.0, 0.0)]) == Setbacks(1.5, -0.25)
    with pytest.raises(InputError, match="^mean of setbacks: got no string, expected at least one$"):
        mean_setbacks([])


def test_closed_form_knows_relief_as_action():
    relieved = Fretting(scale_mm=650.0, nut_height_mm=1.0, saddle_rise_mm=3.6, relief_mm=0.2)
    closed, exact = closed_form_setbacks(NYLON, relieved), compensate(NYLON, relieved).setbacks
    assert closed.saddle_mm == pytest.approx(exact.saddle_mm, abs=0.08)
    assert closed.nut_mm == pytest.approx(exact.nut_mm, abs=0.01)


@pytest.mark.parametrize(("at_nut", "frets", "least"), [(True, (12, 12), 2), (True, (), 2), (False, (), 1)])
def test_too_few_frets_are_refused(at_nut, frets, least):
    with pytest.raises(InputError) as caught:
        compensate(NYLON, FRETTING, frets=frets, at_nut=at_nut)
    assert (
        str(caught.value)
        == f"frets to compensate for: got {len(set(frets))} frets, expected at least {least}"
    )


def test_a_string_past_all_help_is_refused():
    with pytest.raises(LimitError) as caught:
        compensate(Stretch(kappa=1000.0, bending_radius_mm=10.0, basis="a rod"), FRETTING)
    assert str(caught.value).startswith("compensation: got setbacks of ")
    assert str(caught.value).endswith(
        " mm at the nut for a rod, expected setbacks up to 5% of the scale. Check diameter, modulus, tension and action."
    )

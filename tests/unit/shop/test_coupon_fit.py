"""Kerf, scale and squareness from a coupon's readings; simulated machines are known to the last digit."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.shop import cut_coupon

from jiggen.errors import InputError
from jiggen.shop.coupon_fit import CouponFit, fit_coupon
from jiggen.shop.coupon_readings import CouponReadings
from jiggen.shop.slips import LEAST_SCATTER

KERF = 0.183


def exact(**machine) -> CouponFit:
    return fit_coupon(cut_coupon(0, noise=0.0, steps=1e-9, **machine))


@settings(deadline=None, max_examples=40)
@given(
    st.floats(0.05, 0.6),
    st.floats(0.0, 0.6),
    st.floats(0.99, 1.01),
    st.floats(0.99, 1.01),
    st.floats(-0.004, 0.004),
)
def test_without_noise_the_machine_is_found_exactly(kerf, cut_kerf, x, y, skew):
    fit = exact(kerf=kerf, cut_kerf=cut_kerf, stretch=(x, y), skew=skew)
    assert fit.kerf.value == pytest.approx(kerf, abs=1e-6)
    assert (fit.stretch_x.value, fit.stretch_y.value) == pytest.approx((x, y), abs=1e-8)
    assert fit.squareness is not None
    assert fit.squareness.value == pytest.approx(skew, abs=1e-6)
    assert fit.slips == ()
    assert (fit.count, fit.freedom) == (22, 19)


def test_no_scatter_is_no_certainty():
    """A caliper that shows hundredths says no more than its step allows."""
    fit = exact()
    assert fit.scatter_mm == LEAST_SCATTER == pytest.approx(0.00289, abs=1e-5)
    assert fit.kerf.uncertainty > 0.0


def test_kerf_within_5_microns_in_95_of_100_coupons():
    """24 readings with 0.02 mm of caliper noise."""
    near = sum(abs(fit_coupon(cut_coupon(seed)).kerf.value - KERF) <= 0.005 for seed in range(100))
    assert near >= 95


def test_the_uncertainty_is_what_it_says():
    """Of 200 coupons about 95 % have the kerf, and the scale, within the expanded uncertainty (JCGM 100, G.3)."""
    fits = [fit_coupon(cut_coupon(seed)) for seed in range(200)]
    for found, true in (("kerf", KERF), ("stretch_x", 0.9993), ("stretch_y", 1.0005), ("squareness", 0.0006)):
        estimates = [(getattr(fit, found), fit.coverage) for fit in fits]
        inside = sum(abs(each.value - true) <= cover * each.uncertainty for each, cover in estimates)
        assert 180 <= inside <= 199, found


def spoilt(readings: CouponReadings, changes: dict[int, float]) -> CouponReadings:
    return replace(
        readings,
        readings=tuple(
            replace(each, mm=changes.get(index, each.mm)) for index, each in enumerate(readings.readings)
        ),
    )


@pytest.mark.parametrize("index", [0, 1, 12, 15, 16, 21])  # a tongue, a slot, blocks, plate
@pytest.mark.parametrize("off", [-9.0, -0.5, 0.3, 10.0])
def test_one_slip_is_found_and_left_out(index, off):
    clean = cut_coupon(8)
    fit = fit_coupon(spoilt(clean, {index: clean.readings[index].mm + off}))
    assert [slip.reading.mm for slip in fit.slips] == [clean.readings[index].mm + off]
    assert fit.slips[0].expected_mm == pytest.approx(clean.readings[index].mm, abs=0.1)
    assert fit.kerf.value == pytest.approx(KERF, abs=0.006)


def test_three_slips_at_once():
    clean = cut_coupon(11)
    changes = {0: 50.2, 13: clean.readings[13].mm + 1.0, 17: clean.readings[17].mm - 0.4}
    fit = fit_coupon(spoilt(clean, changes))
    assert len(fit.slips) == 3
    assert fit.kerf.value == pytest.approx(KERF, abs=0.006)


def test_a_diagonal_that_no_plate_can_have_is_a_slip():
    clean = cut_coupon(3)
    fit = fit_coupon(spoilt(clean, {22: 114.42}))
    assert [slip.reading.gauge.id for slip in fit.slips] == ["diagonal.rising"]
    assert fit.squareness is None


def test_without_diagonals_squareness_is_not_told():
    clean = cut_coupon(3)
    assert fit_coupon(replace(clean, readings=clean.readings[:-2])).squareness is None
    assert fit_coupon(replace(clean, readings=clean.readings[:-1])).squareness is None


def test_a_sound_coupon_has_hardly_a_slip():
    slips = sum(len(fit_coupon(cut_coupon(seed)).slips) for seed in range(100))
    assert slips <= 15  # of 2400 readings


def test_a_kerf_that_differs_between_the_axes_stands_out():
    narrow, wide = cut_coupon(5, kerf=0.17, noise=0.005), cut_coupon(5, kerf=0.20, noise=0.005)
    mixed = replace(
        narrow,
        readings=tuple(
            b if a.gauge.axis == "x" else a for a, b in zip(narrow.readings, wide.readings, strict=True)
        ),
    )
    fit = fit_coupon(mixed)
    assert fit.kerf_difference is not None
    assert fit.kerf_difference.value == pytest.approx(0.03, abs=0.008)
    assert fit.stands_out(fit.kerf_difference, 0.0)
    alike = [fit_coupon(cut_coupon(seed)) for seed in range(40)]
    told = sum(each.stands_out(each.kerf_difference, 0.0) for each in alike if each.kerf_difference)
    assert told <= 6  # of 40, one in twenty by chance


def test_gauges_that_differ_count_more_than_repeats():
    """Forms that are off by themselves are not made surer by reading them ten times."""
    once = cut_coupon(9)
    often = replace(once, readings=once.readings[:-2] * 10 + once.readings[-2:])
    sure, surer = fit_coupon(once), fit_coupon(often)
    # ten times the readings would divide the uncertainty by 3.2; here they add nothing
    assert surer.kerf.uncertainty > 0.7 * sure.kerf.uncertainty


def test_a_long_piece_tells_the_scale_best():
    from jiggen.parts.coupon import Gauge, Side
    from jiggen.shop.coupon_readings import CouponReading

    clean = cut_coupon(4)
    long = Gauge(id="long.x", side=Side.OUTSIDE, axis="x", nominal_mm=600.0, about="a long piece")
    reading = CouponReading(gauge=long, mm=0.9993 * 600.2 - KERF)
    fit = fit_coupon(replace(clean, readings=(*clean.readings, reading)))
    assert fit.stretch_x.uncertainty < fit_coupon(clean).stretch_x.uncertainty / 3.0


@pytest.mark.parametrize(
    "keep",
    [
        lambda gauge: (
            gauge.side.value == "outside"
        ),  # kerf and scale could not be told apart by tongues of one width
        lambda gauge: gauge.axis == "x",
        lambda gauge: gauge.id == "blocks.x",
        lambda gauge: gauge.side.value == "diagonal",
    ],
)
def test_too_few_readings_are_refused(keep):
    clean = cut_coupon(1)
    few = tuple(each for each in clean.readings if keep(each.gauge))
    if len({each.gauge.id for each in few}) > 6 and any(each.gauge.axis == "y" for each in few):
        assert abs(fit_coupon(replace(clean, readings=few)).kerf.value - KERF) < 0.05
        return
    with pytest.raises(InputError, match="expected more than 3, with x and y and both slots and tongues"):
        fit_coupon(replace(clean, readings=few))


def test_a_wrong_word_on_the_kerf_is_seen():
    """The coupon was cut with 0.2 in mind; slots and tongues then tell another kerf than the blocks."""
    with pytest.raises(InputError, match="See that the row kerf is what the coupon says"):
        fit_coupon(replace(cut_coupon(1), cut_kerf_mm=0.0))


def test_slots_and_tongues_mixed_up_are_seen():
    clean = cut_coupon(1, kerf=0.25)
    twins = {"tongue": "slot", "slot": "tongue"}
    by_id = {each.gauge.id: each.mm for each in clean.readings}

    def other(id: str) -> str:
        word, _, rest = id.partition(".")
        return f"{twins.get(word, word)}.{rest}"

    swapped = tuple(replace(each, mm=by_id[other(each.gauge.id)]) for each in clean.readings)
    with pytest.raises(InputError, match="slots were read inside and tongues outside"):
        fit_coupon(replace(clean, readings=swapped))


def test_readings_in_another_unit_are_seen():
    clean = cut_coupon(1)
    in_inches = tuple(
        replace(each, mm=each.mm / 25.4) for each in clean.readings if each.gauge.id != "blocks.x"
    )
    with pytest.raises(InputError, match="got lengths that no machine could have cut"):
        fit_coupon(replace(clean, readings=in_inches))


def test_freedom_and_coverage_go_together():
    fit = fit_coupon(cut_coupon(2))
    assert fit.coverage == pytest.approx(2.093, abs=0.001)  # t(0.975, 19), any table
    assert math.isclose(fit.cut_kerf_mm, 0.2)

"""Which kerf holds, which face carries the marks, and what is refused."""

from dataclasses import replace

import pytest
from support.sheets import MACHINE, MATERIAL
from support.shop import machine, plate, workshop

from jiggen.design.making import Make, MarkFace, TrueFace
from jiggen.design.model import Given
from jiggen.errors import ConflictError, InputError, LimitError
from jiggen.shop.kerf import Kerf, even
from jiggen.shop.machine import Process
from jiggen.shop.material import Refusal
from jiggen.shop.price import Price
from jiggen.shop.workshop import choose_kerf, fit_out

ANY = even(Given(0.20, "assumed until measured"))
HERE = even(Given(0.18, "coupon"), machine="shed-laser", setting="60 %")
HERE_SLOW = even(Given(0.24, "coupon"), machine="shed-laser", setting="90 %")
THERE = even(Given(0.30, "coupon"), machine="barn-laser")
BARE = replace(MACHINE, kerf=None)
OWN = even(Given(0.22, "manual"), machine="shed-laser")


def material(*kerfs: Kerf):
    return replace(MATERIAL, kerfs=kerfs)


@pytest.mark.parametrize(
    ("kerfs", "own", "wanted"),
    [
        ((ANY,), None, ANY),
        ((ANY, HERE, THERE), None, HERE),
        ((ANY, HERE, THERE), OWN, HERE),
        ((ANY, THERE), OWN, OWN),
        ((), OWN, OWN),
        ((THERE, ANY), None, ANY),
    ],
)
def test_what_was_measured_goes_before_what_is_assumed(kerfs, own, wanted):
    assert choose_kerf(material(*kerfs), replace(MACHINE, kerf=own)) == wanted


def test_two_settings_must_be_chosen_between():
    both = material(ANY, HERE, HERE_SLOW)
    with pytest.raises(InputError) as caught:
        choose_kerf(both, BARE)
    assert str(caught.value) == (
        'make.setting: got nothing, and 2 kerfs of clear-3 on shed-laser, expected one of "60 %", "90 %".'
        " Say in the design's [make] table which power and speed you cut at."
    )
    assert choose_kerf(both, BARE, "90 %") == HERE_SLOW


def test_a_setting_must_be_known():
    with pytest.raises(InputError) as caught:
        choose_kerf(material(ANY, HERE), BARE, "70 %")
    assert str(caught.value) == 'make.setting: got "70 %", expected one of "60 %"'
    with pytest.raises(
        InputError, match=r'got "70 %", expected none, since no kerf of clear-3 here names one'
    ):
        choose_kerf(material(ANY), BARE, "70 %")


@pytest.mark.parametrize("process", [Process.LASER, Process.ROUTER])
def test_without_a_kerf_nothing_can_be_cut(process):
    with pytest.raises(InputError) as caught:
        choose_kerf(material(THERE), replace(BARE, process=process))
    assert str(caught.value) == (
        "material clear-3 on machine shed-laser: got no kerf, expected a kerf in the material's or the machine's"
        " profile. Cut a coupon (jiggen coupon) and measure it, or write down what you assume."
    )


def test_paper_has_no_kerf_and_a_router_that_of_its_bit():
    assert choose_kerf(material(ANY, HERE), replace(BARE, process=Process.PAPER)).at(TrueFace.MARKED) == 0.0
    assert choose_kerf(material(ANY, HERE), replace(MACHINE, process=Process.ROUTER)) == MACHINE.kerf


TAPERED = Kerf(marked=Given(0.25, "coupon"), plain=Given(0.15, "coupon"), machine="shed-laser")


@pytest.mark.parametrize(
    ("face", "kerf"), [(None, 0.25), (TrueFace.MARKED, 0.25), (TrueFace.PLAIN, 0.15), (TrueFace.MIDDLE, 0.20)]
)
def test_the_true_face_decides_which_kerf_counts(face, kerf):
    make = Make(true_face=Given(face)) if face else Make()
    assert fit_out(material(TAPERED), BARE, make).kerf_mm == pytest.approx(kerf)


def test_the_source_says_the_setting():
    assert HERE.source == "coupon, 60 %"
    assert ANY.source == "assumed until measured"


def test_cuts_must_not_run_into_one_another():
    with pytest.raises(LimitError) as caught:
        fit_out(material(even(Given(3.5), machine="shed-laser")), BARE, Make())
    assert str(caught.value) == (
        "machine shed-laser, gap: got 3.00 mm between parts, expected at least the kerf of 3.50 mm in 3 mm cast"
        " acrylic. Cuts would run into one another: give the machine's profile a larger gap."
    )


def test_a_refused_material_says_why():
    refused = replace(material(ANY), refusals=(Refusal(process=Process.LASER, reason="It gives off acid."),))
    with pytest.raises(LimitError) as caught:
        fit_out(refused, BARE, Make())
    assert str(caught.value) == (
        "material clear-3 on machine shed-laser: got 3 mm cast acrylic for a laser, expected a material that can be"
        " worked on it safely. It gives off acid."
    )
    assert fit_out(refused, replace(MACHINE, process=Process.ROUTER), Make()).kerf == MACHINE.kerf


@pytest.mark.parametrize(
    ("transparent", "lies", "asked", "face"),
    [
        (True, True, None, MarkFace.UNDER),
        (True, False, None, MarkFace.TOP),
        (False, True, None, MarkFace.TOP),
        (True, True, MarkFace.TOP, MarkFace.TOP),
        (False, False, MarkFace.UNDER, MarkFace.UNDER),
    ],
)
def test_clear_parts_that_lie_on_the_work_are_marked_underneath(transparent, lies, asked, face):
    make = Make(mark_face=Given(asked)) if asked else Make()
    shop = workshop(material=replace(MATERIAL, transparent=transparent), make=make)
    assert shop.face_of(plate(lies_on_work=lies)) is face


def test_a_print_is_read_as_it_lies():
    shop = fit_out(MATERIAL, replace(BARE, process=Process.PAPER), Make(mark_face=Given(MarkFace.UNDER)))
    assert shop.face_of(plate(lies_on_work=True)) is MarkFace.TOP


def test_cautions_are_those_of_machine_material_and_process_each_once():
    told = replace(
        MATERIAL, cautions=("Sharp.", "Hot."), laser_cautions=("Burns.",), router_cautions=("Dust.",)
    )
    laser = machine(cautions=("Hot.",))
    assert fit_out(told, laser, Make()).cautions == ("Hot.", "Sharp.", "Burns.")
    assert fit_out(told, replace(laser, process=Process.ROUTER), Make()).cautions == (
        "Hot.",
        "Sharp.",
        "Dust.",
    )
    assert fit_out(told, replace(laser, kerf=None, process=Process.PAPER), Make()).cautions == ("Hot.",)


def test_prices_must_be_in_one_currency():
    dear = replace(material(ANY), price_per_m2=Price(42.0, "EUR"))
    fit_out(dear, replace(MACHINE, price_per_hour=Price(30.0, "EUR")), Make())
    with pytest.raises(ConflictError) as caught:
        fit_out(dear, replace(MACHINE, price_per_hour=Price(30.0, "USD")), Make())
    assert "got 30.00 USD beside 42.00 EUR for a square metre" in str(caught.value)


@pytest.mark.parametrize(("own", "gap"), [(None, 3.0), (2.0, 3.0), (6.0, 6.0)])
def test_parts_keep_the_wider_gap_of_machine_and_material(own, gap):
    assert fit_out(replace(MATERIAL, gap_mm=own), MACHINE, Make()).machine.gap_mm == gap

"""What the tag says, engraved and in full."""

from support.shop import plate, tag_for, workshop

from jiggen.design.making import Make, MarkFace, TrueFace
from jiggen.design.model import Given
from jiggen.shop.kerf import Kerf, even

MADE_WARM = Make(cut_degc=Given(30.0), use_degc=Given(20.0))


def said(make: Make | None = None, **shop) -> str:
    part = plate()
    return tag_for(part, workshop(make=make, **shop)).line()


def test_what_is_plain_goes_without_saying():
    assert said() == "Wren 7F2A-91C3 · 3 mm cast acrylic · kerf 0.20 · 2026-11-25 · jiggen 0.1.0"


def test_what_differs_is_said():
    from dataclasses import replace

    from support.sheets import MATERIAL

    grows = replace(MATERIAL, expansion=Given(70e-6), moisture_along=Given(50e-6))
    made = Make(
        cut_degc=Given(30.0),
        cut_humidity=Given(60.0),
        mark_face=Given(MarkFace.UNDER),
        true_face=Given(TrueFace.PLAIN),
    )
    part = plate()
    tapered = Kerf(marked=Given(0.25), plain=Given(0.15), machine="shed-laser")
    shop = workshop(make=made, material=grows, kerf=tapered, scale=(1.0013, 0.9991), growth=(1.0012, 1.0012))
    tag = tag_for(part, shop)
    assert tag.line() == (
        "Wren 7F2A-91C3 · 3 mm cast acrylic · kerf 0.15 plain face · size ×1.00120 · cut 30 use 20 °C"
        " · cut 60 use 50 % RH · machine ×1.0013 ×0.9991 · marks under · 2026-11-25 · jiggen 0.1.0"
    )
    assert tag.mirrored
    assert (tag.kerf_mm, tag.offset_mm, tag.true_face) == (0.15, 0.075, "plain")
    assert (tag.cut_degc, tag.use_degc, tag.cut_humidity, tag.use_humidity) == (30.0, 20.0, 60.0, 50.0)


def test_a_grain_has_two_factors():
    assert "size ×1.00040/1.00908" in said(growth=(1.0004, 1.00908))


def test_no_kerf_on_paper():
    from jiggen.shop.machine import Process

    assert "no kerf" in said(kerf=even(Given(0.1)), process=Process.PAPER)

"""Workshops and parts to try the shop on, and a coupon cut by a machine that is known."""

import math
from dataclasses import replace
from random import Random
from typing import Any

from support.sheets import MACHINE, MATERIAL
from support.specs import wren

from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line, Path, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.coupon import BLOCKS, GAUGES, SIDE, Gauge, Side
from jiggen.parts.model import Feature, Part, Role
from jiggen.shop.climate import Growth
from jiggen.shop.coupon_readings import CouponReading, CouponReadings
from jiggen.shop.kerf import Kerf, even
from jiggen.shop.machine import Machine
from jiggen.shop.material import Material
from jiggen.shop.tag import Tag, tag_of
from jiggen.shop.workshop import Workshop, fit_out


def machine(*, kerf: float | Kerf = 0.2, scale: tuple[float, float] = (1.0, 1.0), **changes: Any) -> Machine:
    """The laser in the boat shed, changed."""
    own = kerf if isinstance(kerf, Kerf) else even(Given(kerf, "coupon of 2026-11-02"), machine=MACHINE.name)
    return replace(MACHINE, kerf=own, scale_x=Given(scale[0]), scale_y=Given(scale[1]), **changes)


def workshop(
    *,
    growth: tuple[float, float] = (1.0, 1.0),
    make: Make | None = None,
    material: Material = MATERIAL,
    **changes: Any,
) -> Workshop:
    """A workshop with some machine, `growth` as if some climate had led to it."""
    made = fit_out(material, machine(**changes), make or Make())
    return replace(made, growth=Growth(along=growth[0], across=growth[1]))


def tag_for(part: Part, shop: Workshop) -> Tag:
    """The tag of a part of the Wren made there."""
    return tag_of(part, shop, spec=wren(), identity="7F2A-91C3", version="0.1.0")


def opening(id: str, path: Path, width: float | None = None, **more: Any) -> Feature:
    """A feature that is cut out, along which a router may be led."""
    return Feature(id=id, role=Role.OPENING, paths=(path,), width_mm=width, led=True, **more)


def slot_at(id: str, x: float, width: float, *, low: float = 20.0, high: float = 50.0) -> Feature:
    """An upright slot with square ends."""
    path = rectangle(Point(x - width / 2.0, low), Point(x + width / 2.0, high))
    return opening(id, path, width, datum=Line(Point(x, low), Point(x, high)))


def line(id: str, start: Point, end: Point) -> Feature:
    """A shallow line."""
    return Feature(id=id, role=Role.LINE, paths=(segment(start, end),))


def plate(*features: Feature, width: float = 200.0, height: float = 60.0, **more: Any) -> Part:
    """A plain plate with some features, and room for its tag along the lower edge."""
    outline = Feature(
        id="outline", role=Role.EDGE, paths=(rectangle(ORIGIN, Point(width, height), radius=4.0),), led=True
    )
    return Part(
        name="plate",
        title="Plate",
        features=(outline, *features),
        tag_box=Box(Point(5.0, 2.0), Point(width - 5.0, 14.0)),
        **more,
    )


def busy_plate() -> Part:
    """A plate with every kind of cut: arcs large and small, a notch, holes, slots, a window with sharp corners."""
    outline = Path(
        (
            *polyline(
                [
                    ORIGIN,
                    Point(80.0, 0.0),
                    Point(80.0, 6.0),
                    Point(83.0, 6.0),
                    Point(83.0, 0.0),
                    Point(200.0, 0.0),
                ]
            ),
            *Path((Line(Point(200.0, 0.0), Point(200.0, 60.0)),)),
            *_bow(Point(200.0, 60.0), Point(0.0, 60.0), 0.08),
            Line(Point(0.0, 60.0), ORIGIN),
        ),
        closed=True,
    )
    triangle = polyline([Point(150.0, 20.0), Point(175.0, 22.0), Point(158.0, 45.0)], closed=True)
    base = plate(
        slot_at("slot.1", 20.0, 0.68),
        slot_at("slot.2", 30.0, 3.0),
        opening("hole.1", circle(Point(60.0, 35.0), 8.0), 16.0),
        opening("hole.2", circle(Point(90.0, 35.0), 1.5), 3.0),
        opening("window", rectangle(Point(105.0, 20.0), Point(135.0, 50.0), radius=5.0)),
        opening("triangle", triangle),
        line("line.1", Point(5.0, 17.0), Point(195.0, 18.0)),
    )
    edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
    return replace(base, features=(edge, *base.features[1:]))


def _bow(start: Point, end: Point, bulge: float) -> Path:
    from jiggen.geometry.path import Arc

    return Path((Arc(start, end, bulge),))


def true_reading(
    gauge: Gauge, *, kerf: float, cut_kerf: float, stretch: tuple[float, float], skew: float = 0.0
) -> float:
    """What a perfect caliper shows on a coupon cut by a machine that is known.

    Worked from the walls themselves: each is where the beam's edge ran, half a kerf beside its stretched path.
    """
    at = stretch[1] if gauge.axis == "y" else stretch[0]
    match gauge.side:
        case Side.OUTSIDE:
            low, high = (
                -cut_kerf / 2.0 * at + kerf / 2.0,
                (gauge.nominal_mm + cut_kerf / 2.0) * at - kerf / 2.0,
            )
            return high - low
        case Side.INSIDE:
            low, high = (
                cut_kerf / 2.0 * at - kerf / 2.0,
                (gauge.nominal_mm - cut_kerf / 2.0) * at + kerf / 2.0,
            )
            return high - low
        case Side.BLOCKS:
            low, high = (
                cut_kerf / 2.0 * at + kerf / 2.0,
                (gauge.nominal_mm - cut_kerf / 2.0) * at - kerf / 2.0,
            )
            return BLOCKS * (high - low)
        case Side.DIAGONAL:
            across, up = ((SIDE + cut_kerf) * each - kerf for each in stretch)
            corner = up * math.sin(-skew), up * math.cos(skew)  # of the left side's top, leaning by the skew
            if gauge.axis == "rising":
                return math.hypot(across + corner[0], corner[1])
            return math.hypot(across - corner[0], corner[1])


def cut_coupon(
    seed: int,
    *,
    kerf: float = 0.183,
    cut_kerf: float = 0.2,
    stretch: tuple[float, float] = (0.9993, 1.0005),
    skew: float = 0.0006,
    noise: float = 0.02,
    steps: float = 0.01,
) -> CouponReadings:
    """Readings of such a coupon, each gauge as often as it is best read, with a caliper's noise and steps."""
    chance = Random(seed)  # noqa: S311 - chance for tests, not for secrets
    return CouponReadings(
        cut_kerf_mm=cut_kerf,
        readings=tuple(
            CouponReading(gauge=gauge, mm=round(_read(gauge, chance, noise, **known) / steps) * steps)
            for gauge in GAUGES
            for _ in range(gauge.readings)
            for known in [{"kerf": kerf, "cut_kerf": cut_kerf, "stretch": stretch, "skew": skew}]
        ),
    )


def _read(gauge: Gauge, chance: Random, noise: float, **known: Any) -> float:
    return true_reading(gauge, **known) + chance.gauss(0.0, noise)

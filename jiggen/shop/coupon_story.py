"""What a coupon told, for people and for profiles: figures, slips, what the uncertainty means on the neck."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from jiggen.design.model import Given
from jiggen.shop.climate import cents_of_scaling
from jiggen.shop.coupon_fit import CouponFit, Estimate
from jiggen.shop.kerf import even
from jiggen.shop.machine import Machine
from jiggen.shop.material import Material

SCHEMA = "jiggen-coupon/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class AtFret:
    """What a coupon's uncertainty means at one fret; all with a coverage of 95 %.

    Attributes:
        fret: Its number.
        distance_mm: From the nut.
        scale_mm: How far the fret may stand off for the scale of x being known no better.
        edge_mm: The same for a fret placed from a cut edge, whose own place depends on half the kerf.
        cents: What `scale_mm` costs where the saddle is placed by another measure; nothing where this part does it.
        edge_cents: What `edge_mm` costs.
    """

    fret: int
    distance_mm: float
    scale_mm: float
    edge_mm: float
    cents: float
    edge_cents: float


def at_frets(fit: CouponFit, scale_mm: float, frets: Sequence[tuple[int, float]]) -> tuple[AtFret, ...]:
    """Returns what the uncertainty means at frets.

    Args:
        fit: Of a coupon.
        scale_mm: Scale length.
        frets: Numbers, and distances from the nut in mm.
    """
    return tuple(_at_fret(fit, scale_mm, number, distance) for number, distance in frets)


def _at_fret(fit: CouponFit, scale_mm: float, number: int, distance: float) -> AtFret:
    stretch = fit.coverage * fit.stretch_x.uncertainty
    off = distance * stretch
    from_edge = math.hypot(off, fit.coverage * fit.kerf.uncertainty / 2.0)
    share = distance / scale_mm
    return AtFret(
        fret=number,
        distance_mm=distance,
        scale_mm=off,
        edge_mm=from_edge,
        cents=cents_of_scaling(1.0 + stretch, share),
        edge_cents=cents_of_scaling(1.0 + from_edge / distance, share),
    )


def measured(material: Material, machine: Machine, fit: CouponFit, *, setting: str, source: str) -> Material:
    """Returns a material with the kerf measured on a machine, in place of the one known for it and the setting.

    Args:
        material: As it was known.
        machine: That cut the coupon.
        fit: What the coupon told.
        setting: Power and speed, in words; may be empty.
        source: Where the figure comes from.
    """
    kerf = even(
        Given(
            round(fit.kerf.value, 4),
            source,
            note=f"standard uncertainty {fit.kerf.uncertainty:.4f} mm, {fit.freedom} degrees of freedom",
        ),
        machine=machine.name,
        setting=setting,
    )
    others = [each for each in material.kerfs if (each.machine, each.setting) != (machine.name, setting)]
    return replace(material, kerfs=(*others, kerf))


def new_scales(machine: Machine, fit: CouponFit) -> tuple[Estimate, Estimate]:
    """Returns the scales that the machine's profile should have for x and y: those it had, over what came of them."""
    return _rescaled(machine.scale_x.value, fit.stretch_x), _rescaled(machine.scale_y.value, fit.stretch_y)


def _rescaled(had: float, came: Estimate) -> Estimate:
    return Estimate(value=had / came.value, uncertainty=had / came.value**2 * came.uncertainty)


def coupon_lines(fit: CouponFit, machine: Machine, frets: Sequence[AtFret], scale_mm: float) -> Iterator[str]:
    """Yields the figures for people."""
    wide = fit.coverage
    yield (
        f"kerf         {fit.kerf.value:.3f} mm ± {wide * fit.kerf.uncertainty:.3f}"
        f"   (standard uncertainty {fit.kerf.uncertainty:.4f} mm, type A; cut with {fit.cut_kerf_mm:.3f})"
    )
    for axis, came, scale, had in zip(
        "xy",
        (fit.stretch_x, fit.stretch_y),
        new_scales(machine, fit),
        (machine.scale_x, machine.scale_y),
        strict=True,
    ):
        verdict = (
            f"put scale-{axis} = {scale.value:.5f} into the profile of {machine.name}"
            if fit.stands_out(came, 1.0)
            else f"within chance of true: leave scale-{axis} at {had.value:g}"
        )
        yield f"length in {axis}  {came.value:.5f} ± {wide * came.uncertainty:.5f} of what it should be; {verdict}"
    if fit.squareness is not None:
        degrees, spread = math.degrees(fit.squareness.value), math.degrees(wide * fit.squareness.uncertainty)
        verdict = (
            "the axes are out of square, which nothing here makes up for: see to the machine"
            if fit.stands_out(fit.squareness, 0.0)
            else "square within chance"
        )
        yield (
            f"squareness   {degrees:+.3f} ± {spread:.3f} degrees, {100.0 * math.sin(fit.squareness.value):+.3f} mm on"
            f" 100 mm; {verdict}"
        )
    difference = fit.kerf_difference
    if difference is not None and fit.stands_out(difference, 0.0):
        yield (
            f"             across x the kerf is {difference.value:+.3f} mm wider than across y: the mean is used,"
            " which leaves a quarter of that on each side"
        )
    yield f"from         {fit.count} readings, scatter {fit.scatter_mm:.3f} mm, {fit.freedom} degrees of freedom; ± is 95 %"
    for slip in fit.slips:
        yield (
            f"slip         {slip.reading.gauge.id}: {slip.reading.mm:g} mm read, {slip.expected_mm:.2f} expected"
            f" ({slip.reading.where}); left out"
        )
    for each in frets:
        yield (
            f"fret {each.fret:<3}     {each.distance_mm:.2f} mm from the nut on a scale of {scale_mm:g}:"
            f" ± {each.scale_mm:.3f} mm, {each.cents:.2f} cents if the saddle is placed by another measure,"
            f" none if by this part; from a cut edge ± {each.edge_mm:.3f} mm, {each.edge_cents:.2f} cents"
        )
    yield f"a slot       comes out within ± {wide * fit.kerf.uncertainty:.3f} mm of its width, its middle unmoved"


def coupon_table(fit: CouponFit, machine: Machine, frets: Sequence[AtFret]) -> dict[str, Any]:
    """Returns the same for JSON; lengths in mm, uncertainties standard and of type A."""
    scales = new_scales(machine, fit)
    return {
        "schema": SCHEMA,
        "kerf": _estimate(fit.kerf),
        "cut-kerf": fit.cut_kerf_mm,
        "length-in-x": _estimate(fit.stretch_x),
        "length-in-y": _estimate(fit.stretch_y),
        "scale-x": _estimate(scales[0]),
        "scale-y": _estimate(scales[1]),
        "squareness-degrees": _in_degrees(fit.squareness),
        "kerf-across-x-less-across-y": _estimate(fit.kerf_difference),
        "scatter": round(fit.scatter_mm, 6),
        "degrees-of-freedom": fit.freedom,
        "coverage-factor-95": round(fit.coverage, 6),
        "readings": fit.count,
        "slips": [
            {
                "gauge": slip.reading.gauge.id,
                "reading": slip.reading.mm,
                "expected": round(slip.expected_mm, 4),
                "where": slip.reading.where,
            }
            for slip in fit.slips
        ],
        "frets": [
            {
                "fret": each.fret,
                "from-nut": round(each.distance_mm, 4),
                "off-by-scale-95": round(each.scale_mm, 6),
                "off-from-edge-95": round(each.edge_mm, 6),
                "cents-95": round(each.cents, 4),
                "cents-from-edge-95": round(each.edge_cents, 4),
            }
            for each in frets
        ],
    }


def _estimate(estimate: Estimate | None) -> dict[str, float] | None:
    if estimate is None:
        return None
    return {"value": round(estimate.value, 7), "standard-uncertainty": round(estimate.uncertainty, 7)}


def _in_degrees(estimate: Estimate | None) -> dict[str, float] | None:
    if estimate is None:
        return None
    return _estimate(
        Estimate(value=math.degrees(estimate.value), uncertainty=math.degrees(estimate.uncertainty))
    )

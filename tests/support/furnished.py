"""Instruments with a number for everything: a spec's neck with head, body and all that goes with them."""

from dataclasses import replace
from typing import Any

from jiggen.design.fittings import Bridge, TrussRod
from jiggen.design.instrument import (
    BackShape,
    Body,
    DepthAt,
    Head,
    HeadForm,
    NeckBack,
    NeckPocket,
    Opening,
    RadiusGauges,
    Ring,
    SoundHole,
)
from jiggen.design.model import Given, Inlays, Setup
from jiggen.design.mould import Mould
from jiggen.design.solve import solve
from jiggen.design.spec import Spec


def furnished(spec: Spec, *, straight_pull: bool = False, slotted: bool = False) -> Spec:
    """The same neck on an instrument of a size that suits its scale and its number of strings."""
    scale, strings = spec.scale.value, spec.string_count.value
    size = max(scale / 628.0, 0.7)
    on_bass = (strings + 1) // 2
    wide = spec.nut_width.value
    pocket_end = scale * 0.4
    return solve(
        replace(
            spec.design,
            radius=spec.design.radius or Given(304.8),
            gauges=spec.gauges or Given(tuple(0.3 + 0.9 * number / strings for number in range(strings))),
            setup=Setup(action=Given(1.9), action_bass=Given(2.4), nut_height=Given(0.5), relief=Given(0.2)),
            inlays=Inlays(
                frets=Given((3, 5, 7, 9, 12, 15)),
                doubled=Given((12,)),
                diameter=Given(5.0),
                side_diameter=Given(2.0),
            ),
            bridge=Bridge(
                length=Given(spec.spread_at_bridge.value + 90.0),
                width=Given(28.0),
                front=Given(9.0),
                slot_length=Given(spec.spread_at_bridge.value + 18.0),
                saddle_height=Given(11.0),
                pin_distance=Given(15.0),
                second_row=Given(9.0),
            ),
            truss_rod=TrussRod(
                length=Given(180.0), width=Given(6.0), anchor_length=Given(12.0), anchor_width=Given(10.0)
            ),
            neck_back=NeckBack(
                shape=Given(BackShape.SOFT_V),
                depths=Given((DepthAt(fret=1, depth=17.0), DepthAt(fret=9, depth=18.5))),
                frets=Given((1, 9)),
                board=Given(5.0),
                ridge=Given(1.5 if wide > 40.0 else 0.0),
            ),
            head=Head(
                length=Given(40.0 + 36.0 * (on_bass - 1) + 70.0),
                width=Given(wide + 28.0),
                width_at_tip=Given(wide + 18.0),
                tuners=Given((on_bass, strings - on_bass)),
                tuner_hole=Given(10.0),
                first_tuner=Given(40.0),
                tuner_spacing=Given(36.0),
                tuner_inset=Given(13.0),
                straight_pull=Given(straight_pull),
                **(_slots(on_bass, wide) if slotted else {}),
            ),
            body=Body(
                length=Given(480.0 * size),
                upper_bout=Given(270.0 * size),
                waist=Given(230.0 * size),
                lower_bout=Given(350.0 * size),
                joint_fret=Given(12),
                side_depth_neck=Given(90.0 * size),
                side_depth_tail=Given(100.0 * size),
                openings=Given(
                    (
                        Opening(
                            name="bridge", length=86.0, width=18.0, radius=4.0, from_saddle=34.0, slant=0.05
                        ),
                        Opening(
                            name="controls",
                            length=40.0 * size,
                            width=50.0 * size,
                            radius=8.0,
                            from_saddle=-20.0 * size,
                            offset=100.0 * size,
                            depth=32.0,
                        ),
                    )
                ),
            ),
            sound_hole=SoundHole(
                width=Given(90.0 * size),
                length=Given(70.0 * size),
                from_saddle=Given(scale * 0.25),
                rings=Given((Ring(from_edge=5.0, width=2.0), Ring(from_edge=10.0, width=8.0))),
            ),
            neck_pocket=NeckPocket(
                length=Given(70.0 * size), end_from_saddle=Given(pocket_end), depth=Given(16.0)
            ),
            mould=Mould(layers=Given(2), bolt_spacing=Given(160.0 * size)),
            radius_gauges=RadiusGauges(radii=Given((300.0,)), abrasive=Given(0.4)),
        )
    )


def _slots(on_bass: int, wide: float) -> dict[str, Given[Any]]:
    """Of a head for so many rollers on its bass side, on a neck so wide at the nut."""
    return {
        "form": Given(HeadForm.SLOTTED),
        "slot_width": Given(14.0),
        "slot_length": Given(32.0 + 36.0 * (on_bass - 1)),
        "slot_from_nut": Given(26.0),
        "slot_from_centre": Given(max(wide / 3.0, 11.0)),
        "roller_depth": Given(9.0),
    }

"""Necks to draw plans of: plain, fanned with many frets, left-handed courses, fretless, with a zero fret and an arc."""

from functools import cache

from support.furnished import furnished
from support.specs import neck_of, wren

from jiggen.design.given import Given
from jiggen.design.model import EndShape, Inlays, SetbackTo
from jiggen.drawing.model import Page
from jiggen.drawing.plan import draw_plan
from jiggen.layout.worked_neck import Neck

NECKS: dict[str, Neck] = {
    "wren": neck_of(
        wren(
            gauges=(0.305, 0.406, 0.61, 0.813, 1.067, 1.346),
            inlays=Inlays(frets=Given((5, 7, 9, 12)), doubled=Given((12,)), diameter=Given(6.0)),
        )
    ),
    "heron": neck_of(
        wren(
            name="Heron",
            scale=None,
            scale_bass=890.0,
            scale_treble=838.0,
            straight_fret=7.0,
            nut=47.0,
            spread=72.0,
            setback=4.0,
            frets=24,
            strings=5,
        )
    ),
    "siskin": neck_of(
        wren(
            name="Siskin",
            scale=350.0,
            nut=28.0,
            spread=40.0,
            setback=3.0,
            frets=24,
            strings=8,
            courses=(2, 2, 2, 2),
            course_spacing_nut=1.8,
            course_spacing_bridge=2.2,
            left_handed=True,
        )
    ),
    "fretless": neck_of(wren(name="Lapwing", frets=0, overhang=420.0)),
    "zero-fret": neck_of(
        wren(
            name="Dunlin",
            zero_fret=True,
            nut_behind=6.0,
            end=EndShape.ROUNDED,
            end_radius=60.0,
            radius=304.8,
        )
    ),
    "with a body": neck_of(furnished(wren(left_handed=True))),
    "one string": neck_of(wren(name="Plover", strings=1, setback_to=SetbackTo.CENTRE)),
}


@cache
def plan_of(name: str) -> Page:
    """The plan of one of them."""
    neck = NECKS[name]
    return draw_plan(neck.layout, neck.setup, design_id=neck.id)

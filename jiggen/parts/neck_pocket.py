"""Routing patterns for a bolted neck: the pocket in the body, and the heel that goes into it.

Both taper as the board does. The pocket is larger by its allowance, and runs on past the body's edge, so that the
router comes out square there.
"""

from jiggen.design.given import known
from jiggen.geometry.box import Box
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Line, segment
from jiggen.geometry.point import Point
from jiggen.layout.board import crossing
from jiggen.layout.model import Layout
from jiggen.layout.openings import (
    across,
    neck_pocket,
    pocket_end,
    pocket_sides,
    pocket_start,
    saddle_at_centre,
)
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.caption import caption
from jiggen.parts.fitted_caption import fitted_caption
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import Side
from jiggen.parts.routing import CLEAR, GAP, MARGIN, notch, routing_plate, to_the_nut
from jiggen.units import format_mm

NAME, TITLE = "neck-pocket-pattern", "Neck-pocket pattern"
HEEL_NAME, HEEL_TITLE = "heel-pattern", "Heel pattern"

_BEYOND = 18.0  # that the pocket runs on past the body's edge
_INSET = 5.0  # from the plate's sides to the caption
_EDGE_GAP, _ARROW, _TICK = 0.6, 6.0, 2.6
_HANDLE = 45.0  # that the heel's pattern runs on past the body's edge, to be clamped by


def neck_pocket_pattern(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part, in the layout's coordinates.

    Args:
        neck: Whose pocket's length is known.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the corners are rounder than there is room for.
    """
    layout, letters, pocket = neck.layout, bench.smallest_lettering_mm, neck.spec.neck_pocket
    allowance = known(pocket.allowance)
    contour = neck_pocket(layout, allowance=allowance, beyond=_BEYOND)
    cut = bounds(contour)
    left, right = cut.low.x - MARGIN, cut.high.x + MARGIN
    words = [
        f"ends {format_mm(saddle_at_centre(layout) - pocket_end(layout))} from the saddle line",
        f"{format_mm(known(pocket.length))} long · allowance {format_mm(allowance)} on each side",
    ]
    if pocket.depth:
        words.append(f"{format_mm(pocket.depth.value)} deep")
    block = caption(
        neck.spec,
        TITLE,
        words,
        left=left + _INSET,
        top=cut.low.y - CLEAR,
        width=right - left - 2.0 * _INSET,
        letters=letters,
    )
    top = cut.high.y + CLEAR + 2.0 * letters + 3.0 * GAP
    box = Box(Point(left, block.low - GAP), Point(right, top))
    edge = pocket_start(layout)
    row = top - GAP - letters / 2.0
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *routing_plate(box, more=(notch("body-edge", Side.TOP, edge),)),
            Feature(
                id="pocket",
                role=Role.OPENING,
                paths=(contour,),
                datum=Point(pocket_end(layout), 0.0),
                led=True,
            ),
            scored("body-edge.line", Point(edge, top - 3.0), Point(edge, cut.high.y + CLEAR)),
            label(
                "name.body-edge",
                "body's edge at the centre",
                Point(edge + GAP, row),
                height=letters,
                anchor=Anchor.LEFT_MIDDLE,
            ),
            *to_the_nut(box, cut.high.y + CLEAR + letters / 2.0, letters),
            *block.features,
        ),
        tag_box=block.tag_box,
        lies_on_work=True,
    )
    return (part,)


def heel_pattern(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part; arguments and errors are those of `neck_pocket_pattern`."""
    layout, letters, pocket = neck.layout, bench.smallest_lettering_mm, neck.spec.neck_pocket
    contour = neck_pocket(layout, allowance=0.0, beyond=_HANDLE)
    start, end = pocket_start(layout) - _HANDLE, pocket_end(layout)
    drawn = (
        Feature(id="outline", role=Role.EDGE, paths=(contour,), datum=Point(end, 0.0), led=True),
        arrow("arrow.nut", Point(start + _EDGE_GAP + _ARROW, 0.0), Point(start + _EDGE_GAP, 0.0)),
        scored("centre.saddle-end", Point(end - _EDGE_GAP - _TICK, 0.0), Point(end - _EDGE_GAP, 0.0)),
        _body_edge(layout),
    )
    words = (f"heel {format_mm(known(pocket.length))} from the line · arrow to the nut",)
    block = fitted_caption(neck.spec, HEEL_TITLE, words, drawn, letters=letters)
    part = Part(
        name=HEEL_NAME,
        title=HEEL_TITLE,
        features=(*drawn, *block.features),
        tag_box=block.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _body_edge(layout: Layout) -> Feature:
    """Marks at both sides of the heel where the body's edge is."""
    line = across(layout, pocket_start(layout))
    ends = [crossing(side, line) for side in pocket_sides(layout, 0.0)]
    way = (ends[1] - ends[0]).unit()
    marks = (
        (ends[0] + way * _EDGE_GAP, ends[0] + way * _TICK),
        (ends[1] - way * _TICK, ends[1] - way * _EDGE_GAP),
    )
    return Feature(
        id="body-edge", role=Role.LINE, paths=tuple(segment(*mark) for mark in marks), datum=Line(*ends)
    )

"""The body template: its outline to draw or rout along, and where everything lies on it, pick-ups and cavities too."""

from collections.abc import Iterator, Sequence

from jiggen.design.given import known
from jiggen.geometry.measure import bounds, locate
from jiggen.geometry.point import Point
from jiggen.geometry.stroke import closed_run, stretch
from jiggen.layout.body import BodyShape
from jiggen.layout.model import Layout
from jiggen.layout.openings import opening_contour, opening_place, pocket_end
from jiggen.layout.worked_neck import Neck
from jiggen.parts.body_marks import (
    DASH,
    GAP,
    body_part,
    body_shape,
    body_words,
    hole_in_top,
    letters_of,
    neck_arrow,
    pocket_notch,
    pocket_walls,
    saddle_name,
    saddle_reach,
    station_mark,
    station_name,
)
from jiggen.parts.fitted_caption import fitted_caption
from jiggen.parts.marks import CENTRE_LINE, broken
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.routing import saddle_line

NAME, TITLE = "body-template", "Body template"


def body_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the whole body, in the layout's coordinates.

    Args:
        neck: Whose body's length, lower bout and joint are known.
        bench: Sets the lettering's height.

    Raises:
        JiggenError: If the numbers make no body, or its neck pocket or saddle lies outside it.
    """
    layout, shape = neck.layout, body_shape(neck.layout)
    letters = letters_of(shape, bench)
    openings = neck.spec.body.openings.value if neck.spec.body.openings else ()
    cut = tuple(
        Feature(
            id=f"opening.{number}",
            role=Role.OPENING,
            paths=(opening_contour(layout, each),),
            datum=opening_place(layout, each),
            width_mm=min(each.length, each.width),
            led=True,
        )
        for number, each in enumerate(openings, start=1)
    )
    inner = tuple(
        Feature(id=f"inner.{number}", role=Role.OPENING, paths=(contour,), led=True)
        for number, contour in enumerate(shape.inner, start=1)
    )
    hole = hole_in_top(layout)
    half = saddle_reach(shape, layout)
    drawn = (
        *_edge(layout, shape),
        *hole,
        *cut,
        *inner,
        *saddle_line(layout, (-half, half), openings, shape.inner),
        saddle_name(layout, half, letters),
        *_centre(layout, shape, (*hole, *cut, *inner)),
        *(station_mark(each, side) for each in shape.stations for side in (1.0, -1.0)),
        *(station_name(each, letters) for each in shape.stations),
        neck_arrow(layout, shape, 3.0 * letters),
    )
    block = fitted_caption(neck.spec, TITLE, body_words(neck, shape), drawn, letters=letters)
    return (body_part(NAME, TITLE, drawn, block),)


def _edge(layout: Layout, shape: BodyShape) -> Iterator[Feature]:
    """The outside of the whole body; with the neck's pocket as a notch in it, if there is one."""
    if layout.spec.neck_pocket.length is None:
        yield Feature(id="outline", role=Role.EDGE, paths=(shape.outline,), led=True)
        return
    run, (upper, lower) = pocket_walls(layout, shape)
    whole = shape.outline
    around = stretch(whole, locate(whole, lower), locate(whole, upper))
    yield Feature(
        id="outline", role=Role.EDGE, paths=(closed_run((*around.segments, *run.segments)),), led=True
    )
    yield pocket_notch(layout, run)


def _centre(layout: Layout, shape: BodyShape, openings: Sequence[Feature]) -> Iterator[Feature]:
    """Yields the centre line between what is open on it."""
    start = shape.neck_end
    if layout.spec.neck_pocket.length is not None:
        start = pocket_end(layout) + known(layout.spec.neck_pocket.allowance)
    taken = sorted(
        (box.low.x, box.high.x)
        for box in (bounds(each.paths[0]) for each in openings)
        if box.low.y < 0.0 < box.high.y
    )
    pen, number = start + GAP, 0
    for low, high in (*taken, (shape.tail, shape.tail)):
        if low - GAP > pen + DASH:
            number += 1
            yield broken(f"centre.{number}", Point(pen, 0.0), Point(low - GAP, 0.0), CENTRE_LINE)
        pen = max(pen, high + GAP)

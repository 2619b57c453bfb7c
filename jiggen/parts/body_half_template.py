"""Half a body template, with the centre line as its straight edge.

Where both sides of the body are alike there is one, to be turned over along the centre line for the other side, so that
both come out alike; it carries only what is alike on both. Where they differ there is one for each side, as it lies
seen from the front.
"""

from collections.abc import Iterator
from dataclasses import replace

from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds, length, locate
from jiggen.geometry.path import Line, Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.segment import point_on
from jiggen.geometry.stroke import closed_run, stretch
from jiggen.layout.body import BodyShape
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.openings import saddle_at_centre
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.body_marks import (
    ARROW,
    DASH,
    EDGE_GAP,
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
from jiggen.parts.marks import arrow, label, scored
from jiggen.parts.model import Bench, Feature, Part, Role

NAME, TITLE = "body-half-template", "Half body template"


def body_half_template(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the half at positive y of a body whose sides are alike, else a half for each side, bass first.

    Args:
        neck: Whose body is known.
        bench: Sets the lettering's height.

    Raises:
        JiggenError: If the numbers make no body, or its neck pocket or saddle lies outside it.
    """
    shape = body_shape(neck.layout)
    if shape.is_symmetrical:
        return (_half(neck, bench, shape, 1.0),)
    bass = 1.0 if neck.spec.left_handed.value else -1.0
    return (_half(neck, bench, shape, bass, name="bass"), _half(neck, bench, shape, -bass, name="treble"))


def _half(neck: Neck, bench: Bench, shape: BodyShape, side: float, *, name: str = "") -> Part:
    """The half on a side, the sign of whose y is given; with a name when the other differs."""
    layout, letters = neck.layout, letters_of(shape, bench)
    place = x_at(layout.saddle, 0.0)
    slanted = neck.spec.fanned and not name
    reach = DASH if slanted else saddle_reach(shape, layout)  # a slanted line is not alike on both sides
    inner, outer = (Point(x_at(layout.saddle, y), y) for y in (side * EDGE_GAP, side * reach))
    if slanted:
        inner, outer = Point(place, inner.y), Point(place, outer.y)
    drawn = (
        *_edge(layout, shape, side, with_pocket=bool(name) or not neck.spec.fanned),
        *_sound_hole(layout, side),
        scored("saddle", inner, outer),
        saddle_name(layout, reach, letters, side),
        *(station_mark(each, side) for each in shape.stations),
        *(station_name(each, letters, side, of_half=True) for each in shape.stations),
        neck_arrow(layout, shape, side * 3.0 * letters),
        *_to_centre((saddle_at_centre(layout) + shape.tail) / 2.0, side, letters),
    )
    use = (
        f"{name} side, seen from the front; turn over for the back"
        if name
        else "turn over along the centre line for the other half"
    )
    title = f"{TITLE}, {name} side" if name else TITLE
    block = fitted_caption(neck.spec, title, (use, *body_words(neck, shape)), drawn, letters=letters)
    return body_part(f"{NAME}-{name}" if name else NAME, title, drawn, block)


def _edge(layout: Layout, shape: BodyShape, side: float, *, with_pocket: bool) -> Iterator[Feature]:
    """The outside of a half; with half the neck's pocket, if there is one."""
    curve = shape.half if side > 0.0 else shape.other
    if layout.spec.neck_pocket.length is None or not with_pocket:
        contour = shape.half_outline if side > 0.0 else shape.other_outline
        yield Feature(id="outline", role=Role.EDGE, paths=(contour,))
        return
    run, mouths = pocket_walls(layout, shape)
    middle = _at_centre(run)
    mouth = mouths[0] if side > 0.0 else mouths[1]
    outside = stretch(curve, locate(curve, mouth), length(curve))
    walls = stretch(run, 0.0, middle) if side > 0.0 else stretch(run, middle, length(run))
    if side > 0.0:
        centre = Line(walls.end, outside.end)
        pieces = (centre, *reverse(outside).segments, *walls.segments)
    else:
        pieces = (*outside.segments, Line(outside.end, walls.start), *walls.segments)
    yield Feature(id="outline", role=Role.EDGE, paths=(closed_run(pieces),))
    yield pocket_notch(layout, walls)


def _at_centre(run: Path) -> float:
    """How far along the pocket's walls they cross the centre line."""
    box = bounds(run)
    centre = Line(Point(box.low.x - 1.0, 0.0), Point(box.high.x + 1.0, 0.0))
    (crossing,) = {
        round(locate(run, each.at), 6): each.at for piece in run for each in meetings(piece, centre)
    }.values()
    return locate(run, crossing)


def _sound_hole(layout: Layout, side: float) -> tuple[Feature, ...]:
    """The half of the sound hole on a side as a line, and its middle."""
    found = hole_in_top(layout)
    if not found:
        return ()
    (whole,) = found
    pieces = tuple(piece for piece in whole.paths[0] if point_on(piece, 0.5).y * side > 0.0)
    low, high = bounds(Path(pieces)).low.x, bounds(Path(pieces)).high.x
    middle = Point((low + high) / 2.0, 0.0)
    return (
        replace(whole, role=Role.LINE, paths=(Path(pieces),), led=False),
        scored(
            "sound-hole.middle",
            middle + Point(0.0, side * EDGE_GAP),
            middle + Point(0.0, side * DASH),
        ),
    )


def _to_centre(x: float, side: float, letters: float) -> Iterator[Feature]:
    """Yields an arrow to the straight edge of a half, with words beside it."""
    yield arrow("arrow.centre", Point(x, side * ARROW), Point(x, side * EDGE_GAP))
    at = Point(x + GAP, side * ARROW / 2.0)
    yield label("name.centre", "centre line", at, height=letters, anchor=Anchor.LEFT_MIDDLE)

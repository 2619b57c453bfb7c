"""A headstock whose outline was brought along: where it lies, and whether tuners and strings keep to it. Millimetres.

The file shows it from the front as a right-handed player holds it; it is mirrored for a left-handed one.
"""

from collections.abc import Iterable

from jiggen.design.outline import Outline
from jiggen.errors import LimitError
from jiggen.geometry.cross import meetings
from jiggen.geometry.measure import bounds, distance_to
from jiggen.geometry.offset import shrink
from jiggen.geometry.path import Line, Path, Segment, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.layout.doubt import Doubt
from jiggen.layout.model import Layout
from jiggen.outlines.halves import halves, reach_at
from jiggen.units import format_mm

#: Wood that is left beside a tuner's hole, at least.
WALL = 2.0
#: A string may be drawn over the outline so near to the nut, whose end the outline need not follow to a hair.
_AT_NUT = 0.5
#: How far a side may bend under the plate of tuners, and at how many places it is looked at.
_STRAIGHT, _LOOKED_AT = 0.25, 16
#: By how much the head may be wider or narrower than the nut where they meet, and how far from there that is measured.
_STEP, _BEHIND = 1.0, 1.0


def laid_head(outline: Outline, nut: float, *, left_handed: bool) -> Path:
    """Returns the outline in the layout's coordinates, counter-clockwise.

    Args:
        outline: As it was brought along.
        nut: The x on the centre line at which its neck end comes to lie, the back of the nut.
        left_handed: Whether it is mirrored.

    Raises:
        LimitError: If its centre line does not meet it twice.
    """
    neck_end = halves(outline.brought.outline, where=outline.name).neck_end
    place = Similarity(cosine=-1.0, mirrored=left_handed, shift=Point(nut + neck_end, 0.0))
    moved = place.path(outline.brought.outline)
    return reverse(moved) if left_handed else moved


def inset_y(outline: Path, inset: float, x: float, outward: float) -> float:
    """Returns the y of a place at some x that lies by `inset` within a side of the head.

    Args:
        outline: Of the head, in the layout's coordinates.
        inset: From the place to the side, mm.
        x: Of the place.
        outward: The sign of y on that side.

    Raises:
        LimitError: If the head is too narrow there, or does not reach so far.
    """
    try:
        within = shrink(outline, inset)
    except LimitError:  # nothing is left within
        within = ()
    found = _crossed((piece for contour in within for piece in contour), outline, x)
    if not found:
        raise LimitError(
            where="head.tuner-inset",
            got=f"{format_mm(inset)} from the side, at {format_mm(-x)} from the nut's front",
            expected="a head that is wide enough there, and that reaches so far",
            mend="Change head.first-tuner, head.tuner-spacing or head.tuner-inset",
        )
    return max(found, key=lambda y: y * outward)


def straight_side(outline: Path, between_x: tuple[float, float], outward: float) -> tuple[Point, Point]:
    """Returns where a side of the head is at two places, between which it runs straight.

    Args:
        outline: Of the head, in the layout's coordinates.
        between_x: Both places, the one nearer to the nut first.
        outward: The sign of y on that side.

    Raises:
        LimitError: If the head does not reach so far, or its side bends between them.
    """
    places = [each / _LOOKED_AT for each in range(_LOOKED_AT + 1)]
    xs = [between_x[0] + (between_x[1] - between_x[0]) * share for share in places]
    found = [_crossed(outline, outline, x) for x in xs]
    if not all(found):
        raise LimitError(
            where="head.tuner-spacing",
            got=f"rollers from {format_mm(-xs[0])} to {format_mm(-xs[-1])} from the nut's front",
            expected="a head that reaches so far",
            mend="Change head.first-tuner or head.tuner-spacing",
        )
    side = [Point(x, max(ys, key=lambda y: y * outward)) for x, ys in zip(xs, found, strict=True)]
    line = Line(side[0], side[-1])
    off = max(abs((line.end - line.start).unit().cross(each - line.start)) for each in side)
    if off > _STRAIGHT:
        raise LimitError(
            where="head.outline",
            got=f"a side that bends by {format_mm(off)} where the rollers go in",
            expected=f"one that is straight there, within {format_mm(_STRAIGHT)}, for the tuners' plate",
            mend="Change the outline, or where the tuners are",
        )
    return line.start, line.end


def _crossed(pieces: Iterable[Segment], outline: Path, x: float) -> list[float]:
    """Where pieces cross a line square to the centre line, y."""
    box = bounds(outline)
    across = Line(Point(x, box.low.y - 1.0), Point(x, box.high.y + 1.0))
    return [each.at.y for piece in pieces for each in meetings(piece, across)]


def check_on_head(outline: Path, centre: Point, run: Line, *, string: int, hole: float) -> None:
    """Refuses a tuner whose hole, or whose string, does not lie on the head.

    Args:
        outline: Of the head, in the layout's coordinates.
        centre: Of the hole.
        run: The string from the nut to its post.
        string: Its number.
        hole: Diameter.

    Raises:
        LimitError: If it does not.
    """
    beyond = sum(y > centre.y for y in _crossed(outline, outline, centre.x))
    wall = distance_to(outline, centre) - hole / 2.0
    if beyond % 2 == 0 or wall < WALL:
        raise LimitError(
            where="head.outline",
            got=f"a hole of {format_mm(hole)} for string {string}"
            + (f", {format_mm(wall)} from the edge" if beyond % 2 else " beside the head"),
            expected=f"at least {format_mm(WALL)} of wood beside it",
            mend="Change head.first-tuner, head.tuner-spacing or head.tuner-inset",
        )
    met = [each.at for piece in outline for each in meetings(piece, run)]
    if any(place.distance(run.start) > _AT_NUT and place.x < run.start.x - _AT_NUT for place in met):
        raise LimitError(
            where="head.outline",
            got=f"a head whose edge string {string} crosses on its way to the post",
            expected="one that all strings run over",
            mend="Change the outline or head.tuners, or say that its other end is at the nut: turned = true",
        )


def head_beside_nut(layout: Layout) -> Doubt | None:
    """Returns the doubt about an outline that is not as wide as the nut where they meet, or None."""
    given = layout.spec.head.outline
    if given is None:
        return None
    found = halves(given.value.brought.outline, where=given.value.name)
    at = found.neck_end + _BEHIND
    wide = reach_at(found.high, at) + reach_at(found.low, at)
    nut = abs(layout.board_start.end.y - layout.board_start.start.y)
    if abs(wide - nut) <= _STEP:
        return None
    return Doubt(
        name="head-beside-nut",
        reason=f"The headstock in {given.value.name} leaves a step beside the nut,"
        f" which is {format_mm(nut)} wide",
        number=f"{format_mm(wide)} wide",
        usual=f"as wide as the nut, within {format_mm(_STEP)}",
        mend="Change the outline, scale it (scale-to), or say that its other end is at the nut (turned = true).",
    )

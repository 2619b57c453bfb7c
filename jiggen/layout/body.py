"""The body seen from the front: its outline from a few numbers, as arcs that meet with common tangents. Millimetres.

The simplest form that keeps every width exactly as given: a quarter oval from the neck end to the upper bout, a curve
of two arcs to the waist and one to the lower bout, and a quarter oval to the tail. Without upper bout and waist it is
a pear, one arc from the board's edge to the lower bout. Where nothing says how far from the neck end the widest and
narrowest places lie, they keep to usual proportions.
"""

from dataclasses import dataclass

from jiggen.design.given import Given, known
from jiggen.errors import InputError, LimitError
from jiggen.geometry.path import Arc, Line, Path, Segment, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR, Similarity, shifted
from jiggen.geometry.two_arcs import quarter_oval, s_curve
from jiggen.layout.model import Layout
from jiggen.layout.places import fret_place, width_at
from jiggen.units import format_mm

#: Shares of the length at which upper bout, waist and lower bout lie (common practice).
_AT_UPPER, _AT_WAIST, _AT_LOWER, _AT_LOWER_OF_PEAR = 0.20, 0.40, 0.735, 0.64
#: How full the quarter ovals are, as `quarter_oval` has it (common practice).
_FULLNESS = 0.8


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place where the body is widest or narrowest.

    Attributes:
        name: `upper-bout`, `waist` or `lower-bout`.
        x: In the layout's coordinates.
        width: mm.
    """

    name: str
    x: float
    width: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyShape:
    """The body in the layout's coordinates, symmetrical about the centre line.

    Attributes:
        neck_end: x of its neck end on the centre line.
        tail: x of its other end.
        half: From neck end to tail on the side of positive y.
        stations: From neck end to tail.
    """

    neck_end: float
    tail: float
    half: Path
    stations: tuple[Station, ...]

    @property
    def outline(self) -> Path:
        """All round, counter-clockwise."""
        return Path((*MIRROR.path(self.half).segments, *reverse(self.half).segments), closed=True)

    @property
    def half_outline(self) -> Path:
        """The half on the side of positive y, with the centre line, counter-clockwise."""
        back = reverse(self.half)
        return Path((Line(back.end, back.start), *back.segments), closed=True)


def lay_out_body(layout: Layout) -> BodyShape:
    """Returns the body of an instrument.

    Args:
        layout: Of an instrument whose body's length, lower bout and joint are known.

    Raises:
        InputError: If there is an upper bout without a waist or the other way about, or no fret at the joint.
        LimitError: If the numbers make no body.
    """
    body = layout.spec.body
    length = known(body.length)
    if (body.upper_bout is None) != (body.waist is None):
        there, missing = ("upper-bout", "waist") if body.upper_bout else ("waist", "upper-bout")
        raise InputError(
            where="body",
            got=f"{there} without {missing}",
            expected="both, or neither for a pear shape",
            mend=f'Add {missing} = "…mm" to [body]',
        )
    stations = _stations(layout, length)
    _check_order(length, stations)
    half = _figure(length, stations) if body.waist else _pear(layout, length, stations[0])
    move = shifted(joint(layout), 0.0)
    return BodyShape(
        neck_end=joint(layout),
        tail=joint(layout) + length,
        half=move.path(half),
        stations=tuple(
            Station(name=each.name, x=each.x + joint(layout), width=each.width) for each in stations
        ),
    )


def joint(layout: Layout) -> float:
    """Returns the x of the body's neck end.

    Raises:
        InputError: If there is no fret at the joint.
    """
    return fret_place(layout, known(layout.spec.body.joint_fret), where="body.joint-fret")


def _stations(layout: Layout, length: float) -> tuple[Station, ...]:
    """The widest and narrowest places, measured from the neck end."""
    body = layout.spec.body

    def place(at: Given[float] | None, share: float) -> float:
        return at.value if at else share * length

    usual = _AT_LOWER if body.waist else _AT_LOWER_OF_PEAR
    lower = Station(name="lower-bout", x=place(body.lower_bout_at, usual), width=known(body.lower_bout))
    if body.upper_bout is None or body.waist is None:
        return (lower,)
    return (
        Station(name="upper-bout", x=place(body.upper_bout_at, _AT_UPPER), width=body.upper_bout.value),
        Station(name="waist", x=place(body.waist_at, _AT_WAIST), width=body.waist.value),
        lower,
    )


def _check_order(length: float, stations: tuple[Station, ...]) -> None:
    places = [0.0, *(each.x for each in stations), length]
    if places != sorted(set(places)):
        raise LimitError(
            where="body",
            got=", ".join(f"{each.name} at {format_mm(each.x)}" for each in stations)
            + f" of {format_mm(length)}",
            expected="places in this order, within the body's length",
        )
    if len(stations) == 3 and not stations[1].width < min(stations[0].width, stations[2].width):
        raise LimitError(
            where="body.waist",
            got=format_mm(stations[1].width),
            expected=f"less than both bouts, {format_mm(min(stations[0].width, stations[2].width))}",
        )


def _figure(length: float, stations: tuple[Station, ...]) -> Path:
    upper, waist, lower = (Point(each.x, each.width / 2.0) for each in stations)
    neck_end = quarter_oval(upper.x, upper.y, _FULLNESS)
    tail = _tail(length, lower)
    try:
        to_waist = s_curve(upper, waist, _radius(neck_end.segments[-1]))
        # walked from the lower bout, so that its arc carries on that of the tail
        from_waist = _MIRRORED.path(s_curve(_flipped(lower), _flipped(waist), _radius(tail.segments[0])))
    except LimitError as error:
        raise error.at("body, from bout to waist") from error
    return Path((*neck_end.segments, *to_waist.segments, *reverse(from_waist).segments, *tail.segments))


#: From the other end: x is negated.
_MIRRORED = Similarity(cosine=-1.0, mirrored=True)


def _flipped(point: Point) -> Point:
    return Point(-point.x, point.y)


def _radius(piece: Segment) -> float:
    if not isinstance(piece, Arc):
        raise TypeError("an oval is made of arcs")
    return piece.radius


def _tail(length: float, lower: Point) -> Path:
    """From the lower bout to the tail: a quarter oval from the other end."""
    oval = quarter_oval(length - lower.x, lower.y, _FULLNESS)
    place = Similarity(cosine=-1.0, mirrored=True, shift=Point(length, 0.0))
    turned = reverse(place.path(oval))
    first, *rest = turned.segments
    return Path((_starting(first, lower), *rest))


def _starting(piece: Segment, start: Point) -> Segment:
    """The same piece from the very point where the one before it ends, a rounding away."""
    return Arc(start, piece.end, piece.bulge) if isinstance(piece, Arc) else Line(start, piece.end)


def _pear(layout: Layout, length: float, lower: Station) -> Path:
    """One arc from the board's edge at the neck end to the lower bout, where it runs along the centre line."""
    width = width_at(layout, joint(layout))
    corner, widest = Point(0.0, width / 2.0), Point(lower.x, lower.width / 2.0)
    run, rise = widest.x, widest.y - corner.y
    if not 0.0 < rise < run:
        raise LimitError(
            where="body",
            got=f"a pear {format_mm(width)} wide at its neck end and {format_mm(lower.width)} at {format_mm(lower.x)}",
            expected="one that widens by less on each side than it is far",
        )
    # tan(sweep / 4) of an arc whose chord leans by half its sweep
    half = rise / run  # tan(sweep / 2)
    bulge = -half / (1.0 + (1.0 + half**2) ** 0.5)
    return Path((Line(Point(0.0, 0.0), corner), Arc(corner, widest, bulge), *_tail(length, widest).segments))

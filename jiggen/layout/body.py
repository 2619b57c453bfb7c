"""The body seen from the front: its outline from a few numbers, as arcs that meet with common tangents. Millimetres.

Each half is drawn by `body_half` through the places where the body is widest and narrowest. Where nothing says how far
from the neck end these lie, they keep to usual proportions.

An outline that was brought along is taken as it is, laid with its neck end at the joint. It shows the instrument from the
front as a right-handed player holds it, and is mirrored for a left-handed one.
"""

from dataclasses import dataclass

from jiggen.design.given import Given, known
from jiggen.design.instrument import CutawaySide
from jiggen.design.outline import Outline
from jiggen.errors import InputError, LimitError
from jiggen.geometry.path import Line, Path, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR, shifted
from jiggen.layout.body_half import fitted, half_pieces
from jiggen.layout.cutaway import Piece
from jiggen.layout.model import Layout
from jiggen.layout.places import fret_place, width_at
from jiggen.outlines.halves import body_bouts
from jiggen.units import format_mm

#: Shares of the length at which upper bout, waist and lower bout lie (common practice).
_AT_UPPER, _AT_WAIST, _AT_LOWER, _AT_LOWER_OF_PEAR = 0.20, 0.40, 0.735, 0.64


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A place where the body is widest or narrowest.

    Attributes:
        name: `upper-bout`, `waist` or `lower-bout`.
        x: In the layout's coordinates, halfway between its places on both sides.
        width: mm, of both sides together.
        shift: How much larger its x is at positive y than at negative y.
        offset: How far the middle between both sides lies toward positive y.
    """

    name: str
    x: float
    width: float
    shift: float = 0.0
    offset: float = 0.0

    def at(self, side: float) -> float:
        """Returns its x on a side, the sign of whose y is given."""
        return self.x + side * self.shift / 2.0

    def reach(self, side: float) -> float:
        """Returns how far from the centre line it reaches on a side, the sign of whose y is given."""
        return self.width / 2.0 + side * self.offset


@dataclass(frozen=True, slots=True, kw_only=True)
class BodyShape:
    """The body in the layout's coordinates.

    Attributes:
        neck_end: x of its neck end on the centre line.
        tail: x of its other end.
        half: From neck end to tail on the side of positive y.
        other: The same on the side of negative y.
        stations: From neck end to tail.
        cut: Sides with a cutaway, by the sign of y.
        uneven: Whether the sides of an outline that was brought along differ.
        inner: Contours within such an outline that are cut as openings.
        pieces: What the half follows, and what the other one does, from the neck end and both at positive y: the
            curves themselves, where the bend changes gradually; of an outline that was brought along, its arcs.
    """

    neck_end: float
    tail: float
    half: Path
    other: Path
    stations: tuple[Station, ...]
    pieces: tuple[tuple[Piece, ...], tuple[Piece, ...]]
    cut: tuple[float, ...] = ()
    uneven: bool = False
    inner: tuple[Path, ...] = ()

    @property
    def outline(self) -> Path:
        """All round, counter-clockwise."""
        return Path((*self.other.segments, *reverse(self.half).segments), closed=True)

    @property
    def half_outline(self) -> Path:
        """The half on the side of positive y, with the centre line, counter-clockwise."""
        back = reverse(self.half)
        return Path((Line(back.end, back.start), *back.segments), closed=True)

    @property
    def other_outline(self) -> Path:
        """The half on the side of negative y, with the centre line, counter-clockwise."""
        return Path((*self.other.segments, Line(self.other.end, self.other.start)), closed=True)

    @property
    def is_symmetrical(self) -> bool:
        """Whether both sides are alike."""
        return not self.uneven and len(self.cut) != 1 and not any(each.shift for each in self.stations)


def lay_out_body(layout: Layout) -> BodyShape:
    """Returns the body of an instrument.

    Args:
        layout: Of an instrument whose body's length, lower bout and joint are known, or its outline and joint.

    Raises:
        InputError: If there is an upper bout without a waist or the other way about, no fret at the joint, or a number
            of a cutaway is missing.
        LimitError: If the numbers make no body.
    """
    body = layout.spec.body
    if body.outline is not None:
        return _brought(layout, body.outline.value)
    length = known(body.length)
    if (body.upper_bout is None) != (body.waist is None):
        there, missing = ("upper-bout", "waist") if body.upper_bout else ("waist", "upper-bout")
        raise InputError(
            where="body",
            got=f"{there} without {missing}",
            expected="both, or neither for a pear shape",
            mend=f'Add {missing} = "…mm" to [body]',
        )
    cut = _cut_sides(layout)
    stations = _stations(layout, length)
    move = shifted(joint(layout), 0.0)
    board = width_at(layout, joint(layout)) / 2.0
    pieces, halves = {}, {}
    for side in (1.0, -1.0):
        here = tuple(Station(name=each.name, x=each.at(side), width=each.width) for each in stations)
        _check_order(length, here)
        places = [Point(each.x, each.width / 2.0) for each in here]
        pieces[side] = half_pieces(body, length, places, board=board, is_cut=side in cut)
        halves[side] = fitted(pieces[side], places)
    return BodyShape(
        neck_end=joint(layout),
        tail=joint(layout) + length,
        half=move.path(halves[1.0]),
        other=MIRROR.path(move.path(halves[-1.0])),
        stations=tuple(
            Station(name=each.name, x=each.x + joint(layout), width=each.width, shift=each.shift)
            for each in stations
        ),
        pieces=(pieces[1.0], pieces[-1.0]),
        cut=cut,
    )


def _brought(layout: Layout, outline: Outline) -> BodyShape:
    """The body whose outline was brought along."""
    found, bouts, even = body_bouts(outline.brought, where=outline.name)
    move, treble = shifted(joint(layout) - found.neck_end, 0.0), _treble(layout)
    high, low = move.path(found.high), move.path(found.low)
    inner = tuple(move.path(each) for each in outline.brought.inner) if outline.inner else ()
    if treble < 0.0:
        high, low = MIRROR.path(low), MIRROR.path(high)
        inner = tuple(reverse(MIRROR.path(each)) for each in inner)
    back = shifted(-high.start.x, 0.0)
    return BodyShape(
        neck_end=high.start.x,
        tail=high.end.x,
        half=high,
        other=low,
        stations=tuple(
            Station(
                name=each.name,
                x=high.start.x + each.x,
                width=each.width,
                shift=treble * each.shift,
                offset=treble * each.offset,
            )
            for each in bouts
        ),
        pieces=(back.path(high).segments, MIRROR.path(back.path(low)).segments),
        uneven=not even,
        inner=inner,
    )


def _treble(layout: Layout) -> float:
    """The sign of y on the treble side."""
    return -1.0 if layout.spec.left_handed.value else 1.0


def _cut_sides(layout: Layout) -> tuple[float, ...]:
    """The sides with a cutaway, by the sign of y.

    Raises:
        InputError: If a number of the cutaway is missing, or the body is a pear.
    """
    body = layout.spec.body
    if body.cutaway is None:
        return ()
    if body.waist is None:
        raise InputError(
            where="body.cutaway",
            got="a cutaway in a pear shape",
            expected="upper-bout and waist with it",
            mend='Add upper-bout and waist = "…mm" to [body]',
        )
    for key, given in (("cutaway-depth", body.cutaway_depth), ("horn-at", body.horn_at)):
        if given is None:
            raise InputError(
                where=f"body.{key}",
                got="nothing",
                expected="a distance from the neck end, for the cutaway",
                mend=f'Add {key} = "…mm" to [body]',
            )
    treble = _treble(layout)
    match known(body.cutaway_side):
        case CutawaySide.TREBLE:
            return (treble,)
        case CutawaySide.BASS:
            return (-treble,)
        case CutawaySide.BOTH:
            return (1.0, -1.0)


def joint(layout: Layout) -> float:
    """Returns the x of the body's neck end.

    Raises:
        InputError: If there is no fret at the joint.
    """
    return fret_place(layout, known(layout.spec.body.joint_fret), where="body.joint-fret")


def _stations(layout: Layout, length: float) -> tuple[Station, ...]:
    """The widest and narrowest places, measured from the neck end."""
    body = layout.spec.body

    def station(
        name: str,
        width: Given[float] | None,
        at: Given[float] | None,
        share: float,
        shift: Given[float] | None,
    ) -> Station:
        return Station(
            name=name,
            x=at.value if at else share * length,
            width=known(width),
            shift=shift.value * _treble(layout) if shift else 0.0,
        )

    usual = _AT_LOWER if body.waist else _AT_LOWER_OF_PEAR
    lower = station("lower-bout", body.lower_bout, body.lower_bout_at, usual, body.lower_bout_shift)
    if body.upper_bout is None or body.waist is None:
        return (lower,)
    return (
        station("upper-bout", body.upper_bout, body.upper_bout_at, _AT_UPPER, body.upper_bout_shift),
        station("waist", body.waist, body.waist_at, _AT_WAIST, body.waist_shift),
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

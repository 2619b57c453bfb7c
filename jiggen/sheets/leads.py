"""Lead-ins: the beam pierces in the waste beside a contour and runs into it, so that no pit is left on the part.

A contour then starts in the middle of its longest straight or gentle piece beside which there is room. Millimetres.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.geometry.box import Box
from jiggen.geometry.measure import area
from jiggen.geometry.nearness import clear_of
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import heading_on, length_of, part_of, point_on

#: Least radius of an arc that a contour may start on, in lengths of the lead-in.
_GENTLE = 4.0
#: Bulge of a half turn, give or take a rounding.
_HALF_TURN = 0.999
#: Least length of a piece that a contour may start on, in lengths of the lead-in.
_LONG = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """How a contour is cut.

    Attributes:
        path: The lead-in, if there is one, then all round to where it met the contour.
        lead: The lead-in alone; None where there is no room for one, and the path is the contour.
    """

    path: Path
    lead: Path | None


def with_lead(
    contour: Path, lead_mm: float, *, outside: bool, others: Sequence[Path], clear_mm: float, room: Box
) -> Way:
    """Returns how a closed contour is cut with a lead-in.

    Args:
        contour: Closed; what the beam's middle follows.
        lead_mm: How long the lead-in is.
        outside: Whether the waste lies outside the contour, as it does beside an edge.
        others: All else that is cut nearby, which the lead-in keeps clear of, as it does of the contour itself.
        clear_mm: By how much: the beam's width.
        room: The sheet, on which it must start.
    """
    to_left = (area(contour) > 0.0) != outside  # which side of travel the waste lies on
    order = sorted(range(len(contour)), key=lambda index: (-length_of(contour.segments[index]), index))
    for index in order:
        piece = contour.segments[index]
        if length_of(piece) < _LONG * lead_mm or _is_corner(piece, lead_mm):
            continue
        at, along = point_on(piece, 0.5), heading_on(piece, 0.5)
        aside = along.left() if to_left else -along.left()
        start = at + aside * lead_mm
        # from where it leaves the beam's reach of the contour; nearer to it, it must meet it at last
        far = Line(start, at + aside * min(clear_mm * 1.01, lead_mm * 0.5))
        if room.contains(Box(start, start)) and clear_of(Path((far,)), (contour, *others), clear_mm):
            lead = Line(start, at)
            return Way(path=Path((lead, *_from_middle(contour.segments, index, at))), lead=Path((lead,)))
    return Way(path=contour, lead=None)


def _is_corner(piece: Segment, lead_mm: float) -> bool:
    """Tells a rounded corner from a gentle piece, and from the half turn of a hole or a slot's end."""
    return isinstance(piece, Arc) and piece.radius < _GENTLE * lead_mm and abs(piece.bulge) < _HALF_TURN


def _from_middle(pieces: Sequence[Segment], index: int, at: Point) -> tuple[Segment, ...]:
    """Returns the pieces of a contour from the middle of one all round and back to it."""
    piece = pieces[index]
    return (
        part_of(piece, at, piece.end, 0.5),
        *pieces[index + 1 :],
        *pieces[:index],
        part_of(piece, piece.start, at, 0.5),
    )

"""Tabs: short stretches of a part's edge that are left uncut, so that it stays in the sheet until it is taken out by hand.

They stand on straight or gentle stretches, away from corners, about evenly round the part; where enough of its edge has
no notches, only there, since a notched edge is one to trust and what is left of a tab has to be filed off; never where
the pieces of a part meet. Millimetres.
"""

from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from jiggen.geometry.measure import length
from jiggen.geometry.path import Arc, Path, Segment
from jiggen.geometry.point import Point
from jiggen.geometry.segment import length_of
from jiggen.geometry.stroke import stretch
from jiggen.parts.model import Role, Seam
from jiggen.shop.machine import Machine
from jiggen.shop.model import CutFeature, CutPart

#: From a tab's end to the nearest corner, as a share of its width, so that a knife gets at it.
_CLEAR = 1.0
#: Least radius of an arc that a tab may stand on, in widths of it.
_GENTLE = 8.0
#: With fewer of them a part swings; with so many it is held well.
_FEWEST, _ENOUGH = 2, 3
#: A segment that ends this near to a notch's mouth or a joint, in mm beyond the beam's width, ends at it: for growth.
_AT = 1.0


def parted(cut: CutFeature, cut_part: CutPart, machine: Machine) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """Returns the paths of a feature, and the tabs between them where the machine leaves tabs on an edge."""
    if machine.tab_width_mm is None or cut.feature.role is not Role.EDGE:
        return cut.paths, ()
    notches = [
        end
        for feature in cut_part.part.features
        if feature.cut_in == cut.feature.id
        for path in feature.paths
        for end in (path.start, path.end)
    ]
    width, spacing, beam = machine.tab_width_mm, machine.tab_spacing_mm, cut_part.tag.kerf_mm
    seams = cut_part.part.piece.seams if cut_part.part.piece is not None else ()
    found = [
        with_tabs(each, width, spacing, beam_mm=beam, notches=notches, seams=seams) for each in cut.paths
    ]
    runs, tabs = zip(*found, strict=True)
    return tuple(chain.from_iterable(runs)), tuple(chain.from_iterable(tabs))


def is_held(cut_part: CutPart, machine: Machine) -> bool:
    """Tells whether tabs hold a part in the sheet."""
    return any(parted(cut, cut_part, machine)[1] for cut in cut_part.features)


def with_tabs(
    contour: Path,
    width_mm: float,
    spacing_mm: float,
    *,
    beam_mm: float,
    notches: Sequence[Point] = (),
    seams: Sequence[Seam] = (),
) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """Returns the runs that are cut of a contour, and the stretches between them that are not.

    Args:
        contour: Closed; what the beam's middle follows.
        width_mm: Of what is left of the sheet at each tab, at its narrowest.
        spacing_mm: About how far along the contour they stand from each other.
        beam_mm: Full width of the cut, which eats into a tab from both sides.
        notches: The corners of notches' mouths.
        seams: Where other pieces of the part join it.

    Returns:
        Runs in the contour's own direction, and as many tabs, each after the run before it. The whole contour and no
        tabs where there is no room for two.
    """
    whole, gap = length(contour), width_mm + beam_mm
    count = max(_FEWEST, round(whole / spacing_mm))
    near = _AT + beam_mm
    room = [
        (low + walked, high + walked, any(_ends_at(piece, mouth, near) for mouth in notches))
        for piece, walked in _walked(contour.segments)
        if not any(_lies_in(piece, seam, near) for seam in seams)
        for low, high in _room(piece, gap)
    ]
    places = _places([(low, high) for low, high, notched in room if not notched], whole, gap, count)
    if len(places) < _ENOUGH:
        places = _places([(low, high) for low, high, _ in room], whole, gap, count)
    if len(places) < _FEWEST:
        return (contour,), ()
    ends = [*places, places[0] + whole]
    runs = [stretch(contour, one + gap / 2.0, other - gap / 2.0) for one, other in pairwise(ends)]
    tabs = [stretch(contour, other - gap / 2.0, other + gap / 2.0) for other in (*places[1:], places[0])]
    return tuple(runs), tuple(tabs)


def _places(room: Sequence[tuple[float, float]], whole: float, gap: float, count: int) -> list[float]:
    """Returns where the middles of tabs stand along a contour, rising: each the nearest there is room to its share."""
    found: list[float] = []
    for number in range(count):
        wanted = (number + 0.5) * whole / count
        near = [min(max(wanted, low), high) for low, high in room]
        best = min(near, key=lambda place: abs(place - wanted), default=None)
        if best is not None and abs(best - wanted) < whole / count / 2.0 - gap:
            found.append(best)
    return found


def _walked(pieces: Sequence[Segment]) -> Iterator[tuple[Segment, float]]:
    """Yields each segment of a contour, and how far along it that starts."""
    walked = 0.0
    for piece in pieces:
        yield piece, walked
        walked += length_of(piece)


def _room(piece: Segment, gap: float) -> Iterator[tuple[float, float]]:
    """Yields from where to where along a segment the middle of a tab may stand."""
    clear, whole = gap * (0.5 + _CLEAR), length_of(piece)
    is_gentle = not isinstance(piece, Arc) or piece.radius >= _GENTLE * gap
    if is_gentle and whole > 2.0 * clear:
        yield clear, whole - clear


def _ends_at(piece: Segment, mouth: Point, near: float) -> bool:
    return any(end.distance(mouth) < near for end in (piece.start, piece.end))


def _lies_in(piece: Segment, seam: Seam, near: float) -> bool:
    """Tells whether a segment is one of a joint's faces, or of its keys or their pockets."""
    along = (seam.line.end - seam.line.start).unit()
    reach = seam.depth_mm + seam.clearance_mm + near
    return all(abs(along.cross(end - seam.line.start)) < reach for end in (piece.start, piece.end))

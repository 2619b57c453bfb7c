"""Where position dots go. Millimetres."""

from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlay:
    """A position mark.

    Attributes:
        fret: The fret that is stopped when playing in the space marked.
        centres: Of one dot or two on the face.
        side: Where the mark on the board's bass edge stands, which the player sees.
    """

    fret: int
    centres: tuple[Point, ...]
    side: Point


def place_inlays(
    fret_lines: Sequence[Line], nut: Line, marked: Sequence[int], doubled: Sequence[int]
) -> tuple[Inlay, ...]:
    """Returns a mark halfway between each marked fret and the one before it.

    Args:
        fret_lines: Bass edge to treble edge, first fret first.
        nut: Front of the nut, bass edge to treble edge.
        marked: Fret numbers to mark; those beyond the last fret are left out.
        doubled: Those of them that get two dots, a quarter of the width in from each edge.
    """
    lines = (nut, *fret_lines)
    inlays: list[Inlay] = []
    for fret in marked:
        if 1 <= fret < len(lines):
            bass = between(lines[fret - 1].start, lines[fret].start, 0.5)
            treble = between(lines[fret - 1].end, lines[fret].end, 0.5)
            places = (0.25, 0.75) if fret in doubled else (0.5,)
            inlays.append(
                Inlay(fret=fret, centres=tuple(between(bass, treble, place) for place in places), side=bass)
            )
    return tuple(inlays)

"""The fret slots of a neck: whole and partial, square across or fanned. Millimetres."""

from collections.abc import Sequence
from itertools import pairwise

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import fret_label
from jiggen.design.model import PartialFret
from jiggen.design.spec import Spec
from jiggen.errors import LimitError
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point, between
from jiggen.layout.board import between_edges, crossing
from jiggen.layout.fan import straight_fret, x_at_centre
from jiggen.layout.model import FretLine

#: mm; a fret that misses the strings' places by less is straight.
STRAIGHT = 1e-9


def fret_lines(
    spec: Spec, strings: Sequence[Line], edges: tuple[Line, Line], nut: Line
) -> tuple[FretLine, ...]:
    """Returns the frets of a right-handed neck, a zero fret first if there is one.

    Args:
        spec: Says where they stand and which are partial.
        strings: Centres, nut to saddle line, first string first.
        edges: Bass edge and treble edge, nut to saddle line.
        nut: Where the speaking length starts, bass edge to treble edge.

    Raises:
        InputError: If the fret rule has labels, but not for every fret.
        LimitError: If a fan is so steep that two frets meet on the board.
    """
    rule = spec.fret_rule.value
    partial = {each.fret: each for each in (spec.partial_frets.value if spec.partial_frets else ())}
    frets: list[FretLine] = []
    wholes = [nut]
    previous = 0.0
    for number in range(0 if spec.zero_fret.value else 1, spec.frets.value + 1):
        share = 1.0 - remaining(rule, number)
        if spec.fanned:
            whole, places, bend = _fanned(strings, edges, share)
        else:
            whole, places, bend = _square(strings, edges, share)
        distance = x_at_centre(whole)
        line, crossings = _cut_short(partial[number], whole, places) if number in partial else (whole, places)
        frets.append(
            FretLine(
                number=number,
                label=fret_label(rule, number) if number else "0",
                distance=distance,
                line=line,
                from_previous=distance - previous,
                spread=places[-1].distance(places[0]),
                crossings=crossings,
                bend=bend,
            )
        )
        if number:
            wholes.append(whole)
        previous = distance
    _check_apart(wholes)
    return tuple(frets)


_Found = tuple[Line, tuple[Point, ...], float]


def _square(strings: Sequence[Line], edges: tuple[Line, Line], share: float) -> _Found:
    """A fret square across, from edge to edge; where strings cross it; and its bend, which is none."""
    bass, treble = (between(edge.start, edge.end, share) for edge in edges)
    return Line(bass, treble), tuple(between(each.start, each.end, share) for each in strings), 0.0


def _fanned(strings: Sequence[Line], edges: tuple[Line, Line], share: float) -> _Found:
    """The same of a fret in a fan."""
    places = tuple(between(each.start, each.end, share) for each in strings)
    line = straight_fret(places)
    crossings = tuple(crossing(string, line) for string in strings)
    bend = max(map(Point.distance, places, crossings))
    if bend <= STRAIGHT:
        return between_edges(line, edges), places, 0.0
    return between_edges(line, edges), crossings, bend


def _cut_short(
    partial: PartialFret, whole: Line, places: tuple[Point, ...]
) -> tuple[Line, tuple[Point | None, ...]]:
    """A fret under some strings only: it ends halfway to the next string, or at the edge."""
    first, last = min(partial.strings), max(partial.strings)
    treble = whole.end if first == 1 else between(places[first - 2], places[first - 1], 0.5)
    bass = whole.start if last == len(places) else between(places[last - 1], places[last], 0.5)
    kept = (place if first <= number <= last else None for number, place in enumerate(places, start=1))
    return Line(bass, treble), tuple(kept)


def _check_apart(wholes: Sequence[Line]) -> None:
    """Refuses frets that meet on the board; `wholes` are the nut and the whole frets in order."""
    for number, (before, after) in enumerate(pairwise(wholes), start=1):
        if before.start.x >= after.start.x or before.end.x >= after.end.x:
            raise LimitError(
                where="neck.scale-bass, neck.scale-treble",
                got=f"a fan so steep that fret {number} meets {f'fret {number - 1}' if number > 1 else 'the nut'} on the board",
                expected="frets that keep apart from edge to edge",
                mend="Bring the two scales nearer to each other, or spread the strings wider.",
            )

"""From the whole spec to the whole layout of a neck. Millimetres."""

from collections.abc import Sequence
from dataclasses import replace

from jiggen.design.fret_places import remaining
from jiggen.design.fret_rule import fret_label
from jiggen.design.model import PartialFret, Spacing, Spec
from jiggen.geometry.path import Line, reverse
from jiggen.geometry.point import Point, between
from jiggen.geometry.similarity import MIRROR
from jiggen.layout.board import between_edges, board_end, board_outline, crossing
from jiggen.layout.fan import Across, inner_lines, outer_lines, straight_fret, x_at_centre
from jiggen.layout.inlays import Inlay, place_inlays
from jiggen.layout.model import FretLine, Layout, StringLine
from jiggen.layout.radius import BoardRadius
from jiggen.layout.strings import equal_centres, equal_gaps


def lay_out(spec: Spec) -> Layout:
    """Returns the layout that follows from a spec.

    Args:
        spec: Solved, so that its numbers agree.

    Raises:
        LimitError: If strings, board end or fan cannot be as they are asked for.
    """
    lines = _string_lines(spec)
    nut, saddle = Line(lines[-1].start, lines[0].start), Line(lines[-1].end, lines[0].end)
    edges = _edges(spec, nut, saddle)
    nut, saddle = between_edges(_across(nut, spec), *edges), between_edges(_across(saddle, spec), *edges)
    bass_edge, treble_edge = Line(nut.start, saddle.start), Line(nut.end, saddle.end)
    strings = _strings(spec, lines)
    frets = _frets(spec, lines, (bass_edge, treble_edge), nut)
    whole = [fret for fret in frets if all(fret.crossings)]
    last = whole[-1].line if whole else nut
    distance = frets[-1].distance if frets else 0.0
    start = _board_start(spec, nut, (bass_edge, treble_edge))
    end = board_end(spec, last, distance + spec.overhang.value, (bass_edge, treble_edge))
    layout = Layout(
        spec=spec,
        nut=nut,
        saddle=saddle,
        bass_edge=bass_edge,
        treble_edge=treble_edge,
        strings=strings,
        frets=frets,
        board=board_outline(spec, start, end),
        board_start=start,
        board_end=end,
        radius=_radius(spec, distance + spec.overhang.value),
        inlays=_inlays(spec, frets, nut),
    )
    return _mirrored(layout) if spec.left_handed.value else layout


def _string_lines(spec: Spec) -> tuple[Line, ...]:
    """Each string's centre from nut to saddle line, right-handed, first string first."""
    at_nut = _spread(spec, spec.nut_width.value, at_nut=True)
    at_saddle = _spread(spec, spec.width_at_saddle.value, at_nut=False)
    across = [Across(*pair) for pair in zip(at_nut, at_saddle, strict=True)]
    if not spec.fanned:
        length = spec.scale.value
        return tuple(Line(Point(0.0, each.at_nut), Point(length, each.at_saddle)) for each in across)
    straight = 1.0 - remaining(spec.fret_rule.value, spec.straight_fret.value)
    bass, treble = outer_lines(
        spec.scale_bass.value, spec.scale_treble.value, across[-1], across[0], straight
    )
    return inner_lines(bass, treble, across)


def _spread(spec: Spec, width: float, *, at_nut: bool) -> tuple[float, ...]:
    """String centres across the neck at one of its ends, first string first."""
    offset = spec.nut_offset.value if at_nut else 0.0
    treble = width / 2.0 - spec.setback_treble.value + offset
    bass = -width / 2.0 + spec.setback_bass.value + offset
    positions = spec.positions_nut if at_nut else spec.positions_bridge
    if positions:
        first = positions.value[0]
        return tuple(treble - (each - first) for each in positions.value)
    within = (spec.course_spacing_nut if at_nut else spec.course_spacing_bridge).value
    courses = spec.courses.value
    if spec.spacing.value is Spacing.GAPS and spec.gauges:
        return equal_gaps(bass, treble, courses, spec.gauges.value, within_gap=within)
    return equal_centres(bass, treble, courses, within=within)


def _edges(spec: Spec, nut: Line, saddle: Line) -> tuple[Line, Line]:
    """Bass and treble edge, from the nut's line to the saddle's, both carried on beyond the outer strings."""
    half_nut, half_saddle = spec.nut_width.value / 2.0, spec.width_at_saddle.value / 2.0

    def edge(side: float) -> Line:
        return Line(_on(nut, side * half_nut), _on(saddle, side * half_saddle))

    return edge(-1.0), edge(1.0)


def _on(line: Line, y: float) -> Point:
    """The point of a line across the neck, carried on, at some y; a single string's line is square."""
    rise = line.end.y - line.start.y
    if rise == 0.0:
        return Point(line.start.x, y)
    return Point(line.start.x + (line.end.x - line.start.x) * (y - line.start.y) / rise, y)


def _across(line: Line, spec: Spec) -> Line:
    """The line itself, or square across where a single string makes it a point."""
    return line if spec.string_count.value > 1 else Line(line.start, line.start + Point(0.0, 1.0))


def _strings(spec: Spec, lines: Sequence[Line]) -> tuple[StringLine, ...]:
    gauges: Sequence[float | None] = spec.gauges.value if spec.gauges else (None,) * len(lines)
    courses = [course for course, size in enumerate(spec.courses.value, start=1) for _ in range(size)]
    return tuple(
        StringLine(number=number, course=course, line=line, gauge=gauge)
        for number, (course, line, gauge) in enumerate(zip(courses, lines, gauges, strict=True), start=1)
    )


def _frets(spec: Spec, lines: Sequence[Line], edges: tuple[Line, Line], nut: Line) -> tuple[FretLine, ...]:
    frets: list[FretLine] = []
    previous = 0.0
    partial = {each.fret: each for each in (spec.partial_frets.value if spec.partial_frets else ())}
    rule = spec.fret_rule.value
    for number in range(0 if spec.zero_fret.value else 1, spec.frets.value + 1):
        share = 1.0 - remaining(rule, number)
        if spec.fanned:
            found = straight_fret(lines, lambda _, share=share: share)  # type: ignore[misc] # bound in this turn
            line, bend = found.line, found.error
        else:
            x = spec.scale.value * share
            line, bend = Line(Point(x, -1.0), Point(x, 1.0)), 0.0
        outer = Line(crossing(line, lines[-1]), crossing(line, lines[0]))
        whole = between_edges(line, *edges) if number else nut
        crossings: tuple[Point | None, ...] = tuple(crossing(line, string) for string in lines)
        if number in partial:
            whole, crossings = _cut_short(partial[number], whole, crossings)
        distance = x_at_centre(line)
        frets.append(
            FretLine(
                number=number,
                label=fret_label(rule, number) if number else "0",
                distance=distance,
                line=whole,
                from_previous=distance - previous,
                spread=outer.start.distance(outer.end),
                crossings=crossings,
                bend=bend,
            )
        )
        previous = distance
    return tuple(frets)


def _cut_short(
    partial: PartialFret, whole: Line, crossings: tuple[Point | None, ...]
) -> tuple[Line, tuple[Point | None, ...]]:
    """A fret under some strings only: it ends halfway to the next string, or at the edge."""
    first, last = min(partial.strings), max(partial.strings)
    places = [place for place in crossings if place]
    treble = whole.end if first == 1 else between(places[first - 2], places[first - 1], 0.5)
    bass = whole.start if last == len(places) else between(places[last - 1], places[last], 0.5)
    kept = tuple(place if first <= number <= last else None for number, place in enumerate(places, start=1))
    return Line(bass, treble), kept


def _board_start(spec: Spec, nut: Line, edges: tuple[Line, Line]) -> Line:
    if not spec.zero_fret.value:
        return nut
    back = Point(spec.nut_behind.value, 0.0)
    return between_edges(Line(nut.start - back, nut.end - back), *edges)


def _radius(spec: Spec, length: float) -> BoardRadius | None:
    if spec.radius is None:
        return None
    at_end = spec.radius_at_end or spec.radius
    return BoardRadius(at_nut=spec.radius.value, at_end=at_end.value, length=length)


def _inlays(spec: Spec, frets: Sequence[FretLine], nut: Line) -> tuple[Inlay, ...]:
    if spec.inlays.frets is None:
        return ()
    doubled = spec.inlays.doubled.value if spec.inlays.doubled else ()
    lines = [fret.line for fret in frets if fret.number > 0]
    return place_inlays(lines, nut, spec.inlays.frets.value, doubled)


def _mirrored(layout: Layout) -> Layout:
    """The same neck for a left-handed player: bass and treble change sides."""

    def line(each: Line) -> Line:
        return Line(MIRROR.point(each.start), MIRROR.point(each.end))

    def point(each: Point) -> Point:
        return MIRROR.point(each)

    return replace(
        layout,
        nut=line(layout.nut),
        saddle=line(layout.saddle),
        bass_edge=line(layout.bass_edge),
        treble_edge=line(layout.treble_edge),
        strings=tuple(replace(each, line=line(each.line)) for each in layout.strings),
        frets=tuple(
            replace(
                each,
                line=line(each.line),
                crossings=tuple(place and point(place) for place in each.crossings),
            )
            for each in layout.frets
        ),
        board=reverse(MIRROR.path(layout.board)),
        board_start=line(layout.board_start),
        board_end=line(layout.board_end),
        inlays=tuple(
            replace(each, centres=tuple(point(centre) for centre in each.centres), side=point(each.side))
            for each in layout.inlays
        ),
    )

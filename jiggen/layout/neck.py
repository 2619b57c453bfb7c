"""From the whole spec to the whole layout of a neck. Millimetres."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from jiggen.design.fret_places import remaining
from jiggen.design.model import Spacing
from jiggen.design.spec import Spec
from jiggen.errors import LimitError
from jiggen.geometry.path import Line, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import MIRROR
from jiggen.layout.board import between_edges, board_end, board_outline
from jiggen.layout.fan import Across, inner_lines, outer_lines, x_at
from jiggen.layout.frets import fret_lines
from jiggen.layout.inlays import Inlay, place_inlays
from jiggen.layout.model import FretLine, Layout, StringLine
from jiggen.layout.radius import BoardRadius, sagitta
from jiggen.layout.strings import equal_centres, equal_gaps


def lay_out(spec: Spec) -> Layout:
    """Returns the layout that follows from a spec.

    Args:
        spec: Solved, so that its numbers agree.

    Raises:
        InputError: If the fret rule has labels, but not for every fret.
        LimitError: If strings, frets, board end or radius cannot be as they are asked for.
    """
    lines = _string_lines(spec)
    edges = _edges(spec, lines)
    nut, saddle = Line(edges[0].start, edges[1].start), Line(edges[0].end, edges[1].end)
    frets = fret_lines(spec, lines, edges, nut)
    last = frets[-1].line if frets else nut
    length = (frets[-1].distance if frets else 0.0) + spec.overhang.value
    start = _board_start(spec, nut, edges)
    end = board_end(spec, last, length, edges)
    layout = Layout(
        spec=spec,
        nut=nut,
        saddle=saddle,
        bass_edge=edges[0],
        treble_edge=edges[1],
        strings=_strings(spec, lines),
        frets=frets,
        board=board_outline(spec, start, end),
        board_start=start,
        board_end=end,
        radius=_radius(spec, length, nut, end),
        inlays=_inlays(spec, frets, edges, nut),
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
    """String centres across the neck at one of its ends, first string first.

    Positions are stretched to the spread where they differ from it: within the tolerance, or when they are a profile's.

    Raises:
        LimitError: If strings would lie past one another.
    """
    offset = spec.nut_offset.value if at_nut else 0.0
    treble = width / 2.0 - spec.setback_treble.value + offset
    bass = -width / 2.0 + spec.setback_bass.value + offset
    within = (spec.course_spacing_nut if at_nut else spec.course_spacing_bridge).value
    positions = spec.positions_nut if at_nut else spec.positions_bridge
    if positions and len(positions.value) > 1:
        first, last = positions.value[0], positions.value[-1]
        centres = tuple(
            treble + (bass - treble) * ((each - first) / (last - first)) for each in positions.value
        )
    elif spec.spacing.value is Spacing.GAPS and spec.gauges:
        centres = equal_gaps(bass, treble, spec.courses.value, spec.gauges.value, within_gap=within)
    else:
        centres = equal_centres(bass, treble, spec.courses.value, within=within)
    for number, (one, other) in enumerate(pairwise(centres), start=1):
        if other >= one:
            raise LimitError(
                where="strings",
                got=f"string {number + 1} on string {number} or past it at the {'nut' if at_nut else 'bridge'}, "
                f"by {other - one:.2f} mm",
                expected="strings in order across the neck",
                mend="Bring the strings of a course nearer together, or spread the outer strings wider.",
            )
    return centres


def _edges(spec: Spec, lines: Sequence[Line]) -> tuple[Line, Line]:
    """Bass and treble edge, from the nut's line to the saddle's, both carried on beyond the outer strings."""
    nut, saddle = Line(lines[-1].start, lines[0].start), Line(lines[-1].end, lines[0].end)
    half_nut, half_saddle = spec.nut_width.value / 2.0, spec.width_at_saddle.value / 2.0

    def edge(side: float) -> Line:
        return Line(_on(nut, side * half_nut), _on(saddle, side * half_saddle))

    return edge(-1.0), edge(1.0)


def _on(line: Line, y: float) -> Point:
    """The point of a line across the neck, carried on, at some y."""
    return Point(x_at(line, y), y)


def _strings(spec: Spec, lines: Sequence[Line]) -> tuple[StringLine, ...]:
    gauges: Sequence[float | None] = spec.gauges.value if spec.gauges else (None,) * len(lines)
    courses = [course for course, size in enumerate(spec.courses.value, start=1) for _ in range(size)]
    return tuple(
        StringLine(number=number, course=course, line=line, gauge=gauge)
        for number, (course, line, gauge) in enumerate(zip(courses, lines, gauges, strict=True), start=1)
    )


def _board_start(spec: Spec, nut: Line, edges: tuple[Line, Line]) -> Line:
    if not spec.zero_fret.value:
        return nut
    back = Point(spec.nut_behind.value, 0.0)
    return between_edges(Line(nut.start - back, nut.end - back), edges)


def _radius(spec: Spec, length: float, nut: Line, end: Line) -> BoardRadius | None:
    """The board's radius.

    Raises:
        LimitError: If the board is wider than the circle.
    """
    if spec.radius is None:
        return None
    at_end = spec.radius_at_end or spec.radius
    radius = BoardRadius(at_nut=spec.radius.value, at_end=at_end.value, length=length)
    for line, place in ((nut, 0.0), (end, length)):
        sagitta(radius.at(place), line.start.distance(line.end))
    return radius


def _inlays(spec: Spec, frets: Sequence[FretLine], edges: tuple[Line, Line], nut: Line) -> tuple[Inlay, ...]:
    if spec.inlays.frets is None:
        return ()
    doubled = spec.inlays.doubled.value if spec.inlays.doubled else ()
    lines = [
        fret.line if all(fret.crossings) else between_edges(fret.line, edges)
        for fret in frets
        if fret.number > 0
    ]
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

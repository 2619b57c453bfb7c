"""From the whole spec to the whole layout of a neck."""

from jiggen.design.model import Spec
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.board import Taper
from jiggen.layout.frets import equal_step_distance
from jiggen.layout.model import FretLine, Layout, StringLine
from jiggen.layout.strings import equal_centres


def lay_out(spec: Spec) -> Layout:
    """Returns the layout that follows from a spec.

    Args:
        spec: Solved, so that its numbers agree and the geometry is possible.
    """
    scale = spec.scale.value
    taper = Taper(scale=scale, width_at_nut=spec.nut_width.value, width_at_saddle=spec.width_at_saddle.value)
    nut, saddle = taper.across(0.0), taper.across(scale)
    strings = _strings(spec, nut, saddle)
    frets = _frets(spec, taper, strings)
    end = (frets[-1].distance if frets else 0.0) + spec.overhang.value
    return Layout(
        spec=spec,
        nut=nut,
        saddle=saddle,
        bass_edge=Line(nut.start, saddle.start),
        treble_edge=Line(nut.end, saddle.end),
        strings=strings,
        frets=frets,
        board=taper.outline(end),
        board_end=taper.across(end),
    )


def _strings(spec: Spec, nut: Line, saddle: Line) -> tuple[StringLine, ...]:
    def centres(across: Line) -> tuple[float, ...]:
        return equal_centres(
            across.start.y + spec.setback_bass.value,
            across.end.y - spec.setback_treble.value,
            [1] * spec.string_count.value,
        )

    gauges = spec.gauges.value if spec.gauges else (None,) * spec.string_count.value
    return tuple(
        StringLine(
            number=number,
            line=Line(Point(nut.start.x, at_nut), Point(saddle.start.x, at_saddle)),
            gauge=gauge,
        )
        for number, (at_nut, at_saddle, gauge) in enumerate(
            zip(centres(nut), centres(saddle), gauges, strict=True), start=1
        )
    )


def _frets(spec: Spec, taper: Taper, strings: tuple[StringLine, ...]) -> tuple[FretLine, ...]:
    treble, bass = strings[0].line, strings[-1].line
    frets: list[FretLine] = []
    previous = 0.0
    for number in range(1, spec.frets.value + 1):
        distance = equal_step_distance(taper.scale, number)
        along = distance / taper.scale
        spread_at_nut = treble.start.y - bass.start.y
        spread_at_saddle = treble.end.y - bass.end.y
        frets.append(
            FretLine(
                number=number,
                distance=distance,
                line=taper.across(distance),
                from_previous=distance - previous,
                spread=spread_at_nut + (spread_at_saddle - spread_at_nut) * along,
            )
        )
        previous = distance
    return tuple(frets)

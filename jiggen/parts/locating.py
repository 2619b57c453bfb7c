"""Two pins through board, neck and jigs at two frets, where fret wire hides their holes. Millimetres."""

from jiggen.design.fret_places import distance
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import FretLine, Layout
from jiggen.parts.marks import hole
from jiggen.parts.model import Feature

_FROM_END = 4.0  # from a pin to the end of the board, at least
_MOST = 24  # places on a fretless board beyond this are of no use


def locating_places(layout: Layout) -> tuple[tuple[str, Point], ...]:
    """Returns where the two pins go, on the centre line, with the name of the fret there, nut to bridge.

    They stand at the first fret and at the last one that leaves room to the board's end; on a fretless board where
    those would be.
    """
    end = x_at(layout.board_end, 0.0) - _FROM_END
    places = [
        (fret.label, fret.distance)
        for fret in layout.frets
        if fret.number > 0 and _crosses_centre(fret) and fret.distance < end
    ] or [
        (str(number), at)
        for number in range(1, _MOST + 1)
        if (at := distance(layout.spec.fret_rule.value, layout.spec.scale.value, number)) < end
    ]
    ends = places[:1] + places[1:][-1:]
    return tuple((name, Point(at, 0.0)) for name, at in ends)


def locating_holes(layout: Layout) -> tuple[Feature, ...]:
    """Returns a hole for each of the two pins, `locating-pin.1` and `locating-pin.2`."""
    tools = layout.spec.tools
    diameter = tools.locating_pin.value + tools.pin_clearance.value
    return tuple(
        hole(f"locating-pin.{number}", at, diameter)
        for number, (_, at) in enumerate(locating_places(layout), start=1)
    )


def _crosses_centre(fret: FretLine) -> bool:
    return fret.line.start.y * fret.line.end.y < 0.0

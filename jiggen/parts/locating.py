"""Two pins through board, neck and jigs at two frets, where fret wire hides their holes. Millimetres."""

from jiggen.design.fret_places import distance
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import FretLine, Layout
from jiggen.parts.marks import hole
from jiggen.parts.model import Feature

_FROM_END = 10.0  # from a pin to the end of the board, at least: a pattern for a router is shorter
_FROM_DOT = 2.0  # between a pin's hole and a dot's
_MOST = 24  # places on a fretless board beyond this are of no use


def locating_places(layout: Layout) -> tuple[tuple[str, Point], ...]:
    """Returns where the two pins go, on the centre line, with the name of the fret there, nut to bridge.

    They stand at the first fret and at the last one that leaves room to the board's end and to position dots; on a
    fretless board where those would be.
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
    free = [(name, Point(at, 0.0)) for name, at in places if _clear_of_dots(layout, Point(at, 0.0))]
    return (*free[:1], *free[1:][-1:])


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


def _clear_of_dots(layout: Layout, at: Point) -> bool:
    spec = layout.spec
    dot = spec.inlays.diameter.value if spec.inlays.diameter else 0.0
    drilled = spec.tools.bushing.value if spec.tools.bushing else dot
    room = (drilled + spec.tools.locating_pin.value) / 2.0 + _FROM_DOT
    return all(at.distance(centre) >= room for inlay in layout.inlays for centre in inlay.centres)

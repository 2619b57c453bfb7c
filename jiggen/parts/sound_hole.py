"""The sound hole's pattern, and one for the channels of its rosette.

Both lie on the soundboard by their centre line. The rosette's pattern turns on a pin in the middle of the hole, while
that is still there; its channels are slots with bridges between, and half a turn brings slots where bridges were.
"""

from jiggen.design.given import known
from jiggen.design.instrument import Ring
from jiggen.design.spec import Spec
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.point import ORIGIN, Point
from jiggen.layout.openings import ring_slots, sound_hole
from jiggen.layout.worked_neck import Neck
from jiggen.parts.caption import Caption, caption
from jiggen.parts.marks import hole
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.parts.plate import Side
from jiggen.parts.routing import CLEAR, GAP, MARGIN, notch, routing_plate, to_the_nut
from jiggen.units import format_mm

NAME, TITLE = "sound-hole-pattern", "Sound-hole pattern"
ROSETTE_NAME, ROSETTE_TITLE = "rosette-pattern", "Rosette pattern"

_INSET = 5.0  # from the plate's sides to the caption


def sound_hole_pattern(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part; x runs along the centre line toward the saddle, its origin the middle of the hole.

    Args:
        neck: Whose sound hole's width is known.
        bench: Sets the lettering's height.
    """
    contour = sound_hole(neck.layout)
    opening = Feature(id="sound-hole", role=Role.OPENING, paths=(contour,), datum=ORIGIN, led=True)
    return (_part(neck, bench, (NAME, TITLE), (opening,), _hole_words(neck.spec)),)


def rosette_pattern(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part, laid out as `sound_hole_pattern`.

    Args:
        neck: Whose sound hole's width and rings are known.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If a channel is too short for its bridges.
    """
    tools, bit, rings = neck.spec.tools, neck.spec.make.bit, known(neck.spec.sound_hole.rings)
    features = [hole("pivot", ORIGIN, tools.stop_pin.value + tools.pin_clearance.value)]
    features.append(Feature(id="sound-hole", role=Role.LINE, paths=(sound_hole(neck.layout),), datum=ORIGIN))
    for number, ring in enumerate(rings, start=1):
        features += [
            Feature(
                id=f"channel.{number}.{piece}",
                role=Role.OPENING,
                paths=(slot,),
                datum=ORIGIN,
                width_mm=ring.width,
                led=bit is None or ring.width >= bit.value,  # else a knife is
            )
            for piece, slot in enumerate(ring_slots(neck.layout, ring), start=1)
        ]
    words = (
        *(f"channel {number}: {_channel(neck.spec, ring)}" for number, ring in enumerate(rings, start=1)),
        f"turn on a {format_mm(tools.stop_pin.value)} pin by half a turn to cut away what the bridges leave",
    )
    return (_part(neck, bench, (ROSETTE_NAME, ROSETTE_TITLE), tuple(features), words),)


def _part(
    neck: Neck, bench: Bench, named: tuple[str, str], features: tuple[Feature, ...], words: tuple[str, ...]
) -> Part:
    name, title = named
    letters = bench.smallest_lettering_mm
    cut = around(bounds(path) for each in features if each.role is Role.OPENING for path in each.paths)
    reach, half = max(-cut.low.x, cut.high.x) + MARGIN, max(-cut.low.y, cut.high.y)
    floor = -half - CLEAR
    block = _caption(
        neck.spec, title, words, Box(Point(_INSET - reach, floor), Point(reach - _INSET, floor)), letters
    )
    top = half + max(MARGIN, CLEAR + letters + 2.0 * GAP)
    box = Box(Point(-reach, block.low - 2.0 * GAP), Point(reach, top))
    return Part(
        name=name,
        title=title,
        features=(
            *routing_plate(
                box, more=(notch("across.high", Side.TOP, 0.0), notch("across.low", Side.BOTTOM, 0.0))
            ),
            *features,
            *to_the_nut(box, top - GAP - letters / 2.0, letters),
            *block.features,
        ),
        tag_box=block.tag_box,
        lies_on_work=True,
    )


def _caption(spec: Spec, title: str, words: tuple[str, ...], under: Box, letters: float) -> Caption:
    return caption(spec, title, words, left=under.low.x, top=under.low.y, width=under.width, letters=letters)


def _hole_words(spec: Spec) -> tuple[str, ...]:
    numbers = spec.sound_hole
    size = (
        f"{format_mm(known(numbers.width))} across"
        if numbers.length is None
        else f"{format_mm(known(numbers.width))} across, {format_mm(numbers.length.value)} along"
    )
    place = numbers.from_saddle
    return (size, f"its middle {format_mm(place.value)} from the saddle line") if place else (size,)


def _channel(spec: Spec, ring: Ring) -> str:
    """A channel in words: by its radii round a circle, else from the hole's edge."""
    hole_numbers = spec.sound_hole
    if hole_numbers.length is None:
        inner = known(hole_numbers.width) / 2.0 + ring.from_edge
        return f"radius {format_mm(inner)} to {format_mm(inner + ring.width)}"
    return f"{format_mm(ring.from_edge)} to {format_mm(ring.from_edge + ring.width)} from the hole"

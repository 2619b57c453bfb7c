"""The fret-slot guide: a straight indexing strip for a mitre box, one notch per fret.

Fixed along the board, each notch in turn drops over the box's index pin and brings the next fret under the saw.
All distances run from the nut's notch, so that no step's error is added to the next.
"""

import math
from itertools import pairwise

from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.marks import fitting_height, label
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import Notch, Side, plate
from jiggen.parts.spec_block import scale_words

NAME, TITLE = "fret-slot-guide", "Fret-slot guide"

_PAST_ENDS = 15.0
_CORNER = 3.0
_GAP = 1.5
_SMALLEST_WEB = 1.5  # acrylic left between two notches: thinner snaps at the pin (common practice)


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    if not neck.layout.frets:
        return "a fretless neck has no slots"
    if neck.spec.fanned:
        return "fanned frets lie at angles, which a straight strip cannot index: use the saw-guide plate"
    return ""


def fret_slot_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: With parallel frets.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the index pin is too thick for the closest pair of frets.
    """
    layout = neck.layout
    spec = layout.spec
    pin, clearance = spec.tools.index_pin.value, spec.tools.pin_clearance.value
    width = pin + clearance
    depth = max(2.0 * pin, 3.0)
    stops = _stops(layout)
    _check_webs(stops, width)
    letters = bench.smallest_lettering_mm
    closest = min(after[1] - before[1] for before, after in pairwise(stops))
    number_height = fitting_height(
        [name for name, _, _ in stops], closest, largest=letters * 1.6, smallest=letters
    )
    numbers_at = depth + _GAP
    distances_at = numbers_at + number_height + _GAP
    title_at = distances_at + max(text_width(_distance(x), letters) for _, x, _ in stops) + 1.5 * _GAP
    tag_at = title_at + letters * 1.4 + _GAP
    top = tag_at + letters * 1.8 + _GAP
    box = Box(Point(-_PAST_ENDS, 0.0), Point(spec.scale.value + _PAST_ENDS, top))
    notches = [Notch(id=id, side=Side.BOTTOM, at=x, width=width, depth=depth) for _, x, id in stops]
    features: list[Feature] = [*plate(box, radius=_CORNER, notches=notches)]
    for name, x, id in stops:
        features.append(
            label(
                f"number.{id}",
                name,
                Point(x, numbers_at),
                height=number_height,
                anchor=Anchor.CENTRE_BASELINE,
            )
        )
        features.append(
            label(
                f"distance.{id}",
                _distance(x),
                Point(x, distances_at),
                height=letters,
                anchor=Anchor.LEFT_MIDDLE,
                angle=math.pi / 2.0,
            )
        )
    heading = (
        f"{spec.design.name} · {TITLE} · {scale_words(spec)}"
        f" · notch {width:.2f} mm for a {pin:.2f} mm pin · mm from the nut · notched edge to the pin"
    )
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *features,
            *_heading(heading, Box(Point(0.0, title_at), Point(spec.scale.value, tag_at)), letters),
        ),
        tag_box=Box(Point(0.0, tag_at), Point(spec.scale.value, top - _GAP)),
    )
    return (part,)


def _heading(text: str, room: Box, letters: float) -> tuple[Feature, ...]:
    height = min(letters * 1.4, room.width / text_width(text, 1.0))
    return (label("title", text, room.low, height=height, anchor=Anchor.LEFT_BASELINE),)


def _stops(layout: Layout) -> list[tuple[str, float, str]]:
    """What is lettered, distance from the nut, and feature id, from nut to saddle."""
    nut = "0" if layout.spec.zero_fret.value else "N"
    return [
        (nut, 0.0, "nut"),
        *((fret.label, fret.distance, f"fret.{fret.number}") for fret in layout.frets if fret.number > 0),
        ("S", layout.spec.scale.value, "saddle"),
    ]


def _distance(x: float) -> str:
    return f"{x:.2f}"


def _check_webs(stops: list[tuple[str, float, str]], width: float) -> None:
    for (_, left, before), (_, right, after) in pairwise(stops):
        web = right - left - width
        if web < _SMALLEST_WEB:
            raise LimitError(
                where=f"part {NAME}, between {before} and {after}",
                got=f"{web:.2f} mm of material left between two notches of {width:.2f} mm",
                expected=f"at least {_SMALLEST_WEB:.2f} mm",
                mend=f"Use an index pin of at most {right - left - _SMALLEST_WEB:.2f} mm less its clearance "
                "(tools.index-pin), or fewer frets",
            )

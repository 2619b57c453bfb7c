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
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.marks import label
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import Notch, Side, plate

NAME, TITLE = "fret-slot-guide", "Fret-slot guide"

_PAST_ENDS = 15.0
_CORNER = 3.0
_GAP = 1.5
_SMALLEST_WEB = 1.5  # acrylic left between two notches: thinner snaps at the pin (common practice)


def fret_slot_guide(layout: Layout, bench: Bench) -> Part:
    """Returns the part.

    Args:
        layout: Of the neck.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the index pin is too thick for the closest pair of frets.
    """
    spec = layout.spec
    pin, clearance = spec.tools.index_pin.value, spec.tools.pin_clearance.value
    width = pin + clearance
    depth = max(2.0 * pin, 3.0)
    stops = _stops(layout)
    _check_webs(stops, width)
    letters = bench.smallest_lettering_mm
    closest = min(after[1] - before[1] for before, after in pairwise(stops))
    widest = max(text_width(name, 1.0) for name, _, _ in stops)
    number_height = min(letters * 1.6, max(letters, (closest - _GAP / 2.0) / widest))
    numbers_at = depth + _GAP
    distances_at = numbers_at + number_height + _GAP
    distance_length = max(text_width(_distance(x), letters) for _, x, _ in stops)
    title_at = distances_at + distance_length + _GAP
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
        f"{spec.design.name} {bench.design_id} · {TITLE} · {spec.scale.value:.2f} mm scale"
        f" · notch {width:.2f} mm for a {pin:.2f} mm pin · mm from the front of the nut · this edge to the pin"
    )
    features.append(
        label("title", heading, Point(0.0, title_at), height=letters * 1.4, anchor=Anchor.LEFT_BASELINE)
    )
    return Part(
        name=NAME,
        title=TITLE,
        features=tuple(features),
        tag_box=Box(Point(0.0, tag_at), Point(spec.scale.value, top - _GAP)),
    )


def _stops(layout: Layout) -> list[tuple[str, float, str]]:
    """What is lettered, distance from the nut, and feature id, from nut to saddle."""
    return [
        ("N", 0.0, "nut"),
        *((str(fret.number), fret.distance, f"fret.{fret.number}") for fret in layout.frets),
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

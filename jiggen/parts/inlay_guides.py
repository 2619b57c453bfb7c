"""Drill guides for position dots: a plate for the board's face, a strip for its edge.

The plate lies on the board and is held by the two pins that hold board and neck together. The strip lies against the
bass edge, its end flush with the board's end at the nut and its upper side with the board's face, as the player sees it.
"""

import math
from collections.abc import Iterator

from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.caption import caption
from jiggen.parts.locating import locating_holes, locating_places
from jiggen.parts.marks import arrow, hole, label, scored
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate

FACE_NAME, FACE_TITLE = "inlay-guide", "Inlay guide"
SIDE_NAME, SIDE_TITLE = "side-dot-guide", "Side-dot guide"

_PAST = 8.0  # of the plate beyond the board
_PAST_DOT = 14.0  # of the strip beyond the last dot
_CORNER = 2.0
_GAP = 1.5
_TICK = 7.0  # of a fret's line in from the edge
_APART = 0.75  # from the middle of a double side dot to the middle between both, in diameters
_STRIP_CORNER = 0.5
_LEAST_WEB = 0.5  # from a hole to the strip's upper side


def unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have one; empty when it can."""
    return "" if neck.layout.inlays else "no fret of it is marked"


def _drill(layout: Layout, dot: float) -> float:
    """Diameter of the hole for a dot: that of a bushing if there are any, else of the dot, which the drill has too."""
    tools = layout.spec.tools
    return (tools.bushing.value if tools.bushing else dot) + tools.pin_clearance.value


def side_unsuited(neck: Neck) -> str:
    """Tells why a neck cannot have the strip for its edge; empty when it can."""
    inlays = neck.spec.inlays
    if unsuited(neck) or inlays.side_diameter is None or inlays.side_depth is None:
        return unsuited(neck)  # the missing number is named as one that is needed
    diameter, down = _drill(neck.layout, inlays.side_diameter.value), inlays.side_depth.value
    if down >= diameter / 2.0 + _LEAST_WEB:
        return ""
    return (
        f"its holes are {diameter:.2f} mm wide, and would run out of its upper side, only {down:.2f} mm above their"
        " middle: leave out tools.bushing, or give thinner ones"
    )


def inlay_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the plate for the face.

    Args:
        neck: That it is for, with marked frets; the dots' diameter is known.
        bench: Sets the lettering's height.
    """
    layout, letters = neck.layout, bench.smallest_lettering_mm
    dot = layout.spec.inlays.diameter.value if layout.spec.inlays.diameter else 0.0
    diameter = _drill(layout, dot)
    board = [end for line in (layout.board_start, layout.board_end) for end in (line.start, line.end)]
    low, high = min(end.y for end in board) - _PAST, max(end.y for end in board) + _PAST
    left, right = min(end.x for end in board) - _PAST, max(end.x for end in board) + _PAST
    text = caption(
        neck.spec,
        FACE_TITLE,
        _face_words(neck, dot),
        left=left + _PAST,
        top=low,
        width=right - left - 2.0 * _PAST,
        letters=letters,
    )
    part = Part(
        name=FACE_NAME,
        title=FACE_TITLE,
        features=(
            *plate(Box(Point(left, text.low - _GAP - _CORNER), Point(right, high)), radius=_CORNER),
            *locating_holes(layout),
            *(
                hole(f"dot.{inlay.fret}.{number}", centre, diameter)
                for inlay in layout.inlays
                for number, centre in enumerate(inlay.centres, start=1)
            ),
            *_board(layout),
            *_face_names(layout, diameter, letters),
            *text.features,
        ),
        tag_box=text.tag_box,
        lies_on_work=True,
    )
    return (part,)


def _face_words(neck: Neck, dot: float) -> tuple[str, ...]:
    tools = neck.spec.tools
    bushing = f" in {tools.bushing.value:.2f} mm bushings" if tools.bushing else ""
    frets = " and ".join(name for name, _ in locating_places(neck.layout))
    pins = f"{tools.locating_pin.value:.2f} mm pins in the slots of frets {frets}"
    return (f"{dot:.2f} mm drill{bushing} · {pins} · lines: board's edges, ends and frets",)


def _board(layout: Layout) -> Iterator[Feature]:
    """The board's edges and ends, and short lines where the frets meet its edges."""
    start, end = layout.board_start, layout.board_end
    yield scored("edge.bass", start.start, end.start)
    yield scored("edge.treble", start.end, end.end)
    yield scored("board-start", start.start, start.end)
    yield scored("board-end", end.start, end.end)
    for fret in layout.frets:
        whole = fret.line.end - fret.line.start  # of a partial fret it may be shorter than two ticks
        run = whole.unit() * min(_TICK, (whole.length() - _GAP) / 2.0)
        yield scored(f"fret.{fret.number}.bass", fret.line.start, fret.line.start + run)
        yield scored(f"fret.{fret.number}.treble", fret.line.end - run, fret.line.end)


def _face_names(layout: Layout, diameter: float, letters: float) -> Iterator[Feature]:
    """The fret's number over each dot's hole, or between two, and where the nut is."""
    for inlay in layout.inlays:
        middle = Point(
            sum(centre.x for centre in inlay.centres) / len(inlay.centres),
            sum(centre.y for centre in inlay.centres) / len(inlay.centres),
        )
        above = 0.0 if len(inlay.centres) > 1 else diameter / 2.0 + _GAP
        at = middle + Point(0.0, above)
        anchor = Anchor.CENTRE_BASELINE if above else Anchor.CENTRE_MIDDLE
        yield label(f"number.{inlay.fret}", str(inlay.fret), at, height=letters, anchor=anchor)
    yield from _nut_end(layout, letters)


def _nut_end(layout: Layout, letters: float) -> Iterator[Feature]:
    """An arrow to the board's end at the nut, and which side is which."""
    start = layout.board_start
    middle = Point(x_at(start, 0.0), 0.0)
    yield arrow("arrow.nut", middle + Point(3.0 * letters, 0.0), middle + Point(_GAP, 0.0))
    for name, end in (("bass", start.start), ("treble", start.end)):
        y = end.y - math.copysign(_TICK + _GAP, end.y)
        x = max(x_at(line, y + letters * side) for line in (start, layout.nut) for side in (-0.5, 0.5))
        at = Point(x + _GAP, y)
        yield label(f"name.{name}", name, at, height=letters, anchor=Anchor.LEFT_MIDDLE)


def side_dot_guide(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the strip for the bass edge, its upper side along the board's face; arguments as for `inlay_guide`."""
    layout, letters = neck.layout, bench.smallest_lettering_mm
    inlays = layout.spec.inlays
    dot = inlays.side_diameter.value if inlays.side_diameter else 0.0
    down = inlays.side_depth.value if inlays.side_depth else 0.0
    diameter = _drill(layout, dot)
    hand = (
        -1.0 if layout.spec.left_handed.value else 1.0
    )  # the player of a left-handed neck has the nut on the right
    start = layout.board_start.start
    far = max(start.distance(inlay.side) for inlay in layout.inlays) + _PAST_DOT
    numbers_at = -down - diameter / 2.0 - _GAP - letters
    text = caption(
        neck.spec,
        SIDE_TITLE,
        _side_words(neck, dot, down),
        left=_CORNER + _GAP if hand > 0.0 else _CORNER + _GAP - far,
        top=numbers_at - 2.0 * _GAP - letters,
        width=far - 2.0 * (_CORNER + _GAP),
        letters=letters,
    )
    ends = sorted((0.0, hand * far))
    box = Box(Point(ends[0], text.low - _CORNER), Point(ends[1], 0.0))
    features: list[Feature] = [*plate(box, radius=_STRIP_CORNER)]
    for inlay in layout.inlays:
        x = hand * start.distance(inlay.side)
        aside = _APART * diameter + 1.0
        places = (x - aside, x + aside) if len(inlay.centres) > 1 else (x,)
        features += [
            hole(f"dot.{inlay.fret}.{number}", Point(each, -down), diameter)
            for number, each in enumerate(places, start=1)
        ]
        features.append(
            label(
                f"number.{inlay.fret}",
                str(inlay.fret),
                Point(x, numbers_at),
                height=letters,
                anchor=Anchor.CENTRE_BASELINE,
            )
        )
    tip = Point(hand * 0.8, numbers_at - _GAP - letters / 2.0)
    tail = tip + Point(hand * 3.0 * letters, 0.0)
    features += [
        arrow("arrow.nut", tail, tip),
        label(
            "name.nut",
            "board's end at the nut",
            tail + Point(hand * _GAP, 0.0),
            height=letters,
            anchor=Anchor.LEFT_MIDDLE if hand > 0.0 else Anchor.RIGHT_MIDDLE,
        ),
        *text.features,
    ]
    return (Part(name=SIDE_NAME, title=SIDE_TITLE, features=tuple(features), tag_box=text.tag_box),)


def _side_words(neck: Neck, dot: float, down: float) -> tuple[str, ...]:
    tools = neck.spec.tools
    bushing = f" in {tools.bushing.value:.2f} mm bushings" if tools.bushing else ""
    return (
        f"{dot:.2f} mm drill{bushing} · far side flush with the board's face, dots {down:.2f} mm below it",
    )

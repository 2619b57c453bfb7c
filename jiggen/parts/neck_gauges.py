"""Neck profile gauges: half-templates of the neck's back, one for each side where the two differ.

A half can be slid on from the side at any stage of the carving. Its end stands on the ridge, the deepest line; its upper
end is level with the edge of the board's face.
"""

from jiggen.design.given import known
from jiggen.geometry.path import Arc, Line, Path, Segment
from jiggen.geometry.point import Point
from jiggen.layout.neck_back import HalfSection, half_sections
from jiggen.layout.places import fret_place, width_at
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import Caption, caption
from jiggen.parts.marks import arrow, label
from jiggen.parts.model import Bench, Feature, Part, Role
from jiggen.units import format_mm

NAME, TITLE = "neck-gauges", "Neck gauge"

_LEAST_WIDTH = 64.0  # leaves room for lettering, and for a hand
_INSET = 4.0  # from sides to lettering
_GAP = 2.0  # from the hollow to lettering
_ARROW, _ARROW_GAP = 6.0, 0.6
_CORNER = 3.0
_QUARTER_TURN = 0.41421356237309503  # tan(π / 8), the bulge of a rounded square corner
_TO_FACE = ("level with", "the face")


def neck_gauges(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns a gauge for each side of each fret that is asked for, nut to bridge.

    Args:
        neck: Whose depths are known.
        bench: Sets the lettering's height.

    Raises:
        InputError: If a fret is named that is not there.
        LimitError: If there is no room for the rounding.
    """
    return tuple(_gauge(neck, bench, section) for section in half_sections(neck.layout))


def _gauge(neck: Neck, bench: Bench, section: HalfSection) -> Part:
    letters = bench.smallest_lettering_mm
    arm = max(text_width(words, letters) for words in _TO_FACE) + 2.0 * _GAP
    on_ridge = _ARROW + 1.5 + text_width(_ridge(neck), letters) + _GAP
    width = max(section.half_width + arm, on_ridge, _LEAST_WIDTH)
    rim, floor = section.curve.start.y, -section.depth
    row = floor - _GAP - letters / 2.0  # of the words on the ridge
    block = _caption(neck, section, top=row - letters / 2.0 - _GAP, width=width, letters=letters)
    low = block.low - _GAP
    middle = (section.half_width + width) / 2.0
    return Part(
        name=f"neck-gauge-{_place(section.fret).replace(' ', '-')}-{section.sides}",
        title=f"{TITLE} {_place(section.fret)}",
        features=(
            Feature(id="outline", role=Role.EDGE, paths=(_outline(section, width, low),)),
            arrow("arrow.ridge", Point(_ARROW, row), Point(_ARROW_GAP, row)),
            label(
                "name.ridge",
                _ridge(neck),
                Point(_ARROW + 1.5, row),
                height=letters,
                anchor=Anchor.LEFT_MIDDLE,
            ),
            arrow("arrow.face", Point(middle, rim - _ARROW), Point(middle, rim - _ARROW_GAP)),
            *(
                label(
                    f"name.face.{number}",
                    words,
                    Point(middle, rim - _ARROW - 1.5 - 1.6 * letters * (number - 1)),
                    height=letters,
                    anchor=Anchor.CENTRE_TOP,
                )
                for number, words in enumerate(_TO_FACE, start=1)
            ),
            *block.features,
        ),
        tag_box=block.tag_box,
    )


def _place(fret: int) -> str:
    return f"fret {fret}" if fret else "nut"


def _ridge(neck: Neck) -> str:
    ridge = known(neck.spec.neck_back.ridge)
    if ridge == 0.0:
        return "end on the centre line"
    return f"{abs(ridge):.2f} mm off centre, to the {'bass' if ridge > 0.0 else 'treble'}"


def _caption(neck: Neck, section: HalfSection, *, top: float, width: float, letters: float) -> Caption:
    back, layout = neck.spec.neck_back, neck.layout
    whole = width_at(layout, fret_place(layout, section.fret, where="neck-back.frets"))
    shape = known(back.shape).value
    side = "turn over for the other side" if section.sides == "both" else f"{section.sides} side"
    words = [
        f"{side} · {shape.upper() if len(shape) == 1 else shape.replace('-v', ' V')}",
        f"{format_mm(section.depth)} deep · board {format_mm(known(back.board))} thick, {format_mm(whole)} wide",
    ]
    return caption(
        neck.spec,
        f"{TITLE} {_place(section.fret)}",
        words,
        left=_INSET,
        top=top,
        width=width - 2.0 * _INSET,
        letters=letters,
    )


def _outline(section: HalfSection, width: float, low: float) -> Path:
    """The plate round the back of half a neck, counter-clockwise from the edge of the board's face."""
    rim, ridge = section.curve.start, section.curve.end
    corners = (Point(ridge.x, low), Point(width, low), Point(width, rim.y))
    segments: list[Segment] = [*section.curve.segments]
    pen = ridge
    for corner, following in zip(corners, (*corners[1:], rim), strict=True):
        before = corner + (pen - corner).unit() * _CORNER
        after = corner + (following - corner).unit() * _CORNER
        segments += [Line(pen, before), Arc(before, after, _QUARTER_TURN)]
        pen = after
    return Path((*segments, Line(pen, rim)), closed=True)

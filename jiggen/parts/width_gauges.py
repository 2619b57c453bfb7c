"""Width gauges: for the board at nut, octave and end a notch that lets it in halfway when it is as wide as drawn.

The outer half of a notch is wider than the drawing by what the board may be off, the inner half narrower by as much:
a board that goes in and stops there is right. Along the other side are plain notches for thicknesses.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.design.accuracy import Kind, limits_of
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at
from jiggen.layout.model import Layout
from jiggen.layout.places import width_at
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor
from jiggen.parts.caption import caption
from jiggen.parts.marks import label
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import Notch, Side, plate

NAME, TITLE = "width-gauges", "Width gauges"

_DEPTH = 16.0  # of a notch, half of it to go in
_THICKNESSES = (
    2.0,
    3.0,
    4.0,
    5.0,
    6.0,
    7.0,
)  # mm: what is planed for boards, nuts and saddles (common practice)
_THICKNESS_DEPTH = 12.0
_WEB, _THIN_WEB = 12.0, 7.0
_CORNER = 3.0
_GAP = 1.5
_MARGIN = 5.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Width:
    """A width to gauge: feature id, words, nominal width and by how much the board may be off, mm."""

    id: str
    words: str
    width: float
    off: float

    @property
    def notch(self) -> float:
        return self.width + self.off


def width_gauges(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the part.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    widths = _widths(neck.layout)
    above, below = widths[:-1], widths[-1]
    upper_run = sum(each.notch + _WEB for each in above) + _WEB
    thick_run = sum(thickness + _THIN_WEB for thickness in _THICKNESSES) + _WEB
    length = max(upper_run, below.notch + _WEB * 2.0 + thick_run)
    inner = length - 2.0 * _MARGIN
    named = 2.0 * letters + 3.0 * _GAP
    text = caption(neck.spec, TITLE, _words(below.off), left=_MARGIN, top=0.0, width=inner, letters=letters)
    low = text.low - named - _DEPTH
    box = Box(Point(0.0, low), Point(length, named + _DEPTH))
    placed = _placed(above, _WEB)
    notches = [
        Notch(
            id=f"width.{each.id}",
            side=Side.TOP,
            at=at,
            width=each.notch,
            depth=_DEPTH,
            narrowed_to=each.width - each.off,
        )
        for each, at in placed
    ]
    end_at = _WEB + below.notch / 2.0
    notches.append(
        Notch(
            id=f"width.{below.id}",
            side=Side.BOTTOM,
            at=end_at,
            width=below.notch,
            depth=_DEPTH,
            narrowed_to=below.width - below.off,
        )
    )
    thick = _thicknesses(_WEB + below.notch + _WEB)
    notches += [
        Notch(id=f"thickness.{size:g}", side=Side.BOTTOM, at=at, width=size, depth=_THICKNESS_DEPTH)
        for size, at in thick
    ]
    part = Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER, notches=notches),
            *(name for each, at in placed for name in _name(each, at, named - _GAP, letters)),
            *_name(below, end_at, text.low - _GAP, letters),
            *(
                label(
                    f"name.thickness.{size:g}",
                    f"{size:g}",
                    Point(at, low + _THICKNESS_DEPTH + _GAP),
                    height=letters,
                    anchor=Anchor.CENTRE_BASELINE,
                )
                for size, at in thick
            ),
            *text.features,
        ),
        tag_box=text.tag_box,
    )
    return (part,)


def _widths(layout: Layout) -> list[_Width]:
    """Widths square across at the nut, at the octave where the board reaches it, and at the board's end."""
    limits = limits_of(layout.spec.design.accuracy)
    end = x_at(layout.board_end, 0.0)
    octave = layout.spec.scale.value / 2.0
    places = [("nut", "nut", 0.0), ("octave", "12th" if _has_twelfth(layout) else "octave", octave)]
    found = [place for place in places if place[2] < end] + [("end", "board end", end)]
    widths: list[_Width] = []
    for id, words, x in found:
        width = width_at(layout, x)
        widths.append(_Width(id=id, words=words, width=width, off=limits.limit_mm(Kind.OUTLINE, width)))
    return widths


def _has_twelfth(layout: Layout) -> bool:
    octave = layout.spec.scale.value / 2.0
    return any(fret.number == 12 and abs(fret.distance - octave) < 1e-6 for fret in layout.frets)


def _placed(widths: Sequence[_Width], start: float) -> list[tuple[_Width, float]]:
    placed: list[tuple[_Width, float]] = []
    x = start
    for each in widths:
        placed.append((each, x + each.notch / 2.0))
        x += each.notch + _WEB
    return placed


def _thicknesses(start: float) -> list[tuple[float, float]]:
    placed: list[tuple[float, float]] = []
    x = start
    for size in _THICKNESSES:
        placed.append((size, x + size / 2.0))
        x += size + _THIN_WEB
    return placed


def _name(each: _Width, at: float, top: float, letters: float) -> list[Feature]:
    rows = (("word", each.words, top), ("width", f"{each.width:.2f} mm", top - letters - _GAP))
    return [
        label(f"name.{each.id}.{row}", text, Point(at, y), height=letters, anchor=Anchor.CENTRE_TOP)
        for row, text, y in rows
    ]


def _words(off: float) -> tuple[str, ...]:
    return (
        f"width of the board: it must go into the outer half and stop at the step, ±{off:.2f} mm",
        "short notches: thickness in mm",
    )

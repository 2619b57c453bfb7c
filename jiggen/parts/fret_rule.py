"""The fret rule: one end goes to the nut, and every fret's line stands on an edge with its distance beside it.

The frets up to the octave are on one edge, those of the octave above it on the other, whether the neck has them or
not, so the same rule lays out a board, checks one, and shows where the saddle line lies. Where frets fan out there is
a rule for each outer string, since scales are measured along the strings.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from jiggen.design.fret_places import distance, remaining
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.worked_neck import Neck
from jiggen.lettering.fit import Anchor, text_width
from jiggen.parts.caption import caption
from jiggen.parts.marks import arrow, fitting_height, label, scored
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate
from jiggen.units import MM_PER_INCH

NAME, TITLE = "fret-rule", "Fret rule"

_CORNER = 1.0
_PAST_SADDLE = 12.0
_MARK, _LONG_MARK = 8.0, 12.0
_GAP = 1.2
_ROW_GAP = 2.4  # between the rows of distances
_LEFT = 13.0  # room for the arrow, and for the headings of the rows
_MARGIN = 2.5
_NEXT_OCTAVE = 0.25  # of the string is left there
_SAME = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mark:
    """A line of the rule: what it is called, its feature id, and how far from the nut it stands."""

    id: str
    name: str
    at: float
    long: bool = False


def fret_rule(neck: Neck, bench: Bench) -> tuple[Part, ...]:
    """Returns the rule, or one for each outer string where frets fan out.

    Args:
        neck: That it is for.
        bench: Sets the lettering's height.

    Raises:
        LimitError: If the frets of the first octave lie too near each other to be told apart.
    """
    spec, letters = neck.spec, bench.smallest_lettering_mm
    if not spec.fanned:
        return (_rule(neck, spec.scale.value, "", letters),)
    return (
        _rule(neck, spec.scale_bass.value, "bass", letters),
        _rule(neck, spec.scale_treble.value, "treble", letters),
    )


def _rule(neck: Neck, scale: float, side: str, letters: float) -> Part:
    upper, lower = _marks(neck, scale, letters)
    widest = max(text_width(_mm(mark.at), letters) for mark in (*upper, *lower))
    deep = _LONG_MARK + _GAP + 1.4 * letters + 2.0 * (_ROW_GAP + widest) + _GAP
    octave = lower[0].at
    title = f"{TITLE}, {side} string" if side else TITLE
    words = caption(
        neck.spec,
        title,
        _words(neck, scale, side),
        left=_LEFT,
        top=-_GAP,
        width=octave - _LEFT - 6.0 * letters,
        letters=letters,
    )
    low = min(words.low - _MARGIN, -_MARGIN)
    box = Box(Point(0.0, low), Point(scale + _PAST_SADDLE, deep))
    saddle = _Mark(id="saddle", name="saddle", at=scale, long=True)
    arrow_y = -_GAP - 0.7 * letters
    return Part(
        name=f"{NAME}-{side}" if side else NAME,
        title=title,
        features=(
            *plate(box, radius=_CORNER),
            *_edge(upper, box.high.y, -1.0, letters, "up"),
            *_edge(lower, box.low.y, 1.0, letters, "down"),
            _line(saddle, box.high.y, -1.0, "up"),
            label(
                "number.saddle.up",
                f"saddle line {_mm(scale)}",
                Point(scale - _GAP, box.high.y - _LONG_MARK),
                height=letters,
                anchor=Anchor.RIGHT_BASELINE,
            ),
            arrow("arrow.nut", Point(_LEFT - 2.0, arrow_y), Point(1.5, arrow_y)),
            *words.features,
        ),
        tag_box=words.tag_box,
        lies_on_work=True,
    )


def _words(neck: Neck, scale: float, side: str) -> tuple[str, ...]:
    start = "zero fret" if neck.spec.zero_fret.value else "nut"
    along = f"along the {side} string" if side else "along the centre line"
    return (
        f"this end to the {start} · {scale:.2f} mm scale · distances from the {start}, {along}",
        "far edge: up to the octave · near edge: the octave above it",
    )


def _marks(neck: Neck, scale: float, letters: float) -> tuple[list[_Mark], list[_Mark]]:
    """The frets up to the octave, and from the octave to the next one, as far as they can be told apart.

    Raises:
        LimitError: If those of the first octave cannot.
    """
    spec = neck.spec
    rule, names = spec.fret_rule.value, {fret.number: fret.label for fret in neck.layout.frets}
    closest = letters + 2.0 * _GAP
    upper: list[_Mark] = []
    lower: list[_Mark] = []
    before = 0.0
    for number in range(1, spec.frets.value + 100):
        left, at = remaining(rule, number), distance(rule, scale, number)
        if at - before < closest:
            if not lower:
                raise LimitError(
                    where=f"part {NAME}, fret {number}",
                    got=f"{at - before:.2f} mm to the fret before it",
                    expected=f"at least {closest:.2f} mm, so that both can be numbered",
                    mend="Leave this part out, or choose a machine that can letter smaller",
                )
            break
        if left < _NEXT_OCTAVE - _SAME and number > spec.frets.value:
            break
        name = names.get(number, str(number))
        octave = abs(left - 0.5) < _SAME
        mark = _Mark(id=f"fret.{number}", name=name, at=at, long=octave)
        if left >= 0.5 - _SAME:
            upper.append(mark)
        if left <= 0.5 + _SAME:
            lower.append(mark)
        before = at
    return upper, lower


def _edge(marks: list[_Mark], edge: float, inward: float, letters: float, way: str) -> Iterator[Feature]:
    """Lines of one edge, their names, and below them the distances in mm and in inches, each in a row."""
    closest = min(after.at - before.at for before, after in pairwise(marks))
    height = fitting_height([mark.name for mark in marks], closest, largest=1.4 * letters, smallest=letters)
    widest = max(text_width(_mm(mark.at), letters) for mark in marks)
    names_at = edge + inward * (_LONG_MARK + _GAP)
    mm_at = names_at + inward * (1.4 * letters + _ROW_GAP)
    inches_at = mm_at + inward * (widest + _ROW_GAP)
    for mark in marks:
        yield _line(mark, edge, inward, way)
        yield label(
            f"number.{mark.id}.{way}",
            mark.name,
            Point(mark.at, names_at),
            height=height,
            anchor=Anchor.CENTRE_TOP if inward < 0.0 else Anchor.CENTRE_BASELINE,
        )
        if mark.long and way == "up":
            continue  # the octave's distances stand on the other edge
        for row, text, y in (("mm", _mm(mark.at), mm_at), ("inch", _inch(mark.at), inches_at)):
            yield _turned(f"{row}.{mark.id}.{way}", text, Point(mark.at, y), inward, letters)
    ahead = marks[0].at - 2.6 * letters
    for row, y in (("mm", mm_at), ("in", inches_at)):
        yield _turned(f"heading.{row}.{way}", row, Point(ahead, y), inward, letters)


def _turned(id: str, text: str, at: Point, inward: float, letters: float) -> Feature:
    """Lettering that reads upward, from a place inward."""
    anchor = Anchor.RIGHT_MIDDLE if inward < 0.0 else Anchor.LEFT_MIDDLE
    return label(id, text, at, height=letters, anchor=anchor, angle=math.pi / 2.0)


def _line(mark: _Mark, edge: float, inward: float, way: str) -> Feature:
    start, end = Point(mark.at, edge), Point(mark.at, edge + inward * (_LONG_MARK if mark.long else _MARK))
    return scored(f"{mark.id}.{way}", start, end, datum=Line(start, end))


def _mm(at: float) -> str:
    return f"{at:.2f}"


def _inch(at: float) -> str:
    return f"{at / MM_PER_INCH:.3f}"

"""The nut rule: string centres for the nut on one edge and for the saddle on the other, with graduations beside.

The marks run to the edge, so that a knife can carry them over. The graduations in mm and inches are there to check
the cut rule, and anything else, against a rule that is trusted.
"""

from jiggen.geometry.box import Box
from jiggen.geometry.path import Line
from jiggen.geometry.point import Point
from jiggen.layout.model import Layout
from jiggen.lettering.fit import Anchor
from jiggen.parts.marks import label, scored, string_on_centre
from jiggen.parts.model import Bench, Feature, Part
from jiggen.parts.plate import plate
from jiggen.units import MM_PER_INCH

NAME, TITLE = "nut-rule", "Nut rule"

_MARGIN = 8.0
_CORNER = 1.5
_TEXT_INSET = 3.0
_MARK = 7.0  # a string's line
_LONG_MARK = 10.0  # board edges and centre line
_MM_SPAN = 60  # mm graduated
_INCH_SPAN = 2.5  # inches graduated
_PER_INCH = 16
_BETWEEN = 14.0  # from the widest string marks to the graduations


def nut_rule(layout: Layout, bench: Bench) -> Part:
    """Returns the part; its x is the layout's y, zero on the centre line.

    Args:
        layout: Of the neck.
        bench: Sets the lettering's height.
    """
    letters = bench.smallest_lettering_mm
    half = max(layout.saddle.end.y, layout.nut.end.y)
    row = 2.0 * letters
    height = 2.0 * _LONG_MARK + 4.0 * row + letters
    zero = half + _BETWEEN
    box = Box(
        Point(-half - _MARGIN, 0.0),
        Point(zero + max(_MM_SPAN, _INCH_SPAN * MM_PER_INCH) + _MARGIN, height),
    )
    first_row = height - _LONG_MARK - 2.0 * letters
    baselines = [first_row - row * index for index in range(4)]
    tag_box = Box(
        Point(box.low.x + _TEXT_INSET, baselines[2] - 0.3 * letters),
        Point(box.high.x - _TEXT_INSET, baselines[2] + 1.3 * letters),
    )
    return Part(
        name=NAME,
        title=TITLE,
        features=(
            *plate(box, radius=_CORNER),
            *_string_marks(layout, "nut", layout.nut, edge=box.high.y, inward=-1.0, letters=letters),
            *_string_marks(layout, "saddle", layout.saddle, edge=box.low.y, inward=1.0, letters=letters),
            *_millimetres(zero, box.high.y, letters),
            *_inches(zero, box.low.y, letters),
            *_words(layout, bench, box.low.x + _TEXT_INSET, baselines),
        ),
        tag_box=tag_box,
    )


def _string_marks(
    layout: Layout, place: str, across: Line, *, edge: float, inward: float, letters: float
) -> list[Feature]:
    def mark(id: str, x: float, length: float) -> Feature:
        return scored(id, Point(x, edge), Point(x, edge + inward * length))

    features = [
        mark(f"edge.bass.{place}", across.start.y, _LONG_MARK),
        mark(f"edge.treble.{place}", across.end.y, _LONG_MARK),
    ]
    if not any(string_on_centre(string) for string in layout.strings):
        features.append(mark(f"centre.{place}", 0.0, _LONG_MARK))
    anchor = Anchor.CENTRE_TOP if inward < 0.0 else Anchor.CENTRE_BASELINE
    for string in layout.strings:
        x = string.line.start.y if place == "nut" else string.line.end.y
        features.append(mark(f"string.{string.number}.{place}", x, _MARK))
        features.append(
            label(
                f"number.{string.number}.{place}",
                str(string.number),
                Point(x, edge + inward * (_MARK + 0.8)),
                height=letters,
                anchor=anchor,
            )
        )
    return features


def _millimetres(zero: float, edge: float, letters: float) -> list[Feature]:
    features: list[Feature] = []
    for mm in range(_MM_SPAN + 1):
        length = 6.0 if mm % 10 == 0 else 4.5 if mm % 5 == 0 else 3.0
        x = zero + mm
        features.append(scored(f"mm.{mm}", Point(x, edge), Point(x, edge - length)))
        if mm % 10 == 0:
            at = Point(x, edge - length - 0.8)
            number = f"{mm}{'' if mm else ' mm'}"
            features.append(label(f"mm.{mm}.number", number, at, height=letters, anchor=Anchor.CENTRE_TOP))
    return features


def _inches(zero: float, edge: float, letters: float) -> list[Feature]:
    features: list[Feature] = []
    for tick in range(int(_INCH_SPAN * _PER_INCH) + 1):
        length = next(
            size for step, size in ((16, 6.0), (8, 5.0), (4, 4.2), (2, 3.4), (1, 2.6)) if tick % step == 0
        )
        x = zero + tick * MM_PER_INCH / _PER_INCH
        features.append(scored(f"inch.{tick}-{_PER_INCH}", Point(x, edge), Point(x, edge + length)))
        if tick % _PER_INCH == 0:
            at = Point(x, edge + length + 0.8)
            number = f"{tick // _PER_INCH}{'' if tick else ' in'}"
            features.append(
                label(
                    f"inch.{tick}-{_PER_INCH}.number",
                    number,
                    at,
                    height=letters,
                    anchor=Anchor.CENTRE_BASELINE,
                )
            )
    return features


def _words(layout: Layout, bench: Bench, left: float, baselines: list[float]) -> list[Feature]:
    spec, letters = layout.spec, bench.smallest_lettering_mm

    def place(name: str, spread: float, board: float) -> str:
        return f"{name}: outer strings {spread:.2f} mm · long marks: board {board:.2f} mm and its centre"

    rows = (
        ("nut", place("nut", spec.spread_at_nut.value, spec.nut_width.value), baselines[0], letters),
        ("title", f"{spec.design.name} {bench.design_id} · {TITLE}", baselines[1], letters * 1.4),
        (
            "saddle",
            place("saddle", spec.spread_at_bridge.value, spec.width_at_saddle.value),
            baselines[3],
            letters,
        ),
    )
    return [
        label(f"words.{id}", text, Point(left, y), height=height, anchor=Anchor.LEFT_BASELINE)
        for id, text, y, height in rows
    ]

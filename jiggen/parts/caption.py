"""The words on a part that has no whole spec on it: a heading, what to know to use it, and room for the tag below.

All lettering of a part that is not beside a mark goes through here, row under row, so that none touches another.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from jiggen.design.spec import Spec
from jiggen.geometry.box import Box
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor, block_height, rise, text_width, wrap_text
from jiggen.parts.marks import label
from jiggen.parts.model import Feature

_TITLE = 1.4  # height of the heading over that of the rest
_PITCH = 1.7  # from row to row, in heights of capitals: ISO 3098 asks for 1.5 without accents
_SAFE = 1.0 - 1e-9  # leaves rounding on the safe side, so that what just fits does fit
_GAP = 0.8  # between heading, rows and tag, in heights of capitals
_SPARE = 0.1  # of a tag's room beyond the ink of words that stand for it, in heights of capitals


@dataclass(frozen=True, slots=True, kw_only=True)
class Caption:
    """Lettering in a column.

    Attributes:
        features: The heading `title` and the rows `words.1` and on.
        tag_box: Room below them.
        low: y of the lower side of it all.
    """

    features: tuple[Feature, ...]
    tag_box: Box
    low: float


def caption(
    spec: Spec, title: str, words: Sequence[str], *, left: float, top: float, width: float, letters: float
) -> Caption:
    """Returns heading, words and room for the tag, from a place downward.

    Args:
        spec: Of the design, whose name goes into the heading.
        title: Of the part.
        words: What to know; each starts on a row of its own, and breaks as it must.
        left: x of its left side, mm.
        top: y of its upper side.
        width: That it may take.
        letters: Height of capitals.

    Raises:
        LimitError: If a single word is wider than that.
    """
    where = f"lettering of part {title}"
    heading = f"{spec.design.name} · {title}"
    size = max(heading_size(heading, width, letters), letters)
    headings = wrap_text(heading, width, size * _SAFE, where=where)
    y = top - rise(headings[0], size)
    features = [label("title", headings[0], Point(left, y), height=size, anchor=Anchor.LEFT_BASELINE)]
    for number, row in enumerate(headings[1:], start=2):
        y -= _PITCH * size
        features.append(
            label(f"title.{number}", row, Point(left, y), height=size, anchor=Anchor.LEFT_BASELINE)
        )
    y -= _GAP * letters
    rows = [row for each in words for row in wrap_text(each, width, letters, where=where)]
    for number, row in enumerate(rows, start=1):
        y -= letters if number == 1 else _PITCH * letters
        features.append(
            label(f"words.{number}", row, Point(left, y), height=letters, anchor=Anchor.LEFT_BASELINE)
        )
    high = y - _GAP * letters
    low = high - tag_height(spec, width, letters)
    return Caption(
        features=tuple(features), tag_box=Box(Point(left, low), Point(left + width, high)), low=low
    )


def heading_size(heading: str, width: float, letters: float) -> float:
    """Returns the height of capitals of a heading at some width, mm; less than `letters` where it does not fit."""
    return min(_TITLE * letters, width / text_width(heading, 1.0))


def rows_height(rows: int, letters: float) -> float:
    """Returns the height of rows one below the other, mm."""
    return (1.0 + _PITCH * (rows - 1)) * letters if rows else 0.0


def tag_height(spec: Spec, width: float, letters: float) -> float:
    """Returns the height of the room that a tag of this design needs at some width, mm.

    Raises:
        LimitError: If a single word of it is wider than that.
    """
    return height_of_tag(_tag_like(spec), width, letters)


def height_of_tag(text: str, width: float, letters: float) -> float:
    """Returns the height of the room that a tag needs at some width, mm, once its text is known.

    Raises:
        LimitError: If a single word of it is wider than that.
    """
    rows = wrap_text(text, width, letters, where="tag")
    usual = (1.5 * len(rows) + (0.3 if len(rows) == 1 else 0.8)) * letters
    return max(usual, block_height(rows, letters, where="tag") + _SPARE * letters)


def _tag_like(spec: Spec) -> str:
    """Words at least as long as those of the tag will be, most of which only the shop knows."""
    make = spec.make
    items = (
        f"{spec.design.name} DDDD-DDDD",
        "0.6 mm hardwood veneer",
        "kerf 0.20",
        "size ×1.00000/1.00000"
        if make.cut_degc or make.use_degc or make.cut_humidity or make.use_humidity
        else "",
        "cut 20 use 20 °C" if make.cut_degc or make.use_degc else "",
        "cut 50 use 50 % RH" if make.cut_humidity or make.use_humidity else "",
        "marks under",
        "router pattern: guide 17 bit 12" if make.guide else "",
        spec.design.date,
        "jiggen 10.10.10",
    )
    return " · ".join(filter(None, items))

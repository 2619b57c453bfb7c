"""Lettering in mm: a line at a point, or a block that keeps within a box. Text reads along +x, y is up.

Heights are those of capitals over the ink, pen included, as ISO 3098 counts them. A text is set in whole font
units first, so its layout is the same on every machine; millimetres come last.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from functools import cache

from jiggen.errors import InputError, LimitError, quoted
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import Similarity
from jiggen.lettering.glyphs import PEN, UNITS
from jiggen.lettering.setting import SetLine, set_line
from jiggen.lettering.wrap import wrap

#: From baseline to baseline, in font units: 1.5 h, or 1.9 h where a line has something above its capitals.
#: Source: ISO 3098 type B, spacing of lines without and with accents.
PITCH, ACCENTED_PITCH = 150, 190
#: Ink above this, in font units, is an accented capital or a fraction, not just a bracket.
_ABOVE_CAPITALS = 120
#: Leaves rounding on the safe side, so that what just fits does fit.
_SAFE = 1.0 - 1e-12

_QUARTERS = (Point(1.0, 0.0), Point(0.0, 1.0), Point(-1.0, 0.0), Point(0.0, -1.0))


class Anchor(Enum):
    """Which place of a text is put on a point, or to which side of a box a block goes.

    Across it is a side or the centre; upward the baseline, half the height of a capital, or the top of one. In
    a box, where all ink has to be inside, BASELINE is the lower side.
    """

    LEFT_BASELINE = (0.0, 0.0)
    CENTRE_BASELINE = (0.5, 0.0)
    RIGHT_BASELINE = (1.0, 0.0)
    LEFT_MIDDLE = (0.0, 0.5)
    CENTRE_MIDDLE = (0.5, 0.5)
    RIGHT_MIDDLE = (1.0, 0.5)
    LEFT_TOP = (0.0, 1.0)
    CENTRE_TOP = (0.5, 1.0)
    RIGHT_TOP = (1.0, 1.0)

    @property
    def across(self) -> float:
        """0 is left, 1 is right."""
        return self.value[0]

    @property
    def up(self) -> float:
        """0 is below, 1 is above."""
        return self.value[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """A text as strokes.

    Attributes:
        text: As it was given; lines are parted by line breaks.
        height_mm: Of capitals, over the ink.
        paths: The pen's centre lines.
        box: Upright bounds of the ink, with half a pen (height / 20) around the centre lines.
    """

    text: str
    height_mm: float
    paths: tuple[Path, ...]
    box: Box


@dataclass(frozen=True, slots=True)
class _Block:
    """Lines set one below the other, in font units: each with the place where it starts; and the ink's bounds."""

    lines: tuple[tuple[SetLine, Point], ...]
    ink: Box

    @property
    def text(self) -> str:
        return "\n".join(line.text for line, _ in self.lines)


def text_width(text: str, height_mm: float, *, where: str = "lettering", fractions: bool = True) -> float:
    """Returns the width of a line in mm, ink to ink, figures counted at their common width; 0 for no text.

    Args:
        text: One line.
        height_mm: Of capitals.
        where: The place of the text, for messages.
        fractions: Whether figures slash figures are set as a fraction.

    Raises:
        InputError: If the lettering lacks a character.
    """
    return set_line(text, where=where, fractions=fractions).width * height_mm / UNITS


def rise(text: str, height_mm: float, *, where: str = "lettering") -> float:
    """Returns how high a line stands above its baseline in mm: its capitals, or accents and fractions above these.

    Args:
        text: One line.
        height_mm: Of capitals.
        where: The place of the text, for messages.

    Raises:
        InputError: If the lettering lacks a character.
    """
    ink = set_line(text, where=where, fractions=True).ink
    top = ink.high.y if ink is not None and ink.high.y > _ABOVE_CAPITALS else float(UNITS)
    return top * height_mm / UNITS


def block_height(lines: Sequence[str], height_mm: float, *, where: str = "lettering") -> float:
    """Returns the height of lines one below the other in mm, ink to ink.

    Args:
        lines: As `wrap_text` breaks them.
        height_mm: Of capitals.
        where: The place of the text, for messages.

    Raises:
        InputError: If the lettering lacks a character, or there is nothing to letter.
    """
    set_lines = [set_line(line, where=where, fractions=True) for line in lines]
    return _block(set_lines, Anchor.LEFT_TOP, where).ink.height * height_mm / UNITS


def letter(
    text: str,
    *,
    height_mm: float,
    at: Point,
    anchor: Anchor = Anchor.CENTRE_MIDDLE,
    angle: float = 0.0,
    where: str,
    fractions: bool = True,
) -> Lettering:
    """Returns one line of text at a point.

    Args:
        text: Without line breaks. A straight quote after a figure becomes an inch mark ″, an apostrophe there a
            foot mark ′.
        height_mm: Of capitals, over the ink; positive.
        at: Where the anchor goes, in mm.
        anchor: The place of the text that goes there.
        angle: Turn about `at`, in radians, counter-clockwise; quarter turns are exact.
        where: The place of the text, for messages.
        fractions: Whether figures slash figures (11/64, 1-11/64) are set as a fraction; dates of two figures
            (12/11) may want False.

    Raises:
        InputError: If the lettering lacks a character, or there is nothing to letter.
    """
    line = set_line(text, where=where, fractions=fractions)
    block = _block((line,), Anchor.LEFT_BASELINE, where)
    turn = _turn(angle) * (_checked(height_mm) / UNITS)
    place = Similarity(cosine=turn.x, sine=turn.y)
    corner = place.point(Point(anchor.across * line.width, anchor.up * UNITS))
    return _lettering(block, height_mm, Similarity(cosine=turn.x, sine=turn.y, shift=at - corner))


def fit_text(
    text: str | Sequence[str],
    *,
    box: Box,
    largest_mm: float,
    smallest_mm: float,
    where: str,
    align: Anchor = Anchor.LEFT_TOP,
    angle: float = 0.0,
    fractions: bool = True,
) -> Lettering:
    """Returns lines of text as large as they can be with all their ink inside a box.

    Args:
        text: The lines, in one text with line breaks or one by one.
        box: Room for the ink, in mm.
        largest_mm: Height of capitals that is not to be exceeded.
        smallest_mm: Height of capitals below which nobody could read it.
        where: The place of the text, for messages.
        align: To which side the lines and the whole block go, as one reads them.
        angle: A whole number of quarter turns, in radians, counter-clockwise.
        fractions: Whether figures slash figures are set as a fraction.

    Raises:
        InputError: If the lettering lacks a character, or there is nothing to letter.
        LimitError: If the text does not fit even at `smallest_mm`.
        ValueError: If `angle` is not a quarter turn or a height not positive.
    """
    lines = text.split("\n") if isinstance(text, str) else text
    block = _block([set_line(line, where=where, fractions=fractions) for line in lines], align, where)
    turn = _quarter_turn(angle)
    height = _height(
        block, _largest(block, box, turn), box, largest=largest_mm, smallest=smallest_mm, where=where
    )
    return _lettering_in(block, height, box, turn, align)


def fit_paragraph(
    text: str,
    *,
    box: Box,
    largest_mm: float,
    smallest_mm: float,
    where: str,
    align: Anchor = Anchor.LEFT_TOP,
    angle: float = 0.0,
    fractions: bool = True,
) -> Lettering:
    """Returns a text broken into such lines that it is as large as it can be with all its ink inside a box.

    It is broken as `wrap_text` does. Arguments and errors are those of `fit_text`.
    """
    turn = _quarter_turn(angle)

    @cache
    def line_of(words: str) -> SetLine:
        return set_line(words, where=where, fractions=fractions)

    blocks = [
        _block([line_of(line) for line in lines], align, where)
        for lines in _all_wraps(text, lambda words: line_of(words).width)
    ]
    sizes = [_largest(block, box, turn) for block in blocks]
    fits, block = max(zip(sizes, blocks, strict=True), key=lambda each: min(each[0], largest_mm))
    height = _height(block, fits, box, largest=largest_mm, smallest=smallest_mm, where=where)
    return _lettering_in(block, height, box, turn, align)


def wrap_text(
    text: str, width_mm: float, height_mm: float, *, where: str = "lettering", fractions: bool = True
) -> tuple[str, ...]:
    """Returns a text broken into lines that are at most `width_mm` wide in letters of `height_mm`.

    Breaks come at spaces and at ` · `, whose dot then goes; an item between two dots stays whole if it fits on a
    line, and so does a whole number with its fraction.

    Raises:
        InputError: If the lettering lacks a character.
        LimitError: If a single word is wider than that.
    """

    def width(line: str) -> float:
        return text_width(line, height_mm, where=where, fractions=fractions)

    lines = wrap(text, lambda line: width(line) <= width_mm)
    widest = max(lines, key=width)
    if width(widest) > width_mm:
        raise LimitError(
            where=where,
            got=f"{quoted(widest)}, {width(widest):.2f} mm wide in {height_mm:.2f} mm letters",
            expected=f"words that fit in {width_mm:.2f} mm",
            mend="Shorten the word, make more room for it, or letter smaller",
        )
    return lines


def _all_wraps(text: str, width: Callable[[str], int]) -> Iterator[tuple[str, ...]]:
    """Yields every way in which a text breaks as its room gets narrower, down to its widest word."""
    room: float = math.inf
    while True:
        lines = _wrapped(text, width, room)
        widest = max(map(width, lines))
        if widest > room:
            return
        yield lines
        room = widest - 1


def _wrapped(text: str, width: Callable[[str], int], room: float) -> tuple[str, ...]:
    return wrap(text, lambda line: width(line) <= room)


def _block(lines: Sequence[SetLine], align: Anchor, where: str) -> _Block:
    """Sets lines one below the other, ranged as `align` says.

    Raises:
        InputError: If none has any ink.
    """
    inks = [line.ink for line in lines if line.ink is not None]
    if not inks:
        raise InputError(where=where, got="no text", expected="something to letter")
    pitch = ACCENTED_PITCH if any(ink.high.y > _ABOVE_CAPITALS for ink in inks) else PITCH
    width = max(line.width for line in lines)
    placed = tuple(
        (line, Point(align.across * (width - line.width), -float(pitch * number)))
        for number, line in enumerate(lines)
    )
    boxes = [Box(line.ink.low + at, line.ink.high + at) for line, at in placed if line.ink is not None]
    return _Block(placed, around(boxes))


def _largest(block: _Block, box: Box, turn: Point) -> float:
    """The height of capitals, in mm, at which a block just fits in a box."""
    ink = _moved(block.ink, Similarity(cosine=turn.x, sine=turn.y))
    return min(box.width / ink.width, box.height / ink.height) * UNITS * _SAFE


def _height(block: _Block, fits: float, box: Box, *, largest: float, smallest: float, where: str) -> float:
    """The height to letter a block at, given the one at which it just fits.

    Raises:
        LimitError: If that is less than the smallest.
    """
    if not _checked(smallest) <= _checked(largest):
        raise ValueError(f"no height from {smallest} to {largest} mm")
    if fits < smallest:
        raise LimitError(
            where=where,
            got=f"{quoted(block.text)} in letters of {smallest:.2f} mm",
            expected=f"something that fits in {box.width:.2f} × {box.height:.2f} mm",
            mend=f"Letters of {math.floor(fits * 100.0) / 100.0:.2f} mm would fit. "
            "Shorten the text, make more room for it, or letter smaller",
        )
    return min(fits, largest)


def _lettering_in(block: _Block, height: float, box: Box, turn: Point, align: Anchor) -> Lettering:
    """Letters a block at a height at which it fits, on the side of the box that `align` says."""
    turn_and_scale = Similarity(cosine=turn.x * height / UNITS, sine=turn.y * height / UNITS)
    ink = _moved(block.ink, turn_and_scale)
    # Where the block goes in what room is left, from the middle: as it is read, then as it lies.
    read = Point(align.across - 0.5, align.up - 0.5)
    lies = Similarity(cosine=turn.x, sine=turn.y).point(read)
    low = Point(
        box.low.x + (box.width - ink.width) * (lies.x + 0.5),
        box.low.y + (box.height - ink.height) * (lies.y + 0.5),
    )
    return _lettering(block, height, turn_and_scale.then(Similarity(shift=low - ink.low)))


def _lettering(block: _Block, height: float, place: Similarity) -> Lettering:
    paths = tuple(_paths(block, place))
    half_pen = PEN / 2.0 * height / UNITS
    return Lettering(
        text=block.text, height_mm=height, paths=paths, box=around(map(bounds, paths)).grown(half_pen)
    )


def _paths(block: _Block, place: Similarity) -> Iterator[Path]:
    for line, at in block.lines:
        for glyph, x in line.glyphs:
            # The ink, not the pen's centre, starts at the line's left and on its baseline.
            origin = Point(at.x + x + PEN / 2.0, at.y + PEN / 2.0)
            move = Similarity(cosine=place.cosine, sine=place.sine, shift=place.point(origin))
            yield from map(move.path, glyph.strokes)


def _moved(box: Box, place: Similarity) -> Box:
    """Where a box goes under a map that turns by quarters."""
    return Box.spanning(place.point(box.low), place.point(box.high))


def _turn(angle: float) -> Point:
    """The direction of `angle`, exact for quarter turns."""
    quarters = angle / (math.pi / 2.0)
    whole = round(quarters)
    if abs(quarters - whole) < 1e-12:
        return _QUARTERS[whole % 4]
    return Point(math.cos(angle), math.sin(angle))


def _quarter_turn(angle: float) -> Point:
    turn = _turn(angle)
    if turn not in _QUARTERS:
        raise ValueError(f"a block keeps within a box at quarter turns only, got {angle} rad")
    return turn


def _checked(height: float) -> float:
    if not (math.isfinite(height) and height > 0.0):
        raise ValueError(f"letters need a positive height, got {height} mm")
    return height

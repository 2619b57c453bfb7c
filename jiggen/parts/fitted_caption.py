"""The caption on a part of any shape: heading, words and tag, together or apart, where there is room for them."""

import math
from collections.abc import Iterator, Sequence
from functools import partial

from jiggen.design.spec import Spec
from jiggen.errors import LimitError
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path, rectangle
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor, rise, text_width, wrap_text
from jiggen.parts.caption import Caption, caption, heading_size, rows_height, tag_height
from jiggen.parts.marks import label
from jiggen.parts.model import Feature, Role
from jiggen.parts.room import Room

_GAP = 1.5  # mm, from lettering to anything else
_ASIDE = (
    1.0  # more beside words where there is room, in heights of capitals, so that none seem to go on from them
)
_BETWEEN = 0.8  # between heading, words and tag, in heights of capitals, as in a caption


def fitted_caption(
    spec: Spec, title: str, words: Sequence[str], drawn: Sequence[Feature], *, letters: float
) -> Caption:
    """Returns a caption where a part has room for it: in one place, or row by row wherever there is some.

    Args:
        spec: Of the design.
        title: Of the part.
        words: As in `caption`.
        drawn: All that is on the part already, its edge among it.
        letters: Height of capitals.

    Raises:
        LimitError: If there is no room.
    """
    try:
        return _Fitting(spec, title, words, drawn, letters, aside=_ASIDE * letters).caption()
    except LimitError:  # on a small part words may come as near to others as anything
        return _Fitting(spec, title, words, drawn, letters, aside=0.0).caption()


class _Fitting:
    def __init__(
        self,
        spec: Spec,
        title: str,
        words: Sequence[str],
        drawn: Sequence[Feature],
        letters: float,
        *,
        aside: float,
    ) -> None:
        outline = next(feature.paths[0] for feature in drawn if feature.role is Role.EDGE)
        self.room = Room(
            outline,
            (path for feature in drawn for path in _kept_off(feature, aside)),
            gap_mm=_GAP,
            cut=(
                path
                for feature in drawn
                if feature.role is Role.OPENING and feature.cut_in is None
                for path in feature.paths
            ),
        )
        self.spec, self.title, self.words, self.letters = spec, title, words, letters
        self.is_roomy = aside > 0.0
        self.heading = f"{spec.design.name} · {title}"

    def caption(self) -> Caption:
        box = self.room.take(self._height_at, self._least_area())
        if box is not None:
            return caption(
                self.spec,
                self.title,
                self.words,
                left=box.low.x,
                top=box.high.y,
                width=box.width,
                letters=self.letters,
            )
        tag = self._taken(self.room.take(self._tag_height))
        features = tuple(self._apart())
        return Caption(features=features, tag_box=tag, low=tag.low.y)

    def _least_area(self) -> float:
        """What all of it covers at the very least, mm²."""
        whole = sum(text_width(words, self.letters) for words in (self.heading, *self.words))
        return whole * self.letters

    def _height_at(self, width: float) -> float:
        """Of all of it, one below the other."""
        try:
            rows = sum(len(wrap_text(words, width, self.letters)) for words in self.words)
        except LimitError:
            return math.inf
        parts = (
            self._heading_height(width),
            rows_height(rows, self.letters),
            self._tag_height(width),
        )
        return sum(parts) + 2.0 * _BETWEEN * self.letters

    def _tag_height(self, width: float) -> float:
        try:
            return tag_height(self.spec, width, self.letters)
        except LimitError:
            return math.inf

    def _heading_height(self, width: float) -> float:
        size = heading_size(self.heading, width, self.letters)
        return rise(self.heading, size) if size >= self.letters else math.inf

    def _low_heading_height(self, width: float) -> float:
        if self._heading_height(width) == math.inf:
            return math.inf
        return (
            rise(self.heading, self.letters) if self.is_roomy else self.letters
        )  # accents then stand in the gap

    def _words_height(self, words: str, width: float) -> float:
        try:
            return rows_height(len(wrap_text(words, width, self.letters)), self.letters)
        except LimitError:
            return math.inf

    def _apart(self) -> Iterator[Feature]:
        """Heading and words, each where there is room."""
        box = self._taken(self.room.take(self._low_heading_height))
        size = min(heading_size(self.heading, box.width, self.letters), self.letters)
        yield label("title", self.heading, box.low, height=size, anchor=Anchor.LEFT_BASELINE)
        number = 0
        for words in self.words:
            box = self._taken(self.room.take(partial(self._words_height, words)))
            for row, text in enumerate(wrap_text(words, box.width, self.letters)):
                number += 1
                at = Point(box.low.x, box.high.y - rows_height(row + 1, self.letters))
                yield label(f"words.{number}", text, at, height=self.letters, anchor=Anchor.LEFT_BASELINE)

    def _taken(self, box: Box | None) -> Box:
        if box is None:
            raise LimitError(
                where=f"part {self.title}",
                got=f"no room for its words and its tag in letters of {self.letters:.1f} mm",
                expected="room beside what is drawn on it",
                mend="Choose a machine that can letter smaller, or leave this part out",
            )
        return box


def _kept_off(feature: Feature, aside: float) -> Iterator[Path]:
    """Yields what is drawn of a feature, and of words the box that they fill, wider to both sides, if wider at all."""
    yield from feature.paths
    if feature.role is Role.LETTERING and aside > 0.0:
        box = around(map(bounds, feature.paths))
        beside = Point(aside, 0.0)
        if box.height > 0.0:
            yield rectangle(box.low - beside, box.high + beside)

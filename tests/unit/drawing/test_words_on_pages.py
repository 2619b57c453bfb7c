"""Words on a page are the same strokes as lettering on a part."""

import math

import pytest

from jiggen.drawing.model import Ink, Page, Pen, moved, words
from jiggen.geometry.box import Box
from jiggen.geometry.path import segment
from jiggen.geometry.point import Point
from jiggen.lettering.fit import Anchor, letter

NANOMETRE = 1e-6  # mm
AT = Point(40.0, 30.0)


@pytest.mark.parametrize("anchor", list(Anchor))
@pytest.mark.parametrize("angle", [0.0, math.pi / 2.0, 0.3])
def test_strokes_are_those_of_lettering(anchor: Anchor, angle: float) -> None:
    text = "12 · 314.00 [12.362] 1 13/16″ É"
    ours = list(words(text, AT, height=2.5, colour="#000000", anchor=anchor, angle=angle).paths())
    theirs = letter(text, height_mm=2.5, at=AT, anchor=anchor, angle=angle, where="test").paths
    assert len(ours) == len(theirs)
    for one, other in zip(ours, theirs, strict=True):
        assert one.start.distance(other.start) <= NANOMETRE
        assert one.end.distance(other.end) <= NANOMETRE


def test_the_pen_is_a_tenth_of_the_height() -> None:
    """ISO 3098, type B: the line is h/10 wide."""
    assert words("Wren", AT, height=3.5, colour="#000000").pen == Pen(0.35, "#000000")


def test_the_box_holds_the_ink() -> None:
    for angle in (0.0, math.pi / 2.0, 1.0):
        line = words("Wren gjpqy 314", AT, height=5.0, colour="#000000", angle=angle)
        for path in line.paths():
            for piece in path:
                assert line.box.grown(0.01).contains(Box(piece.end, piece.end))


def test_moving_items_moves_all_of_them() -> None:
    by = Point(3.0, -4.0)
    line = Ink(paths=(segment(AT, AT + by),), pen=Pen(0.2, "#000000"), id="a")
    text = words("Wren", AT, height=2.5, colour="#000000")
    shifted_line, shifted_text = moved([line, text], by)
    assert isinstance(shifted_line, Ink)
    assert shifted_line.paths[0].start == AT + by
    assert shifted_line.id == "a"
    assert [path.start for path in shifted_text.paths()] == [path.start + by for path in text.paths()]  # type: ignore[union-attr]


def test_a_page_knows_its_size() -> None:
    assert Page(title="a", width_mm=10.0, height_mm=20.0, items=()).name == ""

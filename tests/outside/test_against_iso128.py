"""The plan's lines and letters by the rules of technical drawing."""

import math
from itertools import pairwise

import pytest
from support.plans import NECKS, plan_of

from jiggen.drawing.model import Ink, Words
from jiggen.drawing.style import FINE, HEADING, MEDIUM, NAME, NARROW, SMALL, TINY, TITLE, WIDE
from jiggen.drawing.title_block import HEIGHT, WIDTH
from jiggen.geometry.measure import bounds, length

#: Widths of lines, mm. Source: ISO 128-2 (from memory): 0.13 to 2, stepping by √2.
SERIES = (0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1.0, 1.4, 2.0)
#: Nominal heights of lettering, mm. Source: ISO 3098.
HEIGHTS = (1.8, 2.5, 3.5, 5.0, 7.0, 10.0, 14.0, 20.0)


def inks(name: str, id: str) -> Ink:
    return next(item for item in plan_of(name).items if isinstance(item, Ink) and item.id == id)


def test_widths_are_of_the_series_and_wide_is_twice_narrow() -> None:
    assert {WIDE, MEDIUM, NARROW, FINE} <= set(SERIES)
    assert WIDE / NARROW >= 2.0
    for name in NECKS:
        assert {item.pen.width_mm for item in plan_of(name).items if isinstance(item, Ink)} <= set(SERIES)


def test_visible_edges_are_wide_and_dimensions_narrow() -> None:
    assert inks("wren", "board").pen.width_mm == WIDE
    assert inks("wren", "centre").pen.width_mm == NARROW
    assert inks("wren", "edge.bass.projected").pen.width_mm == NARROW


def test_the_centre_line_is_a_chain_of_long_dashes_and_dots() -> None:
    """ISO 128-2, line type 04: long dash, gap, dot, gap; it starts and ends on a long dash."""
    pieces = [length(path) for path in inks("wren", "centre").paths]
    dashes, dots = pieces[0::2], pieces[1::2]
    assert min(dashes) > 10.0 * max(dots)
    assert len(dashes) == len(dots) + 1


def test_edges_that_are_only_thought_are_dashed() -> None:
    """ISO 128-2, line type 02: equal dashes, gaps shorter than dashes; it starts and ends on a dash."""
    paths = inks("wren", "edge.bass.projected").paths
    dashes = [length(path) for path in paths]
    gaps = [before.end.distance(after.start) for before, after in pairwise(paths)]
    assert max(dashes) == pytest.approx(min(dashes))
    assert max(gaps) < min(dashes)
    layout = NECKS["wren"].layout
    reach = layout.bass_edge.end.distance(layout.board_end.start)
    assert paths[0].start.distance(paths[-1].end) == pytest.approx(reach)


def test_letters_have_nominal_heights() -> None:
    assert {TINY, SMALL, NAME, TITLE, HEADING} <= set(HEIGHTS)
    for name in NECKS:
        heights = {round(item.height_mm, 6) for item in plan_of(name).items if isinstance(item, Words)}
        assert {each for each in heights if each not in HEIGHTS} == set(), name


def test_figures_read_from_below_or_from_the_right() -> None:
    """ISO 129-1: nothing stands on its head."""
    for name in NECKS:
        for item in plan_of(name).items:
            if isinstance(item, Words):
                assert item.angle in {0.0, math.pi / 2.0}


def test_the_title_block_is_as_wide_as_iso_7200_has_it_and_stands_in_the_lower_right_corner() -> None:
    """ISO 7200: 180 mm wide, in the lower right corner of the frame."""
    box, frame = (bounds(inks("wren", id).paths[0]) for id in ("title-block", "frame"))
    assert (box.width, box.height) == pytest.approx((WIDTH, HEIGHT))
    assert box.width == pytest.approx(180.0)
    assert (box.high.x, box.low.y) == pytest.approx((frame.high.x, frame.low.y))

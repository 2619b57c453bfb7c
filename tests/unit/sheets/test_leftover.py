"""The largest rectangle left of a sheet, against counting every cell of a coarse grid."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.sheets import DISC_PLACE, MACHINE, cut_part, disc, sheet_of

from jiggen.geometry.box import Box
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import shifted
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.leftover import largest_free, leftover, usage_line

WHOLE = Box.of_size(12.0, 9.0)


def grid_boxes(cells):
    return [Box(Point(x, y), Point(x + w, y + h)) for x, y, w, h in cells]


def best_on_grid(taken):
    """Tries every rectangle of whole cells."""
    best = 0.0
    for x in range(12):
        for y in range(9):
            for right in range(x + 1, 13):
                for top in range(y + 1, 10):
                    trial = Box(Point(x, y), Point(right, top))
                    if not any(trial.overlaps(box) for box in taken):
                        best = max(best, trial.width * trial.height)
    return best


@settings(deadline=None, max_examples=50)
@given(
    st.lists(
        st.tuples(st.integers(0, 11), st.integers(0, 8), st.integers(1, 6), st.integers(1, 6)), max_size=6
    )
)
def test_the_largest_is_found(cells):
    taken = grid_boxes(cells)
    found = largest_free(WHOLE, taken)
    area = found.width * found.height if found else 0.0
    assert area == pytest.approx(best_on_grid(taken))
    if found:
        assert WHOLE.contains(found)
        assert not any(found.overlaps(box) for box in taken)


def test_a_sheet_that_is_full_has_none():
    assert largest_free(WHOLE, [WHOLE]) is None


def plate(width: float, height: float):
    outline = Feature(id="outline", role=Role.EDGE, paths=(rectangle(ORIGIN, Point(width, height)),))
    return cut_part(
        Part(name="plate", title="Plate", features=(outline,), tag_box=Box(ORIGIN, Point(5.0, 5.0))), {}
    )


def test_it_runs_from_the_gap_to_the_sheets_own_edges():
    sheet = sheet_of([(plate(200.0, 290.0), shifted(5.0, 5.0))])
    rest = leftover(sheet)
    assert rest == Box(Point(205.0 + MACHINE.gap_mm, 0.0), Point(600.0, 300.0))
    assert usage_line(sheet) == "32% used, 392 × 300 mm left"


def test_a_round_part_takes_no_more_than_its_slices():
    """Beside the disc of 120 mm there is room in a corner of the sheet that its box would take."""
    sheet = sheet_of([(disc(), DISC_PLACE)])
    rest = leftover(sheet)
    assert rest is not None
    assert rest.low.x == pytest.approx(100.0 + 60.1 + MACHINE.gap_mm, abs=0.2)
    assert rest.high == Point(600.0, 300.0)

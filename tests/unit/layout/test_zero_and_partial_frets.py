"""Frets at the nut line, and frets under some strings only."""

from dataclasses import replace

import pytest
from support.specs import wren

from jiggen.design.fret_rule import EqualSteps
from jiggen.design.model import Given, Inlays, PartialFret
from jiggen.design.solve import solve
from jiggen.errors import InputError
from jiggen.geometry.point import Point
from jiggen.layout.fan import x_at, x_at_centre
from jiggen.layout.model import Layout
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm
FEMTO = 1e-9  # mm: nothing but the last bits of a float
FAN = {"scale": None, "scale_bass": 660.0, "scale_treble": 628.0, "straight_fret": 7.0}


def neck(**more) -> Layout:
    return lay_out(wren(**more))


def partial(fret: int, *strings: int, **more) -> Layout:
    return neck(partial_frets=(PartialFret(fret=fret, strings=strings),), **more)


@pytest.mark.parametrize("more", [{}, FAN, {**FAN, "left_handed": True}])
def test_a_zero_fret_stands_at_the_nut_line_and_the_nut_behind_it(more: dict) -> None:
    plain, zero = neck(**more), neck(**more, zero_fret=True, nut_behind=5.0)
    first = zero.frets[0]
    assert (first.number, first.label, first.from_previous, first.bend) == (0, "0", first.distance, 0.0)
    assert first.distance == pytest.approx(0.0, abs=FEMTO)
    for one, other in ((first.line.start, zero.nut.start), (first.line.end, zero.nut.end)):
        assert one.distance(other) < FEMTO
    for place, string in zip(first.crossings, zero.strings, strict=True):
        assert place == string.line.start
    assert zero.frets[1:] == plain.frets
    assert zero.strings == plain.strings
    assert zero.nut == plain.nut == plain.board_start
    assert x_at_centre(zero.board_start) == pytest.approx(-5.0, abs=NANOMETRE)
    run, other = zero.board_start.end - zero.board_start.start, zero.nut.end - zero.nut.start
    assert run.cross(other) == pytest.approx(0.0, abs=NANOMETRE)
    for end, edge in ((zero.board_start.start, zero.bass_edge), (zero.board_start.end, zero.treble_edge)):
        assert (edge.end - edge.start).cross(end - edge.start) == pytest.approx(0.0, abs=NANOMETRE)


def test_a_zero_fret_on_a_board_without_others() -> None:
    layout = neck(frets=0, overhang=400.0, zero_fret=True)
    assert [fret.number for fret in layout.frets] == [0]
    assert x_at_centre(layout.board_end) == pytest.approx(400.0)


def test_inlays_count_from_fret_one_with_or_without_a_zero_fret() -> None:
    marked = Inlays(frets=Given((1, 3, 12, 99)), doubled=Given((12,)))
    plain, zero = (
        lay_out(solve(replace(wren(zero_fret=flag).design, inlays=marked))) for flag in (False, True)
    )
    assert plain.inlays == zero.inlays
    assert [inlay.fret for inlay in plain.inlays] == [1, 3, 12]
    assert plain.inlays[0].centres[0].x == pytest.approx(plain.frets[0].distance / 2.0)
    assert [len(inlay.centres) for inlay in plain.inlays] == [1, 1, 2]


@pytest.mark.parametrize("more", [{}, FAN])
def test_a_partial_fret_ends_halfway_to_the_next_string(more: dict) -> None:
    plain, layout = neck(**more).frets[6], partial(7, 3, 4, **more).frets[6]
    assert [place is not None for place in layout.crossings] == [False, False, True, True, False, False]
    assert (layout.crossings[2], layout.crossings[3]) == (plain.crossings[2], plain.crossings[3])
    for end, one, other in ((layout.line.end, 1, 2), (layout.line.start, 3, 4)):
        middle = (plain.crossings[one] + plain.crossings[other]) * 0.5
        assert end.distance(middle) < FEMTO
        assert x_at(plain.line, end.y) == pytest.approx(end.x, abs=FEMTO)
    assert layout.distance == plain.distance
    assert layout.spread == plain.spread
    assert layout.width < plain.width


@pytest.mark.parametrize(
    ("strings", "to_treble", "to_bass"),
    [((1, 2), True, False), ((5, 6), False, True), ((1, 2, 3, 4, 5, 6), True, True), ((6,), False, True)],
)
def test_a_partial_fret_under_an_outer_string_runs_to_the_edge(
    strings: tuple[int, ...], *, to_treble: bool, to_bass: bool
) -> None:
    whole, line = neck().frets[6].line, partial(7, *strings).frets[6].line
    assert (line.end == whole.end, line.start == whole.start) == (to_treble, to_bass)


def test_strings_of_a_partial_fret_may_be_named_in_any_order() -> None:
    assert partial(7, 4, 2, 3).frets == partial(7, 2, 3, 4).frets


def test_other_frets_and_the_board_are_as_without_the_partial_one() -> None:
    for more in ({}, FAN):
        plain, layout = neck(**more), partial(18, 1, 2, **more)  # the last fret
        assert layout.frets[:-1] == plain.frets[:-1]
        for name in ("start", "end"):
            assert getattr(layout.board_end, name).distance(getattr(plain.board_end, name)) < NANOMETRE


def test_inlays_beside_a_partial_fret_stay_in_the_middle_of_the_board() -> None:
    marked = Inlays(frets=Given((7,)))
    spec = wren(partial_frets=(PartialFret(fret=7, strings=(1, 2)),))
    layout = lay_out(solve(replace(spec.design, inlays=marked)))
    (inlay,) = layout.inlays
    assert inlay.centres[0].y == pytest.approx(0.0, abs=FEMTO)
    edge = layout.bass_edge
    assert (edge.end - edge.start).cross(inlay.side - edge.start) == pytest.approx(0.0, abs=NANOMETRE)


def test_a_single_string_has_whole_frets_only() -> None:
    layout = partial(7, 1, strings=1)
    assert layout.frets[6].line == neck(strings=1).frets[6].line
    assert layout.frets[6].crossings == (Point(layout.frets[6].distance, 0.0),)


def test_labels_for_too_few_frets_are_refused() -> None:
    rule = EqualSteps(steps=12, labels=("1", "1+", "2"))
    assert [fret.label for fret in neck(fret_rule=rule, frets=3, overhang=300.0).frets] == ["1", "1+", "2"]
    with pytest.raises(InputError, match="label of fret 4: got 3 labels, expected one for every fret"):
        neck(fret_rule=rule, frets=4)

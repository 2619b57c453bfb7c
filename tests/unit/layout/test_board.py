"""The board's ends and outline, on straight, fanned and left-handed necks."""

import math

import pytest
from hypothesis import given as always
from hypothesis import settings
from hypothesis import strategies as st
from support.specs import wren

from jiggen.design.model import EndShape
from jiggen.errors import LimitError
from jiggen.geometry.measure import area
from jiggen.geometry.path import Arc, Line
from jiggen.geometry.point import Point
from jiggen.layout.board import between_edges, crossing
from jiggen.layout.fan import x_at_centre
from jiggen.layout.neck import lay_out

NANOMETRE = 1e-6  # mm
FAN = {"scale": None, "scale_bass": 660.0, "scale_treble": 628.0, "straight_fret": 7.0}
NECKS = pytest.mark.parametrize("neck", [{}, FAN, {"left_handed": True}, {**FAN, "left_handed": True}])


def distance_to(line: Line, place: Point) -> float:
    """Signed, + to the left of a line."""
    along = line.end - line.start
    return along.cross(place - line.start) / along.length()


def test_lines_cross_where_they_do() -> None:
    one, other = Line(Point(0.0, 0.0), Point(1.0, 1.0)), Line(Point(4.0, 0.0), Point(4.0, 1.0))
    assert crossing(one, other) == Point(4.0, 4.0)
    assert crossing(other, one) == Point(4.0, 4.0)
    with pytest.raises(ZeroDivisionError):
        crossing(one, Line(Point(0.0, 1.0), Point(1.0, 2.0)))


@settings(derandomize=True, deadline=None)
@always(*[st.floats(-100.0, 100.0)] * 4)
def test_a_crossing_lies_on_both_lines(a: float, b: float, c: float, d: float) -> None:
    one, other = Line(Point(0.0, a), Point(600.0, b)), Line(Point(300.0 + c, -50.0), Point(300.0 + d, 50.0))
    place = crossing(one, other)
    assert abs(distance_to(one, place)) < NANOMETRE
    assert abs(distance_to(other, place)) < NANOMETRE


def test_between_edges_runs_from_bass_to_treble() -> None:
    edges = Line(Point(0.0, -20.0), Point(600.0, -30.0)), Line(Point(0.0, 20.0), Point(600.0, 30.0))
    line = between_edges(Line(Point(300.0, -1.0), Point(300.0, 1.0)), edges)
    assert line == Line(Point(300.0, -25.0), Point(300.0, 25.0))


@NECKS
def test_a_straight_end_runs_along_the_last_fret(neck: dict) -> None:
    layout = lay_out(wren(**neck))
    end, last = layout.board_end, layout.frets[-1].line
    assert (end.end - end.start).unit().cross((last.end - last.start).unit()) == pytest.approx(0.0, abs=1e-12)
    assert x_at_centre(end) - layout.frets[-1].distance == pytest.approx(10.0, abs=NANOMETRE)


@NECKS
@pytest.mark.parametrize("end", [*EndShape])
def test_the_outline_goes_round_the_board_counter_clockwise(neck: dict, end: EndShape) -> None:
    layout = lay_out(wren(**neck, end=end, end_angle=0.1, end_radius=80.0))
    assert layout.board.closed
    assert area(layout.board) > 0.0
    corners = {layout.board_start.start, layout.board_start.end, layout.board_end.start, layout.board_end.end}
    assert {piece.start for piece in layout.board} == corners


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("degrees", [-15.0, 10.0])
def test_an_angled_end_leaves_the_bass_side_longer_when_positive(
    degrees: float, *, left_handed: bool
) -> None:
    spec = wren(end=EndShape.ANGLED, end_angle=math.radians(degrees), left_handed=left_handed)
    layout = lay_out(spec)
    bass, treble = layout.board_end.start, layout.board_end.end
    slope = (bass.x - treble.x) / abs(treble.y - bass.y)
    assert math.degrees(math.atan(slope)) == pytest.approx(degrees, abs=1e-9)
    assert x_at_centre(layout.board_end) - layout.frets[-1].distance == pytest.approx(10.0, abs=NANOMETRE)


@NECKS
def test_a_rounded_end_bulges_away_from_the_nut_with_its_radius(neck: dict) -> None:
    layout = lay_out(wren(**neck, end=EndShape.ROUNDED, end_radius=60.0))
    (arc,) = [piece for piece in layout.board if isinstance(piece, Arc)]
    assert arc.radius == pytest.approx(60.0, abs=NANOMETRE)
    assert {arc.start, arc.end} == {layout.board_end.start, layout.board_end.end}
    assert x_at_centre(layout.board_end) - arc.centre.x > 0.0
    straight = lay_out(wren(**neck))
    half, turn = arc.start.distance(arc.end) / 2.0, 2.0 * math.asin(arc.start.distance(arc.end) / 120.0)
    segment = 60.0**2 / 2.0 * (turn - math.sin(turn))  # area of a circular segment
    assert half < 60.0
    assert area(layout.board) - area(straight.board) == pytest.approx(segment, abs=NANOMETRE)


def test_a_half_circle_is_the_roundest_end_there_is() -> None:
    width = lay_out(wren()).board_end.start.distance(lay_out(wren()).board_end.end)
    layout = lay_out(wren(end=EndShape.ROUNDED, end_radius=width / 2.0 + NANOMETRE))
    (arc,) = [piece for piece in layout.board if isinstance(piece, Arc)]
    assert math.degrees(arc.sweep) == pytest.approx(180.0, abs=0.1)
    with pytest.raises(LimitError) as caught:
        lay_out(wren(end=EndShape.ROUNDED, end_radius=25.0))
    assert str(caught.value) == (
        f"neck.end-radius: got 25.00 mm on a board {width:.2f} mm wide at its end, expected at least half of that, "
        f"{width / 2.0:.2f} mm"
    )


def test_an_end_that_cuts_into_the_nut_is_refused() -> None:
    with pytest.raises(LimitError) as caught:
        lay_out(wren(frets=0, overhang=20.0, end=EndShape.ANGLED, end_angle=math.radians(60.0)))
    assert str(caught.value) == (
        "neck.end-angle: got 60.00 deg, which cuts 19.36 mm into the nut, expected an end that leaves both edges some "
        "length. Turn the end less, or lengthen the overhang."
    )


def test_an_end_may_run_back_behind_a_zero_fret_but_not_behind_the_nut() -> None:
    more = {"frets": 0, "overhang": 5.0, "zero_fret": True, "nut_behind": 30.0, "end": EndShape.ANGLED}
    layout = lay_out(wren(**more, end_angle=math.radians(50.0)))
    assert -30.0 < layout.board_end.end.x < 0.0
    with pytest.raises(LimitError, match="60.00 deg, which cuts"):
        lay_out(wren(**more, end_angle=math.radians(60.0)))
    with pytest.raises(LimitError, match="-60.00 deg, which cuts"):
        lay_out(wren(**more, end_angle=math.radians(-60.0)))


@settings(derandomize=True, deadline=None)
@always(
    scale=st.floats(300.0, 900.0),
    nut=st.floats(30.0, 80.0),
    growth=st.floats(-5.0, 30.0),
    frets=st.integers(1, 24),
)
def test_a_boards_area_is_that_of_its_trapezium(scale: float, nut: float, growth: float, frets: int) -> None:
    layout = lay_out(wren(scale=scale, nut=nut, spread=nut - 7.0 + growth, frets=frets))
    length = layout.frets[-1].distance + 10.0
    widths = nut, nut + growth * length / scale
    assert area(layout.board) == pytest.approx(length * sum(widths) / 2.0, abs=1e-8)  # mm²


def test_a_board_narrower_than_its_circle_and_no_wider() -> None:
    assert lay_out(wren(radius=184.15)).radius is not None
    with pytest.raises(LimitError) as caught:
        lay_out(wren(radius=20.0))
    assert (
        str(caught.value)
        == "board radius: got 20.00 mm on a board 46.00 mm wide, expected at least half the board's width, 23.00 mm"
    )
    with pytest.raises(LimitError, match="on a board 57"):
        lay_out(wren(radius=100.0, radius_at_end=25.0))

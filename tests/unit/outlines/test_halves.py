"""An outline is taken apart where its centre line meets it, and its bouts and waist are found."""

from dataclasses import replace

import pytest
from support.brought import svg
from support.specs import wren

from jiggen.design.instrument import Body, CutawayShape, CutawaySide, Smoothness
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import LimitError
from jiggen.geometry.measure import area
from jiggen.geometry.path import Arc, Path, polyline, rectangle, reverse
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import shifted
from jiggen.layout.body import lay_out_body
from jiggen.layout.neck import lay_out
from jiggen.outlines.halves import bouts, halves, reach_at
from jiggen.outlines.model import Wish
from jiggen.outlines.read import read_outline

NANOMETRE = 1e-6  # mm
WREN = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}
CUT = {**WREN, "cutaway": CutawayShape.SOFT, "cutaway_depth": 75.0, "horn_at": 18.0}


def drawn(**numbers):
    """The outline of a body from numbers, as a file would have it."""
    body = Body(joint_fret=Given(12), **{name: Given(value) for name, value in numbers.items()})
    shape = lay_out_body(lay_out(solve(replace(wren().design, body=body))))
    return shape, shifted(-shape.outline.box.low.x, 0.0).path(shape.outline)


def whole(low: Path, high: Path) -> Path:
    return Path((*low.segments, *reverse(high).segments), closed=True)


@pytest.mark.parametrize(
    "numbers",
    [
        WREN,
        {**WREN, "smooth": Smoothness.CURVATURE},
        CUT,
        {**CUT, "cutaway": CutawayShape.SHARP, "cutaway_side": CutawaySide.BOTH, "horn_at": -25.0},
        {"length": 340.0, "lower_bout": 255.0},
        {**WREN, "upper_bout_shift": 8.0, "waist_shift": -12.0, "lower_bout_shift": 6.0},
    ],
    ids=["arcs", "gradual", "cutaway", "two horns", "pear", "askew"],
)
def test_the_numbers_that_made_an_outline_are_found_on_it(numbers):
    shape, outline = drawn(**numbers)
    found = halves(outline, where="wren.svg")
    assert found.length == pytest.approx(numbers["length"], abs=NANOMETRE)
    assert (found.high.start.y, found.high.end.y, found.low.start.y, found.low.end.y) == (0.0, 0.0, 0.0, 0.0)
    assert area(whole(found.low, found.high)) == pytest.approx(area(outline), abs=1e-6)
    places = bouts(found)
    assert [each.name for each in places] == [each.name for each in shape.stations]
    for place, station in zip(places, shape.stations, strict=True):
        assert place.width == pytest.approx(station.width, abs=NANOMETRE)
        assert place.offset == pytest.approx(0.0, abs=NANOMETRE)
        # where a side runs along the centre line its widest place is only as good as a root of that
        assert place.x == pytest.approx(station.x - shape.neck_end, abs=0.02)
        assert place.shift == pytest.approx(station.shift, abs=0.04)


def test_where_an_outline_starts_makes_no_difference():
    _, outline = drawn(**WREN)
    wanted = halves(outline, where="wren.svg")
    for turn in range(1, len(outline), 5):
        moved = Path((*outline.segments[turn:], *outline.segments[:turn]), closed=True)
        found = halves(moved, where="wren.svg")
        assert [each.end for each in found.high][:-1] == pytest.approx(
            [each.end for each in wanted.high][:-1]
        )
        assert bouts(found) == bouts(wanted)


def test_uneven_sides_have_their_own_reach():
    outline = polyline(
        [
            Point(0, -20),
            Point(100, -80),
            Point(150, -60),
            Point(300, -120),
            Point(400, -40),
            Point(400, 30),
            Point(280, 100),
            Point(160, 50),
            Point(90, 70),
            Point(0, 25),
        ],
        closed=True,
    )
    upper, waist, lower = bouts(halves(outline, where="x.svg"))
    assert (upper.at, upper.reach, upper.width, upper.shift, upper.offset) == (
        (90.0, 100.0),
        (70.0, 80.0),
        150.0,
        -10.0,
        -5.0,
    )
    assert (waist.at, waist.reach) == ((160.0, 150.0), (50.0, 60.0))
    assert (lower.at, lower.reach, lower.x) == ((280.0, 300.0), (100.0, 120.0), 290.0)


def test_a_straight_side_is_widest_in_its_middle():
    (lower,) = bouts(halves(rectangle(Point(0, -40), Point(200, 40), radius=30.0), where="x.svg"))
    assert (lower.name, lower.at, lower.reach) == ("lower-bout", (100.0, 100.0), (40.0, 40.0))


@pytest.mark.parametrize(
    ("depth", "names"), [(0.9, ["lower-bout"]), (1.1, ["upper-bout", "waist", "lower-bout"])]
)
def test_a_hollow_of_less_than_a_millimetre_is_no_waist(depth, names):
    side = [Point(0, 0), Point(50, 100), Point(150, 100 - depth), Point(250, 110), Point(300, 0)]
    outline = polyline([*(Point(each.x, -each.y) for each in side), *reversed(side[1:-1])], closed=True)
    assert [each.name for each in bouts(halves(outline, where="x.svg"))] == names


def test_a_waist_on_one_side_only_is_none():
    outline = polyline(
        [
            Point(0, -20),
            Point(100, -80),
            Point(150, -60),
            Point(300, -120),
            Point(400, -40),
            Point(400, 30),
            Point(200, 90),
            Point(0, 25),
        ],
        closed=True,
    )
    (lower,) = bouts(halves(outline, where="x.svg"))
    assert (lower.name, lower.at, lower.reach) == ("lower-bout", (200.0, 300.0), (90.0, 120.0))


def test_the_farthest_reach_counts_where_a_side_folds_back():
    _, outline = drawn(**CUT)
    found = halves(outline, where="wren.svg")
    bottom = found.neck_end + 70.0
    assert reach_at(found.high, bottom) > 0.9 * reach_at(
        found.low, bottom
    )  # the horn, not the scoop beside the neck
    assert reach_at(found.high, -5.0) == 0.0


@pytest.mark.parametrize(
    ("corners", "got"),
    [
        (
            [
                Point(0, -30),
                Point(90, -30),
                Point(90, 30),
                Point(60, 30),
                Point(60, -10),
                Point(30, -10),
                Point(30, 30),
                Point(0, 30),
            ],
            "a centre line that meets the outline 4 times, at 0.00, 30.00, 60.00, 90.00 mm from its neck end",
        ),
        (
            [Point(0, 5), Point(90, 5), Point(90, 30), Point(0, 30)],
            "a centre line that does not meet the outline",
        ),
    ],
)
def test_a_centre_line_must_meet_the_outline_twice(corners, got):
    with pytest.raises(LimitError) as caught:
        halves(polyline(corners, closed=True), where="x.svg")
    assert str(caught.value).startswith(f"x.svg: got {got}, expected one that meets it twice")


def test_ends_in_the_middle_of_an_arc_are_cut_exactly():
    round_ = Path(
        (Arc(Point(50, -50), Point(50, 50), 1.0), Arc(Point(50, 50), Point(50, -50), 1.0)), closed=True
    )
    found = halves(round_, where="x.svg")
    assert (found.neck_end, found.length) == (pytest.approx(0.0, abs=1e-9), pytest.approx(100.0, abs=1e-9))
    (lower,) = bouts(found)
    assert lower.width == pytest.approx(100.0, abs=1e-9)


@pytest.mark.parametrize("turn", [False, True])
def test_an_end_that_is_cut_straight_across_is_the_neck_end(tmp_path, turn):
    # a headstock is widest near the nut, so that neither its slimmer end nor its smaller bout is at the neck
    ys = [4, 30, 150, 175, 190] if not turn else [196, 170, 50, 25, 10]
    data = (
        f"M50 {ys[0]} Q22 {ys[0]} 20 {ys[1]} L13 {ys[2]} L29 {ys[3]} L29 {ys[4]} L71 {ys[4]} L71 {ys[3]} L87 {ys[2]}"
        f" L80 {ys[1]} Q78 {ys[0]} 50 {ys[0]} Z"
    )
    file = tmp_path / "head.svg"
    file.write_text(svg(data, width=100.0, height=200.0))
    found = read_outline(file, wish=Wish())
    assert "the neck end is the one that is cut straight across, 42.00 mm wide" in found.took
    assert reach_at(halves(found.outline, where="x").high, 5.0) == pytest.approx(21.0, abs=0.01)

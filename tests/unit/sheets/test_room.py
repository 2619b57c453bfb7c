"""How a part can lie on a bed, and that a slant is found whenever there is one."""

import math
from dataclasses import replace

import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from support.sheets import MACHINE, disc, tag_for

from jiggen.design.making import Stock
from jiggen.geometry.box import Box, around
from jiggen.geometry.measure import bounds
from jiggen.geometry.path import Path, polyline, rectangle
from jiggen.geometry.point import ORIGIN, Point
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.nest import nest
from jiggen.sheets.room import Lie, fits_bed, lies_in
from jiggen.shop.model import CutFeature, CutPart

ROOM = Box.of_size(590.0, 290.0)  # of the bed, its margins taken off


def lie_in(part: CutPart, room: Box) -> Lie | None:
    return next(iter(lies_in(part, [room])), None)


def part_of(outline: Path, *, name: str = "part", may_turn: bool = True) -> CutPart:
    edge = Feature(id="outline", role=Role.EDGE, paths=(outline,))
    part = Part(name=name, title=name, features=(edge,), tag_box=Box(ORIGIN, ORIGIN))
    cut = CutFeature(feature=edge, operation="cut-edge", paths=(outline,))
    return CutPart(part=part, tag=tag_for(name), features=(cut,), may_turn=may_turn)


def bar(length: float, width: float, **more) -> CutPart:
    return part_of(rectangle(Point(-3.0, 4.0), Point(length - 3.0, width + 4.0)), **more)


@pytest.mark.parametrize(
    ("part", "fits"),
    [
        (bar(590.0, 290.0), True),
        (bar(590.1, 290.0), False),
        (bar(100.0, 590.0), True),
        (bar(100.0, 590.0, may_turn=False), False),
        (bar(640.0, 10.0), True),
        (bar(640.0, 10.0, may_turn=False), False),
        (bar(660.0, 1.0), False),  # the diagonal is 657.4 mm
    ],
)
def test_what_fits_a_bed(part, fits):
    assert fits_bed(part, MACHINE) is fits


@pytest.mark.parametrize(("length", "fits"), [(410.0, True), (470.0, True), (500.0, False)])
def test_where_there_is_stock_it_counts_and_not_the_bed(length, fits):
    """The diagonal of 420 × 260 mm less margins of 5 mm is 480 mm."""
    stock = (Stock(length=420.0, width=260.0), Stock(length=100.0, width=90.0, count=3))
    assert fits_bed(bar(length, 3.0), MACHINE, stock) is fits


def test_a_bar_on_a_slant_fits_up_to_the_width_that_geometry_allows():
    """l cos a + w sin a = 590 and l sin a + w cos a = 290, solved for the width by halving the angle's range."""
    length, low, high = 640.0, math.radians(10.0), math.radians(40.0)

    def width_left(angle: float) -> tuple[float, float]:
        along = (590.0 - length * math.cos(angle)) / math.sin(angle)
        across = (290.0 - length * math.sin(angle)) / math.cos(angle)
        return along, across

    for _ in range(80):
        middle = (low + high) / 2.0
        along, across = width_left(middle)
        low, high = (middle, high) if along < across else (low, middle)
    most = min(width_left(low))
    assert 10.0 < most < 30.0
    assert lie_in(bar(length, most - 0.02), ROOM) is not None
    assert lie_in(bar(length, most + 0.02), ROOM) is None


def test_a_mirrored_part_stays_mirrored_on_a_slant():
    taper = bar(640.0, 10.0)
    lie = lie_in(replace(taper, tag=replace(taper.tag, mark_face="under")), ROOM)
    assert lie is not None
    assert lie.turn.mirrored


def test_a_slanting_part_lies_inside_its_margins():
    (sheet,) = nest([bar(640.0, 18.0)], MACHINE)
    assert check_sheet_room(sheet) == ()
    (placement,) = sheet.placements
    assert placement.place.sine not in {0.0, 1.0}


def test_a_disc_never_needs_a_slant():
    lie = lie_in(disc(), ROOM)
    assert lie is not None
    assert lie.turn.sine == 0.0


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.tuples(st.integers(0, 700), st.integers(0, 120)), min_size=3, max_size=9, unique=True),
    st.tuples(st.integers(300, 600), st.integers(150, 300)),
)
def test_a_slant_is_found_whenever_trying_every_angle_finds_one(corners, size):
    """Against shapely: a hull turned by each twentieth of a degree."""
    hull = shapely.MultiPoint(corners).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 1.0:
        return
    part = part_of(polyline([Point(x, y) for x, y in hull.exterior.coords[:-1]], closed=True))
    lie = lie_in(part, Box.of_size(*map(float, size)))
    best = math.inf
    for step in range(3600):
        low_x, low_y, high_x, high_y = shapely.affinity.rotate(hull, step / 20.0).bounds
        best = min(best, max(high_x - low_x - size[0], high_y - low_y - size[1]))
    if best < -0.01:
        assert lie is not None
    if lie is None:
        assert best > -0.01
        return
    box = around(bounds(lie.turn.path(path)) for path in part.features[0].paths)
    assert Box(lie.box.low, lie.box.high).contains(box, slack=1e-6)
    assert lie.box.width <= size[0]
    assert lie.box.height <= size[1]

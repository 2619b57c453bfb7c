import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.shapes import MICRON

from jiggen.geometry.measure import distance_to, flatten
from jiggen.geometry.path import Arc
from jiggen.geometry.point import Point
from jiggen.splitting.frame import Frame
from jiggen.splitting.joint import Joint, Key, corner_radius, sizes

LOW, HIGH = Point(100.0, -20.0), Point(100.0, 20.0)


def joint(*, size: float = 1.0, radius: float = 1.0, clearance: float = 0.05, way: int = 1) -> Joint:
    keys = (Key(middle=0.0, size=size),)
    marks = (Point(95.0, 15.0), Point(105.0, 15.0))
    return Joint(
        frame=Frame(),
        u=100.0,
        v=(-20.0, 20.0),
        way=way,
        keys=keys,
        radius=radius,
        clearance=clearance,
        mark_at=marks,
    )


def test_faces_touch_and_a_key_has_its_clearance_all_round():
    made = joint()
    key, pocket = made.side(-1, LOW, HIGH), made.side(1, LOW, HIGH)
    for place in flatten(key, 1e-4):
        gap = distance_to(pocket, place)
        if abs(place.y) > 7.0:
            assert gap < MICRON  # the faces
        elif place.x > 104.0:
            assert gap == pytest.approx(0.05, abs=MICRON)
        else:
            assert gap <= 0.0516 + MICRON  # along the face the flanks stand that far apart


@pytest.mark.parametrize("way", [1, -1])
def test_the_piece_with_the_key_reaches_into_the_other(way):
    made = joint(way=way)
    reach = [place.x for place in flatten(made.side(-way, LOW, HIGH), 1e-3)]
    assert (max(reach) if way == 1 else min(reach)) == pytest.approx(100.0 + way * 8.0)


@given(st.floats(0.0, 4.0))
def test_the_tool_gets_into_every_corner(tool_radius):
    radius = corner_radius(tool_radius)
    for size in sizes(radius):
        made = joint(size=size, radius=radius)
        for side in (-1, 1):
            arcs = [piece for piece in made.side(side, LOW, HIGH) if isinstance(piece, Arc)]
            assert len(arcs) == 4
            assert min(arc.radius for arc in arcs) >= max(tool_radius, 1.0) - 1e-9


def test_a_slanted_joint_lies_between_its_ends():
    frame = Frame(math.radians(10.0))
    made = Joint(
        frame=frame,
        u=50.0,
        v=(-10.0, 10.0),
        way=1,
        keys=(),
        radius=1.0,
        clearance=0.05,
        mark_at=(Point(0.0, 0.0), Point(0.0, 0.0)),
    )
    low, high = made.ends
    assert low.distance(high) == pytest.approx(20.0)
    assert frame.turned(low).x == pytest.approx(50.0)
    assert frame.turned(high).x == pytest.approx(50.0)
    assert high.x < low.x  # it leans to the left of square across
    assert frame.back(frame.turned(Point(3.0, 4.0))).distance(Point(3.0, 4.0)) < 1e-12

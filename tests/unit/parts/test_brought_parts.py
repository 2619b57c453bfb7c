"""Templates of a body that was brought along mark each side for itself and cut what lies within, if that is asked for."""

from dataclasses import replace

import pytest
from shapely import LineString
from support.brought import as_given, brought
from support.specs import neck_of, wren

from jiggen.design.instrument import Body
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.geometry.measure import distance_to, to_polygon
from jiggen.geometry.path import polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.parts.body_half_template import body_half_template
from jiggen.parts.body_template import body_template
from jiggen.parts.model import Bench

BENCH = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
HIGH = [(0, 40), (90, 130), (190, 100), (340, 160), (470, 60)]
LOW = [(0, 40), (100, 140), (200, 110), (350, 175), (470, 60)]
OUTLINE = polyline([*(Point(x, -y) for x, y in LOW), *(Point(x, y) for x, y in reversed(HIGH))], closed=True)
#: Under the saddle line, which lies 314 mm from the neck end.
POCKET = rectangle(Point(290.0, -35.0), Point(340.0, 30.0))
#: From a mark to the edge at most.
EDGE_GAP = 0.6


def features(build, *, inner=False, left_handed=False):
    outline = as_given(brought(OUTLINE, inner=(POCKET,), asymmetry=15.0), inner=inner)
    body = Body(joint_fret=Given(12), outline=outline)
    neck = neck_of(solve(replace(wren(left_handed=left_handed).design, body=body)))
    return [{each.id: each for each in part.features} for part in build(neck, BENCH)]


@pytest.mark.parametrize("left_handed", [False, True])
def test_marks_begin_at_the_edge_of_their_own_side(left_handed):
    (drawn,) = features(body_template, left_handed=left_handed)
    (edge,) = drawn["outline"].paths
    for station in ("upper-bout", "waist", "lower-bout"):
        for side in ("high", "low"):
            (mark,) = drawn[f"{station}.{side}"].paths
            gap = min(distance_to(edge, end) for end in (mark.start, mark.end))
            assert 0.3 < gap <= EDGE_GAP  # straight sides lean away from the mark's end
    assert drawn["name.waist"].text == "waist 210.00 mm"


def test_each_half_tells_how_far_it_reaches():
    bass, treble = features(body_half_template)
    assert (bass["name.waist"].text, treble["name.waist"].text) == (
        "waist, this half 110.00 mm",
        "waist, this half 100.00 mm",
    )


def test_what_lies_within_is_cut_when_asked_and_lines_keep_clear_of_it():
    (plain,) = features(body_template)
    assert "inner.1" not in plain
    (drawn,) = features(body_template, inner=True)
    (hole,) = drawn["inner.1"].paths
    assert hole.box.centre == Point(pytest.approx(314.0 + 315.0), pytest.approx(-2.5))
    area = to_polygon(hole, 0.01)
    lines = [path for each in drawn.values() if each.role == "line" for path in each.paths]
    assert lines
    for path in lines:
        assert not LineString([(point.x, point.y) for point in (path.start, path.end)]).intersects(area)
    assert len(drawn["saddle"].paths) == 2  # on both sides of it

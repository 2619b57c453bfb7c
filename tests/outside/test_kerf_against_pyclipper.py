"""Kerf of real parts against pyclipper: the cut paths are the finished contours offset by other people's code."""

import pyclipper
import pytest
from shapely import Polygon
from support.shapes import MICRON, assert_same_shape, region
from support.shop import busy_plate, tag_for, workshop
from support.specs import wren

from jiggen.geometry.measure import flatten
from jiggen.layout.neck import lay_out
from jiggen.parts.coupon import coupon
from jiggen.parts.model import Bench, Part, Role
from jiggen.shop.compensate import compensate

UNITS = 1e6  # pyclipper's whole numbers for one mm
CHORD = 2e-5  # mm
WITHIN = 0.5 * MICRON


def offset(contour, by: float) -> Polygon:
    """A finished contour moved out by `by` mm, or in when negative, with mitred corners, by pyclipper."""
    worker = pyclipper.PyclipperOffset(4.0, CHORD * UNITS)
    points = [(round(point.x * UNITS), round(point.y * UNITS)) for point in flatten(contour, CHORD)[:-1]]
    if not pyclipper.Orientation(points):
        points.reverse()
    worker.AddPath(points, pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    (moved,) = worker.Execute(by * UNITS)
    return Polygon([(x / UNITS, y / UNITS) for x, y in moved])


def parts() -> list[Part]:
    return [busy_plate(), coupon(lay_out(wren()), Bench(smallest_lettering_mm=2.5, thickness_mm=3.0))]


@pytest.mark.parametrize("part", parts(), ids=lambda part: part.name)
@pytest.mark.parametrize("kerf", [0.1, 0.2, 0.45])
def test_edges_out_and_openings_in(part, kerf):
    shop = workshop(kerf=kerf)
    cut = compensate(part, shop, tag_for(part, shop))
    through = [each for each in cut.features if each.feature.role in {Role.EDGE, Role.OPENING}]
    assert len(through) >= 7
    for each in through:
        way = 1.0 if each.feature.role is Role.EDGE else -1.0
        (followed,), (finished,) = each.paths, each.feature.paths
        assert_same_shape(region(followed), offset(finished, way * kerf / 2.0), WITHIN)

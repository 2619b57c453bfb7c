"""The body's outline, cut through by shapely, is as wide at its bouts and waist as it was said to be.

Source: shapely (GEOS), which knows nothing of our arcs but points on them.
"""

import pytest
import shapely
from support.furnished import furnished
from support.specs import wren

from jiggen.geometry.measure import flatten
from jiggen.layout.body import lay_out_body
from jiggen.layout.neck import lay_out

MICRON = 0.001  # mm
CHORDS = 1e-6  # mm, how far points lie off the arcs


@pytest.mark.parametrize("scale", [350.0, 628.0, 864.0])
def test_widths_come_out_as_given(scale):
    spec = furnished(wren(scale=scale))
    shape = lay_out_body(lay_out(spec))
    polygon = shapely.Polygon([(point.x, point.y) for point in flatten(shape.outline, CHORDS)])
    assert polygon.is_valid
    said = {
        "upper-bout": spec.body.upper_bout.value,
        "waist": spec.body.waist.value,
        "lower-bout": spec.body.lower_bout.value,
    }
    for station in shape.stations:
        across = polygon.intersection(shapely.LineString([(station.x, -1e4), (station.x, 1e4)]))
        assert across.length == pytest.approx(said[station.name], abs=MICRON)
    widths = {}
    low, high = polygon.bounds[0], polygon.bounds[2]
    assert high - low == pytest.approx(spec.body.length.value, abs=MICRON)
    for share in range(1, 400):
        x = low + (high - low) * share / 400
        widths[x] = polygon.intersection(shapely.LineString([(x, -1e4), (x, 1e4)])).length
    # nothing is wider than the wider bout, and the waist is the narrowest place between the bouts
    assert max(widths.values()) <= said["lower-bout"] + MICRON
    between = [each for x, each in widths.items() if shape.stations[0].x < x < shape.stations[2].x]
    assert min(between) >= said["waist"] - MICRON

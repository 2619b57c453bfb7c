"""Splines, ellipses and bulges of a DXF, imported, against the places that ezdxf flattens them to.

Source: ezdxf (MIT): `flattening` of SPLINE, ELLIPSE and LWPOLYLINE paths; shapely measures distances and areas.
"""

import math

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.path import make_path
from support.necks import seeded
from support.outlines import of_dxf

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path

#: Flattening by ezdxf, and by us, and what the fit may be off: added up.
CHORD_MM, FIT_MM = 0.001, 0.01


def line(path: Path) -> shapely.LineString:
    return shapely.LineString([(point.x, point.y) for point in flatten(path, CHORD_MM)])


def assert_alike(path: Path, places: np.ndarray) -> None:
    """Compares shapes wherever they lie: the centre line is found anew from the judge's places by shapely."""
    mine, theirs = shapely.Polygon(line(path)), shapely.Polygon(places)
    assert mine.area == pytest.approx(theirs.area, rel=1e-4)
    assert mine.length == pytest.approx(theirs.length, rel=1e-4)


def blob(draw, count: int) -> list[tuple[float, float]]:
    """Fit points round a blob."""
    return [
        (
            (200.0 + 60.0 * draw.random()) * math.cos(math.tau * step / count),
            (150.0 + 60.0 * draw.random()) * math.sin(math.tau * step / count),
        )
        for step in range(count)
    ]


@pytest.mark.parametrize("seed", range(8))
def test_splines(tmp_path, seed):
    draw = seeded(seed)
    places = blob(draw, 9)
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    if seed % 2:
        spline = space.add_spline([*places, places[0]])
    else:
        weights = [1.0 + draw.random() for _ in range(10)]
        spline = space.add_rational_spline(
            [*places, places[0]], [*weights[:-1], weights[0]], degree=3 + seed % 3
        )
    found = of_dxf(tmp_path, document)
    judged = np.array([(place.x, place.y) for place in spline.flattening(CHORD_MM)])
    assert found.fit_error_mm <= FIT_MM
    assert_alike(found.outline, judged)


@pytest.mark.parametrize("seed", range(4))
def test_every_place_lies_on_the_curve_where_the_drawing_is_not_moved(tmp_path, seed):
    """Two straight sides fix the centre line on the file's x, so that places can be compared one by one."""
    draw = seeded(seed)
    top = [(60.0 * step, 100.0 + 40.0 * draw.random()) for step in range(6)]
    document = ezdxf.new("R2010", units=4)
    space = document.modelspace()
    upper = space.add_spline(top)
    lower = space.add_spline([(x, -y) for x, y in top])
    for x in (0.0, 300.0):
        y = top[0][1] if x == 0.0 else top[-1][1]
        space.add_line((x, -y), (x, y))
    found = of_dxf(tmp_path, document)
    assert found.asymmetry_mm < 1e-6
    mine = line(found.outline)
    for spline in (upper, lower):
        places = np.array([(place.x, place.y) for place in spline.flattening(CHORD_MM)])
        straight = shapely.distance(mine, shapely.points(places - (found.outline.box.low.x, 0.0)))
        turned = shapely.distance(mine, shapely.points((300.0, 0.0) - places))
        assert min(straight.max(), turned.max()) <= FIT_MM + 2.0 * CHORD_MM


def test_ellipses_and_bulges_in_a_sheared_block(tmp_path):
    document = ezdxf.new("R2010", units=4)
    block = document.blocks.new("body")
    block.add_ellipse((10, 20), major_axis=(200, 50), ratio=0.6)
    reference = document.modelspace().add_blockref(
        "body", (5, 5), dxfattribs={"xscale": 1.5, "yscale": 0.8, "rotation": 33}
    )
    found = of_dxf(tmp_path, document)
    (virtual,) = reference.virtual_entities()
    assert_alike(found.outline, np.array([(place.x, place.y) for place in virtual.flattening(CHORD_MM)]))
    polyline = ezdxf.new("R2010", units=4)
    drawn = polyline.modelspace().add_lwpolyline(
        [(0, 0, 0.3), (300, 0, -0.2), (320, 180, 1.2), (0, 200, 0)], format="xyb", close=True
    )
    found = of_dxf(tmp_path, polyline)
    assert found.fit_error_mm == 0.0
    assert_alike(found.outline, np.array([(p.x, p.y) for p in make_path(drawn).flattening(CHORD_MM)]))

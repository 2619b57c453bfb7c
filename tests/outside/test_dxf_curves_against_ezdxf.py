"""Ellipses and splines that CAD puts in place of our arcs, against a general CAD library.

Source: ezdxf: `BSpline`, `ConstructionEllipse`, its DXF writer.
"""

import io
import math

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.math import BSpline, ConstructionEllipse, rational_bspline_from_arc
from support.necks import seeded

from jiggen.proof.curves import geometry
from jiggen.proof.read_dxf import read_dxf
from jiggen.proof.report import Fault

MICRON = 0.001  # mm


def read_back(document: ezdxf.document.Drawing) -> shapely.Geometry:
    stream = io.StringIO()
    document.write(stream)
    reading = read_dxf(stream.getvalue().encode("cp1252"))
    assert [finding.fault for finding in reading.findings] == [Fault.UNUSUAL]
    return geometry(reading.traced[0].stroke)


def new() -> ezdxf.document.Drawing:
    document = ezdxf.new("R2000")
    document.header["$INSUNITS"] = 4
    return document


def assert_alike(mine: shapely.Geometry, places: np.ndarray) -> None:
    assert shapely.distance(mine, shapely.points(places)).max() <= MICRON
    corners = shapely.points(shapely.get_coordinates(mine))
    assert shapely.distance(shapely.LineString(places), corners).max() <= MICRON


@pytest.mark.parametrize("seed", range(12))
def test_a_spline_is_where_ezdxf_has_it(seed: int) -> None:
    chance = seeded(seed)
    count, order = chance.randint(4, 9), chance.choice((3, 4))
    points = [(chance.uniform(0.0, 100.0), chance.uniform(0.0, 100.0)) for _ in range(count)]
    weights = [chance.uniform(0.5, 2.0) for _ in range(count)] if seed % 2 else None
    spline = BSpline(points, order=order, weights=weights)
    document = new()
    document.modelspace().add_spline().apply_construction_tool(spline)
    places = np.array([(p.x, p.y) for p in spline.points(np.linspace(0.0, spline.max_t, 4000))])
    assert_alike(read_back(document), places)


def test_an_arc_as_a_rational_spline_is_the_arc() -> None:
    spline = rational_bspline_from_arc((50.0, 40.0), 25.0, 20.0, 300.0)
    document = new()
    document.modelspace().add_spline().apply_construction_tool(spline)
    corners = shapely.get_coordinates(read_back(document))
    assert np.hypot(*(corners - (50.0, 40.0)).T) == pytest.approx(np.full(len(corners), 25.0), abs=1e-9)


@pytest.mark.parametrize("seed", range(8))
def test_an_ellipse_is_where_ezdxf_has_it(seed: int) -> None:
    chance = seeded(seed)
    axis = (chance.uniform(-30.0, 30.0), chance.uniform(5.0, 30.0))
    first, last = chance.uniform(0.0, 6.0), chance.uniform(0.0, 6.0)
    whole = seed == 0
    ellipse = ConstructionEllipse(
        (60.0, 50.0, 0.0),
        (*axis, 0.0),
        ratio=chance.uniform(0.1, 1.0),
        start_param=0.0 if whole else first,
        end_param=math.tau if whole else last,
    )
    document = new()
    document.modelspace().add_ellipse(
        ellipse.center, ellipse.major_axis, ellipse.ratio, ellipse.start_param, ellipse.end_param
    )
    places = np.array([(p.x, p.y) for p in ellipse.vertices(ellipse.params(4000))])
    assert_alike(read_back(document), places)

"""Circles fitted by scipy through points of the written DXF have the radii that gauges and blocks are for.

Source: scipy.optimize.least_squares, which knows nothing of arcs; points along the curves are taken by ezdxf.
"""

import numpy as np
import pytest
from scipy.optimize import least_squares
from support.furnished import furnished
from support.specs import wren
from support.written import written

INCH = 25.4  # mm, by definition
MICRON = 0.001  # mm
KERF = 0.2  # mm, of cast acrylic on the large laser, which its profile assumes


def fitted_radius(points):
    """The radius of the circle nearest to points, and how far the farthest of them lies off it."""
    points = np.array(points)
    middle = points.mean(axis=0)

    def off(circle):
        return np.hypot(*(points - circle[:2]).T) - circle[2]

    # started from the circle through both ends and the middle, far away as it is
    found = least_squares(
        off, [middle[0], middle[1] + 200.0, 200.0], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac"
    )
    other = least_squares(
        off, [middle[0], middle[1] - 200.0, 200.0], xtol=1e-15, ftol=1e-15, gtol=1e-15, x_scale="jac"
    )
    best = min(found, other, key=lambda each: each.cost)
    return best.x[2], abs(best.fun).max()


def curved_edges(entities):
    """Points along each long arc of an outline, the hollow one first: it is the one bent inward."""
    (outline,) = entities
    arcs = [each for each in outline.virtual_entities() if each.dxftype() == "ARC"]
    corners = [(x, y) for x, y, *_ in outline.get_points()]
    inside = np.mean(corners, axis=0)
    long_arcs = [arc for arc in arcs if arc.start_point.distance(arc.end_point) > 40.0]
    found = []
    for arc in long_arcs:
        points = [(point.x, point.y) for point in arc.flattening(0.001)]
        to_centre = np.hypot(arc.dxf.center.x - inside[0], arc.dxf.center.y - inside[1])
        found.append(
            (to_centre > arc.dxf.radius, points)
        )  # hollow: the plate's middle lies outside the circle
    return [points for _, points in sorted(found, key=lambda each: not each[0])]


@pytest.mark.parametrize(("machine", "offset"), [("paper", 0.0), ("large-laser", KERF / 2.0)])
def test_gauges_of_a_compound_board_have_its_radius_at_each_station(machine, offset):
    spec = furnished(wren(radius=10.0 * INCH, radius_at_end=16.0 * INCH))
    found = written(spec, "radius-gauges", machine=machine)
    # growing evenly along the board, whose end is 10 mm past fret 18 (equal steps of the twelfth root of two)
    length = 628.0 * (1.0 - 2.0 ** (-18 / 12)) + 10.0
    expected = {
        f"radius-gauge-{name}": (10.0 + 6.0 * 628.0 * (1.0 - 2.0 ** (-fret / 12)) / length) * INCH
        for name, fret in (("nut", 0), ("fret-5", 5), ("fret-12", 12))
    }
    expected |= {"radius-gauge-end": 16.0 * INCH, "radius-gauge-1": 300.0}
    outlines = {
        name.removesuffix(".outline"): each for name, each in found.items() if name.endswith(".outline")
    }
    assert set(outlines) == set(expected)
    for name, entities in outlines.items():
        hollow, round_ = curved_edges(entities)
        # a beam follows the hollow on a smaller circle, the round edge on a larger one
        for points, side in ((hollow, offset), (round_, -offset)):
            radius, off = fitted_radius(points)
            assert radius + side == pytest.approx(expected[name], abs=MICRON)
            assert off < MICRON


def test_block_ends_are_hollow_by_the_abrasive_sheet_more():
    spec = furnished(wren(radius=12.0 * INCH))
    found = written(spec, "sanding-block-ends")
    for which in ("a", "b"):
        (hollow,) = curved_edges(found[f"sanding-block-end-board-{which}.outline"])
        radius, _ = fitted_radius(hollow)
        assert radius == pytest.approx(12.0 * INCH + 0.4, abs=MICRON)

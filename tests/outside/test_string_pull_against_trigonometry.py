"""Strings on the written headstock template run as plane trigonometry says they must.

Source: plane trigonometry on the design's few numbers, by hand, and nothing else of ours: angles by the arctangent of
rise over run, distances from a point to a line by the cross product. Read from the DXF by ezdxf.
"""

import math
from itertools import combinations

import pytest
from support.furnished import furnished
from support.specs import wren
from support.written import written

MICRON = 0.001  # mm
SECOND = math.radians(1.0 / 3600.0)
GAUGES = (0.3048, 0.4064, 0.6096, 0.8128, 1.0668, 1.3462)
SCALE, NUT, SPREAD, SETBACK, POST, NUT_THICKNESS = 628.0, 46.0, 57.0, 3.5, 6.0, 5.0


def head_of(straight_pull, *, left_handed=False):
    """Each string's line and each tuner's middle on the template, by number."""
    spec = furnished(wren(gauges=GAUGES, left_handed=left_handed), straight_pull=straight_pull)
    found = written(spec, "headstock-template")
    name = "headstock-template"
    middles = {number: found[f"{name}.tuner.{number}"][0].dxf.center for number in range(1, 7)}
    lines = {}
    for number in range(1, 7):
        (line,) = found[f"{name}.string.{number}"]
        ends = (line.dxf.start, line.dxf.end)  # scored from whichever end is nearer
        lines[number] = tuple(sorted(ends, key=middles[number].distance, reverse=True))
    return lines, middles


def at_nut_and_saddle(number):
    """Where a string crosses nut and saddle, from the centre line, + toward the treble: equal spacing."""
    share = (number - 1) / 5.0
    nut_spread = NUT - 2.0 * SETBACK
    return nut_spread * (0.5 - share), SPREAD * (0.5 - share)


def heading(line):
    return math.atan2(line[1].y - line[0].y, line[1].x - line[0].x)


def turn(one, other):
    """The angle between two headings, without its sign."""
    return abs(math.remainder(one - other, 2.0 * math.pi))


@pytest.mark.parametrize("left_handed", [False, True])
def test_strings_pulled_straight_keep_the_angles_they_have_on_the_neck(left_handed):
    lines, middles = head_of(straight_pull=True, left_handed=left_handed)
    for one, other in combinations(range(1, 7), 2):
        slopes = [
            math.atan2(saddle - nut, SCALE)
            for nut, saddle in (at_nut_and_saddle(one), at_nut_and_saddle(other))
        ]
        assert turn(heading(lines[one]), heading(lines[other])) == pytest.approx(
            abs(slopes[0] - slopes[1]), abs=SECOND
        )
    for number, (start, end) in lines.items():
        along = (end - start).normalize()
        to_post = middles[number] - start
        off = abs(along.x * to_post.y - along.y * to_post.x)
        assert off == pytest.approx((POST + GAUGES[number - 1]) / 2.0, abs=MICRON)


def test_strings_that_bend_reach_their_posts_along_the_tangent():
    lines, middles = head_of(straight_pull=False)
    for number, (start, _) in lines.items():
        reach = math.hypot(middles[number].x - start.x, middles[number].y - start.y)
        to_middle = math.atan2(middles[number].y - start.y, middles[number].x - start.x)
        # the tangent from a point to a circle: sine of its angle is the radius over the distance
        radius = (POST + GAUGES[number - 1]) / 2.0
        assert turn(heading(lines[number]), to_middle) == pytest.approx(math.asin(radius / reach), abs=SECOND)


def test_strings_leave_the_nut_where_their_lines_cross_its_back():
    lines, _ = head_of(straight_pull=True)
    for one, other in combinations(range(1, 7), 2):
        behind = [
            nut - (saddle - nut) * NUT_THICKNESS / SCALE
            for nut, saddle in (at_nut_and_saddle(one), at_nut_and_saddle(other))
        ]
        apart = (lines[one][0] - lines[other][0]).magnitude
        assert apart == pytest.approx(abs(behind[0] - behind[1]), abs=MICRON)

"""Routing patterns as they stand in the written DXF: where openings lie, how large, and by how much a guide moves them.

Read by ezdxf and measured by shapely. Source of the offset: woodworking formula pages, (guide bush - bit) / 2, with the
examples 17 on 12 gives 2.5 mm, 10 on 6 gives 2.0 mm.
"""

import math
from dataclasses import replace

import pytest
import shapely
from ezdxf.path import make_path
from support.furnished import furnished
from support.specs import wren
from support.written import written

from jiggen.design.instrument import Opening
from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.design.solve import solve

MICRON = 0.001  # mm
CHORDS = 1e-4  # mm, how far points lie off the arcs


def area_of(entities):
    (entity,) = entities
    return shapely.Polygon([(point.x, point.y) for point in make_path(entity).flattening(CHORDS)])


def line_of(entities):
    (entity,) = entities
    return shapely.LineString([(point.x, point.y) for point in make_path(entity).flattening(CHORDS)])


def test_cavities_lie_their_distance_from_the_saddle_line():
    spec = furnished(wren())
    openings = (
        Opening(name="neck", length=86.0, width=18.0, radius=4.0, from_saddle=150.0),
        Opening(name="bridge", length=71.0, width=40.0, radius=4.0, from_saddle=42.0, slant=0.1),
    )
    found = written(
        solve(replace(spec.design, body=replace(spec.body, openings=Given(openings)))), "cavity-pattern"
    )
    saddle = line_of(found["cavity-pattern.saddle"])
    for number, opening in enumerate(openings, start=1):
        area = area_of(found[f"cavity-pattern.opening.{number}"])
        assert area.centroid.distance(saddle) == pytest.approx(opening.from_saddle, abs=MICRON)
        # a rectangle less its rounded corners
        corners = (4.0 - math.pi) * opening.radius**2
        assert area.area == pytest.approx(opening.length * opening.width - corners, abs=0.05)
        box = area.minimum_rotated_rectangle
        sides = sorted(
            math.dist(*pair) for pair in zip(box.exterior.coords, box.exterior.coords[1:3], strict=False)
        )
        assert sides == pytest.approx([opening.width, opening.length], abs=0.01)


def test_a_round_sound_hole_is_a_circle_of_its_diameter():
    spec = furnished(wren())
    round_ = solve(replace(spec.design, sound_hole=replace(spec.sound_hole, length=None)))
    (hole,) = written(round_, "sound-hole-pattern")["sound-hole-pattern.sound-hole"]
    assert hole.dxftype() == "CIRCLE"
    assert 2.0 * hole.dxf.radius == pytest.approx(90.0, abs=MICRON)


def test_an_oval_sound_hole_is_as_long_and_as_wide():
    area = area_of(written(furnished(wren()), "sound-hole-pattern")["sound-hole-pattern.sound-hole"])
    low_x, low_y, high_x, high_y = area.bounds
    assert sorted((high_x - low_x, high_y - low_y)) == pytest.approx([70.0, 90.0], abs=MICRON)


@pytest.mark.parametrize(
    ("aid", "feature", "guide", "bit", "offset"),
    [
        ("neck-pocket-pattern", "pocket", 10.0, 6.0, 2.0),
        ("neck-pocket-pattern", "pocket", 17.0, 12.0, 2.5),
        ("sound-hole-pattern", "sound-hole", 17.0, 12.0, 2.5),
        ("cavity-pattern", "opening.2", 10.0, 6.0, 2.0),
    ],
)
def test_a_guide_bush_moves_an_opening_out_by_its_offset(aid, feature, guide, bit, offset):
    spec = furnished(wren())
    pattern = solve(replace(spec.design, make=Make(guide=Given(guide), bit=Given(bit))))
    plain, moved = (area_of(written(each, aid)[f"{aid}.{feature}"]) for each in (spec, pattern))
    # the two lie on sheets of their own, perhaps shifted: their middles tell by how much
    shift = (moved.centroid.x - plain.centroid.x, moved.centroid.y - plain.centroid.y)
    grown = shapely.affinity.translate(plain, *shift).buffer(offset, quad_segs=256)
    assert moved.symmetric_difference(grown).area < moved.length * MICRON


def test_a_pocket_is_wider_than_its_heel_by_twice_the_allowance():
    spec = furnished(wren())
    wide = solve(replace(spec.design, neck_pocket=replace(spec.neck_pocket, allowance=Given(0.25))))
    pocket = area_of(written(wide, "neck-pocket-pattern")["neck-pocket-pattern.pocket"])
    heel = area_of(written(wide, "heel-pattern")["heel-pattern.outline"])
    # both taper alike and end alike: 20 mm before the end, the pocket is wider by the allowance on each side
    widths = []
    for area, past in ((pocket, 0.25), (heel, 0.0)):
        end = area.bounds[2]
        across = shapely.LineString([(end - 20.0 - past, -1e4), (end - 20.0 - past, 1e4)])
        widths.append(area.intersection(across).length)
    slope = 9.0 / 628.0  # each edge of the Wren's board
    assert widths[0] - widths[1] == pytest.approx(2.0 * 0.25 / math.cos(math.atan(slope)), abs=0.002)

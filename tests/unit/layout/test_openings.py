"""What is routed into the body lies where it was said to be, as large as it was said to be."""

import math
from dataclasses import replace

import pytest
import shapely
from support.specs import wren

from jiggen.design.instrument import NeckPocket, Opening, Ring, SoundHole
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import LimitError
from jiggen.geometry.measure import bounds, faults, is_counter_clockwise, to_polygon
from jiggen.geometry.point import Point
from jiggen.layout.neck import lay_out
from jiggen.layout.openings import (
    neck_pocket,
    opening_contour,
    opening_place,
    pocket_end,
    ring_slots,
    sound_hole,
    sound_hole_place,
)

PICK_UP = Opening(name="bridge", length=86.0, width=18.0, radius=4.0, from_saddle=34.0)
FAN = {"scale": None, "scale_bass": 690.0, "scale_treble": 648.0, "straight_fret": 7.0}


def layout_with(spec=None, **groups):
    return lay_out(solve(replace((spec or wren()).design, **groups)))


def test_an_opening_lies_its_distance_from_the_saddle():
    layout = layout_with()
    box = bounds(opening_contour(layout, PICK_UP))
    assert box.centre == Point(pytest.approx(628.0 - 34.0), pytest.approx(0.0))
    assert (box.width, box.height) == (pytest.approx(18.0), pytest.approx(86.0))


@pytest.mark.parametrize("left_handed", [False, True])
def test_offset_and_slant_are_toward_the_treble(left_handed):
    layout = layout_with(wren(left_handed=left_handed))
    treble = layout.strings[0].line.end.y
    slanted = replace(PICK_UP, offset=10.0, slant=0.2)
    assert opening_place(layout, slanted).y * treble > 0.0
    contour = opening_contour(layout, slanted)
    assert is_counter_clockwise(contour)
    far, near = (max(contour, key=lambda piece: piece.start.y * side).start.x for side in (-treble, treble))
    assert near > far  # the treble end lies nearer the saddle
    assert near - far == pytest.approx(86.0 * math.sin(0.2), abs=10.0)


def test_corners_that_have_no_room_are_refused():
    with pytest.raises(LimitError, match=r"body.openings, bridge: got corners of 9.50 mm radius"):
        opening_contour(layout_with(), replace(PICK_UP, radius=9.5))


@pytest.mark.parametrize(("width", "length"), [(90.0, None), (90.0, 70.0), (60.0, 80.0), (90.0, 90.0)])
def test_a_sound_hole_is_as_wide_and_long_as_asked(width, length):
    layout = layout_with(
        sound_hole=SoundHole(
            width=Given(width), length=Given(length) if length else None, from_saddle=Given(157.0)
        )
    )
    hole = sound_hole(layout)
    assert faults(hole) == ()
    assert is_counter_clockwise(hole)
    box = bounds(hole)
    assert (box.height, box.width) == (pytest.approx(width), pytest.approx(length or width))
    assert sound_hole_place(layout) == Point(pytest.approx(471.0), 0.0)


@pytest.mark.parametrize("length", [None, 70.0])
def test_slots_and_their_half_turn_cut_the_whole_channel(length):
    ring = Ring(from_edge=6.0, width=8.0)
    layout = layout_with(sound_hole=SoundHole(width=Given(90.0), length=Given(length) if length else None))
    slots = shapely.union_all([to_polygon(slot, 1e-3) for slot in ring_slots(layout, ring)])
    turned = shapely.affinity.rotate(slots, 180.0, origin=(0.0, 0.0))
    hole = to_polygon(sound_hole(layout), 1e-3)
    outer, inner = (hole.buffer(by, quad_segs=256) for by in (14.0, 6.0))
    channel = outer.difference(inner)
    assert channel.difference(slots.union(turned).buffer(0.01)).area < 0.01
    assert slots.union(turned).difference(channel.buffer(0.01)).area < 0.01
    assert len(shapely.get_parts(slots)) == 3


def test_a_channel_too_wide_for_its_bridges_is_refused():
    layout = layout_with(sound_hole=SoundHole(width=Given(40.0)))
    with pytest.raises(LimitError, match=r"sound-hole.rings: got a channel 20.00 mm wide"):
        ring_slots(layout, Ring(from_edge=2.0, width=20.0))


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN)])
def test_the_pocket_is_the_heel_and_its_allowance(spec):
    layout = layout_with(spec, neck_pocket=NeckPocket(length=Given(70.0), end_from_saddle=Given(200.0)))
    heel, pocket = (to_polygon(neck_pocket(layout, allowance=by), 1e-3) for by in (0.0, 0.5))
    assert pocket.buffer(1e-6).covers(heel)
    assert faults(neck_pocket(layout, allowance=0.5, beyond=15.0)) == ()
    # halfway along, the heel is as wide as the board, which is straight between nut and saddle
    x = pocket_end(layout) - 35.0
    across = shapely.LineString([(x, -100.0), (x, 100.0)])
    slope = 9.0 / spec.scale.value  # each edge of the Wren's board
    wider = pocket.intersection(across).length - heel.intersection(across).length
    assert wider == pytest.approx(2.0 * 0.5 / math.cos(math.atan(slope)), abs=0.001)
    if not spec.fanned:
        assert heel.intersection(across).length == pytest.approx(46.0 + 18.0 * x / 628.0, abs=0.001)


def test_without_a_place_the_pocket_ends_with_the_board():
    layout = layout_with(neck_pocket=NeckPocket(length=Given(70.0)))
    assert pocket_end(layout) == pytest.approx(layout.board_end.start.x)


def test_pocket_corners_without_room_are_refused():
    layout = layout_with(neck_pocket=NeckPocket(length=Given(10.0), radius=Given(12.0)))
    with pytest.raises(LimitError, match=r"neck-pocket.radius: got 12.00 mm, expected corners with room"):
        neck_pocket(layout, allowance=0.0)

"""Pieces of a part, cut virtually by shapely alone, go together: no overlap, the clearance as stated, the length right.

Machine and beam are run forward, see `unit.shop.test_virtual_cut`; shapely's buffers, distances and areas judge.
"""

from dataclasses import replace

import pytest
import shapely
from shapely import affinity
from support.made import DESIGNS
from support.shapes import MICRON
from unit.shop.test_virtual_cut import fallen_out

from jiggen import prepare, reckon
from jiggen.design.model import Given
from jiggen.geometry.measure import bounds
from jiggen.parts.model import Seam
from jiggen.sheets.nest import nest
from jiggen.shop.climate import Growth
from jiggen.splitting.split import Wish

#: Of machine and sheet, so that nothing comes out right unless it is made up for.
SCALE, GROWTH = (1.002, 0.999), (1.0012, 1.0012)
WITHIN = 3.0 * MICRON


@pytest.fixture(scope="module")
def halves() -> tuple[shapely.Polygon, shapely.Polygon, Seam, float]:
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    shop = prepare.fit_out_workshop(neck.spec.make, prepare.Order(machine="small-laser"))
    shop = replace(
        shop,
        machine=replace(shop.machine, scale_x=Given(SCALE[0]), scale_y=Given(SCALE[1])),
        growth=Growth(along=GROWTH[0], across=GROWTH[1]),
    )
    parts = prepare.draw_parts(neck, prepare.Order(parts=("fret-slot-guide",)), shop)
    cut = prepare.cut_parts_of(parts, neck, shop, Wish())
    one, other = (fallen_out(nest([each], shop.machine)[0], each, shop.kerf_mm, GROWTH) for each in cut)
    piece = cut[0].part.piece
    assert piece is not None
    return one, other, piece.seams[0], bounds(piece.whole.outline).width


def test_they_do_not_overlap_and_their_faces_touch(halves):
    one, other, seam, _ = halves
    overlap = one.intersection(other)
    assert overlap.area < WITHIN * seam.line.start.distance(seam.line.end)
    assert shapely.distance(one, other) < WITHIN


def test_a_key_has_its_clearance_all_round(halves):
    one, other, seam, _ = halves
    face = seam.line.start.x
    head = [
        shapely.Point(x, y)
        for x, y in shapely.segmentize(one.exterior, 0.1).coords
        if x > face + seam.depth_mm / 2.0
    ]
    gaps = shapely.distance(head, other)
    assert len(gaps) > 50
    assert gaps.min() == pytest.approx(seam.clearance_mm, abs=WITHIN)
    assert gaps.max() == pytest.approx(seam.clearance_mm, abs=WITHIN)


def test_together_they_are_as_long_as_the_whole(halves):
    one, other, _, length = halves
    low, _, high, _ = shapely.union(one, other).bounds
    assert high - low == pytest.approx(length, abs=WITHIN)


def test_keys_hold_the_pieces_together_and_in_line(halves):
    one, other, _, _ = halves
    for along, across in ((0.3, 0.0), (0.0, 0.1), (0.0, -0.1), (-0.1, 0.0)):
        moved = affinity.translate(other, along, across)
        assert moved.intersection(one).area > 0.01, (along, across)
    nudged = affinity.translate(other, 0.0, 0.04)
    assert nudged.intersection(one).area < WITHIN * 34.0  # less than the clearance is free

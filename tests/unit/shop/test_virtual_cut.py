"""The machine and the beam run forward: what falls out, brought to the bench, is the finished part.

Nothing of the shop's own arithmetic is used here but the written paths. The machine that is told to go to c goes to
c / S; the beam is a disc of the kerf's diameter; the sheet then shrinks from its size when cut to that in use.
"""

from dataclasses import replace

import pytest
import shapely
from shapely import affinity
from support.shapes import MICRON
from support.shop import busy_plate, tag_for, workshop

from jiggen.geometry.measure import flatten
from jiggen.geometry.path import Path
from jiggen.geometry.segment import heading_on
from jiggen.parts.model import Part, Role
from jiggen.sheets.model import Sheet
from jiggen.sheets.nest import nest
from jiggen.shop.compensate import compensate
from jiggen.shop.model import CutPart

CHORD = 1e-5  # mm, far below anything that is asserted
WITHIN = 2.0 * MICRON
#: How far from a sharp corner the beam's roundness shows, in kerfs.
CORNER = 3.0


def ring(path: Path) -> list[tuple[float, float]]:
    return [(point.x, point.y) for point in flatten(path, CHORD)]


def burnt(sheet: Sheet, kerf: float) -> shapely.Geometry:
    """What the beam takes from the sheet, true coordinates."""
    scale = sheet.machine.scale_x.value, sheet.machine.scale_y.value
    through = [
        shapely.LineString([(x / scale[0], y / scale[1]) for x, y in ring(path)])
        for operation in sheet.machine.operations
        if operation.role in {Role.EDGE, Role.OPENING}
        for mark in sheet.marks(operation.name)
        for path in mark.paths
    ]
    return shapely.union_all([line.buffer(kerf / 2.0, quad_segs=64) for line in through])


def fallen_out(sheet: Sheet, cut: CutPart, kerf: float, growth: tuple[float, float]) -> shapely.Polygon:
    """The part among the pieces that the sheet falls into, back in its own coordinates and at its size in use."""
    stock = shapely.box(-50, -50, sheet.width_mm + 50, sheet.height_mm + 50)
    pieces = shapely.get_parts(stock.difference(burnt(sheet, kerf)))
    (placement,) = sheet.placements
    place, back = placement.place, placement.place.inverse()
    start = placement.cut_part.features[-1].paths[0].start  # the tag is engraved on the part
    here = place.point(start)
    piece = next(each for each in pieces if each.covers(shapely.Point(here.x, here.y)))
    sign = -1.0 if back.mirrored else 1.0
    matrix = [back.cosine, -back.sine * sign, back.sine, back.cosine * sign, back.shift.x, back.shift.y]
    return affinity.scale(
        affinity.affine_transform(piece, matrix), 1.0 / growth[0], 1.0 / growth[1], origin=(0, 0)
    )


def finished(part: Part) -> shapely.Polygon:
    holes = [
        ring(path)
        for feature in part.features
        if feature.role is Role.OPENING and not feature.cut_in
        for path in feature.paths
    ]
    return shapely.Polygon(ring(part.outline), holes)


def corners(part: Part, reach: float) -> shapely.Geometry:
    """Discs about every place where a contour has a corner."""
    spots = []
    for feature in part.features:
        if feature.role not in {Role.EDGE, Role.OPENING}:
            continue
        for path in feature.paths:
            for before, after in zip((path.segments[-1], *path.segments), path.segments, strict=False):
                if abs(heading_on(before, 1.0).cross(heading_on(after, 0.0))) > 0.01:
                    spots.append(shapely.Point(after.start.x, after.start.y))
    return shapely.union_all(spots).buffer(reach) if spots else shapely.Point()


def assert_cut_true(part: Part, *, turn_bed: bool = False, misjudged: float = 0.0, **shop_changes) -> CutPart:
    """Cuts the part with a beam as wide as the shop was told, or wider by what was misjudged."""
    if turn_bed:
        shop_changes |= {"bed_width_mm": 180.0, "bed_height_mm": 400.0}
    shop = workshop(**shop_changes)
    cut = compensate(part, shop, tag_for(part, shop))
    (sheet,) = nest([cut], shop.machine)
    growth = shop.growth.along, shop.growth.across
    got, wanted = fallen_out(sheet, cut, shop.kerf_mm + misjudged, growth), finished(cut.part)
    spots = corners(cut.part, CORNER * shop.kerf_mm + 0.01)
    for one, other in ((got, wanted), (wanted, got)):
        rest = one.difference(other.buffer(WITHIN, quad_segs=8)).difference(spots)
        assert rest.is_empty, f"{rest.area} mm² at {rest.representative_point()}"
    return cut


CASES = {
    "plain": {},
    "fine beam": {"kerf": 0.1},
    "coarse beam": {"kerf": 0.45},
    "grown": {"growth": (1.0007, 1.0007)},
    "shrunk": {"growth": (0.9990, 0.9990)},
    "with a grain": {"growth": (1.0004, 1.0091)},
    "machine short": {"scale": (1.0015, 1.0015)},
    "machine uneven": {"scale": (1.0013, 0.9991)},
    "everything": {"growth": (1.0007, 1.0007), "scale": (1.0013, 0.9991), "kerf": 0.3},
    "everything, with a grain": {"growth": (1.0004, 1.0091), "scale": (0.998, 1.002), "kerf": 0.3},
}


@pytest.mark.parametrize("name", CASES)
def test_what_falls_out_is_the_finished_part(name):
    assert_cut_true(busy_plate(), **CASES[name])


@pytest.mark.parametrize("name", ["grown", "machine uneven", "everything"])
def test_a_part_turned_a_quarter_gets_the_other_axis(name):
    cut = assert_cut_true(busy_plate(), turn_bed=True, **CASES[name])
    (sheet,) = nest([cut], workshop(**CASES[name], bed_width_mm=180.0, bed_height_mm=400.0).machine)
    assert abs(sheet.placements[0].place.sine) == 1.0


@pytest.mark.parametrize("name", ["plain", "everything"])
@pytest.mark.parametrize("turn_bed", [False, True])
def test_marks_underneath_change_nothing_of_the_size(name, turn_bed):
    part = replace(busy_plate(), lies_on_work=True)
    cut = assert_cut_true(part, turn_bed=turn_bed, **CASES[name])
    assert cut.tag.mirrored


@pytest.mark.parametrize("misjudged", [0.006, -0.006])
def test_the_check_would_see_three_microns(misjudged):
    """A kerf that is out by 6 µm moves every wall by 3."""
    with pytest.raises(AssertionError, match="mm² at"):
        assert_cut_true(busy_plate(), misjudged=misjudged)


def test_kerf_before_the_machine_s_scale_is_the_exact_order():
    """The other way round the contour is out by half the kerf times the axis's error, here 9 µm."""
    part, kerf, scale = busy_plate(), 0.6, 1.03
    shop = workshop(kerf=kerf, scale=(scale, scale), gap_mm=3.0)
    cut = compensate(part, shop, tag_for(part, shop))
    (sheet,) = nest([cut], shop.machine)
    box = next(mark for mark in sheet.marks("cut-edge")).box
    true_width = box.width / scale - kerf
    assert true_width == pytest.approx(200.0, abs=1e-6)
    kerf_last = 200.0 * scale + kerf
    assert kerf_last / scale - kerf == pytest.approx(200.0 - 0.0175, abs=5e-4)

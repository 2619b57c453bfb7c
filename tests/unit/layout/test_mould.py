"""The mould and the bending form keep to the body's outline, and their holes keep their distance."""

from dataclasses import replace
from itertools import combinations, pairwise

import pytest
import shapely
from support.brought import as_given, brought
from support.specs import wren

from jiggen.design.given import known
from jiggen.design.instrument import Body, CutawayShape, CutawaySide, Smoothness
from jiggen.design.model import Given
from jiggen.design.mould import Mould
from jiggen.design.solve import solve
from jiggen.errors import LimitError
from jiggen.geometry.measure import faults, is_counter_clockwise, to_polygon
from jiggen.geometry.path import polyline
from jiggen.geometry.point import Point
from jiggen.layout.body import lay_out_body
from jiggen.layout.hole_row import HoleFor
from jiggen.layout.mould import lay_out_form, lay_out_mould, splices_of, stack_of
from jiggen.layout.neck import lay_out

CHORDS = 1e-3  # mm
WREN = {"length": 480.0, "upper_bout": 250.0, "waist": 210.0, "lower_bout": 340.0}
CUT = {**WREN, "cutaway": CutawayShape.SOFT, "cutaway_depth": 75.0, "horn_at": 18.0}
SMALL = {"length": 240.0, "upper_bout": 125.0, "waist": 110.0, "lower_bout": 165.0}
FORMS = {
    "plain": WREN,
    "small": SMALL,
    "soft": CUT,
    "sharp": {**CUT, "cutaway": CutawayShape.SHARP},
    "both": {**CUT, "cutaway_side": CutawaySide.BOTH, "horn_at": -25.0, "smooth": Smoothness.CURVATURE},
    "askew": {**WREN, "upper_bout_shift": 8.0, "waist_shift": -12.0, "lower_bout_shift": 6.0},
    "pear": {"length": 340.0, "lower_bout": 255.0},
}
DEPTHS = {"side_depth_neck": 90.0, "side_depth_tail": 100.0}


def layout_with(body, *, left_handed=False, **mould):
    given = Body(joint_fret=Given(12), **{name: Given(value) for name, value in (DEPTHS | body).items()})
    said = Mould(**({"layers": Given(3)} | {name: Given(value) for name, value in mould.items()}))
    return lay_out(solve(replace(wren(left_handed=left_handed).design, body=given, mould=said)))


def plate(half):
    return to_polygon(half.contour, CHORDS)


@pytest.fixture(params=FORMS.values(), ids=FORMS.keys())
def layout(request):
    return layout_with(request.param)


def test_two_halves_make_the_ring_between_the_body_and_the_wall(layout):
    first, second = lay_out_mould(layout)
    body = to_polygon(lay_out_body(layout).outline, CHORDS)
    for half in (first, second):
        assert faults(half.contour) == ()
        assert is_counter_clockwise(half.contour)
        assert plate(half).centroid.y * half.side > 0.0
        assert plate(half).intersection(body).area < 1.0
    ring = plate(first).union(plate(second))
    assert plate(first).intersection(plate(second)).area < 1e-3
    # from the sides outward everything nearer than the wall is filled: mitred corners reach beyond
    assert body.buffer(60.0, quad_segs=200).difference(body.union(ring).buffer(1e-3)).area < 1.0


def test_the_form_is_the_body_less_the_sides_all_round(layout):
    halves = lay_out_form(layout)
    shape = lay_out_body(layout)
    assert len(halves) == (1 if shape.is_symmetrical else 2)
    inside = to_polygon(shape.outline, CHORDS).buffer(-2.0, quad_segs=200, join_style="mitre")
    for half in halves:
        assert faults(half.contour) == ()
        assert is_counter_clockwise(half.contour)
        beside = shapely.box(-1e4, 0.0, 1e4, half.side * 1e4)
        assert (
            plate(half).symmetric_difference(inside.intersection(beside)).area < 1.5
        )  # of 0.001 mm chords, 1.5 m round


def test_holes_keep_their_web(layout):
    web = known(layout.spec.mould.web)
    for halves in (lay_out_mould(layout), lay_out_form(layout)):
        for half in halves:
            edge = plate(half).exterior
            holes = [
                (each, shapely.Point(each.centre.x, each.centre.y).buffer(each.diameter / 2.0, quad_segs=64))
                for each in half.holes
            ]
            assert all(plate(half).covers(hole) for _, hole in holes)
            assert min(edge.distance(hole) for _, hole in holes) >= web - 0.005
            assert min(one.distance(other) for (_, one), (_, other) in combinations(holes, 2)) >= web - 0.005
            uses = [each.use for each, _ in holes]
            assert uses.count(HoleFor.DOWEL) == 2
            assert uses.count(HoleFor.BOLT) >= 2


def test_bolts_of_the_wall_stand_as_near_as_asked():
    for spacing in (150.0, 80.0):
        first, _ = lay_out_mould(layout_with(WREN, bolt_spacing=spacing))
        bolts = [each.centre for each in first.holes if each.use is HoleFor.BOLT]
        gaps = [one.distance(other) for one, other in pairwise(bolts)]
        assert max(gaps) <= spacing + 1e-6
        assert sum(gaps) > 0.9 * (len(gaps) - 1) * spacing  # and no more of them than that takes


def test_sides_that_are_alike_give_halves_that_are_alike():
    first, second = lay_out_mould(layout_with(WREN))
    assert [(each.centre.x, -each.centre.y) for each in first.holes] == [
        (each.centre.x, each.centre.y) for each in second.holes
    ]
    assert shapely.equals_exact(
        shapely.affinity.scale(plate(first), 1.0, -1.0, origin=(0.0, 0.0)).normalize(),
        plate(second).normalize(),
        1e-9,
    )


def test_a_left_handed_cutaway_is_moulded_on_the_other_side():
    right, left = (lay_out_mould(layout_with(CUT, left_handed=hand)) for hand in (False, True))
    assert plate(right[0]).area == pytest.approx(plate(left[1]).area)
    assert plate(right[1]).area == pytest.approx(plate(left[0]).area)
    assert abs(plate(right[0]).area - plate(right[1]).area) > 1000.0


def test_the_wall_does_not_run_out_to_a_point_round_a_sharp_horn():
    layout = layout_with(FORMS["sharp"])
    body = to_polygon(lay_out_body(layout).outline, CHORDS)
    for half in lay_out_mould(layout):
        reach = max(body.distance(shapely.Point(*place)) for place in plate(half).exterior.coords)
        assert 60.0 <= reach < 2.0 * 60.0  # a mitre of four walls would reach 240 mm


def test_a_clearance_moves_the_working_edge_out():
    layout = layout_with(WREN, clearance=0.5)
    body = to_polygon(lay_out_body(layout).half_outline, CHORDS)
    first, _ = lay_out_mould(layout)
    gap = [body.distance(shapely.Point(piece.end.x, piece.end.y)) for piece in first.working]
    assert gap[1:-1] == pytest.approx([0.5] * len(gap[1:-1]), abs=0.002)


def test_plates_cover_bolt_and_dowel_of_both_halves_and_not_the_body(layout):
    halves = lay_out_mould(layout)
    body = to_polygon(lay_out_body(layout).outline, CHORDS)
    for splice, end in zip(splices_of(layout, halves), ("neck", "tail"), strict=True):
        assert splice.end == end
        assert [each.use for each in splice.holes].count(HoleFor.BOLT) == 2
        assert [each.use for each in splice.holes].count(HoleFor.DOWEL) == 2
        assert {each.centre.y > 0.0 for each in splice.holes} == {True, False}
        box = shapely.box(splice.box.low.x, splice.box.low.y, splice.box.high.x, splice.box.high.y)
        assert not box.intersects(body)


def test_layers_fill_the_depth_or_leave_it_to_spacers():
    solid = layout_with(WREN)
    solid = replace(solid, spec=replace(solid.spec, mould=replace(solid.spec.mould, layers=None)))
    stack = stack_of(solid, 6.0)
    assert (stack.layers, stack.spacer, stack.height) == (15, 0.0, 90.0)  # where the sides are least deep
    assert stack_of(solid, 7.0).layers == 13
    spaced = stack_of(layout_with(WREN, layers=3, depth=81.0), 6.0)
    assert (spaced.layers, spaced.spacer, spaced.height) == (3, 31.5, 81.0)
    assert stack_of(layout_with(WREN, layers=1), 6.0).height == 6.0
    with pytest.raises(
        LimitError, match=r"mould.layers: got 15 layers of 6.50 mm, 97.50 mm together, expected"
    ):
        stack_of(layout_with(WREN, layers=15), 6.5)
    with pytest.raises(LimitError, match=r"mould.layers: got 150 layers of 0.60 mm that fill 90.00 mm"):
        stack_of(solid, 0.6)


@pytest.mark.parametrize("left_handed", [False, True])
def test_a_body_that_was_brought_along_is_moulded_on_both_sides(left_handed):
    uneven = polyline(
        [
            *(Point(0, -30), Point(100, -110), Point(170, -90), Point(330, -150), Point(420, -60)),
            *(Point(420, 50), Point(300, 130), Point(180, 80), Point(90, 100), Point(0, 35)),
        ],
        closed=True,
    )
    given = Body(
        joint_fret=Given(12),
        outline=as_given(brought(uneven, asymmetry=20.0)),
        **{name: Given(value) for name, value in DEPTHS.items()},
    )
    layout = lay_out(
        solve(replace(wren(left_handed=left_handed).design, body=given, mould=Mould(layers=Given(2))))
    )
    body = to_polygon(lay_out_body(layout).outline, CHORDS)
    mould, form = lay_out_mould(layout), lay_out_form(layout)
    assert shapely.union_all([plate(half) for half in mould]).intersection(body).area < 1e-3
    inside = shapely.union_all([plate(half) for half in form])
    assert inside.symmetric_difference(body.buffer(-2.0, join_style="mitre")).area < 0.1
    for half, edge in ((mould[0], 0.0), (form[0], 2.0), (mould[1], 0.0), (form[1], 2.0)):
        for _, at in half.stations:
            assert body.exterior.distance(shapely.Point(at.x, at.y)) == pytest.approx(edge, abs=0.7)
            assert at.y * half.side > 0.0


@pytest.mark.parametrize(
    ("body", "mould", "build", "message"),
    [
        (
            CUT,
            {"inset": 15.0},
            lay_out_form,
            r"mould.inset: got 15.00 mm, expected less than the radius of 13.\d\d mm with which the body's treble side bends",
        ),
        (
            CUT,
            {"clearance": 40.0},
            lay_out_mould,
            r"mould.clearance: got 40.00 mm, expected less than the radius of \d+.\d\d mm with which the body's treble",
        ),
        (WREN, {"wall": 25.0}, lay_out_mould, r"mould.wall: got 25.00 mm, expected at least 29.00 mm"),
        (SMALL, {"web": 24.0}, lay_out_form, r"mould: got no room for a bolt's hole of 9.00 mm"),
        (WREN, {"inset": 110.0}, lay_out_form, r"mould.inset: got 110.00 mm"),
    ],
)
def test_what_cannot_be_moulded_is_named(body, mould, build, message):
    with pytest.raises(LimitError, match=message):
        build(layout_with(body, **mould))

"""Gauges, templates and patterns for neck, head and body: what each of them promises."""

from dataclasses import replace

import pytest
import shapely
from support.furnished import furnished
from support.made import DESIGNS
from support.specs import neck_of, wren

from jiggen import reckon
from jiggen.design.instrument import BackShape, CutawayShape, DepthAt, Head, NeckBack, Opening, RadiusGauges
from jiggen.design.making import Make
from jiggen.design.model import Given
from jiggen.design.solve import solve
from jiggen.errors import JiggenError, LimitError
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds, to_polygon
from jiggen.layout.body import lay_out_body
from jiggen.layout.openings import pocket_end
from jiggen.parts.catalogue import CATALOGUE, choose
from jiggen.parts.model import Bench, Role
from jiggen.parts.radius_gauges import radius_words

BENCH = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
FAN = {"scale": None, "scale_bass": 690.0, "scale_treble": 648.0, "straight_fret": 7.0}


def entry(name):
    return next(each for each in CATALOGUE if each.name == name)


def parts(name, spec):
    return entry(name).build(neck_of(spec), BENCH)


def one(name, spec):
    (part,) = parts(name, spec)
    return part


def changed(spec, **groups):
    return solve(replace(spec.design, **groups))


def feature(part, id):
    return next(each for each in part.features if each.id == id)


def words(part):
    return " ".join(each.text for each in part.features)


def test_a_plain_board_gets_one_gauge_and_each_listed_radius_another():
    spec = changed(furnished(wren()), radius_gauges=RadiusGauges(radii=Given((304.8, 241.3, 184.15))))
    assert [part.name for part in parts("radius-gauges", spec)] == [
        "radius-gauge-board",  # 12 in: the first of those listed, too
        "radius-gauge-2",
        "radius-gauge-3",
    ]


def test_a_compound_board_gets_one_for_each_station():
    spec = furnished(wren(radius=254.0, radius_at_end=406.4))
    assert [part.name for part in parts("radius-gauges", spec)][:4] == [
        "radius-gauge-nut",
        "radius-gauge-fret-5",
        "radius-gauge-fret-12",
        "radius-gauge-end",
    ]
    titles = [part.title for part in parts("radius-gauges", spec)]
    assert titles[0] == "Radius gauge 10 in"
    assert titles[3] == "Radius gauge 16 in"


def test_radii_are_called_by_inches_where_they_are_of_whole_eighths():
    assert radius_words(184.15) == "7.25 in"
    assert radius_words(304.8) == "12 in"
    assert radius_words(300.0) == "300.0 mm"


def test_a_flat_board_has_no_gauge_and_is_told_why():
    neck = neck_of(wren())
    assert entry("radius-gauges").unsuited(neck) == (
        "its board is flat: give neck.radius, or radii to [radius-gauges]"
    )
    with pytest.raises(
        LimitError, match=r"got part sanding-block-ends, expected a part that this neck can have"
    ):
        choose(("sanding-block-ends",), neck, where="--only")


def test_a_gauge_is_wider_than_the_board():
    part = parts("radius-gauges", furnished(wren()))[0]
    assert bounds(part.outline).width > 64.0


def test_a_radius_too_small_for_the_board_is_named():
    spec = changed(furnished(wren()), radius_gauges=RadiusGauges(radii=Given((25.4,))))
    with pytest.raises(
        LimitError, match=r"gauge for a radius of 1 in: got 25.40 mm on a board 76.00 mm wide"
    ):
        parts("radius-gauges", spec)


def test_two_ends_make_a_block_and_their_dowels_line_up():
    one_end, other = parts("sanding-block-ends", furnished(wren()))[:2]
    assert (one_end.name, other.name) == ("sanding-block-end-board-a", "sanding-block-end-board-b")
    for number in (1, 2):
        assert feature(one_end, f"dowel.{number}").datum == feature(other, f"dowel.{number}").datum
    assert "for a sheet of 0.40 mm" in words(one_end)


def test_neck_gauges_name_fret_side_and_shape():
    back = NeckBack(
        shape=Given(BackShape.SOFT_V), depths=Given((DepthAt(fret=1, depth=21.0),)), ridge=Given(1.5)
    )
    bass, treble = parts("neck-gauges", changed(wren(), neck_back=back))
    assert (bass.name, treble.name) == ("neck-gauge-fret-1-bass", "neck-gauge-fret-1-treble")
    assert "bass side · soft V" in words(bass)
    assert "1.50 mm off centre, to the bass" in words(bass)
    even = changed(wren(), neck_back=replace(back, ridge=Given(0.0)))
    assert "turn over for the other side · soft V" in words(one("neck-gauges", even))
    assert "end on the centre line" in words(one("neck-gauges", even))


def test_a_neck_gauge_leaves_room_for_just_the_neck():
    back = NeckBack(depths=Given((DepthAt(fret=0, depth=21.0),)))
    part = one("neck-gauges", changed(wren(), neck_back=back))
    plate = to_polygon(part.outline, 1e-3)
    hollow = shapely.box(0.0, -21.0, 23.0, 0.0).difference(plate)
    assert hollow.bounds[2:] == pytest.approx((23.0, 0.0), abs=1e-6)
    assert hollow.bounds[1] == pytest.approx(-21.0, abs=1e-6)


def test_a_head_without_width_needs_a_straight_pull():
    head = furnished(wren()).head
    without = changed(furnished(wren()), head=replace(head, width=None, straight_pull=Given(value=False)))
    assert "its head.width is missing" in entry("headstock-template").unsuited(neck_of(without))
    straight = changed(furnished(wren()), head=replace(head, width=None, straight_pull=Given(value=True)))
    assert entry("headstock-template").unsuited(neck_of(straight)) == ""
    in_line = changed(
        furnished(wren()),
        head=replace(head, width=None, straight_pull=Given(value=True), tuners=Given((6, 0))),
    )
    assert "its head.width is missing" in entry("headstock-template").unsuited(neck_of(in_line))
    assert entry("headstock-template").unsuited(neck_of(changed(wren(), head=Head()))) == ""


def test_string_lines_end_before_their_tuners_holes():
    for straight_pull in (False, True):
        part = one("headstock-template", furnished(wren(), straight_pull=straight_pull))
        for number in range(1, 7):
            hole = to_polygon(feature(part, f"tuner.{number}").paths[0], 1e-3)
            line = feature(part, f"string.{number}").paths[0]
            gap = hole.distance(shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)]))
            assert gap == pytest.approx(1.0, abs=0.01)
        assert ("straight pull" in words(part)) == straight_pull


def test_a_slotted_head_shows_its_slots_and_where_rollers_go_in():
    spec = furnished(wren(), slotted=True)
    part = one("headstock-template", spec)
    openings = {each.id: each for each in part.features if each.role is Role.OPENING}
    assert list(openings) == ["slot.bass", "slot.treble"]
    slots = shapely.union_all([to_polygon(each.paths[0], 1e-3) for each in openings.values()])
    for number in range(1, 7):
        for name in (f"string.{number}", f"roller.{number}"):
            line = feature(part, name).paths[0]
            drawn = shapely.LineString([(line.start.x, line.start.y), (line.end.x, line.end.y)])
            assert slots.distance(drawn) == pytest.approx(1.0, abs=0.01), name
    assert "rollers 10.00 mm, 36.00 mm apart, 9.00 mm deep" in words(part)


@pytest.mark.parametrize("name", ["classical", "twelve-string", "steel-string-14-fret"])
def test_words_do_not_seem_to_go_on_from_others_beside_them(name):
    neck = reckon.work_out(reckon.load(DESIGNS / f"{name}.toml"))
    entry = next(entry for entry in CATALOGUE if entry.name == "body-half-template")
    (part,) = entry.build(neck, Bench(smallest_lettering_mm=2.5, thickness_mm=3.0))
    boxes = [(each, around(map(bounds, each.paths))) for each in part.features if each.role is Role.LETTERING]
    captioned = [(each, box) for each, box in boxes if each.id.startswith(("title", "words."))]
    assert captioned
    for each, box in captioned:
        for other, beside in boxes:
            if other.id not in {one.id for one, _ in captioned} and (
                box.low.y < beside.high.y and beside.low.y < box.high.y
            ):
                apart = max(beside.low.x - box.high.x, box.low.x - beside.high.x)
                assert apart >= (each.letter_mm or 0.0), (each.id, other.id)


def test_lettering_keeps_out_of_slots():
    part = one("headstock-template", furnished(wren(), slotted=True))
    slots = [to_polygon(each.paths[0], 1e-3) for each in part.features if each.role is Role.OPENING]
    for each in part.features:
        if each.role is Role.LETTERING:
            points = shapely.MultiPoint([(p.start.x, p.start.y) for path in each.paths for p in path])
            assert not any(slot.intersects(points.convex_hull) for slot in slots), each.id


def test_the_roller_guide_is_spaced_as_the_tuners_and_rests_on_two_pins():
    spec = furnished(wren(), slotted=True)
    part = one("roller-drill-guide", spec)
    holes = [feature(part, f"roller.{number}").datum for number in (1, 2, 3)]
    assert [(at.x, at.y) for at in holes] == [(0.0, -9.0), (36.0, -9.0), (72.0, -9.0)]
    for number in (1, 2):  # a pin of 3 mm touches the face at y = 0
        assert feature(part, f"pin.{number}").datum.y == pytest.approx(1.5)
    assert entry("roller-drill-guide").unsuited(neck_of(spec)) == ""
    assert "its head is solid" in entry("roller-drill-guide").unsuited(neck_of(furnished(wren())))


def test_what_a_slotted_head_lacks_is_told():
    spec = furnished(wren(), slotted=True)
    bare = changed(spec, head=replace(spec.head, slot_width=None, slot_from_nut=None))
    assert entry("headstock-template").unsuited(neck_of(bare)) == (
        "it is slotted, and head.slot-width, head.slot-from-nut not said"
    )
    solid = furnished(wren())
    assert "tuner-inset is missing" in entry("headstock-template").unsuited(
        neck_of(changed(solid, head=replace(solid.head, tuner_inset=None)))
    )


def test_the_whole_body_has_the_pocket_as_a_notch_and_openings_as_cuts():
    spec = furnished(wren())
    part = one("body-template", spec)
    neck = neck_of(spec)
    plate = to_polygon(part.outline, 1e-3)
    body = to_polygon(lay_out_body(neck.layout).outline, 1e-3)
    notch = feature(part, "neck-pocket")
    assert notch.cut_in == "outline"
    lost = body.difference(plate)
    assert plate.difference(body.buffer(1e-3)).area < 1e-3
    assert lost.bounds[2] == pytest.approx(pocket_end(neck.layout) + 0.1, abs=1e-6)  # the allowance
    openings = {each.id for each in part.features if each.role is Role.OPENING}
    assert openings == {"neck-pocket", "sound-hole", "opening.1", "opening.2"}
    assert "lower bout 350.00 mm" in words(part)


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN)])
def test_two_halves_make_the_body(spec):
    spec = furnished(spec)
    half = to_polygon(one("body-half-template", spec).outline, 1e-3)
    other = shapely.affinity.scale(half, 1.0, -1.0, origin=(0.0, 0.0))
    whole = half.buffer(1e-6).union(other.buffer(1e-6))
    if spec.fanned:  # a slanted pocket is not alike on both sides, so the half has none
        body = to_polygon(lay_out_body(neck_of(spec).layout).outline, 1e-3)
    else:
        body = to_polygon(one("body-template", spec).outline, 1e-3)
    assert whole.symmetric_difference(body).area < 0.1


@pytest.mark.parametrize("spec", [wren(), wren(left_handed=True), wren(**FAN)])
@pytest.mark.parametrize(
    "uneven",
    [
        {"cutaway": CutawayShape.SOFT, "cutaway_depth": 75.0, "horn_at": 18.0},
        {"upper_bout_shift": 8.0, "waist_shift": -12.0, "lower_bout_shift": 6.0},
    ],
)
def test_uneven_halves_make_the_body_without_being_turned_over(spec, uneven):
    spec = furnished(spec)
    spec = changed(spec, body=replace(spec.body, **{key: Given(value) for key, value in uneven.items()}))
    halves = parts("body-half-template", spec)
    assert [part.name for part in halves] == ["body-half-template-bass", "body-half-template-treble"]
    for part, side in zip(halves, ("bass", "treble"), strict=True):
        assert f"{side} side, seen from the front; turn over for the back" in words(part)
    treble = -1.0 if spec.left_handed.value else 1.0
    assert bounds(halves[1].outline).centre.y * treble > 0.0
    body = to_polygon(one("body-template", spec).outline, 1e-3)
    whole = shapely.union_all([to_polygon(part.outline, 1e-3).buffer(1e-6) for part in halves])
    assert whole.symmetric_difference(body).area < 0.1
    for part in halves:  # marks of a side that lies elsewhere on the other side
        assert {each.role for each in part.features if each.id.startswith("waist.")} == {Role.LINE}


def test_each_layer_of_a_mould_tells_side_number_and_stack():
    spec = furnished(wren())
    made = parts("mould", spec)
    assert [part.name for part in made] == [
        "mould-1-bass",
        "mould-1-treble",
        "mould-2-bass",
        "mould-2-treble",
        "mould-plate-neck-upper",
        "mould-plate-neck-lower",
        "mould-plate-tail-upper",
        "mould-plate-tail-lower",
    ]
    for part, text in zip(made, ("layer 1 of 2, bass", "layer 1 of 2, treble"), strict=False):
        assert text in words(part)
        assert "2 × 3.00 mm, spacers 84.00 mm, 90.00 mm in all" in words(part)
    lower, upper = made[1], made[3]
    assert lower.outline == upper.outline
    holes = [each for each in lower.features if each.role is Role.OPENING]
    assert [each.datum for each in holes] == [feature(upper, each.id).datum for each in holes]
    assert {each.width_mm for each in holes} == {9.0, 8.05}  # a bolt with its clearance, a dowel with a pin's


def test_plates_fit_the_holes_of_both_halves():
    made = {part.name: part for part in parts("mould", furnished(wren()))}
    halves = [made["mould-1-bass"], made["mould-1-treble"]]
    for end, numbers in (("neck", (1, 1)), ("tail", (2, -1))):
        plate = made[f"mould-plate-{end}-upper"]
        across = sorted(each.datum.x for each in plate.features if each.role is Role.OPENING)
        near = []
        for half in halves:
            for use, number in zip(("dowel", "bolt"), numbers, strict=True):
                same = [each for each in half.features if each.id.startswith(f"{use}.")]
                near.append(same[number - 1 if number > 0 else number].datum.y)
        assert across == pytest.approx(sorted(near))


def test_a_bending_form_serves_both_sides_where_they_are_alike():
    spec = furnished(wren())
    assert [part.name for part in parts("bending-form", spec)] == ["bending-form-1", "bending-form-2"]
    assert "turn the stack over for the other side" in words(parts("bending-form", spec)[0])
    askew = changed(spec, body=replace(spec.body, waist_shift=Given(6.0)))
    assert [part.name for part in parts("bending-form", askew)] == [
        f"bending-form-{number}-{side}" for number in (1, 2) for side in ("bass", "treble")
    ]


def test_a_mould_of_unknown_depth_is_told_what_to_give():
    spec = furnished(wren())
    shallow = changed(spec, body=replace(spec.body, side_depth_tail=None))
    assert "nothing says how deep it is: give mould.depth" in entry("mould").unsuited(neck_of(shallow))
    deep = changed(shallow, mould=replace(spec.mould, depth=Given(70.0)))
    assert entry("mould").unsuited(neck_of(deep)) == ""
    assert "70.00 mm in all" in words(parts("bending-form", deep)[0])


def test_marks_beside_the_holes_need_a_web():
    spec = furnished(wren())
    thin = changed(spec, mould=replace(spec.mould, web=Given(4.0)))
    with pytest.raises(LimitError, match=r"mould.web: got 4.00 mm, expected at least 5.50 mm"):
        parts("mould", thin)


def test_a_body_that_ends_before_the_saddle_is_refused():
    spec = furnished(wren())
    short = changed(spec, body=replace(spec.body, length=Given(300.0)))
    with pytest.raises(LimitError, match=r"body: got a body from 314.00 mm to 614.00 mm from the nut"):
        one("body-template", short)


def test_a_pocket_that_ends_before_the_body_is_refused():
    spec = furnished(wren())
    early = changed(spec, neck_pocket=replace(spec.neck_pocket, end_from_saddle=Given(330.0)))
    with pytest.raises(LimitError, match=r"neck-pocket: got a pocket that ends 298.00 mm from the nut"):
        one("body-template", early)


def test_each_opening_is_told_of_on_its_pattern():
    text = words(one("cavity-pattern", furnished(wren())))
    assert "1 bridge: 86.00 × 18.00 mm" in text
    assert "34.00 mm from the saddle line" in text
    assert "slant 2.9 deg" in text
    assert "32.00 mm deep" in text


def test_the_saddle_line_keeps_off_openings():
    spec = furnished(wren())
    over = Opening(name="bridge", length=90.0, width=40.0, radius=5.0, from_saddle=0.0)
    part = one("cavity-pattern", changed(spec, body=replace(spec.body, openings=Given((over,)))))
    opening = to_polygon(feature(part, "opening.1").paths[0], 1e-3)
    for path in feature(part, "saddle").paths:
        line = shapely.LineString([(path.start.x, path.start.y), (path.end.x, path.end.y)])
        assert opening.distance(line) > 8.9


def test_channels_narrower_than_the_bit_are_left_to_a_knife():
    spec = furnished(wren())
    routed = changed(spec, make=Make(guide=Given(10.0), bit=Given(6.0)))
    for made, led in ((spec, [True, True]), (routed, [False, True])):
        part = one("rosette-pattern", made)
        assert [feature(part, f"channel.{number}.1").led for number in (1, 2)] == led


def test_the_sound_hole_is_told_by_its_radii_or_from_its_edge():
    spec = furnished(wren())
    assert "from the hole" in words(one("rosette-pattern", spec))
    round_ = changed(spec, sound_hole=replace(spec.sound_hole, length=None))
    assert "channel 1: radius 50.00 mm to 52.00 mm" in words(one("rosette-pattern", round_))
    assert "90.00 mm across" in words(one("sound-hole-pattern", round_))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("neck-gauges", "neck-back.depths"),
        ("headstock-template", "head.tuner-spacing"),
        ("body-template", "body.joint-fret"),
        ("body-half-template", "body.lower-bout"),
        ("mould", "mould.bolt"),
        ("bending-form", "body.length"),
        ("sound-hole-pattern", "sound-hole.width"),
        ("rosette-pattern", "sound-hole.rings"),
        ("neck-pocket-pattern", "neck-pocket.length"),
        ("heel-pattern", "neck-pocket.length"),
        ("cavity-pattern", "body.openings"),
    ],
)
def test_a_missing_number_is_named(name, key):
    with pytest.raises(JiggenError) as caught:
        choose((name,), neck_of(wren()), where="--only")
    assert f"{key}, for part {name}: got nothing" in str(caught.value)
    assert f"Add {key} = " in str(caught.value)

"""What single shop aids must get right."""

from dataclasses import replace
from itertools import pairwise

import pytest
from support.furnished import furnished
from support.specs import neck_of, wren

from jiggen.design.fittings import Bridge, LocateFrom, TrussRod
from jiggen.design.model import Given, PartialFret, Tools
from jiggen.errors import LimitError
from jiggen.geometry.measure import bounds
from jiggen.layout.bridge import place_bridge, string_holes
from jiggen.layout.heights import share_at, string_lies
from jiggen.layout.neck import lay_out
from jiggen.layout.places import aside
from jiggen.parts import (
    blanks,
    board_template,
    bridge_locator,
    fret_rule,
    inlay_guides,
    nut_card,
    nut_rule,
    setup_card,
    string_hole_jig,
    truss_rod_guide,
    width_gauges,
)
from jiggen.parts.locating import locating_places
from jiggen.parts.model import Bench

BENCH = Bench(smallest_lettering_mm=2.5, thickness_mm=3.0)
MICRON = 0.001  # mm
WREN = furnished(wren())
HERON = furnished(
    wren(
        name="Heron", scale=None, scale_bass=890.0, scale_treble=838.0, straight_fret=7.0, strings=5, frets=24
    )
)


def made(build, spec=WREN):
    """The one part, its features by id."""
    (part,) = build(neck_of(spec), BENCH)
    return part, {feature.id: feature for feature in part.features}


def changed(spec, **groups):
    """The spec with whole groups of numbers in place of its own."""
    return replace(spec, **groups)


def test_board_template_is_the_board():
    part, features = made(board_template.board_template)
    layout = lay_out(WREN)
    assert part.outline == layout.board
    for fret in layout.frets:
        assert features[f"fret.{fret.number}"].datum == fret.line


def test_a_fret_under_few_strings_of_one_side_is_drawn_once():
    spec = furnished(
        wren(partial_frets=(PartialFret(fret=17, strings=(1, 2)), PartialFret(fret=18, strings=(6,))))
    )
    for build in (board_template.board_template, inlay_guides.inlay_guide):
        _, features = made(build, spec)
        for number in (17, 18):
            mine = [paths for id, each in features.items() if f"fret.{number}" in id for paths in each.paths]
            reach = sorted(sorted((path.start.y, path.end.y)) for path in mine)
            assert reach
            assert all(before[1] < after[0] for before, after in pairwise(reach)), (build, number, reach)
            fret = next(each for each in lay_out(spec).frets if each.number == number)
            ends = sorted((fret.line.start.y, fret.line.end.y))
            assert ends[0] - MICRON <= reach[0][0] <= reach[-1][1] <= ends[1] + MICRON


def test_locating_pins_stand_in_slots_clear_of_dots_and_of_the_end():
    layout = lay_out(WREN)
    (first, one), (last, other) = locating_places(layout)
    assert (first, last) == ("1", "17")  # fret 18 is 10 mm from the end, as near as a pin may come
    for at in (one, other):
        assert min(abs(fret.distance - at.x) for fret in layout.frets) < MICRON
        for inlay in layout.inlays:
            assert all(at.distance(centre) >= (5.0 + 1.5) / 2.0 + 2.0 for centre in inlay.centres)


def test_a_board_too_narrow_to_letter_is_refused():
    with pytest.raises(LimitError, match="a board 16.00 mm wide, expected at least"):
        made(board_template.board_template, furnished(wren(nut=16.0, spread=16.0, strings=2, setback=4.0)))


def test_fret_rule_starts_at_the_nut_and_halves_at_the_octave():
    part, features = made(fret_rule.fret_rule)
    assert bounds(part.outline).low.x == pytest.approx(0.0)
    assert features["fret.12.up"].datum.start.x == pytest.approx(314.0)
    assert features["fret.24.down"].datum.start.x == pytest.approx(471.0)
    assert features["saddle.up"].datum.start.x == 628.0
    assert (features["mm.fret.5.up"].text, features["inch.fret.5.up"].text) == ("157.53", "6.202")
    assert "fret.13.up" not in features


def test_a_fan_has_a_fret_rule_for_each_outer_string():
    bass, treble = fret_rule.fret_rule(neck_of(HERON), BENCH)
    assert (bass.name, treble.name) == ("fret-rule-bass", "fret-rule-treble")
    octaves = [
        next(feature.datum.start.x for feature in part.features if feature.id == "fret.12.up")
        for part in (bass, treble)
    ]
    assert octaves == pytest.approx([445.0, 419.0])


def test_frets_too_close_to_number_are_refused():
    from jiggen.design.fret_rule import EqualSteps

    with pytest.raises(LimitError, match="so that both can be numbered"):
        fret_rule.fret_rule(neck_of(replace(WREN, fret_rule=Given(EqualSteps(steps=90)))), BENCH)


def test_nut_card_keeps_the_setbacks_at_every_width():
    _, features = made(nut_card.nut_card)
    for row, width in enumerate((45.0, 46.0, 47.0), start=1):
        edges = [features[f"width.{row}.edge.{side}"].datum.start.x for side in ("bass", "treble")]
        outer = [features[f"width.{row}.string.{number}"].datum.start.x for number in (6, 1)]
        assert edges[1] - edges[0] == pytest.approx(width)
        assert [outer[0] - edges[0], edges[1] - outer[1]] == pytest.approx([3.5, 3.5])


def test_nut_card_shows_the_sides_of_strings_and_takes_the_widths_that_are_named():
    spec = changed(WREN, nut=replace(WREN.nut, widths=Given((44.5,))))
    _, features = made(nut_card.nut_card, spec)
    for number, gauge in enumerate(WREN.gauges.value, start=1):
        low, high = sides_of(features, f"width.1.string.{number}")
        assert high.start.x - low.start.x == pytest.approx(gauge)
    assert "width.2.window" not in features


def sides_of(features, string):
    return [features[f"{string}.{side}"].datum for side in ("low-side", "high-side")]


@pytest.mark.parametrize("edge", ["nut", "saddle"])
def test_nut_rule_marks_strings_by_their_middle_and_both_sides(edge):
    _, features = made(nut_rule.nut_rule)
    for number, gauge in enumerate(WREN.gauges.value, start=1):
        middle = features[f"string.{number}.{edge}"].datum
        low, high = sides_of(features, f"string.{number}.{edge}")
        assert [low.start.x - middle.start.x, high.start.x - middle.start.x] == pytest.approx(
            [-gauge / 2.0, gauge / 2.0]
        )
        assert (low.start.y == high.start.y) == (gauge >= 0.5)  # nearer, they would burn into one


def test_nut_rule_tells_slot_widths_and_which_side_is_which():
    """The thinnest string of 0.30 mm gets a slot of 0.35 mm, with the usual 0.05 mm of clearance."""
    for left_handed, order in ((False, ["bass", "treble"]), (True, ["treble", "bass"])):
        _, features = made(nut_rule.nut_rule, changed(WREN, left_handed=Given(value=left_handed)))
        slots = " ".join(feature.text for id, feature in features.items() if id.startswith("words.slots."))
        assert "1: 0.35" in slots
        assert f"6: {WREN.gauges.value[5] + 0.05:.2f}" in slots
        sides = {side: bounds(features[f"side.{side}.nut"].paths[0]).centre.x for side in ("bass", "treble")}
        assert sorted(sides, key=sides.__getitem__) == order


def test_nut_rule_of_strings_without_gauges_marks_their_middles_alone():
    _, features = made(nut_rule.nut_rule, wren())
    assert "string.1.nut" in features
    assert not [
        id for id in features if ("side." in id and id.startswith("string")) or id.startswith("words.slots")
    ]


def test_strings_rise_evenly_from_nut_to_saddle():
    """Worked by hand: 0.5 mm at the nut and 1.9 - 0.2 = 1.7 mm at the octave make 2.9 mm at the saddle."""
    first = string_lies(WREN)[0]
    assert [first.at(share) for share in (0.0, 0.5, 1.0)] == pytest.approx([0.5, 1.7, 2.9])
    assert share_at(WREN, 12) == 0.5
    assert first.at(share_at(WREN, 1)) == pytest.approx(0.5 + 2.4 * (1.0 - 2.0 ** (-1.0 / 12.0)))


def test_set_up_cards_pockets_are_as_deep_as_the_strings_stand_high():
    flat = replace(WREN, radius=None, radius_at_end=None)
    _, features = made(setup_card.setup_card, flat)
    for number, (lie, gauge) in enumerate(zip(string_lies(flat), flat.gauges.value, strict=True), start=1):
        pocket = features[f"pocket.{number}"].datum
        assert pocket.start.y - pocket.end.y == pytest.approx(lie.at(share_at(flat, 1)) + gauge)


def test_set_up_cards_pockets_for_fret_12_are_as_deep_as_the_action_is_measured():
    """The action is measured over the fret, relief and all: 1.9 mm at the first string, 2.4 mm at the last."""
    _, features = made(setup_card.setup_card)
    for number, action in ((1, 1.9), (6, 2.4)):
        pocket = features[f"fret-12.pocket.{number}"]
        depth = pocket.datum.end.y - pocket.datum.start.y
        top = action + WREN.gauges.value[number - 1]
        assert (
            top - 0.3 < depth < top
        )  # from the inner end of its mouth, where the fret is higher than at the string
    flat = replace(WREN, radius=None, radius_at_end=None)
    _, features = made(setup_card.setup_card, flat)
    for number, action in enumerate((1.9, 2.0, 2.1, 2.2, 2.3, 2.4), start=1):
        pocket = features[f"fret-12.pocket.{number}"].datum
        assert pocket.end.y - pocket.start.y == pytest.approx(action + flat.gauges.value[number - 1])


@pytest.mark.parametrize("edge", ["pocket", "fret-12.pocket"])
def test_set_up_card_stands_on_frets_from_the_same_side_on_both_edges(edge):
    """Turned round to stand on the first fret, the first string lies on the same side as over the 12th."""
    _, features = made(setup_card.setup_card)
    middles = [features[f"{edge}.{number}"].datum.start.x for number in range(1, 7)]
    assert middles == sorted(middles, reverse=edge == "pocket")


@pytest.mark.parametrize(("thickness", "lowest"), [(2.0, 1.0), (3.0, 1.6), (6.0, 3.0)])
def test_set_up_cards_lowest_step_is_no_thinner_than_half_the_sheet(thickness, lowest):
    low = replace(WREN, setup=replace(WREN.setup, action=Given(1.0), action_bass=Given(1.2)))
    (part,) = setup_card.setup_card(neck_of(low), replace(BENCH, thickness_mm=thickness))
    numbers = [feature.text for feature in part.features if feature.id.startswith("step.")]
    assert float(numbers[0]) == lowest
    assert len(numbers) >= 3
    steps = next(feature for feature in part.features if feature.id == "steps")
    assert min(
        point.y for segment in steps.paths[0] for point in (segment.start, segment.end)
    ) == pytest.approx(lowest)


def test_set_up_card_has_a_tooth_beyond_strings_that_lie_on_the_edge():
    spec = furnished(wren(nut=46.0, spread=57.0, setback=0.0))
    part, features = made(setup_card.setup_card, spec)
    for comb in ("", "fret-12."):
        walls = [bounds(features[f"{comb}pocket.{number}"].paths[0]) for number in (1, 6)]
        box = bounds(part.outline)
        assert min(wall.low.x for wall in walls) >= box.low.x + 1.5 - MICRON
        assert max(wall.high.x for wall in walls) <= box.high.x - 1.5 + MICRON


def test_set_up_card_needs_frets_to_stand_on():
    assert (
        setup_card.unsuited(neck_of(furnished(wren(frets=0, overhang=420.0))))
        == "it stands on frets 1 and 12"
    )


def test_width_gauges_let_in_what_is_right_and_stop_what_is_wrong():
    """ISO 2768-1, fine: ± 0.15 mm from 30 to 120 mm."""
    _, features = made(width_gauges.width_gauges)
    outer, inner = features["width.nut.outer"], features["width.nut.inner"]
    assert (outer.width_mm, inner.width_mm) == pytest.approx((46.15, 45.85))
    assert bounds(features["thickness.6"].paths[0]).width == pytest.approx(6.0)
    octave = features["width.octave.outer"].width_mm
    assert octave - 0.15 == pytest.approx(46.0 + (64.0 - 46.0) / 2.0)


def test_nut_is_as_high_as_board_fret_and_strings_ask_for():
    """At the middle of a flat board: seat 6 + fret 1.1 + string 0.5 + half a gauge between the outer strings."""
    flat = replace(WREN, radius=None, radius_at_end=None)
    _, features = made(blanks.nut_blank, flat)
    box = bounds(features["window"].paths[0])
    thick, thin = flat.gauges.value[5] / 2.0, flat.gauges.value[0] / 2.0
    beyond = 3.5 / 39.0 * (thick - thin)
    assert box.width == pytest.approx(46.0)
    assert box.height == pytest.approx(6.0 + 1.1 + 0.5 + thick + beyond)


def test_saddle_pins_lie_on_the_saddle_and_a_left_handed_bridge_is_mirrored():
    right, left = (
        place_bridge(neck_of(spec).layout, neck_of(spec).setup)
        for spec in (WREN, furnished(wren(left_handed=True)))
    )
    assert [pin.x for pin in right.pins] == pytest.approx([628.0, 628.0])
    assert [(pin.x, -pin.y) for pin in reversed(left.pins)] == [(pin.x, pin.y) for pin in right.pins]
    assert right.pins[0].distance(right.pins[1]) == pytest.approx(57.0 + 18.0 - 12.0)


def test_bridge_locator_ends_at_the_nut():
    part, features = made(bridge_locator.bridge_locator, HERON)
    layout = lay_out(HERON)
    ends = [point for point in (piece.start for piece in part.outline) if abs(point.y) < 20.0]
    at_nut = sorted(ends, key=lambda point: point.x)[:2]
    for point in at_nut:
        on_nut = layout.nut.start.x + (layout.nut.end.x - layout.nut.start.x) * (
            (point.y - layout.nut.start.y) / (layout.nut.end.y - layout.nut.start.y)
        )
        assert point.x == pytest.approx(on_nut)
    assert features["arrow.nut"].datum.end.x > min(point.x for point in at_nut)


def from_last_slots(spec):
    return replace(spec, bridge=replace(spec.bridge, locate_from=Given(LocateFrom.LAST_SLOTS)))


def test_bridge_locator_sits_in_the_last_two_slots():
    spec = from_last_slots(HERON)
    _, features = made(bridge_locator.bridge_locator, spec)
    frets = lay_out(spec).frets[-2:]
    assert [id for id in features if id.startswith("fret.")] == [f"fret.{fret.number}" for fret in frets]
    for fret in frets:
        opening = features[f"fret.{fret.number}"]
        assert opening.width_mm == spec.tools.saw_plate.value + spec.tools.saw_clearance.value
        # by the equation of the fret's line, from its two ends
        (x0, y0), (x1, y1) = ((end.x, end.y) for end in (fret.line.start, fret.line.end))
        for end in (opening.datum.start, opening.datum.end):
            assert (end.x - x0) * (y1 - y0) == pytest.approx((end.y - y0) * (x1 - x0), abs=1e-9)
    assert bounds(features["outline"].paths[0]).low.x > 0.0
    assert not any(
        "the nut" in feature.text for feature in features.values() if feature.id.startswith("name.nut")
    )


def test_bridge_locator_needs_slots_to_sit_in():
    with pytest.raises(LimitError, match=r"bridge\.locate-from: got last-slots, expected two frets"):
        made(bridge_locator.bridge_locator, from_last_slots(furnished(wren(frets=0, overhang=420.0))))


def test_string_holes_too_near_each_other_are_told_with_what_helps():
    spec = furnished(wren(strings=12, courses=(2,) * 6, course_spacing_nut=2.2, course_spacing_bridge=3.0))
    crowded = changed(spec, bridge=replace(spec.bridge, second_row=None))
    why = string_hole_jig.unsuited(neck_of(crowded))
    assert why.endswith("give bridge.second-row, or thinner bushings")
    assert not string_hole_jig.unsuited(neck_of(spec))
    places = [at for _, at in string_holes(lay_out(spec))]
    assert {round(at.x, 6) for at in places} == {643.0, 652.0}


def test_bushings_make_larger_holes():
    tools = Tools(
        saw_plate=Given(0.6),
        saw_clearance=Given(0.08),
        index_pin=Given(2.0),
        pin_clearance=Given(0.05),
        stop_pin=Given(3.0),
        bushing=Given(8.0),
    )
    spec = furnished(wren(tools=tools))
    _, features = made(string_hole_jig.string_hole_jig, spec)
    assert features["string-hole.1"].width_mm == pytest.approx(8.05)
    _, features = made(inlay_guides.inlay_guide, spec)
    assert features["dot.5.1"].width_mm == pytest.approx(8.05)


def test_side_dots_run_from_the_nut_the_way_the_player_sees_them():
    for left_handed, hand in ((False, 1.0), (True, -1.0)):
        spec = furnished(wren(left_handed=left_handed))
        layout = lay_out(spec)
        _, features = made(inlay_guides.side_dot_guide, spec)
        for inlay in layout.inlays:
            if len(inlay.centres) == 1:
                at = features[f"dot.{inlay.fret}.1"].datum
                assert at.x == pytest.approx(hand * layout.board_start.start.distance(inlay.side))
                assert at.y == -3.0
        assert features["arrow.nut"].datum.end.x * hand < features["arrow.nut"].datum.start.x * hand


@pytest.mark.parametrize("anchor_width", [8.0, 11.0, 12.0, 16.0])
def test_a_bit_as_wide_as_the_slot_gets_everywhere(anchor_width):
    from jiggen.geometry.relief import tightest_hollow

    rod = TrussRod(
        length=Given(360.0),
        width=Given(6.0),
        from_nut=Given(-12.0),
        anchor_length=Given(14.0),
        anchor_width=Given(anchor_width),
    )
    _, features = made(truss_rod_guide.truss_rod_guide, changed(WREN, truss_rod=rod))
    (contour,) = features["slot"].paths
    box = bounds(contour)
    assert (box.low.x, box.high.x, box.height) == pytest.approx((-12.0, 348.0, anchor_width))
    assert tightest_hollow(contour, inside=True) == pytest.approx(3.0)


def test_an_anchor_narrower_than_the_slot_is_refused():
    rod = TrussRod(
        length=Given(360.0),
        width=Given(6.0),
        from_nut=Given(0.0),
        anchor_length=Given(14.0),
        anchor_width=Given(5.0),
    )
    with pytest.raises(LimitError, match=r"an anchor's place 14\.00 mm long and 5\.00 mm wide"):
        made(truss_rod_guide.truss_rod_guide, changed(WREN, truss_rod=rod))


def test_a_rod_longer_than_the_board_is_told_of():
    rod = TrussRod(length=Given(450.0), width=Given(6.0))
    why = truss_rod_guide.unsuited(neck_of(changed(WREN, truss_rod=rod)))
    assert why.startswith("its truss rod would end ")


def test_strings_lie_aside_as_far_as_they_are_apart():
    layout = lay_out(HERON)
    places = [aside(layout.nut, string.line.start) for string in layout.strings]
    assert all(
        one - other == pytest.approx(first.line.start.distance(second.line.start))
        for (one, other), (first, second) in zip(pairwise(places), pairwise(layout.strings), strict=True)
    )


def test_a_bridge_of_unknown_size_has_no_place():
    with pytest.raises(ValueError, match="unknown size"):
        place_bridge(lay_out(changed(WREN, bridge=Bridge())), neck_of(WREN).setup)

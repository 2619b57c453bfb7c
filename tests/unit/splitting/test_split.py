"""Parts that are too large, divided: what lies where, what is said, and that nothing is lost."""

from dataclasses import replace
from pathlib import Path

import pytest
from support.made import DESIGNS
from support.shop import line, opening, plate, slot_at, tag_for, workshop
from support.specs import wren

from jiggen import prepare, reckon
from jiggen.design.model import Design
from jiggen.errors import InputError, LimitError
from jiggen.geometry.box import around
from jiggen.geometry.measure import area, bounds, length
from jiggen.geometry.path import rectangle
from jiggen.geometry.point import Point
from jiggen.layout.worked_neck import Neck
from jiggen.parts.marks import label
from jiggen.parts.model import Part, Role, name_of_whole
from jiggen.sheets.nest import nest
from jiggen.shop.check import check_part
from jiggen.shop.compensate import compensate
from jiggen.shop.model import CutPart
from jiggen.shop.workshop import Workshop
from jiggen.splitting.split import Wish, check_names, split

SHOP = workshop()
TAG = tag_for(plate(), SHOP).line()
#: Design and what is divided of it on a bed of 400 by 300 mm.
SMALL_BED = [
    ("wren", ("plan-template", "fret-slot-guide", "saw-guide", "body-template", "fret-rule")),
    ("bass-five-string-fanned", ("plan-template", "saw-guide", "board-template", "fret-rule")),
]


def bar(*features, width: float = 300.0) -> Part:
    return plate(*features, width=width, height=60.0)


def halves(part: Part, *, bed: float = 200.0, wish: Wish | None = None) -> tuple[Part, ...]:
    def fits(width: float, height: float) -> bool:
        return width <= bed and height <= bed

    return split(part, wren(), SHOP, wish or Wish(), tag=TAG, fits=fits)


def neck_of(design: str) -> Neck:
    """The Wren as it stands, or an instrument of the library as it comes."""
    if design == "wren":
        return reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    return reckon.work_out(Design(name="Heron", owner="Kestrel Yard", profile=design, date="2026-11-25"))


def small(neck: Neck, width: float = 400.0, height: float = 300.0) -> Workshop:
    shop = prepare.fit_out_workshop(neck.spec.make, prepare.Order())
    return replace(shop, machine=replace(shop.machine, bed_width_mm=width, bed_height_mm=height))


def cut(neck: Neck, names: tuple[str, ...], shop: Workshop, wish: Wish | None = None) -> list[CutPart]:
    parts = prepare.draw_parts(neck, prepare.Order(parts=names), shop)
    return prepare.cut_parts_of(parts, neck, shop, wish or Wish())


def test_a_bar_becomes_two_halves_of_the_same_coordinates():
    part = bar(line("string", Point(0.0, 30.0), Point(300.0, 30.0)))
    one, other = halves(part)
    assert (one.name, other.name) == ("plate-1-of-2", "plate-2-of-2")
    assert one.title == "Plate, half 1 of 2"
    assert bounds(one.outline).low.x == pytest.approx(0.0)
    assert bounds(other.outline).high.x == pytest.approx(300.0)
    assert one.piece is not None
    assert one.piece.whole is part
    whole = area(part.outline)
    gap = whole - area(one.outline) - area(other.outline)
    assert 0.0 < gap < 3.0  # the clearance round the key, and nothing else
    assert {name_of_whole(each.name) for each in (one, other)} == {"plate"}


def test_a_line_across_the_joint_is_divided_and_keeps_its_id_and_length():
    part = bar(line("string", Point(5.0, 12.0), Point(295.0, 12.0)))
    stretches = [
        next(feature for feature in half.features if feature.id == "string") for half in halves(part)
    ]
    assert sum(length(path) for each in stretches for path in each.paths) == pytest.approx(290.0, abs=0.2)
    assert stretches[0].paths[0].start == Point(5.0, 12.0)
    assert stretches[1].paths[-1].end == Point(295.0, 12.0)


def test_every_piece_has_its_mark_its_name_and_room_for_its_tag():
    for half in halves(bar()):
        texts = {feature.id: feature.text for feature in half.features if feature.role is Role.LETTERING}
        assert texts["joint.a"] == "A"
        assert "half" in " ".join(texts.values())
        made = compensate(half, SHOP, tag_for(half, SHOP))
        assert any(feature.feature.id == "tag" for feature in made.features)
        assert check_part(made, SHOP) == ()


def test_slots_and_words_are_left_whole():
    slots = [slot_at(f"fret.{number}", 20.0 + 13.0 * number, 1.0) for number in range(20)]
    words = label("name.middle", "through the middle of it", Point(150.0, 55.0), height=3.0)
    part = bar(*slots, words)
    found = [feature for half in halves(part) for feature in half.features]
    for feature in (*slots, words):
        assert [each for each in found if each.id == feature.id] == [feature]


def test_a_heading_that_a_joint_goes_through_is_lettered_anew():
    heading = label(
        "title",
        "a heading as long as the bar it stands on, from end to end of it, all " * 2,
        Point(150.0, 52.0),
        height=2.5,
    )
    part = bar(heading, width=300.0)
    texts = [
        feature.text for half in halves(part) for feature in half.features if feature.id.startswith("title")
    ]
    assert " ".join(texts).split() == heading.text.split()
    assert len(texts) > 1


def test_as_many_pieces_as_the_bed_demands():
    pieces = halves(bar(width=500.0), bed=140.0)
    assert [part.name for part in pieces] == [f"plate-{number}-of-4" for number in (1, 2, 3, 4)]
    assert pieces[1].title == "Plate, piece 2 of 4"
    marks = [[each.id for each in part.features if each.id.startswith("joint.")] for part in pieces]
    assert marks == [["joint.a"], ["joint.a", "joint.b"], ["joint.b", "joint.c"], ["joint.c"]]


def test_a_bed_that_is_low_rather_than_short_is_not_asked_about_every_pair_of_joints():
    """Whether a piece fits then depends on where it lies, and there are a hundred thousand pairs of places to divide."""
    asked: list[tuple[float, float]] = []

    def fits(width: float, height: float) -> bool:
        asked.append((width, height))
        return max(width, height) <= 680.0 and min(width, height) <= 90.0

    neck = neck_of("wren")
    (part,) = prepare.draw_parts(neck, prepare.Order(parts=("plan-template",)), SHOP)
    pieces = split(part, neck.spec, SHOP, Wish(), tag=TAG, fits=fits)
    assert len(pieces) > 1
    assert len(asked) < 50 * bounds(part.outline).width


def test_the_same_part_is_divided_the_same_way():
    assert halves(bar()) == halves(bar())


def test_a_chosen_place_is_kept():
    one, _ = halves(bar(), wish=Wish(at=(("plate", 111.5),)))
    assert one.piece is not None
    assert one.piece.seams[0].line.start.x == pytest.approx(111.5)


def test_a_chosen_place_in_the_way_of_something_is_an_error_that_names_it():
    part = bar(slot_at("fret.7", 150.0, 1.0))
    with pytest.raises(LimitError) as caught:
        halves(part, wish=Wish(at=(("plate", 150.0),)))
    assert str(caught.value) == (
        "--split-at plate: got 150 mm, where fret.7 is in the way, expected a place clear of slots, holes, lettering"
        " and lines, with room for a key and its mark. The nearest is 147 mm"
    )


def test_a_part_without_a_place_is_an_error_that_says_what_is_in_the_way():
    long_slot = opening("slot", rectangle(Point(10.0, 28.0), Point(290.0, 32.0)))
    with pytest.raises(LimitError) as caught:
        halves(bar(long_slot))
    assert "part plate: got 300.0 × 60.0 mm, larger than the bed" in str(caught.value)
    assert "in the way are slot" in str(caught.value)
    assert "--machine" in str(caught.value)


def test_a_part_too_wide_for_the_bed_says_so():
    with pytest.raises(LimitError, match="too wide for the bed"):
        halves(bar(), bed=50.0)


def test_a_part_to_divide_must_be_made():
    with pytest.raises(
        InputError, match="got part 'saw-guid', expected one of the parts that are made: saw-guide"
    ):
        check_names(Wish(at=(("saw-guid", 10.0),)), ["saw-guide"])


@pytest.mark.parametrize(("design", "names"), SMALL_BED)
def test_instruments_on_a_small_bed_are_divided_and_pass_every_check(design, names):
    neck = neck_of(design)
    shop = small(neck)
    found = cut(neck, names, shop)
    assert all(each.part.piece is not None for each in found if each.part.name.startswith(names[0]))
    seen = {"hole-under-thickness", "inside-radius"}
    findings = [each for part in found for each in check_part(part, shop) if each.name not in seen]
    assert findings == []
    nest(found, shop.machine)  # every piece finds room


@pytest.mark.parametrize("design", ["mandolin", "dulcimer", "electric-eight-string-fanned"])
def test_on_a_tiny_bed_each_part_is_divided_or_its_error_names_it(design):
    neck = neck_of(design)
    shop = small(neck, 300.0, 200.0)
    divided, refused = 0, []
    for part in prepare.draw_parts(neck, prepare.Order(parts=("all",)), shop):
        try:
            found = prepare.cut_parts_of([part], neck, shop, Wish())
        except LimitError as error:
            refused.append((part.name, str(error)))
            continue
        nest(found, shop.machine)
        divided += len(found) > 1
    assert divided >= 2
    for name, words in refused:
        assert words.startswith(f"part {name}")
        assert "larger than the bed" in words or "no room for" in words


def test_no_tag_seems_to_go_on_from_a_row_beside_it():
    neck = neck_of("bass-five-string-fanned")
    neck = reckon.work_out(replace(neck.spec.design, name="Åland Bass"))
    shop = small(neck)
    near = []
    for each in cut(neck, ("plan-template",), shop):
        box = each.part.tag_box
        for feature in each.part.features:
            if feature.role is Role.LETTERING:
                words = around(map(bounds, feature.paths))
                if words.low.y < box.high.y and box.low.y < words.high.y:
                    near.append(max(box.low.x - words.high.x, words.low.x - box.high.x))
    assert near
    assert min(near) >= shop.machine.smallest_lettering_mm


def test_a_router_gets_its_corners():
    neck = neck_of("wren")
    shop = prepare.fit_out_workshop(neck.spec.make, prepare.Order(machine="cnc-router"))
    shop = replace(shop, machine=replace(shop.machine, bed_width_mm=420.0, bed_height_mm=300.0))
    found = cut(neck, ("fret-rule",), shop)
    assert len(found) == 2
    assert [each.name for part in found for each in check_part(part, shop)] == []


def test_a_pattern_is_not_divided(tmp_path: Path):
    text = (DESIGNS / "wren.toml").read_text() + 'guide = "17mm"\nbit = "12mm"\n'  # its last table is [make]
    (tmp_path / "wren.toml").write_text(text)
    neck = reckon.work_out(reckon.load(tmp_path / "wren.toml"))
    with pytest.raises(LimitError, match="a router pattern larger than the bed"):
        cut(neck, ("board-template",), small(neck, 300.0, 200.0))


def test_no_split_leaves_the_error_of_the_bed():
    neck = neck_of("wren")
    shop = small(neck)
    (whole,) = cut(neck, ("plan-template",), shop, Wish(never=True))
    with pytest.raises(LimitError, match="at most 384.0 × 284.0 mm"):
        nest([whole], shop.machine)

"""Parts in openings of others: where they may lie and where not, and in which order all is cut."""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from support.sheets import MACHINE, MATERIAL, OPERATION_OF, tag_for

from jiggen.design.making import Stock
from jiggen.design.model import Given
from jiggen.errors import LimitError
from jiggen.geometry.box import Box
from jiggen.geometry.measure import to_polygon
from jiggen.geometry.path import Path, circle, polyline, rectangle, segment
from jiggen.geometry.point import ORIGIN, Point
from jiggen.geometry.similarity import shifted
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.check import check_sheet_room
from jiggen.sheets.cost import cost_of_part, cost_of_sheet
from jiggen.sheets.estimate import share_used, work_of
from jiggen.sheets.leftover import leftover
from jiggen.sheets.model import Placement, Sheet, Within
from jiggen.sheets.nest import nest
from jiggen.sheets.openings import lay_in_openings
from jiggen.sheets.story import cutting_lines, nested_lines
from jiggen.shop.kerf import even
from jiggen.shop.machine import Machine, Process
from jiggen.shop.model import CutFeature, CutPart
from jiggen.shop.price import Price

ROUTER = replace(
    MACHINE, process=Process.ROUTER, gap_mm=10.0, kerf=even(Given(3.0, "the bit"), machine="shed-laser")
)


def part_of(name: str, outline: Path, *others: Feature, may_turn: bool = True) -> CutPart:
    features = (Feature(id="outline", role=Role.EDGE, paths=(outline,)), *others)
    return CutPart(
        part=Part(name=name, title=name, features=features, tag_box=Box(ORIGIN, ORIGIN)),
        tag=tag_for(name),
        features=tuple(
            CutFeature(feature=each, operation=OPERATION_OF[each.role], paths=each.paths)
            for each in features
            if each.cut_in is None
        ),
        may_turn=may_turn,
    )


def opening(path: Path, id: str = "window") -> Feature:
    return Feature(id=id, role=Role.OPENING, paths=(path,))


def box(low_x: float, low_y: float, high_x: float, high_y: float) -> Path:
    return rectangle(Point(low_x, low_y), Point(high_x, high_y))


def frame(name: str = "frame", *others: Feature, may_turn: bool = True) -> CutPart:
    """As large as the bed, but for a third of its depth, with a window of 200 × 150 mm."""
    window = opening(box(50.0, 20.0, 250.0, 170.0))
    return part_of(name, box(0.0, 0.0, 580.0, 200.0), window, *others, may_turn=may_turn)


def gauge(name: str = "gauge", *, may_turn: bool = True, wide: float = 60.0, high: float = 95.0) -> CutPart:
    """60 × 95 mm, with a hole; does not fit beside the frame on the bed, since that leaves 87 mm, but lying."""
    hole = opening(circle(Point(10.0, 10.0), 2.0), "hole")
    return part_of(name, box(0.0, 0.0, wide, high), hole, may_turn=may_turn)


def square(name: str = "square") -> CutPart:
    """90 mm each way, which needs a sheet more beside the frame."""
    return gauge(name, wide=90.0, high=90.0)


def within_of(sheets: Sequence[Sheet]) -> dict[str, Within | None]:
    return {each.cut_part.part.name: each.within for sheet in sheets for each in sheet.placements}


def cuts_of(sheet: Sheet, machine: Machine = MACHINE) -> list[str]:
    return [
        mark.id
        for operation in machine.operations
        if operation.role in {Role.OPENING, Role.EDGE}
        for mark in sheet.marks(operation.name)
    ]


def test_a_part_lies_in_an_opening_where_that_saves_a_sheet() -> None:
    sheets = nest([square(), frame()], MACHINE)
    assert len(sheets) == 1
    assert within_of(sheets) == {"square": Within("frame", "window"), "frame": None}
    assert check_sheet_room(sheets[0]) == ()


def test_a_part_stays_out_of_an_opening_where_that_saves_nothing() -> None:
    """Beside the frame there is room on the same row of the sheet."""
    host = part_of("frame", box(0.0, 0.0, 300.0, 200.0), opening(box(50.0, 20.0, 250.0, 170.0)))
    assert set(within_of(nest([square(), host], MACHINE)).values()) == {None}


def test_an_offcut_serves_where_it_holds_all_with_a_part_in_an_opening() -> None:
    parts = [square(), frame()]
    stock = (Stock(length=600.0, width=215.0, count=1),)
    (sheet,) = nest(parts, MACHINE, stock)
    assert len(sheet.placements) == 2
    with pytest.raises(LimitError, match="room for frame too"):
        nest([gauge("square", wide=160.0, high=160.0), frame()], MACHINE, stock)


def test_parts_lie_in_openings_of_parts_that_lie_in_openings() -> None:
    ring = part_of("ring", circle(ORIGIN, 70.0), opening(circle(ORIGIN, 60.0)))
    sheets = nest([gauge("coin", wide=70.0, high=70.0), ring, frame(), square()], MACHINE)
    found = within_of(sheets)
    assert found["coin"] == Within("ring", "window")
    assert found["ring"] == Within("frame", "window")
    (sheet, *_) = sheets
    cuts = cuts_of(sheet)
    order = ["coin.hole", "coin.outline", "ring.window", "ring.outline", "frame.window", "frame.outline"]
    assert [each for each in cuts if each in order] == order


def test_the_same_parts_lie_in_the_same_openings_every_time() -> None:
    parts = [frame(), *(gauge(f"gauge-{number}", wide=30.0 + number, high=88.0) for number in range(6))]
    assert nest(parts, MACHINE) == nest(parts, MACHINE)


def test_a_small_part_goes_along_when_its_host_is_turned() -> None:
    """A host that stands in its own coordinates is laid along the bed."""
    host = part_of("frame", box(0.0, 0.0, 200.0, 580.0), opening(box(20.0, 50.0, 170.0, 250.0)))
    (sheet,) = nest([square(), host], MACHINE)
    placed = {each.cut_part.part.name: each for each in sheet.placements}
    assert placed["frame"].place.sine == 1.0
    assert placed["square"].within == Within("frame", "window")
    assert check_sheet_room(sheet) == ()


def test_grain_is_kept() -> None:
    """A part with a grain is not turned in an opening, nor laid in one of a part that may be turned."""
    upright = gauge("upright", wide=40.0, high=180.0, may_turn=False)
    assert lay_in_openings([upright, frame(may_turn=False)], MACHINE) == {}
    lying = gauge("lying", wide=180.0, high=40.0, may_turn=False)
    assert set(lay_in_openings([lying, frame(may_turn=False)], MACHINE)) == {0}
    assert lay_in_openings([lying, frame(may_turn=True)], MACHINE) == {}


def test_marks_underneath_are_mirrored_in_an_opening_too() -> None:
    slanting = polyline([Point(0.0, 0.0), Point(95.0, 0.0), Point(95.0, 60.0), Point(0.0, 95.0)], closed=True)
    inner = part_of("square", slanting)
    under = replace(inner, tag=replace(inner.tag, mark_face="under"))
    host = replace(frame(), tag=replace(frame().tag, mark_face="under"))
    for parts in ([under, frame()], [inner, host], [under, host]):
        (sheet,) = nest(parts, MACHINE)
        assert all(each.place.mirrored is each.cut_part.tag.mirrored for each in sheet.placements)
        assert within_of([sheet])["square"] == Within("frame", "window")
        assert check_sheet_room(sheet) == ()


def test_no_part_lies_in_a_notch_in_a_slot_of_one_pass_or_over_marks() -> None:
    small = gauge("small", wide=20.0, high=20.0)
    bay = polyline(
        [
            Point(x, y)
            for x, y in [(0, 0), (300, 0), (300, 200), (250, 200), (250, 50), (50, 50), (50, 200), (0, 200)]
        ],
        closed=True,
    )
    notch = Feature(
        id="bay",
        role=Role.OPENING,
        paths=(polyline([Point(x, y) for x, y in [(250, 200), (250, 50), (50, 50), (50, 200)]]),),
        cut_in="outline",
    )
    assert lay_in_openings([small, part_of("notched", bay, notch)], MACHINE) == {}
    line = Feature(id="centre", role=Role.LINE, paths=(segment(Point(0.0, 95.0), Point(580.0, 95.0)),))
    assert lay_in_openings([small, frame("lined", line)], MACHINE) == {}
    clear = Feature(id="clear", role=Role.LINE, paths=(segment(Point(0.0, 185.0), Point(580.0, 185.0)),))
    assert set(lay_in_openings([small, frame("lined", clear)], MACHINE)) == {0}
    host = frame()
    one_pass = replace(host.features[1], narrowed_from_mm=0.25)
    host = replace(host, features=(host.features[0], one_pass))
    assert lay_in_openings([small, host], MACHINE) == {}


def test_a_router_cuts_only_parts_with_tabs_in_openings() -> None:
    """Without them its bit would cut beside a loose part in loose waste."""
    parts = [square(), frame()]
    assert lay_in_openings(parts, ROUTER) == {}
    tabbed = replace(ROUTER, tab_width_mm=4.0, tab_spacing_mm=60.0)
    assert set(lay_in_openings(parts, tabbed)) == {0}
    coin = part_of("coin", circle(ORIGIN, 12.0))  # too round for a tab
    assert set(lay_in_openings([coin, *parts], tabbed)) == {1}


def test_the_gap_is_that_of_the_machine() -> None:
    """The window of 150 mm holds 144 mm and two gaps of 3, and the whole number of columns it takes."""
    fits, too_large = gauge("fits", wide=190.0, high=143.0), gauge("too-large", wide=190.0, high=144.1)
    assert set(lay_in_openings([fits, frame()], MACHINE)) == {0}
    assert lay_in_openings([too_large, frame()], MACHINE) == {}
    assert lay_in_openings([fits, frame()], replace(MACHINE, gap_mm=5.0)) == {}


def hand_laid(machine: Machine = MACHINE, *, x: float = 70.0) -> Sheet:
    """The square in the frame's window, laid by hand."""
    return Sheet(
        number=1,
        width_mm=600.0,
        height_mm=300.0,
        placements=(
            Placement(cut_part=square(), place=shifted(x, 40.0), within=Within("frame", "window")),
            Placement(cut_part=frame(), place=shifted(10.0, 10.0)),
        ),
        machine=machine,
    )


def test_an_opening_that_holds_a_part_is_cut_among_the_edges_from_the_inside_outward() -> None:
    sheet = hand_laid()
    assert [mark.id for mark in sheet.marks("cut-opening")] == ["square.hole"]
    edges = [mark.id for mark in sheet.marks("cut-edge")]
    assert edges == ["square.outline", "frame.window", "frame.outline"]
    features, marks = {work.operation.name: work.marks for work in work_of(sheet)}, len(edges)
    assert (features["cut-opening"], features["cut-edge"]) == (1, marks)


@pytest.mark.parametrize("rest", [1.0, 40.0, 400.0])
def test_cuts_that_lie_apart_keep_that_order_too(rest: float) -> None:
    sheet = hand_laid(replace(MACHINE, rest_mm=rest))
    assert [mark.id for mark in sheet.marks("cut-edge")] == [
        "square.outline",
        "frame.window",
        "frame.outline",
    ]


def test_lead_ins_of_an_opening_keep_clear_of_the_part_in_it() -> None:
    operations = tuple(
        replace(each, lead_in_mm=2.0) if each.name == "cut-edge" else each for each in MACHINE.operations
    )
    sheet = hand_laid(replace(MACHINE, operations=operations))
    leads = {mark.id: mark.leads for mark in sheet.marks("cut-edge")}
    assert all(len(each) == 1 for each in leads.values())
    ((window,), (square_lead,)) = leads["frame.window"], leads["square.outline"]
    inside, around = box(60.0, 30.0, 260.0, 180.0).box, box(70.0, 40.0, 160.0, 130.0).box
    assert inside.contains(window.box)
    assert not around.grown(0.1).overlaps(window.box)
    assert inside.contains(square_lead.box)
    assert not around.contains(square_lead.box)


def test_a_part_too_near_the_opening_round_it_is_found() -> None:
    assert check_sheet_room(hand_laid(x=64.0)) == ()
    (found,) = check_sheet_room(hand_laid(x=62.0))
    assert (found.name, found.part, found.other) == ("part-gap", "square", "part frame")
    assert found.measured_mm == pytest.approx(2.0)


def test_what_lies_in_an_opening_is_not_counted_again() -> None:
    """580 × 200 mm of 600 × 300 mm; above the frame 90 mm less the gap of 3 are left."""
    sheet = hand_laid()
    assert share_used(sheet) == pytest.approx(580.0 * 200.0 / (600.0 * 300.0))
    rest = leftover(sheet)
    assert rest is not None
    assert (rest.width, rest.height) == pytest.approx((600.0, 87.0))


def test_a_part_in_an_opening_costs_no_sheet_of_its_own() -> None:
    sheet = hand_laid()
    dear = replace(MATERIAL, price_per_m2=Price(100.0, "EUR"))
    whole = cost_of_sheet(sheet, dear)
    parts = {each.cut_part.part.name: cost_of_part(sheet, each, dear) for each in sheet.placements}
    assert parts["square"].material == Price(0.0, "EUR")
    assert whole.material is not None
    assert whole.unused is not None
    assert parts["frame"].material is not None
    assert parts["frame"].material.amount + whole.unused.amount == pytest.approx(whole.material.amount)


def test_it_is_told_where_parts_lie_and_in_which_order_they_are_cut() -> None:
    sheet = hand_laid()
    where, order = nested_lines([sheet])
    assert where == (
        "square lies in the opening window of frame on sheet 1 and is cut out before it:"
        " that opening is therefore cut in cut-edge"
    )
    assert order == (
        "keep the order of the file within cut-edge, or let the machine's software cut from the inside outward:"
        " else a part in an opening drops or shifts with the waste before it is cut"
    )
    more = Placement(
        cut_part=gauge("other", wide=20.0, high=20.0),
        place=shifted(200.0, 40.0),
        within=Within("frame", "window"),
    )
    (where, _) = nested_lines([replace(sheet, placements=(*sheet.placements, more))])
    assert where.startswith(
        "square, other lie in the opening window of frame on sheet 1 and are cut out before"
    )


def test_it_is_told_that_tabs_hold_a_part_in_the_waste_and_an_opening_is_not_missed_among_the_tabs() -> None:
    tabbed = [hand_laid(replace(MACHINE, tab_width_mm=1.0))]
    assert list(nested_lines(tabbed))[-1] == (
        "tabs hold a part that lies in an opening in the waste, which comes out of the sheet with it"
    )
    (line,) = cutting_lines(tabbed)
    assert line.startswith("tabs of 1.00 mm hold square (2), frame (10) in the sheet")


def test_a_set_with_nothing_in_openings_says_nothing_of_it() -> None:
    sheet = replace(hand_laid(), placements=hand_laid().placements[1:])
    assert list(nested_lines([sheet])) == []
    assert [mark.id for mark in sheet.marks("cut-opening")] == ["frame.window"]


def test_parts_go_along_with_a_host_on_a_slant(monkeypatch: pytest.MonkeyPatch) -> None:
    """610 mm on a bed that takes 590 mm; the corners would hold the small ones as well, were openings not free."""
    monkeypatch.setattr("jiggen.sheets.nest._WORTH_IT", -1.0)
    host = part_of("frame", box(0.0, 0.0, 610.0, 60.0), opening(box(50.0, 8.0, 350.0, 52.0)))
    ring = part_of("ring", circle(ORIGIN, 18.0), opening(circle(ORIGIN, 14.0)))
    coin = part_of("coin", box(0.0, 0.0, 10.0, 10.0))
    (sheet,) = nest([gauge(wide=150.0, high=36.0), host, ring, coin], MACHINE)
    slants = {round(each.place.sine, 9) for each in sheet.placements}
    assert len(slants) == 1
    assert slants != {0.0}
    assert within_of([sheet]) == {
        "gauge": Within("frame", "window"),
        "frame": None,
        "ring": Within("frame", "window"),
        "coin": Within("ring", "window"),
    }
    assert check_sheet_room(sheet) == ()
    placed = {each.cut_part.part.name: each for each in sheet.placements}
    window, outline = (
        to_polygon(placed[name].place.path(path), 0.002)
        for name, path in (("frame", host.features[1].paths[0]), ("gauge", box(0.0, 0.0, 150.0, 36.0)))
    )
    assert window.covers(outline)

"""The last look before writing: each rule broken once, each sentence as the maker reads it."""

import math
from dataclasses import replace

import pytest
from support.sheets import MACHINE, cut_part, sheet_of, sheet_set, sheet_with

from jiggen.errors import InputError, LimitError, SeveralErrors
from jiggen.export.lint import check_sheet
from jiggen.geometry.box import Box
from jiggen.geometry.path import Arc, Line, Path, circle, polyline, rectangle, reverse, segment
from jiggen.geometry.point import Point
from jiggen.geometry.similarity import shifted, turned
from jiggen.parts.model import Feature, Part, Role
from jiggen.sheets.model import Placement, Sheet


def opening(id: str, *paths: Path) -> Feature:
    return Feature(id=id, role=Role.OPENING, paths=paths)


def scored(id: str, *paths: Path) -> Feature:
    return Feature(id=id, role=Role.LINE, paths=paths)


def with_cut(sheet: Sheet, feature: str, *paths: Path, operation: str | None = None) -> Sheet:
    """The sheet with other paths, or another operation, for one feature of its only part."""
    (placement,) = sheet.placements
    cuts = tuple(
        replace(cut, paths=paths or cut.paths, operation=operation or cut.operation)
        if cut.feature.id == feature
        else cut
        for cut in placement.cut_part.features
    )
    return replace(
        sheet, placements=(replace(placement, cut_part=replace(placement.cut_part, features=cuts)),)
    )


def complaint(sheet: Sheet) -> str:
    with pytest.raises(LimitError) as caught:
        check_sheet(sheet)
    return str(caught.value)


def test_good_sheets_pass() -> None:
    for sheet in sheet_set().sheets:
        check_sheet(sheet)


def test_a_mark_off_the_sheet() -> None:
    sheet = sheet_with(slot=opening("slot", rectangle(Point(10.0, -25.0), Point(15.0, -10.0))))
    assert complaint(sheet) == (
        "sheet 1, part plate, feature slot: got a mark from (30.000, -5.000) mm to (35.000, 10.000) mm, expected"
        " all of it on the sheet of 600 × 300 mm. Use a larger sheet or make the part smaller"
    )


def test_an_arc_whose_belly_leaves_the_sheet() -> None:
    bow = Path((Arc(Point(30.0, -20.0), Point(10.0, -20.0), -0.1),))  # its ends lie on the border
    assert "a mark from (30.000, -1.000) mm to (50.000, 0.000) mm" in complaint(
        sheet_with(bow=scored("bow", bow))
    )


def test_a_mark_on_the_very_border_passes() -> None:
    check_sheet(sheet_with(line=scored("line", segment(Point(-20.0, -20.0), Point(580.0, -20.0)))))


def test_a_segment_that_vanishes_when_written() -> None:
    speck = polyline([Point(5.0, 5.0), Point(6.0, 5.0), Point(6.00002, 5.0), Point(9.0, 9.0)])
    assert complaint(sheet_with(line=scored("line", speck))) == (
        "sheet 1, part plate, feature line: got a segment of no length at (26.000, 25.000) mm, expected segments"
        " longer than 0.0001 mm. Take out the doubled point"
    )


def test_an_open_cut() -> None:
    sheet = with_cut(
        sheet_with(hole=opening("hole", circle(Point(25.0, 25.0), 5.0))),
        "hole",
        Path((Arc(Point(30.0, 25.0), Point(20.0, 25.0), 1.0),)),
    )
    assert complaint(sheet) == (
        "sheet 1, part plate, feature hole: got an open cut from (40.000, 45.000) mm to (50.000, 45.000) mm,"
        " expected a contour that closes, since it is cut through. Join its ends"
    )


@pytest.mark.parametrize(
    "twin",
    [
        rectangle(Point(10.0, 10.0), Point(20.0, 30.0)),
        reverse(rectangle(Point(10.0, 10.0), Point(20.0, 30.0))),
        polyline([Point(20.0, 30.0), Point(10.0, 30.0), Point(10.0, 10.0), Point(20.0, 10.0)], closed=True),
        rectangle(Point(10.0, 10.0004), Point(20.0, 30.0)),
    ],
    ids=["again", "other way", "other start", "within a micron"],
)
def test_a_cut_made_twice(twin: Path) -> None:
    sheet = sheet_with(
        slot=opening("slot", rectangle(Point(10.0, 10.0), Point(20.0, 30.0))), copy=opening("copy", twin)
    )
    assert complaint(sheet) == (
        "sheet 1, part plate, feature copy: got the same cut as part plate, feature slot, at (35.000, 40.000) mm,"
        " expected every cut made once. Take one of the two out"
    )


def test_a_circle_cut_twice_wherever_it_starts() -> None:
    round_hole = circle(Point(25.0, 25.0), 5.0)
    turned_hole = shifted(25.0, 25.0).path(turned(1.0).path(circle(Point(0.0, 0.0), 5.0)))
    sheet = sheet_with(one=opening("one", round_hole), other=opening("other", turned_hole))
    assert "the same cut as part plate, feature one" in complaint(sheet)


def test_a_bow_cut_twice() -> None:
    bow = Path(
        (Arc(Point(10.0, 10.0), Point(20.0, 10.0), -1.0), Line(Point(20.0, 10.0), Point(10.0, 10.0))),
        closed=True,
    )
    sheet = sheet_with(one=opening("one", bow), other=opening("other", reverse(bow)))
    assert "the same cut as part plate, feature one" in complaint(sheet)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        # two halves of a square, each with the square's bounds
        (
            polyline([Point(10.0, 10.0), Point(30.0, 10.0), Point(30.0, 30.0)], closed=True),
            polyline([Point(10.0, 10.0), Point(30.0, 30.0), Point(10.0, 30.0)], closed=True),
        ),
        # a circle in its square
        (circle(Point(20.0, 20.0), 10.0), rectangle(Point(10.0, 10.0), Point(30.0, 30.0))),
        # a hundredth of a millimetre is two cuts
        (
            rectangle(Point(10.0, 10.0), Point(30.0, 30.0)),
            rectangle(Point(10.01, 10.01), Point(29.99, 29.99)),
        ),
        # the same corners, bowed otherwise, in the same bounds
        (
            Path(
                (
                    Line(Point(10.0, 10.0), Point(30.0, 10.0)),
                    Line(Point(30.0, 10.0), Point(30.0, 30.0)),
                    Arc(Point(30.0, 30.0), Point(10.0, 10.0), math.tan(math.pi / 8.0)),
                ),
                closed=True,
            ),
            Path(
                (
                    Line(Point(10.0, 10.0), Point(30.0, 10.0)),
                    Line(Point(30.0, 10.0), Point(30.0, 30.0)),
                    Arc(Point(30.0, 30.0), Point(10.0, 10.0), -math.tan(math.pi / 9.0)),
                ),
                closed=True,
            ),
        ),
    ],
)
def test_cuts_that_only_look_alike_pass(one: Path, other: Path) -> None:
    check_sheet(sheet_with(one=opening("one", one), other=opening("other", other)))


def test_lines_may_be_scored_twice() -> None:
    line = segment(Point(5.0, 5.0), Point(45.0, 5.0))
    check_sheet(sheet_with(centre=scored("centre", line), string=scored("string", line)))


def test_an_operation_that_the_machine_lacks() -> None:
    sheet = with_cut(
        sheet_with(fold=scored("fold", segment(Point(5.0, 5.0), Point(9.0, 5.0)))), "fold", operation="crease"
    )
    assert complaint(sheet) == (
        "sheet 1, part plate, feature fold: got operation crease, expected one of machine shed-laser: engrave,"
        " score, cut-opening, cut-edge. Add the operation to the machine's profile"
    )


def test_control_characters_in_a_tag() -> None:
    sheet = sheet_with()
    (placement,) = sheet.placements
    tag = replace(placement.cut_part.tag, design_name="Wren\n  0\nEOF")
    sheet = replace(sheet, placements=(replace(placement, cut_part=replace(placement.cut_part, tag=tag)),))
    with pytest.raises(InputError) as caught:
        check_sheet(sheet)
    assert str(caught.value) == (
        "sheet 1, part plate, tag, design_name: got 'Wren\\n  0\\nEOF', expected letters, digits, signs and spaces"
        " only. Take line breaks and control characters out of it"
    )


def test_everything_wrong_is_told_at_once() -> None:
    far = segment(Point(0.0, 0.0), Point(900.0, 0.0))
    with pytest.raises(SeveralErrors) as caught:
        check_sheet(sheet_with(one=scored("one", far), other=scored("other", far)))
    assert [error.where for error in caught.value.errors] == [
        "sheet 1, part plate, feature one",
        "sheet 1, part plate, feature other",
    ]


def test_two_marks_of_one_id_are_our_own_mistake() -> None:
    part = Part(
        name="plate",
        title="Plate",
        features=(Feature(id="outline", role=Role.EDGE, paths=(circle(Point(0.0, 0.0), 20.0),)),),
        tag_box=Box(Point(-5.0, -5.0), Point(5.0, 5.0)),
    )
    sheet = sheet_of([(cut_part(part, {}), shifted(x, 50.0)) for x in (50.0, 150.0)], machine=MACHINE)
    assert all(isinstance(each, Placement) for each in sheet.placements)
    with pytest.raises(ValueError, match="sheet 1 has marks of the same id"):
        check_sheet(sheet)

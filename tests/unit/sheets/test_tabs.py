"""Tabs: where they stand, how wide they are, and that the proof sees them."""

import json
from dataclasses import replace

import pytest
import shapely
from support.made import DESIGNS

from jiggen import prepare, reckon
from jiggen.export.formats import encode_job
from jiggen.export.manifest import FILE_NAME
from jiggen.export.writer import Job
from jiggen.geometry.measure import flatten, length
from jiggen.geometry.path import circle, polyline, rectangle
from jiggen.geometry.point import Point
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault
from jiggen.sheets.story import tab_lines
from jiggen.sheets.tabs import parted, with_tabs
from jiggen.splitting.split import Wish

PLATE = rectangle(Point(0.0, 0.0), Point(300.0, 60.0), radius=4.0)
WIDTH, SPACING, BEAM = 1.0, 120.0, 0.2


def shape(path):
    return shapely.LineString([(point.x, point.y) for point in flatten(path, 0.001)])


@pytest.mark.parametrize("contour", [PLATE, circle(Point(50.0, 50.0), 40.0)])
def test_runs_and_tabs_make_up_the_contour(contour):
    runs, tabs = with_tabs(contour, WIDTH, SPACING, beam_mm=BEAM)
    assert len(runs) == len(tabs) == max(2, round(length(contour) / SPACING))
    assert sum(map(length, (*runs, *tabs))) == pytest.approx(length(contour))
    together = shapely.union_all([shape(path) for path in (*runs, *tabs)])
    assert shape(contour).hausdorff_distance(shapely.line_merge(together)) < 2e-3  # of chords
    # of the sheet as much is left at each as was asked for, once the beam has eaten into it from both sides
    cut = shapely.union_all([shape(run) for run in runs]).buffer(BEAM / 2.0, quad_segs=64)
    for tab in tabs:
        assert shape(tab).difference(cut).length == pytest.approx(WIDTH, abs=1e-3)


def test_tabs_keep_away_from_corners():
    _, tabs = with_tabs(PLATE, WIDTH, SPACING, beam_mm=BEAM)
    corners = shapely.union_all([shapely.Point(x, y).buffer(4.0) for x in (4.0, 296.0) for y in (4.0, 56.0)])
    assert all(not shape(tab).intersects(corners) for tab in tabs)


def test_a_notched_edge_is_left_alone_where_the_rest_will_do():
    mouths = [Point(100.0, 0.0), Point(102.0, 0.0), Point(200.0, 0.0), Point(202.0, 0.0)]
    corners = [Point(0.0, 0.0)]
    for left, right in ((mouths[0], mouths[1]), (mouths[2], mouths[3])):
        corners += [left, Point(left.x, 5.0), Point(right.x, 5.0), right]
    comb = polyline([*corners, Point(300.0, 0.0), Point(300.0, 60.0), Point(0.0, 60.0)], closed=True)
    _, tabs = with_tabs(comb, WIDTH, SPACING, beam_mm=BEAM, notches=mouths)
    assert len(tabs) >= 3
    assert all(tab.start.y > 1.0 for tab in tabs)
    # a rule with notches all along both sides has nowhere else
    sides = [Point(x, y) for x in (0.0, 300.0) for y in (0.0, 60.0)]
    _, all_round = with_tabs(
        rectangle(Point(0.0, 0.0), Point(300.0, 60.0)), WIDTH, SPACING, beam_mm=BEAM, notches=sides
    )
    assert len(all_round) >= 3


def test_a_part_too_small_for_two_has_none():
    small = rectangle(Point(0.0, 0.0), Point(3.0, 3.0))
    assert with_tabs(small, WIDTH, SPACING, beam_mm=BEAM) == ((small,), ())


@pytest.fixture(scope="module")
def held():
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    return neck, prepare.draw_up(neck, prepare.Order(tab_width_mm=1.0))


def files_of(held):
    neck, sheets = held
    files = dict(encode_job(Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup), ("dxf", "svg")))
    return files.pop(FILE_NAME), files


def test_the_proof_breaks_them_and_finds_whole_parts(held):
    manifest, files = files_of(held)
    report = prove_files(manifest, files)
    assert report.ok, report.text()
    edges = [
        feature
        for part in json.loads(manifest)["sheets"][0]["parts"]
        for feature in part["features"]
        if "tabs" in feature
    ]
    assert [edge["id"] for edge in edges] == ["outline"] * 4


@pytest.mark.parametrize("machine", ["large-laser", "cnc-router"])
def test_no_tab_stands_where_pieces_of_a_part_meet(machine):
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    order = prepare.Order(
        parts=("plan-template",),
        pieces=Wish(at=(("plan-template", 300.0),)),
        tab_width_mm=1.0,
        machine=machine,
        material="mdf-3",
    )
    (sheet,) = prepare.draw_up(neck, order).sheets
    for placement in sheet.placements:
        part = placement.cut_part.part
        (seam,) = part.piece.seams
        faces = shapely.LineString([(end.x, end.y) for end in (seam.line.start, seam.line.end)])
        assert faces.length > 50.0
        (edge,) = [cut for cut in placement.cut_part.features if cut.operation == "cut-edge"]
        _, tabs = parted(edge, placement.cut_part, replace(sheet.machine, tab_spacing_mm=30.0))
        assert len(tabs) > 10
        least = seam.depth_mm + placement.cut_part.tag.kerf_mm / 2.0
        assert min(shape(tab).distance(faces) for tab in tabs) > 1.0
        beside = [tab for tab in tabs if shape(tab).distance(faces) < least]
        assert all(
            abs(tab.start.x - tab.end.x) > 0.99 for tab in beside
        )  # on an edge that leads away from it


@pytest.mark.parametrize("width_mm", [20.0, 40.0])
def test_tabs_wider_than_the_gap_between_parts_are_not_taken_for_cut(width_mm):
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    manifest, files = files_of((neck, prepare.draw_up(neck, prepare.Order(tab_width_mm=width_mm))))
    report = prove_files(manifest, files)
    assert report.ok, report.text()


def test_the_proof_sees_a_cut_across_a_wide_tab_beside_its_middle():
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    sheets = prepare.draw_up(neck, prepare.Order(tab_width_mm=20.0))
    manifest, files = files_of((neck, sheets))
    (sheet,) = sheets.sheets
    tab = next(tab for mark in sheet.marks_of_part("nut-rule") for tab in mark.tabs)
    along = (tab.end - tab.start).unit()
    place = tab.start + along * (length(tab) / 2.0 + 3.0)
    ends = [place + along.left() * 2.0, place - along.left() * 2.0]
    data = " ".join(
        f"{word} {end.x:.3f} {sheet.height_mm - end.y:.3f}" for word, end in zip("ML", ends, strict=True)
    )
    opening = b'<g id="cut-edge"'
    head, _, rest = files["sheet-1.svg"].partition(opening)
    attributes, _, more = rest.partition(b">")
    crossed = head + opening + attributes + f'><path id="across" d="{data}"/>'.encode() + more
    report = prove_files(manifest, {**files, "sheet-1.svg": crossed})
    cut = [each for each in report.findings if each.fault is Fault.TAB_CUT]
    assert [(each.part, each.message.startswith("1 of")) for each in cut] == [("nut-rule", True)]


def test_the_proof_sees_tabs_that_are_cut_through(held):
    manifest, _ = files_of(held)
    neck, sheets = held
    whole = prepare.draw_up(neck, prepare.Order())
    _, files = files_of((neck, whole))
    report = prove_files(manifest, files)
    cut = [finding for finding in report.findings if finding.fault is Fault.TAB_CUT]
    assert {finding.part for finding in cut} == {
        placement.cut_part.part.name for placement in sheets.sheets[0].placements
    }
    assert "5 of 5 tabs" in next(each.message for each in cut if each.part == "fret-slot-guide")


def test_what_holds_is_told(held):
    (line,) = tab_lines(held[1].sheets)
    assert line.startswith("tabs of 1.00 mm hold ")
    assert "fret-slot-guide (5)" in line
    wide = replace(held[1].machine, tab_width_mm=60.0)
    *_, loose = tab_lines([replace(sheet, machine=wide) for sheet in held[1].sheets])
    assert loose.startswith("no room for two tabs, so that they fall out: ")


def test_without_a_width_there_are_none():
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    assert not list(tab_lines(prepare.draw_up(neck, prepare.Order()).sheets))


def test_arcs_with_tabs_tell_their_radius_as_whole_ones_do():
    """The wall of a mould is two curves of arcs side by side, each too short for its radius once tabs part it."""
    neck = reckon.work_out(reckon.load(DESIGNS / "whinchat.toml"))
    sheets = prepare.draw_up(neck, prepare.Order(parts=("mould",), tab_width_mm=WIDTH))
    files = encode_job(Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup), ("dxf", "svg"))
    report = prove_files(files[FILE_NAME], {file: data for file, data in files.items() if file != FILE_NAME})
    assert report.ok, report.text()
    assert any(mark.tabs for sheet in sheets.sheets for mark in sheet.marks("cut-edge"))

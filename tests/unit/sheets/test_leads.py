"""Lead-ins and rest between cuts: where they run, and that the proof sees the part without them."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from support.made import DESIGNS

from jiggen import prepare, reckon
from jiggen.export.formats import encode_job
from jiggen.export.manifest import FILE_NAME
from jiggen.export.writer import Job
from jiggen.geometry.box import Box
from jiggen.geometry.measure import flatten, length
from jiggen.geometry.path import circle, rectangle, reverse
from jiggen.geometry.point import Point
from jiggen.parts.model import Role
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault
from jiggen.sheets.leads import with_lead
from jiggen.sheets.order import apart, cooled, shortest_way
from jiggen.sheets.story import cutting_lines

PLATE = rectangle(Point(20.0, 20.0), Point(120.0, 60.0), radius=4.0)
HOLE = circle(Point(60.0, 40.0), 6.0)
ROOM = Box(Point(0.0, 0.0), Point(200.0, 100.0))
LEAD, BEAM = 2.0, 0.2


def area_of(path):
    return shapely.Polygon([(point.x, point.y) for point in flatten(path, 0.001)])


@pytest.mark.parametrize("contour", [PLATE, HOLE, reverse(PLATE), reverse(HOLE)])
@pytest.mark.parametrize("outside", [True, False])
def test_a_lead_in_starts_in_the_waste_and_the_contour_is_run_all_round(contour, outside):
    way = with_lead(contour, LEAD, outside=outside, others=(), clear_mm=BEAM, room=ROOM)
    assert length(way.lead) == pytest.approx(LEAD)
    assert area_of(contour).contains(shapely.Point(way.lead.start.x, way.lead.start.y)) != outside
    assert length(way.path) == pytest.approx(length(contour) + LEAD)
    assert way.path.end.distance(way.lead.end) < 1e-9
    # it meets the contour square, far from any corner
    line = shapely.LineString([(point.x, point.y) for point in flatten(contour, 1e-4)])
    assert line.distance(shapely.Point(way.lead.end.x, way.lead.end.y)) < 2e-4
    assert line.distance(shapely.Point(way.lead.start.x, way.lead.start.y)) == pytest.approx(LEAD, abs=2e-4)


def test_a_lead_in_keeps_clear_of_other_cuts_and_on_the_sheet():
    above = rectangle(Point(20.0, 61.5), Point(120.0, 90.0))
    way = with_lead(PLATE, LEAD, outside=True, others=(above,), clear_mm=BEAM, room=ROOM)
    assert way.lead.start.y == pytest.approx(18.0)  # the other long side
    edge = Box(Point(19.0, 19.0), Point(121.0, 61.0))
    nowhere = with_lead(PLATE, LEAD, outside=True, others=(), clear_mm=BEAM, room=edge)
    assert (nowhere.path, nowhere.lead) == (PLATE, None)


def test_a_slot_too_narrow_has_none():
    slot = rectangle(Point(0.0, 0.0), Point(60.0, 0.5))
    assert with_lead(slot, LEAD, outside=False, others=(), clear_mm=BEAM, room=ROOM).lead is None


def test_cuts_that_follow_one_another_lie_apart_where_they_can():
    boxes = [Box(Point(10.0 * index, 0.0), Point(10.0 * index + 1.0, 50.0)) for index in range(12)]
    way = shortest_way([(box.low, box.high) for box in boxes], Point(0.0, 0.0))
    rested = cooled(way, boxes, 25.0)
    assert sorted(rested) == sorted(way)
    near = [apart(boxes[one], boxes[other]) < 25.0 for (one, _), (other, _) in pairwise(rested)]
    assert sum(near) <= 2  # the last have nowhere else to go
    assert all(apart(boxes[one], boxes[other]) < 25.0 for (one, _), (other, _) in pairwise(way))


@pytest.fixture(scope="module")
def led():
    neck = reckon.work_out(reckon.load(DESIGNS / "wren.toml"))
    sheets = prepare.draw_up(neck, prepare.Order(parts=("plan-template", "saw-guide", "width-gauges")))
    operations = tuple(
        replace(each, lead_in_mm=LEAD if each.role in {Role.EDGE, Role.OPENING} else None)
        for each in sheets.machine.operations
    )
    machine = replace(sheets.machine, operations=operations, rest_mm=20.0)
    workshop = replace(sheets.workshop, machine=machine)
    changed = tuple(replace(sheet, machine=machine) for sheet in sheets.sheets)
    return neck, replace(sheets, workshop=workshop, sheets=changed)


def files_of(led):
    neck, sheets = led
    files = dict(encode_job(Job(sheet_set=sheets, layout=neck.layout, setup=neck.setup), ("dxf", "svg")))
    return files.pop(FILE_NAME), files


def test_the_proof_measures_contours_without_their_lead_ins(led):
    manifest, files = files_of(led)
    assert b'"leads"' in manifest
    report = prove_files(manifest, files)
    assert report.ok, report.text()


def turned_in(data, pattern, x_on, y_on):
    """The data with a lead-in's start mirrored to the other side of the contour."""

    def other_side(found):
        x, y = float(found[2]), float(found[3])
        return f"{found[1]}{2.0 * x_on - x:.4f} {2.0 * y_on - y:.4f}"

    turned, count = re.subn(pattern, other_side, data.decode(), count=1)
    assert count == 1
    return turned.encode()


def test_the_proof_sees_a_lead_in_on_the_wrong_side(led):
    manifest, files = files_of(led)
    place = r'(id="saw-guide\.outline"[^>]* d="M )([\d.]+) ([\d.]+)'
    found = re.search(place + r" L ([\d.]+) ([\d.]+)", files["sheet-1.svg"].decode())
    x_on, y_on = float(found[4]), float(found[5])
    files["sheet-1.svg"] = turned_in(files["sheet-1.svg"], place, x_on, y_on)
    report = prove_files(manifest, files)
    faults = {each.fault for each in report.findings if each.part == "saw-guide"}
    assert faults & {Fault.OPEN_CONTOUR, Fault.FALLS_APART, Fault.WRONG_SHAPE}
    # even where the manifest says so too
    lead = r'("id": "outline",(?:(?!"id":).)*?"leads": "M )([\d.]+) ([\d.]+)'
    at = manifest.index(b'"name": "saw-guide"')
    height = led[1].sheets[0].height_mm
    wrong = manifest[:at] + turned_in(manifest[at:], f"(?s){lead}", x_on, height - y_on)
    report = prove_files(wrong, files)
    messages = [each.message for each in report.findings if each.fault is Fault.CUT_INTO]
    assert any(message.endswith("starts on the part's side of the contour") for message in messages)


def test_what_could_be_had_is_told(led):
    leads, rest = cutting_lines(led[1].sheets)
    cuts = [
        mark
        for sheet in led[1].sheets
        for operation in sheet.machine.operations
        if operation.lead_in_mm
        for mark in sheet.marks(operation.name)
    ]
    assert leads.startswith(
        f"{sum(bool(mark.leads) for mark in cuts)} of {len(cuts)} cuts start with a lead-in"
    )
    assert re.fullmatch(r"cuts that follow one another lie 20 mm apart or more, but for \d+ of \d+", rest)

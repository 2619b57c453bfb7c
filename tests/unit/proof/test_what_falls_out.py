"""What the beam leaves when every path is where it should be, and the parts come out wrong all the same."""

import math
from dataclasses import replace

import pytest
from unit.proof.hand_job import (
    Feature,
    HandJob,
    Part,
    Place,
    hand_job,
    hole,
    lettering,
    polygon,
    saw_guide,
    shifted_polygon,
    slot,
)

from jiggen.proof.burn import Fallen
from jiggen.proof.look import SheetProof
from jiggen.proof.manifest import read_manifest
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Fault, Report

FILES = ("sheet-1.dxf", "sheet-1.svg")


def proof_of(job: HandJob) -> Report:
    files = job.written()
    return prove_files(job.manifest_bytes(files), files)


def plate(name: str, x: float, *features: Feature) -> Part:
    corners = [(0.0, -20.0), (100.0, -20.0), (100.0, 20.0), (0.0, 20.0)]
    outline = Feature("outline", "edge", [polygon(corners)], [polygon(shifted_polygon(corners, 0.1))])
    return Part(name, Place(x=x, y=100.0), [outline, *features, lettering("tag", 10.0, 0.0)])


def named(report: Report) -> set[tuple[Fault, str, str]]:
    return {(finding.fault, finding.part, finding.file) for finding in report.findings}


def test_parts_nearer_than_the_beam_is_wide_cut_into_one_another() -> None:
    report = proof_of(hand_job([plate("left", 50.0), plate("right", 150.15)]))
    assert named(report) == {(Fault.CUT_INTO, part, file) for part in ("left", "right") for file in FILES}
    off = {row.part: row.measured_mm for row in report.rows if not row.ok}
    # each loses what the other's beam, 0.2 mm wide, reaches beyond the gap of 0.15 mm
    assert off == {"left": pytest.approx(0.05, abs=1e-3), "right": pytest.approx(0.05, abs=1e-3)}


def test_parts_a_beam_apart_are_left_whole() -> None:
    assert proof_of(hand_job([plate("left", 50.0), plate("right", 150.2)])).ok


def test_a_slot_longer_than_its_part_lets_it_fall_apart() -> None:
    report = proof_of(hand_job([plate("left", 50.0, slot("fret.1", 40.0, 28.0, 0.6))]))
    assert named(report) == {(Fault.FALLS_APART, "left", file) for file in FILES}
    assert "falls apart into 2 pieces" in report.findings[0].message


def test_holes_that_meet_are_named() -> None:
    report = proof_of(
        hand_job([plate("left", 50.0, hole("pin.1", 40.0, 0.0, 6.0), hole("pin.2", 45.0, 0.0, 6.0))])
    )
    assert {fault for fault, _, _ in named(report)} == {Fault.CUT_INTO}
    assert {row.what for row in report.rows if not row.ok} == {"as cut"}


def test_a_part_that_stays_in_the_sheet_is_named() -> None:
    job = hand_job([saw_guide()])
    manifest = read_manifest(job.manifest_bytes(job.written()))
    proof = SheetProof(manifest.sheets[0])
    (finding,) = proof._consequences([Fallen("saw-guide", ())], [], [], [], "sheet-1.dxf")
    assert (finding.fault, finding.part) == (Fault.NOT_FREE, "saw-guide")


def test_corners_are_as_sharp_as_a_round_beam_makes_them() -> None:
    """A square notch keeps a fillet of the beam's radius in its corners: that is no fault, and a wider beam leaves more."""
    assert proof_of(hand_job([plate("left", 50.0, slot("fret.1", 40.0, 10.0, 0.6))])).ok
    wide = hand_job([plate("left", 50.0, slot("fret.1", 40.0, 10.0, 0.6))])
    for each in wide.manifest["sheets"][0]["parts"]:
        each["tag"]["kerf_mm"] = 0.3
    report = proof_of(wide)
    assert not report.ok
    assert {row.feature for row in report.rows if not row.ok and row.what == "as cut"} == {
        "outline",
        "fret.1",
    }


@pytest.mark.parametrize("degrees", [0.0, 17.0, 90.0, 203.0])
@pytest.mark.parametrize("mirrored", [False, True])
def test_what_falls_out_is_looked_at_on_the_part_s_own_axes(degrees: float, mirrored: bool) -> None:  # noqa: FBT001 - a parameter
    angle = math.radians(degrees)
    place = Place(math.cos(angle), math.sin(angle), 300.0, 200.0, mirrored)
    part = plate("left", 50.0, slot("fret.1", 40.0, 10.0, 0.6), hole("pin.1", 80.0, 5.0, 3.0))
    report = proof_of(hand_job([replace(part, place=place)]))
    assert report.ok, report.text()
    assert sum(row.what == "as cut" for row in report.rows) == 3 * len(FILES)

"""The line to check a size by: 50 mm, clear of all parts, in DXF and SVG, and the proof measures it."""

from dataclasses import replace

import pytest
from support.sheets import job_of, sheet_set

from jiggen.export.dxf_entities import DxfEntities
from jiggen.export.formats import encode_job
from jiggen.export.options import Options
from jiggen.geometry.box import around
from jiggen.geometry.measure import bounds, length
from jiggen.proof.prove import prove_files
from jiggen.sheets.check_line import check_line

SHEET = sheet_set().sheets[0]


def files(**options: object) -> dict[str, bytes]:
    return encode_job(job_of(sheet_set(), Options(check_line=True, plan=False, **options)), ["dxf", "svg"])  # type: ignore[arg-type]


def test_it_is_50_mm_long_and_lies_in_the_border_of_the_sheet() -> None:
    line = check_line(SHEET)
    assert length(line) == pytest.approx(50.0)
    everything = around(
        mark.box for operation in SHEET.machine.operations for mark in SHEET.marks(operation.name)
    )
    assert not bounds(line).grown(0.5).overlaps(everything)
    assert 0.0 < line.start.y < SHEET.machine.margin_mm


@pytest.mark.parametrize("style", list(DxfEntities))
def test_the_proof_measures_it_and_finds_no_fault(style: DxfEntities) -> None:
    made = files(dxf_entities=style)
    report = prove_files(made.pop("manifest.json"), made)
    assert [finding.message for finding in report.findings] == []


def test_the_proof_tells_when_it_is_wrong() -> None:
    made = files()
    svg = made["sheet-1.svg"]
    assert svg.count(b'id="check.50-mm" d="M 5 297.5 L 55 297.5"') == 1
    made["sheet-1.svg"] = svg.replace(b"L 55 297.5", b"L 55.01 297.5")
    report = prove_files(made.pop("manifest.json"), made)
    assert any("the check line at" in finding.message for finding in report.findings)


def test_nobody_gets_it_who_did_not_ask() -> None:
    job = job_of(sheet_set())
    plain = encode_job(replace(job, options=Options(plan=False)), ["dxf", "svg"])
    assert not any(b"check" in data for name, data in plain.items() if name != "manifest.json")

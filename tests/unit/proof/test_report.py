"""The report's words and numbers."""

import json
from dataclasses import replace

import pytest

from jiggen.proof.report import Fault, Finding, Report, Row, Verdict, gathered


def row(measured: float, what: str = "width", cents: float | None = None) -> Row:
    return Row(
        part="plate",
        feature="fret.1",
        what=what,
        nominal_mm=2.0,
        measured_mm=measured,
        tolerance_mm=0.005,
        limit_mm=0.05,
        file="sheet-1.dxf",
        cents=cents,
    )


FINDING = Finding(
    fault=Fault.MOVED, message="lies off", file="sheet-1.dxf", part="plate", features=("fret.1",)
)
WARNING = Finding(fault=Fault.NO_UNITS, message="says nothing", file="sheet-1.dxf")


def test_a_row_passes_up_to_its_tolerance_and_not_beyond() -> None:
    assert row(2.004).ok
    assert row(1.996).ok
    assert not row(2.006).ok
    assert row(2.004).difference_mm == pytest.approx(0.004)


def test_a_part_that_is_off_may_still_serve() -> None:
    assert [row(each).verdict for each in (2.004, 2.04, 2.06)] == [Verdict.OK, Verdict.OFF, Verdict.OUT]
    assert [row(each).serves for each in (2.004, 2.04, 2.06)] == [True, True, False]
    assert replace(row(2.5), limit_mm=None).serves


def test_an_edited_file_may_be_off_as_long_as_its_parts_serve() -> None:
    assert Report(rows=(row(2.04),), findings=(FINDING,), edited=True).ok
    assert not Report(rows=(row(2.06),), findings=(), edited=True).ok
    missing = replace(FINDING, fault=Fault.MISSING_FEATURE)
    assert not Report(rows=(row(2.0),), findings=(missing,), edited=True).ok
    text = Report(rows=(row(2.04),), findings=(FINDING,), edited=True).text()
    assert "changed:\nmoved: sheet-1.dxf plate fret.1: lies off" in text
    assert text.endswith("the parts serve: 1 measurement, largest difference 0.0400 mm, no fault, 1 change")


@pytest.mark.parametrize(
    ("rows", "findings", "ok"),
    [
        ((row(2.0),), (), True),
        ((row(2.0),), (WARNING,), True),
        ((row(2.0),), (FINDING,), False),
        ((row(2.1),), (), False),
        ((), (), False),
    ],
)
def test_all_is_well_when_something_was_measured_and_nothing_is_wrong(
    rows: tuple[Row, ...],
    findings: tuple[Finding, ...],
    ok: bool,  # noqa: FBT001 - a parameter
) -> None:
    assert Report(rows=rows, findings=findings).ok is ok


def test_the_worst_row_is_one_of_a_place_or_a_size() -> None:
    report = Report(rows=(row(2.001), row(1.998), row(2.004, "run")), findings=())
    assert report.worst == row(1.998)
    assert Report(rows=(), findings=()).worst is None


def test_the_text_sums_up_and_shows_what_fails() -> None:
    report = Report(rows=(row(2.0), row(2.1, "position x", -3.25)), findings=(FINDING, WARNING))
    assert report.text() == (
        "file         part   measured  off  out  worst mm  where\n"
        "sheet-1.dxf  plate  2         0    1    0.1000    fret.1 position x\n"
        "\n"
        "file         part   feature  what        nominal mm  measured mm  difference  cents   allowed\n"
        "sheet-1.dxf  plate  fret.1   position x  2.0000      2.1000       +0.1000     -3.250  ± 0.05   OUT\n"
        "\n"
        "moved: sheet-1.dxf plate fret.1: lies off\n"
        "\n"
        "warnings:\n"
        "no-units: sheet-1.dxf: says nothing\n"
        "\n"
        "NOT PROVED: 2 measurements, largest difference 0.1000 mm, 1 out of tolerance, 1 fault, 1 warning"
    )


def test_every_row_is_shown_when_asked_for() -> None:
    report = Report(rows=(row(2.0), row(2.001)), findings=())
    assert "2.0010       +0.0010            ± 0.05   ok" in report.text(every_row=True)
    assert report.text().endswith("proved: 2 measurements, largest difference 0.0010 mm, no fault")
    assert (
        Report(rows=(), findings=()).text().endswith("NOT PROVED: no measurement, nothing measured, no fault")
    )


def test_the_dict_is_plain_json() -> None:
    report = Report(rows=(row(2.1, "position x", -3.25),), findings=(FINDING,))
    found = json.loads(json.dumps(report.as_dict()))
    assert found == {
        "schema": "jiggen-proof/1",
        "ok": False,
        "edited": False,
        "worst_mm": 0.1,
        "rows": [
            {
                "file": "sheet-1.dxf",
                "part": "plate",
                "feature": "fret.1",
                "what": "position x",
                "nominal_mm": 2.0,
                "measured_mm": 2.1,
                "difference_mm": 0.1,
                "tolerance_mm": 0.005,
                "limit_mm": 0.05,
                "cents": -3.25,
                "verdict": "OUT",
            }
        ],
        "findings": [
            {
                "fault": "moved",
                "harmless": False,
                "file": "sheet-1.dxf",
                "part": "plate",
                "features": ["fret.1"],
                "message": "lies off",
            }
        ],
    }


def test_findings_of_one_kind_become_one() -> None:
    other = Finding(
        fault=Fault.MOVED, message="lies off", file="sheet-1.dxf", part="plate", features=("fret.2",)
    )
    (found,) = gathered([FINDING, other, FINDING])
    assert found.features == ("fret.1", "fret.2")
    assert gathered([FINDING, WARNING]) == (FINDING, WARNING)


def test_many_features_are_not_all_spelt_out() -> None:
    many = Finding(
        fault=Fault.MOVED, message="lie off", part="plate", features=tuple(f"mm.{n}" for n in range(9))
    )
    assert str(many) == "moved: plate mm.0, mm.1, mm.2, mm.3, mm.4, mm.5 and 3 more: lie off"

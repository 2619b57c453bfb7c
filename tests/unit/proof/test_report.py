"""The report's words and numbers."""

import json

import pytest

from jiggen.proof.report import Fault, Finding, Report, Row, gathered


def row(measured: float, what: str = "width", cents: float | None = None) -> Row:
    return Row(
        part="plate",
        feature="fret.1",
        what=what,
        nominal_mm=2.0,
        measured_mm=measured,
        tolerance_mm=0.005,
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
        "file         part   measured  fail  worst mm  where\n"
        "sheet-1.dxf  plate  2         1     0.1000    fret.1 position x\n"
        "\n"
        "file         part   feature  what        nominal mm  measured mm  difference  cents\n"
        "sheet-1.dxf  plate  fret.1   position x  2.0000      2.1000       +0.1000     -3.250  FAIL\n"
        "\n"
        "moved: sheet-1.dxf plate fret.1: lies off\n"
        "no-units: sheet-1.dxf: says nothing\n"
        "\n"
        "NOT PROVED: 2 measurements, largest difference 0.1000 mm, 1 fault, 1 warning"
    )


def test_every_row_is_shown_when_asked_for() -> None:
    report = Report(rows=(row(2.0), row(2.001)), findings=())
    assert "2.0010       +0.0010            ok" in report.text(every_row=True)
    assert report.text().endswith("proved: 2 measurements, largest difference 0.0010 mm, no fault")
    assert (
        Report(rows=(), findings=()).text().endswith("NOT PROVED: 0 measurements, nothing measured, no fault")
    )


def test_the_dict_is_plain_json() -> None:
    report = Report(rows=(row(2.1, "position x", -3.25),), findings=(FINDING,))
    found = json.loads(json.dumps(report.as_dict()))
    assert found == {
        "schema": "jiggen-proof/1",
        "ok": False,
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
                "cents": -3.25,
                "ok": False,
            }
        ],
        "findings": [
            {
                "fault": "moved",
                "warning": False,
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

"""A clean job passes, every feature of it is measured, and what is measured is right to half a micrometre."""

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest
from unit.proof.hand_job import (
    SCALE,
    Feature,
    HandJob,
    Place,
    Run,
    fan_plate,
    fret,
    hand_job,
    index_strip,
    polygon,
    saw_guide,
    shifted_polygon,
)

from jiggen.errors import InputError
from jiggen.proof.prove import prove, prove_files
from jiggen.proof.report import Fault, Report, Row

HALF_A_MICRON = 0.0005  # mm
NANOMETRE = 1e-6  # mm


def proof_of(job: HandJob) -> Report:
    files = job.written()
    return prove_files(job.manifest_bytes(files), files)


def rows_of(report: Report, part: str, feature: str, file: str = "sheet-1.dxf") -> dict[str, Row]:
    return {
        row.what: row for row in report.rows if (row.part, row.feature, row.file) == (part, feature, file)
    }


@pytest.fixture(scope="module")
def clean() -> Report:
    return proof_of(hand_job())


def test_clean_files_pass_without_a_finding(clean: Report) -> None:
    assert clean.ok
    assert clean.findings == ()


def test_every_row_of_clean_files_is_within_half_a_micrometre(clean: Report) -> None:
    assert max(abs(row.difference_mm) for row in clean.rows if row.what != "as cut") <= HALF_A_MICRON


def test_what_the_beam_leaves_is_within_the_error_of_its_chords(clean: Report) -> None:
    chords = 2.0 * 0.001  # mm: those of the paths and those of the disc
    assert max(abs(row.difference_mm) for row in clean.rows if row.what == "as cut") <= chords


def test_every_feature_is_measured_in_both_files(clean: Report) -> None:
    wanted = {
        (part.name, each.id) for part in hand_job().parts for each in part.features if each.role != "note"
    }
    for file in ("sheet-1.dxf", "sheet-1.svg"):
        assert {(row.part, row.feature) for row in clean.rows if row.file == file} == wanted


@pytest.mark.parametrize(
    ("part", "feature", "whats"),
    [
        ("saw-guide", "fret.7", {"position x", "width", "length", "contour", "as cut", "run"}),
        ("saw-guide", "pin.1", {"position x", "position y", "width", "contour", "as cut", "run"}),
        ("saw-guide", "outline", {"length", "width", "radius", "contour", "as cut", "run"}),
        ("saw-guide", "nut", {"position x", "length", "contour", "run"}),
        ("saw-guide", "centre", {"position y", "length", "contour", "run"}),
        ("saw-guide", "target", {"position x", "position y", "contour", "run"}),
        ("saw-guide", "tag", {"bounds", "run"}),
        ("index-strip", "fret.3", {"position x", "width", "contour"}),
        ("index-strip", "mark", {"position x", "width", "contour"}),
        ("index-strip", "rest", {"position y", "width", "contour"}),
        ("index-strip", "hanger", {"position y", "width", "length", "radius", "contour", "as cut", "run"}),
        ("fan-plate", "fret.3", {"position x", "width", "length", "contour", "as cut", "run"}),
    ],
)
def test_each_kind_of_feature_is_measured_in_its_own_way(
    clean: Report, part: str, feature: str, whats: set[str]
) -> None:
    assert set(rows_of(clean, part, feature)) == whats


def test_nominal_values_are_the_drawing_s(clean: Report) -> None:
    seventh = rows_of(clean, "saw-guide", "fret.7")
    assert seventh["position x"].nominal_mm == pytest.approx(fret(7), abs=NANOMETRE)
    assert seventh["width"].nominal_mm == pytest.approx(0.62, abs=NANOMETRE)
    assert seventh["length"].nominal_mm == pytest.approx(56.0, abs=NANOMETRE)
    assert rows_of(clean, "saw-guide", "pin.1")["width"].nominal_mm == pytest.approx(6.1, abs=NANOMETRE)
    assert rows_of(clean, "saw-guide", "outline")["length"].nominal_mm == pytest.approx(422.0, abs=NANOMETRE)


def test_a_fret_that_moved_is_told_in_mm_and_in_cents() -> None:
    job = hand_job()
    job.change(
        "saw-guide",
        "fret.7",
        lambda run: Run(tuple((x + 0.05, y, b) for x, y, b in run.vertices), run.closed),
    )
    row = rows_of(proof_of(job), "saw-guide", "fret.7")["position x"]
    assert row.difference_mm == pytest.approx(0.05, abs=HALF_A_MICRON)
    assert row.cents is not None
    # d(cents) = 1200 / ln 2 · dx / length: equal temperament and the string law, exact arithmetic
    assert row.cents == pytest.approx(1200.0 / math.log(2.0) * 0.05 / (SCALE - fret(7) - 0.025), abs=1e-3)


def test_only_frets_have_cents(clean: Report) -> None:
    with_cents = {row.feature for row in clean.rows if row.cents is not None}
    assert with_cents == {f"fret.{number}" for number in range(1, 13)}


def test_without_a_scale_there_are_no_cents() -> None:
    job = hand_job()
    del job.manifest["design"]["numbers"]["scale"]
    report = proof_of(job)
    assert report.ok
    assert all(row.cents is None for row in report.rows)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_scale_is_read_in_its_unit(unit: str) -> None:
    job = hand_job()
    job.manifest["design"]["numbers"]["scale"] = {
        "value": SCALE if unit == "mm" else 628.65 / 25.4,
        "unit": unit,
    }
    job.change(
        "saw-guide",
        "fret.12",
        lambda run: Run(tuple((x + 0.1, y, b) for x, y, b in run.vertices), run.closed),
    )
    row = rows_of(proof_of(job), "saw-guide", "fret.12")["position x"]
    left = (SCALE if unit == "mm" else 628.65) - fret(12)
    assert row.cents == pytest.approx(1200.0 * math.log2(left / (left - 0.1)), abs=0.002)


@pytest.mark.parametrize(
    ("what", "shift"),
    [("position x", (0.01, 0.0)), ("position x", (-0.01, 0.0)), ("position y", (0.0, 0.01))],
)
def test_a_hundredth_of_a_millimetre_is_caught(what: str, shift: tuple[float, float]) -> None:
    job = hand_job()
    dx, dy = shift
    job.change(
        "saw-guide",
        "pin.2",
        lambda run: Run(tuple((x + dx, y + dy, b) for x, y, b in run.vertices), run.closed),
    )
    report = proof_of(job)
    assert not report.ok
    assert rows_of(report, "saw-guide", "pin.2")[what].difference_mm == pytest.approx(
        dx + dy, abs=HALF_A_MICRON
    )


def test_growth_and_machine_scale_are_undone() -> None:
    """Path = machine factor times (growth times finished, moved by half the kerf)."""
    growth, machine = 1.0012, 0.9985
    job = hand_job([saw_guide(), fan_plate()])
    for part, spoken in zip(job.parts, job.manifest["sheets"][0]["parts"], strict=True):
        spoken["tag"].update(
            growth_scale=growth, growth_scale_across=growth, machine_scale_x=machine, machine_scale_y=machine
        )
        origin = (part.place.x, part.place.y)
        # the hand-drawn path is the finished contour moved by the kerf over the growth, scaled up whole
        for feature in spoken["features"]:
            if feature["cut_bounds"]:
                feature["cut_bounds"] = [
                    origin[axis % 2] + (value - origin[axis % 2]) * growth * machine
                    for axis, value in enumerate(feature["cut_bounds"])
                ]
                feature["cut_length_mm"] *= growth * machine

        def run(each: Run, origin: tuple[float, float] = origin) -> Run:
            return Run(
                tuple(
                    (
                        origin[0] + (x - origin[0]) * growth * machine,
                        origin[1] + (y - origin[1]) * growth * machine,
                        b,
                    )
                    for x, y, b in each.vertices
                ),
                each.closed,
            )

        job.change_all(run, part.name)
        spoken["tag"]["kerf_mm"] *= growth
    report = proof_of(job)
    assert report.ok, report.text()
    assert (
        max(abs(row.difference_mm) for row in report.rows if row.what not in {"run", "as cut"})
        <= HALF_A_MICRON
    )


def test_a_machine_with_two_scales_is_undone() -> None:
    x_factor, y_factor = 1.001, 0.999
    part = replace(saw_guide(), place=Place(x=30.0, y=70.0))
    part.features = [each for each in part.features if each.id.startswith(("fret", "nut", "centre"))]
    corners = [(-22.0, -45.0), (400.0, -45.0), (400.0, 55.0), (-22.0, 55.0)]
    part.features.insert(
        0, Feature("outline", "edge", [polygon(corners)], [polygon(shifted_polygon(corners, 0.1))])
    )
    for feature in part.features:
        feature.cut = [
            Run(tuple((x * x_factor, y * y_factor, b) for x, y, b in run.vertices), run.closed)
            for run in feature.cut
        ]
    job = hand_job([part])
    job.tags["saw-guide"].update(machine_scale_x=x_factor, machine_scale_y=y_factor)
    report = proof_of(job)
    assert report.ok, report.text()
    assert report.worst is not None
    assert abs(report.worst.difference_mm) <= HALF_A_MICRON


@pytest.mark.parametrize(
    "place", [Place(x=300.0, y=60.0), Place(0.0, -1.0, 60.0, 400.0), Place(-1.0, 0.0, 450.0, 400.0)]
)
@pytest.mark.parametrize("mirrored", [False, True])
def test_any_place_on_the_sheet_is_undone(place: Place, mirrored: bool) -> None:  # noqa: FBT001 - a parameter
    report = proof_of(hand_job([replace(index_strip(), place=replace(place, mirrored=mirrored))]))
    assert report.ok, report.text()


def test_without_a_kerf_the_path_is_the_contour() -> None:
    parts = [saw_guide(), index_strip(), fan_plate()]
    for part in parts:
        for feature in part.features:
            feature.cut = feature.finished if feature.cut else []
    job = hand_job(parts)
    for part_tag in job.tags.values():
        part_tag.update(kerf_mm=0.0, offset_mm=0.0)
    report = proof_of(job)
    assert report.ok, report.text()
    assert max(abs(row.difference_mm) for row in report.rows if row.what != "as cut") <= HALF_A_MICRON


def test_a_sheet_without_parts_has_nothing_to_prove() -> None:
    report = proof_of(hand_job([]))
    assert report.findings == ()
    assert not report.ok


def test_files_that_hold_nothing_miss_everything() -> None:
    job = hand_job()
    job.things = []
    report = proof_of(job)
    assert {finding.fault for finding in report.findings} == {Fault.MISSING_FEATURE, Fault.WRONG_TAG}
    missed = [f for f in report.findings if (f.fault, f.part) == (Fault.MISSING_FEATURE, "fan-plate")]
    assert [finding.features for finding in missed] == [
        ("outline", "fret.1", "fret.2", "fret.3", "stringline", "tag")
    ] * 2


def test_parts_that_lie_on_one_another_are_named() -> None:
    report = proof_of(hand_job([saw_guide(), replace(fan_plate(), place=Place(x=100.0, y=60.0))]))
    assert [(f.fault, f.part) for f in report.findings] == [(Fault.PARTS_OVERLAP, "saw-guide")]
    assert report.findings[0].message.startswith("lies on fan-plate, at (")


def test_a_part_beyond_the_sheet_is_named_in_both_files() -> None:
    report = proof_of(hand_job([replace(saw_guide(), place=Place(x=20.0, y=60.0))]))
    assert [(f.fault, f.file, f.features) for f in report.findings] == [
        (Fault.OUTSIDE_SHEET, name, ("outline",)) for name in ("sheet-1.dxf", "sheet-1.svg")
    ]


def test_a_folder_is_proved_like_the_files_themselves(tmp_path: Path, clean: Report) -> None:
    job = hand_job()
    files = job.written()
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "manifest.json").write_bytes(job.manifest_bytes(files))
    assert prove(tmp_path) == clean


def test_a_folder_without_a_manifest_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"got no manifest\.json, expected the folder of a job"):
        prove(tmp_path)


def test_a_dxf_that_says_nothing_of_its_units_passes_with_a_warning() -> None:
    job = hand_job()
    job.insunits = None
    report = proof_of(job)
    assert report.ok
    assert [finding.fault for finding in report.findings] == [Fault.NO_UNITS]
    assert report.findings[0].is_warning


def test_a_dxf_in_inches_passes_when_its_numbers_are_inches() -> None:
    job = hand_job()
    in_mm = job.dxf()
    job.insunits = "1"
    job.change_all(lambda run: Run(tuple((x / 25.4, y / 25.4, b) for x, y, b in run.vertices), run.closed))
    dxf = job.dxf().encode()
    assert dxf != in_mm.encode()
    files = {"sheet-1.dxf": dxf, "sheet-1.svg": hand_job().svg().encode()}
    report = prove_files(job.manifest_bytes(files), files)
    assert report.findings == ()
    assert report.ok


def test_an_svg_in_another_unit_passes_when_it_comes_to_the_same_size() -> None:
    job = hand_job()
    job.svg_size = ("70cm", f"{480 / 25.4:.9f}in")
    report = proof_of(job)
    assert report.ok, report.text()


def test_an_svg_of_the_wrong_size_is_the_wrong_scale() -> None:
    job = hand_job()
    job.svg_size = (f"{700 * 96 / 72:.6f}mm", f"{480 * 96 / 72:.6f}mm")
    report = proof_of(job)
    assert {finding.fault for finding in report.findings} == {Fault.WRONG_SCALE, Fault.WRONG_SIZE_OF_SHEET}
    assert {finding.file for finding in report.findings} == {"sheet-1.svg"}


def test_a_dxf_in_the_wrong_unit_is_25_4_times_too_large() -> None:
    job = hand_job()
    job.insunits = "1"
    report = proof_of(job)
    (fault,) = {finding.fault for finding in report.findings}
    assert fault is Fault.WRONG_SCALE
    assert "is 25.4000 times as large as it should be: inches written as millimetres" in str(
        report.findings[0]
    )


def test_the_same_job_gives_the_same_report() -> None:
    job = hand_job()
    files = job.written()
    manifest = job.manifest_bytes(files)
    first, second = prove_files(manifest, files), prove_files(manifest, dict(reversed(files.items())))
    assert json.dumps(first.as_dict()) == json.dumps(second.as_dict())


def test_a_job_of_two_sheets_is_measured_sheet_by_sheet() -> None:
    one, two = hand_job([saw_guide()]), hand_job([fan_plate()])
    sheet = {**two.manifest["sheets"][0], "number": 2, "files": ["sheet-2.dxf"]}
    one.manifest["sheets"].append(sheet)
    files = {**one.written(), "sheet-2.dxf": two.written()["sheet-1.dxf"]}
    report = prove_files(one.manifest_bytes(files), files)
    assert report.ok, report.text()
    assert {(row.file, row.part) for row in report.rows} == {
        ("sheet-1.dxf", "saw-guide"),
        ("sheet-1.svg", "saw-guide"),
        ("sheet-2.dxf", "fan-plate"),
    }

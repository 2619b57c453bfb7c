"""Pieces put together by the proof, and faults across a joint that no single piece shows."""

import json
from collections.abc import Callable
from typing import Any

import pytest
import shapely
from support.made import DESIGNS

from jiggen import job, prepare, reckon
from jiggen.proof.joined import _clearance, _overlap
from jiggen.proof.pieces import WantedSeam
from jiggen.proof.prove import prove_files
from jiggen.proof.report import Report

SEAM = WantedSeam(mark="A", line=((10.0, 0.0), (10.0, 20.0)), depth_mm=4.0, clearance_mm=0.05)


@pytest.fixture(scope="module")
def made() -> dict[str, bytes]:
    design = reckon.load(DESIGNS / "wren.toml")
    order = prepare.Order(parts=("plan-template",), machine="small-laser", formats=("dxf", "svg"))
    return dict(job.write_up(design, order).files)


def proved(files: dict[str, bytes], change: Callable[[Any], None] = lambda _: None) -> Report:
    manifest = json.loads(files["manifest.json"])
    change(manifest)
    rest = {name: data for name, data in files.items() if name != "manifest.json"}
    return prove_files(json.dumps(manifest).encode(), rest)


def failing(report: Report) -> set[tuple[str, str]]:
    return {(row.feature, row.what) for row in report.rows if not row.ok and row.part == "plan-template"}


def test_the_whole_is_measured_in_both_formats(made):
    report = proved(made)
    assert report.ok
    rows = {
        (row.feature, row.what, row.file.split(".")[-1]) for row in report.rows if row.part == "plan-template"
    }
    for suffix in ("dxf", "svg"):
        assert {
            ("joint.a", "overlap", suffix),
            ("joint.a", "clearance", suffix),
            ("string.1", "step", suffix),
            ("outline", "length", suffix),
            ("outline", "width", suffix),
        } <= rows
    nut_to_saddle = next(
        row for row in report.rows if row.feature.endswith("..saddle") and row.what == "across x"
    )
    assert nut_to_saddle.ok


def test_a_clearance_that_is_not_there_is_found(made):
    def wider(manifest: Any) -> None:
        for sheet in manifest["sheets"]:
            for part in sheet["parts"]:
                part["piece"]["seams"][0]["clearance_mm"] = 0.08

    assert failing(proved(made, wider)) == {("joint.a", "clearance")}


def test_pieces_too_far_apart_are_found(made):
    def farther(manifest: Any) -> None:
        whole = manifest["wholes"][0]
        whole["datums"]["saddle"] = {"line": [[x + 0.02, y] for x, y in whole["datums"]["saddle"]["line"]]}
        whole["bounds"][2] += 0.02

    found = failing(proved(made, farther))
    assert ("outline", "length") in found
    assert any(feature.endswith("..saddle") and what == "across x" for feature, what in found)
    assert len(found) == 2


def test_how_deep_plates_overlap():
    one, other = shapely.box(0.0, 0.0, 10.0, 20.0), shapely.box(9.97, 0.0, 20.0, 20.0)
    assert _overlap(one, other) == pytest.approx(0.03, abs=1e-6)
    assert _overlap(one, shapely.box(10.0, 0.0, 20.0, 20.0)) == 0.0


def test_the_clearance_that_is_farthest_off_is_told():
    one = shapely.union(shapely.box(0.0, 0.0, 10.0, 20.0), shapely.box(10.0, 8.0, 14.0, 12.0))
    pocket = shapely.box(10.0, 7.9, 14.05, 12.05)  # 0.1 on one side
    other = shapely.box(10.0, 0.0, 20.0, 20.0).difference(pocket)
    assert _clearance(one, other, SEAM) == pytest.approx(0.1, abs=1e-6)
